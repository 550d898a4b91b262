//! The addresses of first articles: the form, and the report of a piece as a page and as PDF.

use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use maud::html;

use super::app::{App, Shared};
use super::pages::first_article::{self as form, Typed};
use super::reply::{self, look_back};
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::first_article::FirstArticle;
use crate::report::sheet::Printing;

type Asked = Result<Query<Typed>, QueryRejection>;

/// The form.
pub async fn page(State(app): Shared, Path(number): Path<String>, asked: Asked) -> Response {
    of(app, number, asked, |_, lot| Ok(lot.form(None))).await
}

/// The report as a page to be printed.
pub async fn sheet(State(app): Shared, Path(number): Path<String>, asked: Asked) -> Response {
    of(app, number, asked, |app, lot| {
        let letterhead = Letterhead::read(None)?;
        let head = html! { link rel="stylesheet" href="/report.css"; };
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

/// A lot, and what was typed of it.
struct Known {
    lot: workshop::lots::Lot,
    matrix: workshop::lots::Matrix,
    typed: Typed,
}

impl Known {
    fn article(&self, app: &App) -> Result<FirstArticle, Failure> {
        let piece = Some(self.typed.piece.as_str()).filter(|piece| !piece.trim().is_empty());
        let supplied = self.typed.supplied()?;
        FirstArticle::of(&app.ledger, &self.lot, &self.matrix, piece, &supplied)
    }

    fn form(&self, wrong: Option<&str>) -> Response {
        let status = match wrong {
            Some(_) => StatusCode::UNPROCESSABLE_ENTITY,
            None => StatusCode::OK,
        };
        let markup = form::page(&self.lot, &self.matrix, &self.typed, wrong);
        reply::page(status, markup)
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
    look_back(app, move |app| {
        let Some((lot, matrix, _)) = app.of_lot(&number)? else {
            return Ok(reply::not_found());
        };
        let known = Known { lot, matrix, typed };
        match answer(app, &known) {
            Err(Failure::Input(wrong)) => Ok(known.form(Some(&wrong))),
            answered => answered,
        }
    })
    .await
}
