//! The register's addresses: look at what one owns, describe a piece, put one into another state. What may be recorded is
//! judged by [`crate::register`], as for the command line.

use std::sync::Arc;

use axum::extract::rejection::{FormRejection, QueryRejection};
use axum::extract::{Form, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use maud::Markup;
use serde::Deserialize;

use super::app::App;
use super::app::Shared;
use super::form::Untaken;
use super::pages;
use super::pages::field::{Fault, one_line};
use super::pages::gauge_room;
use super::pages::register as page;
use super::pages::register_form::{self, Forms, Shown, StateForm, Typed, Wrong};
use super::reply;
use super::reply::blocking;
use super::{pass::same, words};
use crate::bench::words as bench_words;
use crate::clock;

use crate::desk;
use crate::failure::Failure;
use crate::register::{self, Kind, Registered};
use crate::say;
use crate::station;
use workshop::demonstration;
use workshop::gauge_record::piece::{PieceId, PieceKind};

/// What an address may ask for.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    /// A pair that a new one is like.
    like: String,
    /// Results beyond an entry.
    beyond: String,
}

pub async fn list(State(app): Shared) -> Response {
    blocking(app, |app| Ok(reply::page(StatusCode::OK, page::list(app)?))).await
}

pub async fn piece(
    State(app): Shared,
    Path((kind, id)): Path<(String, String)>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    let beyond = asked
        .ok()
        .and_then(|Query(asked)| asked.beyond.parse().ok());
    let turn = app.turn_to_look_back().await;
    blocking(app, move |app| {
        let _turn = turn;
        let forms = Forms {
            state: by_last_person(app)?,
            status: by_last_person(app)?,
        };
        Ok(reply::found(shown(app, &kind, &id, beyond, &forms)?))
    })
    .await
}

/// The page of a piece, whether the register has it or the gauge room alone; none where neither does.
pub fn shown(
    app: &App,
    kind: &str,
    id: &str,
    beyond: Option<u64>,
    forms: &Forms,
) -> Result<Option<Markup>, Failure> {
    let books = app.books()?;
    let kind = PieceKind::of(kind);
    let registered = kind.and_then(PieceKind::registered);
    match registered.and_then(|kind| books.register.find(kind, id)) {
        Some(piece) => page::piece(app, piece, beyond, forms).map(Some),
        None => match kind {
            Some(kind) => gauge_room::page(app, PieceId::new(kind, id), &forms.status),
            None => Ok(None),
        },
    }
}

pub async fn new(
    State(app): Shared,
    Path(kind): Path<String>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    let Ok(kind) = kind.parse::<Kind>() else {
        return reply::not_found();
    };
    let like = asked.map(|Query(asked)| asked.like).unwrap_or_default();
    blocking(app, move |app| {
        let books = app.books()?;
        let like = books.register.find(kind, &like);
        let mut form = match like {
            Some(piece) => register_form::filled(&piece.described),
            None => Typed::new(),
        };
        // What is another piece's own.
        for own in ["id", "members", "certificate", "due"] {
            form.remove(own);
        }
        form.extend(by_last_person(app)?.typed);
        let shown = Shown {
            kind,
            form: &form,
            wrong: None,
            token: &app.token,
            changes: None,
        };
        Ok(reply::page(
            StatusCode::OK,
            page::describe(&shown, like.is_some()),
        ))
    })
    .await
}

pub async fn change(State(app): Shared, Path((kind, id)): Path<(String, String)>) -> Response {
    with_piece(app, kind, id, |app, piece| {
        let mut form = register_form::filled(&piece.described);
        form.extend(by_last_person(app)?.typed);
        let shown = Shown {
            kind: piece.equipment.kind(),
            form: &form,
            wrong: None,
            token: &app.token,
            changes: Some(piece.entry.to_string()),
        };
        Ok(reply::page(StatusCode::OK, page::describe(&shown, false)))
    })
    .await
}

/// Fills an empty register with the invented equipment of the demonstration, and goes to the bench.
pub async fn demonstration(
    State(app): Shared,
    form: Result<Form<Typed>, FormRejection>,
) -> Response {
    let form = match form {
        Ok(Form(form)) => form,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    blocking(app, move |app| {
        if let Err(wrong) = own_form(app, &form) {
            let markup = pages::message(bench_words::not_taken(), &wrong);
            return Ok(reply::page(StatusCode::FORBIDDEN, markup));
        }
        app.register(|ledger| {
            let recorder = desk::recorder(demonstration::PERSON);
            demonstration::seed(ledger, &recorder)?;
            Ok(Vec::new())
        })?;
        Ok(reply::redirect(None, None))
    })
    .await
}

/// Records a piece, new or changed; or shows the form again with what is wrong and all that was typed.
pub async fn keep(
    State(app): Shared,
    Path(kind): Path<String>,
    form: Result<Form<Typed>, FormRejection>,
) -> Response {
    let Ok(kind) = kind.parse::<Kind>() else {
        return reply::not_found();
    };
    let form = match form {
        Ok(Form(form)) => form,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    blocking(app, move |app| {
        let changes = form.get("changes").cloned();
        let wrong = match record(app, kind, &form, changes.as_deref())? {
            // Whoever begins is led on to what is still missing.
            Ok(_) if app.leads_to_first(&app.books()?.register) => {
                return Ok(reply::redirect(None, None));
            }
            Ok(id) => return Ok(see(kind, &id)),
            Err(wrong) => wrong,
        };
        let shown = Shown {
            kind,
            form: &form,
            wrong: Some(&wrong),
            token: &app.token,
            changes,
        };
        let markup = page::describe(&shown, false);
        Ok(reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup))
    })
    .await
}

fn record(
    app: &App,
    kind: Kind,
    form: &Typed,
    changes: Option<&str>,
) -> Result<Result<String, Vec<Wrong>>, Failure> {
    if let Err(stale) = own_form(app, form) {
        return Ok(Err(vec![Wrong::whole(stale)]));
    }
    let today = station::day(clock::now()?);
    let piece = register_form::piece(kind, form, today);
    let mut wrong = Vec::new();
    let books = app.books()?;
    let id = form.get("id").map_or("", |id| id.trim());
    match (changes, books.register.find(kind, id)) {
        (None, Some(_)) => wrong.push(Wrong::at("id", words::known_already(kind, id))),
        (Some(entry), Some(before)) if before.entry.to_string() != entry => {
            wrong.push(Wrong::whole(words::changed_meanwhile()));
        }
        _ => {}
    }
    let said = said(form, changes.is_some());
    let (piece, said) = match (piece, said) {
        (Ok(piece), Ok(said)) if wrong.is_empty() => (piece, said),
        (piece, said) => {
            wrong.extend(piece.err().unwrap_or_default());
            let faults = said.err().unwrap_or_default();
            wrong.extend(
                faults
                    .into_iter()
                    .map(|(field, told)| Wrong::at(field, told)),
            );
            return Ok(Err(wrong));
        }
    };
    let id = piece.id().to_owned();
    let done = app.register(|ledger| {
        let recorder = desk::recorder(said.person);
        register::add(ledger, &[piece], &recorder, said.reason)
    });
    Ok(match taken(done)? {
        Some(wrong) => Err(vec![Wrong::whole(wrong)]),
        None => Ok(id),
    })
}

/// Puts a piece into another state.
pub async fn state(
    State(app): Shared,
    Path((kind, id)): Path<(String, String)>,
    form: Result<Form<Typed>, FormRejection>,
) -> Response {
    let form = match form {
        Ok(Form(form)) => form,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    with_piece(app, kind, id, move |app, piece| {
        let (wrong, faults) = match put(app, piece, &form)? {
            Ok(()) => return Ok(see(piece.equipment.kind(), piece.equipment.id())),
            Err(wrong) => wrong,
        };
        let forms = Forms {
            state: StateForm {
                typed: form,
                wrong,
                faults,
            },
            status: by_last_person(app)?,
        };
        let markup = page::piece(app, piece, None, &forms)?;
        Ok(reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup))
    })
    .await
}

fn put(app: &App, piece: &Registered, form: &Typed) -> Result<Result<(), Untaken>, Failure> {
    if let Err(stale) = own_form(app, form) {
        return Ok(Err((Some(stale), Vec::new())));
    }
    let asked = form.get("state").map_or("", String::as_str);
    let (said, state) = match (said(form, true), asked.parse()) {
        (Ok(said), Ok(state)) => (said, state),
        (said, state) => {
            let mut faults = said.err().unwrap_or_default();
            if state.is_err() {
                faults.insert(0, ("state", say!("page.no-state").to_owned()));
            }
            return Ok(Err((None, faults)));
        }
    };
    let reason = said.reason.unwrap_or_default();
    let done = app.register(|ledger| {
        let recorder = desk::recorder(said.person);
        register::put(ledger, &piece.described, state, &recorder, reason)
    });
    Ok(match taken(done)? {
        Some(wrong) => Err((Some(wrong), Vec::new())),
        None => Ok(()),
    })
}

/// Who records, and why.
pub struct Said<'a> {
    pub person: &'a str,
    pub reason: Option<&'a str>,
}

pub fn said(form: &Typed, with_reason: bool) -> Result<Said<'_>, Vec<Fault>> {
    let text = |key: &str| form.get(key).map_or("", |text| text.trim());
    let (person, reason) = (text("person"), with_reason.then(|| text("reason")));
    let told = |text: &str, needed: &str| match text {
        "" => Some(needed.to_owned()),
        text => one_line(text),
    };
    let wrong_reason = reason.and_then(|reason| told(reason, words::no_reason()));
    let wrong_person = told(person, words::no_person());
    let faults = [("reason", wrong_reason), ("person", wrong_person)];
    let faults = faults.into_iter();
    let faults: Vec<Fault> = faults
        .filter_map(|(field, wrong)| Some((field, wrong?)))
        .collect();
    if faults.is_empty() {
        Ok(Said { person, reason })
    } else {
        Err(faults)
    }
}

/// A form that another site's page cannot have made.
pub fn own_form(app: &App, form: &Typed) -> Result<(), String> {
    let token = form.get("token").map_or("", String::as_str);
    if same(token, &app.token) {
        return Ok(());
    }
    Err(bench_words::stale_form().to_owned())
}

/// What the register says against it, to be shown; what went wrong outside goes on.
fn taken(done: Result<(), Failure>) -> Result<Option<String>, Failure> {
    match done {
        Ok(()) => Ok(None),
        Err(Failure::Input(message)) => Ok(Some(message)),
        Err(failure) => Err(failure),
    }
}

/// The forms begin with who recorded last.
pub fn by_last_person(app: &App) -> Result<StateForm, Failure> {
    let mut form = StateForm::default();
    if let Some(person) = &app.books()?.last_person {
        form.typed.insert("person".to_owned(), person.clone());
    }
    Ok(form)
}

fn see(kind: Kind, id: &str) -> Response {
    (
        StatusCode::SEE_OTHER,
        [(header::LOCATION, page::address(kind, id))],
    )
        .into_response()
}

async fn with_piece(
    app: Arc<App>,
    kind: String,
    id: String,
    work: impl FnOnce(&App, &Registered) -> Result<Response, Failure> + Send + 'static,
) -> Response {
    blocking(app, move |app| {
        let books = app.books()?;
        let piece = kind
            .parse()
            .ok()
            .and_then(|kind| books.register.find(kind, &id));
        match piece {
            Some(piece) => work(app, piece),
            None => Ok(reply::page(StatusCode::NOT_FOUND, pages::nothing_here())),
        }
    })
    .await
}
