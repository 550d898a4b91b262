//! The addresses of studies: those on the record, one of them, and the form that begins one at the bench.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use ledger::EntryRef;
use workshop::bench::studying;
use workshop::gauge_room::studies;

use super::app::{App, Shared};
use super::form::recorded;
use super::pages::studies::{self as page, Typed};
use super::reply::{self, look_back};
use crate::bench::words as bench_words;
use crate::clock;
use crate::failure::Failure;

/// All studies, and the form.
pub async fn list(State(app): Shared) -> Response {
    look_back(app, |app| {
        let markup = page::list(app, &Typed::default(), None)?;
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

/// Begins a study on this bench, or shows the form again with what is wrong.
pub async fn begin(State(app): Shared, form: Result<Form<Typed>, FormRejection>) -> Response {
    recorded(
        app,
        form,
        |typed| &typed.token,
        |app, typed| begun(app, typed).map(|()| "/".to_owned()),
        |app, typed, wrong| page::list(app, typed, Some(wrong)),
    )
    .await
}

fn begun(app: &App, typed: &Typed) -> Result<(), Failure> {
    let chance = clock::chance()?;
    let planned = studying::planned(&typed.asked(), chance);
    let plan = planned.map_err(|error| Failure::on_page(&error))?;
    match app.begin_study(plan)? {
        None => Ok(()),
        Some(refusal) => Err(Failure::input(&bench_words::why(&refusal.why))),
    }
}

/// A study by its entry.
pub async fn one(State(app): Shared, Path(name): Path<String>) -> Response {
    look_back(app, move |app| {
        let Ok(name) = name.parse::<EntryRef>() else {
            return Ok(reply::not_found());
        };
        match studies::get(&app.ledger, &name) {
            Ok(one) => Ok(reply::page(StatusCode::OK, page::page(&one))),
            Err(error) if error.is_input() => Ok(reply::not_found()),
            Err(error) => Err(Failure::on_page(&error)),
        }
    })
    .await
}
