//! The addresses of nonconforming pieces.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use serde::Deserialize;
use workshop::lots::{self, Dispose};
use workshop::nonconformance::Disposition;

use super::app::{App, LineRefused, Shared};
use super::pages::NONCONFORMING;
use super::pages::nonconforming::{self as page, Typed};
use super::pass::same;
use super::reply::{self, blocking, look_back};
use crate::desk;
use crate::failure::Failure;
use crate::report::nonconforming::no_disposition;
use crate::say;
use crate::words;

/// What is asked of the list.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    all: String,
    lot: String,
    piece: String,
}

/// The list. A lot and a piece in the address stand in the form already.
pub async fn list(State(app): Shared, Query(asked): Query<Asked>) -> Response {
    look_back(app, move |app| {
        let typed = Typed {
            lot: asked.lot,
            piece: asked.piece,
            ..Typed::default()
        };
        let markup = page::page(app, !asked.all.is_empty(), &typed, None)?;
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

/// Records a decision, or shows the form again with what is wrong.
pub async fn decide(State(app): Shared, form: Result<Form<Typed>, FormRejection>) -> Response {
    let typed = match form {
        Ok(Form(typed)) => typed,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    blocking(app, move |app| {
        if !same(&typed.token, &app.token) {
            let wrong = words::said(&LineRefused::StaleForm);
            let markup = page::page(app, false, &typed, Some(&wrong))?;
            return Ok(reply::page(StatusCode::FORBIDDEN, markup));
        }
        match decided(app, &typed)? {
            None => {
                let place = format!("{NONCONFORMING}?all=1");
                Ok((StatusCode::SEE_OTHER, [(header::LOCATION, place)]).into_response())
            }
            Some(wrong) => {
                let markup = page::page(app, false, &typed, Some(&wrong))?;
                Ok(reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup))
            }
        }
    })
    .await
}

/// What is wrong, where something is.
fn decided(app: &App, typed: &Typed) -> Result<Option<String>, Failure> {
    let optional = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
    let Some(person) = optional(&typed.person) else {
        return Ok(Some(say!("page.no-person").to_owned()));
    };
    let Some(disposition) = Disposition::of(typed.disposition.trim()) else {
        return Ok(Some(no_disposition(&typed.disposition)));
    };
    let asked = Dispose {
        lot: typed.lot.trim().to_owned(),
        piece: typed.piece.trim().to_owned(),
        disposition,
        concession: optional(&typed.concession),
        confirmed_by: optional(&typed.confirmed_by),
        note: optional(&typed.note),
    };
    let texts = [&person].into_iter();
    let texts = texts
        .chain(&asked.concession)
        .chain(&asked.confirmed_by)
        .chain(&asked.note);
    for text in texts {
        if workshop::given::on_one_line("note", text).is_err() {
            return Ok(Some(say!("lots.no-line").to_owned()));
        }
    }
    match lots::dispose(&app.ledger, &asked, &desk::recorder(&person)) {
        Ok(_) => Ok(None),
        Err(error) if error.is_input() => Ok(Some(words::error_on_page(&error))),
        Err(error) => Err(Failure::on_page(&error)),
    }
}
