//! The addresses of lots.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::civil::Date;
use metrology::lot::LotVerdict;
use metrology::sampling::{SamplingError, Severity};
use serde::Deserialize;
use workshop::inspection_plan::Take;
use workshop::lots::{self, Begin, LotsError};
use workshop::plan::Plan;
use workshop::{Error, station};

use super::app::{App, Shared};
use super::form::{none_wrong, recorded};
use super::pages::field::{Fault, needed, one_line};
use super::pages::lots::{self as page, Typed};
use super::reply::{self, look_back};
use crate::bench::words as bench_words;
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::say;
use crate::words;

/// What is asked of the list.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    /// Lots before an entry.
    beyond: String,
}

/// The lots, the latest first.
pub async fn list(State(app): Shared, Query(asked): Query<Asked>) -> Response {
    look_back(app, move |app| {
        let beyond = asked.beyond.parse().ok();
        let markup = page::list(app, beyond, &Typed::default(), None, &[])?;
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

pub async fn lot(State(app): Shared, Path(number): Path<String>) -> Response {
    look_back(app, move |app| {
        let (status, markup) = page::page(app, &number)?;
        Ok(reply::page(status, markup))
    })
    .await
}

/// Begins a lot, or shows the form again with what is wrong.
pub async fn begin(State(app): Shared, form: Result<Form<Typed>, FormRejection>) -> Response {
    recorded(
        app,
        form,
        |typed| &typed.token,
        |app, typed| begun(app, typed).map(|number| page::address_of(&number)),
        |app, typed, wrong| page::list(app, None, typed, Some(wrong), &faults(app, typed)?),
    )
    .await
}

fn begun(app: &App, typed: &Typed) -> Result<String, Failure> {
    none_wrong(faults(app, typed)?)?;
    let asked = Begin {
        number: typed.number.trim().to_owned(),
        plan: typed.plan.trim().to_owned(),
        size: size(typed).map_err(Failure::Input)?,
        severity: severity(typed).map_err(|why| Failure::refused(&why))?,
        resubmits: optional(&typed.resubmits),
        customer: optional(&typed.customer),
        order: optional(&typed.order),
        received: received(typed).map_err(Failure::Input)?,
        condition: optional(&typed.condition),
    };
    let recorder = desk::recorder(typed.person.trim());
    let begun = lots::begin(&app.ledger, &asked, &recorder);
    let lot = begun.map_err(|error| Failure::on_page(&error))?;
    Ok(lot.begun.number)
}

/// The fields that are empty or wrong, in their order.
fn faults(app: &App, typed: &Typed) -> Result<Vec<Fault>, Failure> {
    let said = |error: LotsError| words::error_on_page(&Error::input(error));
    let (plan, no_plan) = match lots::plan_named(&app.ledger, typed.plan.trim()) {
        Ok(kept) => (Some(kept.plan), None),
        Err(error) if error.is_input() => (None, Some(words::error_on_page(&error))),
        Err(error) => return Err(Failure::on_page(&error)),
    };
    let name = |plan: &Plan| plan.name();
    let size = match (size(typed), &plan) {
        (Err(wrong), _) => Some(wrong),
        (Ok(Some(size)), Some(plan)) => match plan.pieces.of_lot(size) {
            Ok(pieces) => {
                let why = pieces.say_nothing();
                why.map(|why| said(LotsError::Numbers { why }))
            }
            Err(why) => Some(said(LotsError::Size { why })),
        },
        (Ok(None), Some(plan)) if plan.pieces.lot_size.is_none() && plan.pieces.n.is_none() => {
            Some(said(LotsError::NoSize { plan: name(plan) }))
        }
        _ => None,
    };
    let severity = match (severity(typed), &plan) {
        (Err(why), _) => Some(words::said(&why)),
        (Ok(Some(_)), Some(plan)) if plan.pieces.by.take() != Take::MilStd105E => {
            Some(said(LotsError::NoSeverity { plan: name(plan) }))
        }
        _ => None,
    };
    let today = station::day(clock::now()?);
    let received = match received(typed) {
        Ok(Some(received)) if received > today => {
            Some(said(LotsError::ReceivedAhead { received, today }))
        }
        day => day.err(),
    };
    let all = [
        ("number", number(app, typed.number.trim())?),
        ("plan", no_plan),
        ("size", size),
        ("severity", severity),
        ("resubmits", resubmits(app, typed.resubmits.trim())?),
        ("customer", one_line(&typed.customer)),
        ("order", one_line(&typed.order)),
        ("received", received),
        ("condition", one_line(&typed.condition)),
        ("person", needed(page::label("person"), &typed.person)),
    ];
    let all = all.into_iter();
    Ok(all
        .filter_map(|(field, wrong)| Some((field, wrong?)))
        .collect())
}

/// What is wrong with the number of a lot that is to begin.
fn number(app: &App, number: &str) -> Result<Option<String>, Failure> {
    let said = |error: LotsError| Some(words::error_on_page(&Error::input(error)));
    if number.is_empty() {
        return Ok(said(LotsError::NoNumber));
    }
    if let Some(wrong) = one_line(number) {
        return Ok(Some(wrong));
    }
    let number = number.to_owned();
    if let Some(lot) = lots::find(&app.ledger, &number)? {
        let entry = lot.entry.to_string();
        return Ok(said(LotsError::Begun { number, entry }));
    }
    let known = app.begun_almost_as(&number)?;
    Ok(known.and_then(|known| said(LotsError::BegunAs { number, known })))
}

/// What is wrong with the number of the rejected lot that comes back.
fn resubmits(app: &App, number: &str) -> Result<Option<String>, Failure> {
    if number.is_empty() {
        return Ok(None);
    }
    let Some(lot) = lots::find(&app.ledger, number)? else {
        return no_such_lot(app, number).map(Some);
    };
    let (verdict, _) = app.matrix(&lot, &[])?.tally(|_| String::new()).verdict();
    let number = number.to_owned();
    Ok((verdict != LotVerdict::Reject).then(|| words::said(&LotsError::NotRejected { number })))
}

/// That there is no lot of a number, with the one that is written almost so.
pub fn no_such_lot(app: &App, number: &str) -> Result<String, Failure> {
    let number = number.to_owned();
    let error = match app.begun_almost_as(&number)? {
        Some(known) => LotsError::KnownAs { number, known },
        None => LotsError::NoLot { number },
    };
    Ok(words::error_on_page(&Error::input(error)))
}

fn optional(text: &str) -> Option<String> {
    Some(text.trim().to_owned()).filter(|text| !text.is_empty())
}

fn size(typed: &Typed) -> Result<Option<u64>, String> {
    match typed.size.trim() {
        "" => Ok(None),
        text => match text.parse() {
            Ok(size) => Ok(Some(size)),
            Err(_) => Err(say!("lots.no-count", text = text)),
        },
    }
}

fn severity(typed: &Typed) -> Result<Option<Severity>, SamplingError> {
    let text = optional(&typed.severity);
    text.map(|text| Severity::parse(&text)).transpose()
}

fn received(typed: &Typed) -> Result<Option<Date>, String> {
    match typed.received.trim() {
        "" => Ok(None),
        text => match text.parse() {
            Ok(day) => Ok(Some(day)),
            Err(_) => Err(bench_words::no_date(text)),
        },
    }
}
