//! The addresses of nonconforming pieces.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use workshop::lots::{self, Dispose};
use workshop::nonconformance::Disposition;

use super::app::{App, Shared};
use super::form::recorded;
use super::pages::NONCONFORMING;
use super::pages::nonconforming::{self as page, Typed};
use super::reply::{self, look_back};
use crate::desk;
use crate::failure::Failure;
use crate::report::nonconforming::no_disposition;
use crate::say;

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
    recorded(
        app,
        form,
        |typed| &typed.token,
        |app, typed| decided(app, typed).map(|()| format!("{NONCONFORMING}?all=1")),
        |app, typed, wrong| page::page(app, false, typed, Some(wrong)),
    )
    .await
}

fn decided(app: &App, typed: &Typed) -> Result<(), Failure> {
    let optional = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
    let Some(person) = optional(&typed.person) else {
        return Err(Failure::input(say!("page.no-person")));
    };
    let Some(disposition) = Disposition::of(typed.disposition.trim()) else {
        return Err(no_disposition(&typed.disposition));
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
            return Err(Failure::input(say!("lots.no-line")));
        }
    }
    let done = lots::dispose(&app.ledger, &asked, &desk::recorder(&person));
    done.map(drop).map_err(|error| Failure::on_page(&error))
}
