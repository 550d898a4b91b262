//! The addresses of first articles: the form, and the report of a piece as a page and as PDF.

use axum::extract::rejection::{FormRejection, QueryRejection};
use axum::extract::{Form, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use workshop::lots;

use super::app::{App, LineRefused, Shared};
use super::form::none_wrong;
use super::pages::first_article::{self as form, Typed};
use super::pages::head_of_sheet;
use super::pass::same;
use super::reply::{self, look_back};
use crate::desk;
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::first_article::FirstArticle;
use crate::report::sheet::Printing;
use crate::words;

type Asked = Result<Query<Typed>, QueryRejection>;

/// The form.
pub async fn page(State(app): Shared, Path(number): Path<String>, asked: Asked) -> Response {
    of(app, number, asked, |app, lot| lot.form(app, None)).await
}

/// The report as a page to be printed.
pub async fn sheet(State(app): Shared, Path(number): Path<String>, asked: Asked) -> Response {
    of(app, number, asked, |app, lot| {
        let letterhead = Letterhead::read(None)?;
        let head = head_of_sheet();
        let markup = lot.article(app)?.html(&letterhead, Some(head));
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

pub async fn pdf(State(app): Shared, Path(number): Path<String>, asked: Asked) -> Response {
    of(app, number, asked, |app, lot| {
        let letterhead = Letterhead::read(None)?;
        let bytes = lot.article(app)?.pdf(&letterhead, &Printing::default())?;
        Ok(reply::pdf(bytes))
    })
    .await
}

/// Issues the report: records it, and leads to its record.
pub async fn issue(
    State(app): Shared,
    Path(number): Path<String>,
    form: Result<Form<Typed>, FormRejection>,
) -> Response {
    let typed = match form {
        Ok(Form(typed)) => typed,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    with(app, number, typed, |app, lot| {
        if !same(&lot.typed.token, &app.token) {
            return Err(Failure::input(words::said(&LineRefused::StaleForm)));
        }
        none_wrong(lot.typed.faults())?;
        let person = lot.typed.person.trim();
        let facts = lot.article(app)?.facts;
        let issued = app.gauge_room(|ledger| {
            lots::issue_first_article(ledger, &facts, &desk::recorder(person))
        });
        let entry = issued.map_err(|error| Failure::on_page(&error))?;
        let place = format!("/record/{}", entry.id());
        Ok((StatusCode::SEE_OTHER, [(header::LOCATION, place)]).into_response())
    })
    .await
}

/// A lot, and what was typed of it.
struct Known {
    lot: workshop::lots::Lot,
    matrix: workshop::lots::Matrix,
    typed: Typed,
}

impl Known {
    fn article(&self, app: &App) -> Result<FirstArticle, Failure> {
        let piece = Some(self.typed.piece.as_str()).filter(|piece| !piece.trim().is_empty());
        none_wrong(self.typed.faults())?;
        let supplied = self.typed.supplied()?;
        FirstArticle::of(&app.ledger, &self.lot, &self.matrix, piece, &supplied)
    }

    fn form(&self, app: &App, wrong: Option<&str>) -> Result<Response, Failure> {
        let status = match wrong {
            Some(_) => StatusCode::UNPROCESSABLE_ENTITY,
            None => StatusCode::OK,
        };
        let faults = wrong.map_or_else(Vec::new, |_| self.typed.faults());
        let markup = form::page(app, &self.lot, &self.matrix, &self.typed, wrong, &faults)?;
        Ok(reply::page(status, markup))
    }
}

/// Answers for a lot that there is; what was typed wrong is shown with the form.
async fn of(
    app: std::sync::Arc<App>,
    number: String,
    asked: Asked,
    answer: impl Fn(&App, &Known) -> Result<Response, Failure> + Send + 'static,
) -> Response {
    let typed = asked.map(|Query(typed)| typed).unwrap_or_default();
    with(app, number, typed, answer).await
}

async fn with(
    app: std::sync::Arc<App>,
    number: String,
    typed: Typed,
    answer: impl Fn(&App, &Known) -> Result<Response, Failure> + Send + 'static,
) -> Response {
    look_back(app, move |app| {
        let Some((lot, matrix, _)) = app.of_lot(&number)? else {
            return Ok(reply::not_found());
        };
        let known = Known { lot, matrix, typed };
        match answer(app, &known) {
            Err(Failure::Input(wrong)) => known.form(app, Some(&wrong)),
            answered => answered,
        }
    })
    .await
}
