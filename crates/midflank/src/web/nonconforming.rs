//! The addresses of nonconforming pieces.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use workshop::lots::{self, Dispose, NonconformingError};
use workshop::nonconformance::Disposition;

use super::app::{App, Shared};
use super::form::{none_wrong, recorded};
use super::lot_routes::no_such_lot;
use super::pages::NONCONFORMING;
use super::pages::field::{Fault, needed, one_line};
use super::pages::nonconforming::{self as page, Typed};
use super::reply::{self, look_back};
use crate::desk;
use crate::failure::Failure;
use crate::report::nonconforming::no_disposition;
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
        let markup = page::page(app, !asked.all.is_empty(), &typed, None, &[])?;
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
        |app, typed, wrong| page::page(app, false, typed, Some(wrong), &faults(app, typed)?),
    )
    .await
}

fn decided(app: &App, typed: &Typed) -> Result<(), Failure> {
    none_wrong(faults(app, typed)?)?;
    let Some(disposition) = Disposition::of(typed.disposition.trim()) else {
        return Err(Failure::input(no_disposition(&typed.disposition)));
    };
    let asked = Dispose {
        lot: typed.lot.trim().to_owned(),
        piece: typed.piece.trim().to_owned(),
        disposition,
        concession: optional(&typed.concession),
        confirmed_by: optional(&typed.confirmed_by),
        note: optional(&typed.note),
    };
    let recorder = desk::recorder(typed.person.trim());
    let done = lots::dispose(&app.ledger, &asked, &recorder);
    done.map(drop).map_err(|error| Failure::on_page(&error))
}

fn optional(text: &str) -> Option<String> {
    Some(text.trim().to_owned()).filter(|text| !text.is_empty())
}

/// The fields that are empty or wrong, in their order.
fn faults(app: &App, typed: &Typed) -> Result<Vec<Fault>, Failure> {
    let disposition = Disposition::of(typed.disposition.trim());
    let no_disposition = disposition
        .is_none()
        .then(|| no_disposition(&typed.disposition));
    let concession = match (typed.concession.trim(), disposition) {
        ("", Some(Disposition::UseAsIs)) => Some(words::said(&NonconformingError::NoConcession)),
        ("", _) => None,
        (_, Some(disposition)) if disposition != Disposition::UseAsIs => {
            Some(words::said(&NonconformingError::Concession { disposition }))
        }
        (text, _) => one_line(text),
    };
    let (person, second) = (typed.person.trim(), typed.confirmed_by.trim());
    let same = !second.is_empty() && second.eq_ignore_ascii_case(person);
    let confirmed = if same {
        let name = second.to_owned();
        Some(words::said(&NonconformingError::SamePerson { name }))
    } else {
        one_line(second)
    };
    let (lot, piece) = of_piece(app, typed)?;
    let all = [
        ("lot", lot),
        ("piece", piece),
        ("disposition", no_disposition),
        ("concession", concession),
        ("person", needed(page::label("person"), person)),
        ("confirmed_by", confirmed),
        ("note", one_line(&typed.note)),
    ];
    let all = all.into_iter();
    Ok(all
        .filter_map(|(field, wrong)| Some((field, wrong?)))
        .collect())
}

/// What is wrong with the lot, and with the piece of it.
fn of_piece(app: &App, typed: &Typed) -> Result<(Option<String>, Option<String>), Failure> {
    let (number, piece) = (typed.lot.trim(), typed.piece.trim());
    let empty = needed(page::label("piece"), piece);
    if let Some(wrong) = needed(page::label("lot"), number) {
        return Ok((Some(wrong), empty));
    }
    let Some(lot) = lots::find(&app.ledger, number)? else {
        return Ok((Some(no_such_lot(app, number)?), empty));
    };
    let matrix = app.matrix(&lot, &[])?;
    let is_there = matrix.rows.iter().any(|row| row.piece == piece);
    let unknown = (empty.is_none() && !is_there).then(|| {
        let (lot, piece) = (lot.begun.number.clone(), piece.to_owned());
        words::said(&NonconformingError::NoPiece { lot, piece })
    });
    Ok((None, empty.or(unknown)))
}
