//! The addresses of what the gauge room records of a piece. What may be recorded is judged as for the command line.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use jiff::civil::Date;
use workshop::Error;
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_record::status::{Change, Extension, Set};
use workshop::gauge_room::due;
use workshop::register::Register;
use workshop::{station, status};

use super::app::{App, Shared};
use super::pages::gauge_room::address_of;
use super::pages::register_form::{Forms, StateForm, Typed, Wrong};
use super::register::{by_last_person, own_form, said, shown};
use super::reply::{self, blocking};
use crate::bench::words as bench_words;
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::say;
use crate::words;

/// Changes the status of a piece, or shows the form again with what is wrong and all that was typed.
pub async fn status(
    State(app): Shared,
    Path((kind, id)): Path<(String, String)>,
    form: Result<Form<Typed>, FormRejection>,
) -> Response {
    let form = match form {
        Ok(Form(form)) => form,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    blocking(app, move |app| {
        let Some(piece) = PieceKind::of(&kind).map(|kind| PieceId::new(kind, &id)) else {
            return Ok(reply::not_found());
        };
        // Only of what there is: a mistyped address makes no piece.
        if shown(app, &kind, &id, None, &Forms::default())?.is_none() {
            return Ok(reply::not_found());
        }
        let wrong = match change(app, &piece, &form)? {
            None => {
                let place = [(header::LOCATION, address_of(&piece))];
                return Ok((StatusCode::SEE_OTHER, place).into_response());
            }
            wrong => wrong,
        };
        let forms = Forms {
            state: by_last_person(app)?,
            status: StateForm { typed: form, wrong },
        };
        let markup = shown(app, &kind, &id, None, &forms)?;
        Ok(markup.map_or_else(reply::not_found, |markup| {
            reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup)
        }))
    })
    .await
}

/// What is wrong, where something is.
fn change(app: &App, piece: &PieceId, form: &Typed) -> Result<Option<Wrong>, Failure> {
    let (change, person) = match changed(app, piece, form) {
        Ok(change) => change,
        Err(wrong) => return Ok(Some(wrong)),
    };
    let today = station::day(clock::now()?);
    let recorder = desk::recorder(&person);
    let recorded = app.gauge_room(|ledger| {
        let certified = due::by_certificate(&Register::read(ledger)?, &change.piece, today);
        status::record(ledger, &change, certified, today, &recorder)
    });
    match recorded {
        Ok(_) => Ok(None),
        Err(error) if error.is_input() => Ok(Some(Wrong {
            field: field_of(&error).map(str::to_owned),
            message: words::error_on_page(&error),
        })),
        Err(error) => Err(Failure::on_page(&error)),
    }
}

/// The change that a form asks for, and who asks.
fn changed(app: &App, piece: &PieceId, form: &Typed) -> Result<(Change, String), Wrong> {
    own_form(app, form)?;
    let said = said(form, true)?;
    let optional = |key: &str| {
        let text = form.get(key).map_or("", |text| text.trim());
        Some(text.to_owned()).filter(|text| !text.is_empty())
    };
    for key in ["reason", "person", "holder", "limited_to", "check"] {
        let text = form.get(key).map_or("", String::as_str);
        if workshop::given::on_one_line(key, text).is_err() {
            return Err(Wrong::at(key, bench_words::hidden_characters()));
        }
    }
    let asked = optional("status").unwrap_or_default();
    let set = Set::of(&asked).ok_or_else(|| {
        let known = Set::EVERY.iter().map(|set| set.key().to_owned());
        let known = words::choice(known);
        Wrong::at(
            "status",
            say!("status-error.no-status", text = asked, known = known),
        )
    })?;
    let day = |key: &str| -> Result<Option<Date>, Wrong> {
        let Some(text) = optional(key) else {
            return Ok(None);
        };
        let day = text.parse();
        day.map(Some)
            .map_err(|_| Wrong::at(key, bench_words::no_date(&text)))
    };
    let extension = match (day("extend_until")?, optional("check")) {
        (Some(until), check) => Some(Extension {
            until,
            by: said.person.to_owned(),
            reason: said.reason.unwrap_or_default().to_owned(),
            check: check.unwrap_or_default(),
        }),
        (None, Some(_)) => {
            return Err(Wrong::at("extend_until", say!("gauge-page.extend-no-day")));
        }
        (None, None) => None,
    };
    let uses = optional("limited_to").unwrap_or_default();
    let uses = uses.split([' ', ',']).filter(|word| !word.is_empty());
    let change = Change {
        piece: piece.clone(),
        status: set.key().to_owned(),
        holder: optional("holder"),
        limited_to: uses.map(str::to_owned).collect(),
        due: day("due")?,
        extension,
        reason: said.reason.unwrap_or_default().to_owned(),
        calibration: None,
    };
    Ok((change, said.person.to_owned()))
}

/// The field that is complained of.
fn field_of(error: &Error) -> Option<&'static str> {
    let Error::Input(why) = error else {
        return None;
    };
    match why.message.key() {
        "no-reason" => Some("reason"),
        "limited-to-nothing" | "not-limited" | "no-such-use" => Some("limited_to"),
        "extends-nothing" | "extension-past" => Some("extend_until"),
        "half-extension" => Some("check"),
        "put-off" => Some("due"),
        "failed" => Some("status"),
        _ => None,
    }
}
