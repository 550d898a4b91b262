//! The addresses of studies: those on the record, one of them, and the form that begins one at the bench.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::civil::Date;
use ledger::EntryRef;
use workshop::bench::studying;
use workshop::gauge_room::studies::{self, Approve, OnRecord, StudyError};

use super::app::{App, Shared};
use super::form::recorded;
use super::pages::studies::{self as page, Approval, Typed};
use super::reply::{self, look_back};
use crate::bench::words as bench_words;
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::say;
use crate::station;

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
        Some(refusal) => Err(Failure::input(bench_words::why(&refusal.why))),
    }
}

/// A study by its entry.
pub async fn one(State(app): Shared, Path(name): Path<String>) -> Response {
    look_back(app, move |app| {
        let Ok(name) = name.parse::<EntryRef>() else {
            return Ok(reply::not_found());
        };
        match studies::get(&app.ledger, &name) {
            Ok(one) => {
                let markup = page::page(app, &one, &Approval::default(), None)?;
                Ok(reply::page(StatusCode::OK, markup))
            }
            Err(error) if error.is_input() => Ok(reply::not_found()),
            Err(error) => Err(Failure::on_page(&error)),
        }
    })
    .await
}

/// Approves a study, or shows its page again with what is wrong.
pub async fn approve(
    State(app): Shared,
    Path(name): Path<String>,
    form: Result<Form<Approval>, FormRejection>,
) -> Response {
    let (of_record, of_page) = (name.clone(), name);
    recorded(
        app,
        form,
        |typed| &typed.token,
        move |app, typed| approved(app, &of_record, typed).map(|()| page::address_of(&of_record)),
        move |app, typed, wrong| {
            let one = named(app, &of_page)?;
            page::page(app, &one, typed, Some(wrong))
        },
    )
    .await
}

fn named(app: &App, name: &str) -> Result<OnRecord, Failure> {
    let name: EntryRef = name
        .parse()
        .map_err(|_| Failure::input(bench_words::nothing_here_long()))?;
    studies::get(&app.ledger, &name).map_err(|error| Failure::on_page(&error))
}

fn approved(app: &App, name: &str, typed: &Approval) -> Result<(), Failure> {
    let one = named(app, name)?;
    if let Some((_, wrong)) = typed.wrong_fields().into_iter().next() {
        return Err(Failure::input(wrong));
    }
    let today = station::day(clock::now()?);
    let day = |text: &str| {
        text.trim()
            .parse::<Date>()
            .map_err(|_| Failure::input(say!("study-run.no-date", text = text.trim())))
    };
    let how = Approve {
        person: typed.person.clone(),
        reason: typed.reason.clone(),
        on: match typed.from.trim() {
            "" => today,
            text => day(text)?,
        },
        review_due: day(&typed.review_due)?,
        sizes: match typed.sizes.trim() {
            "" => None,
            text => {
                Some(page::two_sizes(text).ok_or_else(|| Failure::refused(&StudyError::Sizes))?)
            }
        },
    };
    let recorder = desk::recorder(how.person.trim());
    let anew = say!("approval.anew");
    let made = app.gauge_room(|ledger| {
        studies::approve(ledger, &one.entry.into(), &how, today, &recorder, anew)
    });
    made.map(drop).map_err(|error| Failure::on_page(&error))
}
