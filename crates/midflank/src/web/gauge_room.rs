//! The addresses of what the gauge room records of a piece. What may be recorded is judged as for the command line.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use jiff::civil::Date;
use metrology::message::Say as _;
use workshop::Error;
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_record::status::{Change, Extension, Set, StatusError};
use workshop::gauge_room::due;
use workshop::register::Register;
use workshop::{station, status};

use super::app::{App, Shared};
use super::form::Untaken;
use super::pages::field::{Fault, in_order, one_line};
use super::pages::gauge_room::address_of;
use super::pages::register_form::{Forms, StateForm, Typed};
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
        let (wrong, faults) = match change(app, &piece, &form)? {
            Ok(()) => {
                let place = [(header::LOCATION, address_of(&piece))];
                return Ok((StatusCode::SEE_OTHER, place).into_response());
            }
            Err(wrong) => wrong,
        };
        let forms = Forms {
            state: by_last_person(app)?,
            status: StateForm {
                typed: form,
                wrong,
                faults,
            },
        };
        let markup = shown(app, &kind, &id, None, &forms)?;
        Ok(markup.map_or_else(reply::not_found, |markup| {
            reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup)
        }))
    })
    .await
}

/// The fields of the form, in their order.
const FIELDS: [&str; 8] = [
    "status",
    "reason",
    "person",
    "holder",
    "limited_to",
    "due",
    "extend_until",
    "check",
];

/// Records the change, or gives what is wrong.
fn change(app: &App, piece: &PieceId, form: &Typed) -> Result<Result<(), Untaken>, Failure> {
    if let Err(stale) = own_form(app, form) {
        return Ok(Err((Some(stale), Vec::new())));
    }
    let today = station::day(clock::now()?);
    let (change, person) = match changed(piece, form, today) {
        Ok(change) => change,
        Err(faults) => return Ok(Err((None, faults))),
    };
    let recorder = desk::recorder(&person);
    let recorded = app.gauge_room(|ledger| {
        let certified = due::by_certificate(&Register::read(ledger)?, &change.piece, today);
        status::record(ledger, &change, certified, today, &recorder)
    });
    match recorded {
        Ok(_) => Ok(Ok(())),
        Err(error) if error.is_input() => {
            let message = words::error_on_page(&error);
            Ok(Err(match field_of(&error) {
                Some(field) => (None, vec![(field, message)]),
                None => (Some(message), Vec::new()),
            }))
        }
        Err(error) => Err(Failure::on_page(&error)),
    }
}

/// The change that a form asks for, and who asks; or all of its fields that are wrong.
fn changed(piece: &PieceId, form: &Typed, today: Date) -> Result<(Change, String), Vec<Fault>> {
    let text = |key: &str| form.get(key).map_or("", |text| text.trim());
    let optional = |key: &str| Some(text(key).to_owned()).filter(|text| !text.is_empty());
    let mut faults = said(form, true).err().unwrap_or_default();
    for key in ["holder", "limited_to", "check"] {
        faults.extend(one_line(text(key)).map(|wrong| (key, wrong)));
    }
    if Set::of(text("status")).is_none() {
        let known = Set::EVERY.iter().map(|set| set.key().to_owned());
        let known = words::choice(known);
        let wrong = say!(
            "status-error.no-status",
            text = text("status"),
            known = known
        );
        faults.push(("status", wrong));
    }
    let mut day = |key: &'static str| -> Option<Date> {
        let text = optional(key)?;
        let day = text.parse().ok();
        if day.is_none() {
            faults.push((key, bench_words::no_date(&text)));
        }
        day
    };
    let (due, until) = (day("due"), day("extend_until"));
    if text("extend_until").is_empty() && !text("check").is_empty() {
        faults.push(("extend_until", say!("gauge-page.extend-no-day").to_owned()));
    }
    let (person, reason) = (text("person").to_owned(), text("reason").to_owned());
    let extension = until.map(|until| Extension {
        until,
        by: person.clone(),
        reason: reason.clone(),
        check: text("check").to_owned(),
    });
    let uses = text("limited_to").split([' ', ',']);
    let change = Change {
        piece: piece.clone(),
        status: text("status").to_owned(),
        holder: optional("holder"),
        limited_to: uses
            .filter(|word| !word.is_empty())
            .map(str::to_owned)
            .collect(),
        due,
        extension,
        reason,
        calibration: None,
    };
    let has_check = |it: &Extension| !it.check.is_empty();
    let has_check = change.extension.as_ref().is_none_or(has_check);
    for error in change.faults(today) {
        // Who and why are asked for at their own fields.
        if error == StatusError::HalfExtension && has_check {
            continue;
        }
        let field = field_by(error.message().key());
        let told = words::error_on_page(&Error::input(error));
        faults.extend(field.map(|field| (field, told)));
    }
    if faults.is_empty() {
        Ok((change, person))
    } else {
        Err(in_order(faults, &FIELDS))
    }
}

/// The field that is complained of.
fn field_of(error: &Error) -> Option<&'static str> {
    let Error::Input(why) = error else {
        return None;
    };
    field_by(why.message.key())
}

/// The field that a refusal is about, by its code.
fn field_by(code: &str) -> Option<&'static str> {
    match code {
        "no-reason" => Some("reason"),
        "limited-to-nothing" | "not-limited" | "no-such-use" => Some("limited_to"),
        "extends-nothing" | "extension-past" => Some("extend_until"),
        "half-extension" => Some("check"),
        "put-off" => Some("due"),
        "failed" | "withdrawn" => Some("status"),
        _ => None,
    }
}
