//! A list of equipment handed in as a file: shown row by row as it was understood, and kept when somebody says so. Nothing of it is
//! held here in between: the page that shows it carries the file, and what was shown is compared with what would be recorded.

use std::cell::Cell;
use std::path::Path;
use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::rejection::{BytesRejection, FormRejection};
use axum::extract::{Form, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use jiff::civil::Date;
use ledger::EntryId;
use serde::Deserialize;
use sha2::{Digest as _, Sha256};
use workshop::Error;
use workshop::equipment_list::{Change, List, Understood};

use super::app::{App, LineRefused, Shared};
use super::pages::equipment_list::{self as page, Mistake, Read, Shown};
use super::pass::same;
use super::reply::{self, blocking};
use super::upload::Form as Upload;
use crate::clock;
use crate::desk;
use crate::exchange::sheets::{self, Untaken};
use crate::failure::Failure;
use crate::register::{self, Added, Register};
use crate::say;
use crate::station;
use crate::words;

/// The longest form with a file, in bytes: a file that is hardly too large is told from one that nobody would send.
pub const LONGEST_UPLOAD: usize = 32 << 20;
/// The longest form that carries one back, written in four characters for three bytes.
pub const LONGEST_CARRIED: usize = page::LARGEST / 3 * 4 + (64 << 10);

/// What the form says that records a list.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    token: String,
    name: String,
    content: String,
    shown: String,
    person: String,
    reason: String,
}

pub async fn begin(State(app): Shared) -> Response {
    blocking(app, |app| {
        Ok(reply::page(
            StatusCode::OK,
            page::page(app, &Shown::default())?,
        ))
    })
    .await
}

/// Shows what is understood of a file.
pub async fn look(
    State(app): Shared,
    headers: HeaderMap,
    body: Result<Bytes, BytesRejection>,
) -> Response {
    let body = match body {
        Ok(body) => body,
        Err(rejection) => {
            let status = rejection.status();
            return refuse(app, status, words_of_size).await;
        }
    };
    blocking(app, move |app| {
        let Some(form) = Upload::of(&headers, &body) else {
            return Ok(reply::broken_form());
        };
        if !same(form.token(), &app.token) {
            let wrong = words::said(&LineRefused::StaleForm);
            return refused(app, StatusCode::FORBIDDEN, &wrong);
        }
        match form.file("list") {
            Some((name, content)) if !(name.is_empty() && content.is_empty()) => {
                understood(app, name, content)
            }
            _ => refused(
                app,
                StatusCode::UNPROCESSABLE_ENTITY,
                say!("list-page.no-file"),
            ),
        }
    })
    .await
}

/// Records all of a list that was shown, or nothing.
pub async fn keep(State(app): Shared, form: Result<Form<Typed>, FormRejection>) -> Response {
    let typed = match form {
        Ok(Form(typed)) => typed,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    blocking(app, move |app| {
        if !same(&typed.token, &app.token) {
            let wrong = words::said(&LineRefused::StaleForm);
            return refused(app, StatusCode::FORBIDDEN, &wrong);
        }
        let Ok(content) = URL_SAFE_NO_PAD.decode(&typed.content) else {
            let wrong = crate::bench::words::form_broken();
            return refused(app, StatusCode::BAD_REQUEST, wrong);
        };
        record(app, &typed, &content)
    })
    .await
}

async fn refuse(app: Arc<App>, status: StatusCode, why: fn() -> String) -> Response {
    blocking(app, move |app| refused(app, status, &why())).await
}

fn refused(app: &App, status: StatusCode, why: &str) -> Result<Response, Failure> {
    let shown = Shown {
        refused: Some(why),
        ..Shown::default()
    };
    Ok(reply::page(status, page::page(app, &shown)?))
}

fn words_of_size() -> String {
    say!("list-page.too-large", limit = page::LARGEST / 1_000_000)
}

fn understood(app: &App, name: &str, content: &[u8]) -> Result<Response, Failure> {
    let read = match read(app, name, content)? {
        Ok((_, read)) => read,
        Err(response) => return Ok(response),
    };
    let shown = Shown {
        read: Some(&read),
        ..Shown::default()
    };
    Ok(reply::page(StatusCode::OK, page::page(app, &shown)?))
}

/// The list in a file and each row beside the register, or the page that says what is wrong with it.
fn read(app: &App, name: &str, content: &[u8]) -> Result<Result<(List, Read), Response>, Failure> {
    let wrong = |mistakes: &[Mistake]| {
        let shown = Shown {
            mistakes: Some((name, mistakes)),
            ..Shown::default()
        };
        let markup = page::page(app, &shown)?;
        Ok(Err(reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup)))
    };
    if content.len() > page::LARGEST {
        return refused(app, StatusCode::PAYLOAD_TOO_LARGE, &words_of_size()).map(Err);
    }
    let is_workbook = sheets::begins_workbook(content);
    let (list, told) = match sheets::parse_equipment(Path::new(name), content.to_vec()) {
        Ok(read) => read,
        Err(Untaken::Workbook(Failure::Input(what))) => return wrong(&[Mistake::of_file(what)]),
        Err(Untaken::Workbook(failure)) => return Err(failure),
        Err(Untaken::List(error)) => return wrong(&Mistake::all(&error, is_workbook)),
    };
    let rows = match list.against(&app.books()?.register, today()?) {
        Ok(rows) => rows,
        Err(error) if error.is_input() => return wrong(&Mistake::all(&error, is_workbook)),
        Err(error) => return Err(error.into()),
    };
    let read = Read {
        name: name.to_owned(),
        told,
        shown: seen(&rows)?,
        content: URL_SAFE_NO_PAD.encode(content),
        rows,
    };
    Ok(Ok((list, read)))
}

fn today() -> Result<Date, Failure> {
    Ok(station::day(clock::now()?))
}

/// What was shown of the rows, in short: every piece as it is to be, and the entry that it replaces.
fn seen(rows: &[Understood]) -> Result<String, Failure> {
    let mut hasher = Sha256::new();
    for row in rows {
        let piece = serde_json::to_string(&row.piece).map_err(Failure::outside)?;
        hasher.update(piece.as_bytes());
        hasher.update(format!("\n{:?}\n", row.against).as_bytes());
    }
    Ok(ledger::Hash::from_bytes(hasher.finalize().into()).to_string())
}

fn record(app: &App, typed: &Typed, content: &[u8]) -> Result<Response, Failure> {
    let (list, read) = match read(app, &typed.name, content)? {
        Ok(both) => both,
        Err(response) => return Ok(response),
    };
    let again =
        |status: StatusCode, read: &Read, field: Option<&'static str>, why: Option<&str>| {
            let shown = Shown {
                read: Some(read),
                person: &typed.person,
                reason: &typed.reason,
                wrong: why.map(|why| (field, why)),
                ..Shown::default()
            };
            Ok(reply::page(status, page::page(app, &shown)?))
        };
    let (person, reason) = (typed.person.trim(), typed.reason.trim());
    let is_changed = read.rows.iter().any(|row| row.change() == Change::Changed);
    if read
        .rows
        .iter()
        .all(|row| row.change() == Change::Unchanged)
    {
        return again(StatusCode::OK, &read, None, None);
    }
    if read.shown != typed.shown {
        let why = say!("list-page.meanwhile");
        return again(StatusCode::CONFLICT, &read, None, Some(why));
    }
    let unprocessable = StatusCode::UNPROCESSABLE_ENTITY;
    if is_changed && reason.is_empty() {
        return again(
            unprocessable,
            &read,
            Some("reason"),
            Some(say!("page.no-reason")),
        );
    }
    if person.is_empty() {
        return again(
            unprocessable,
            &read,
            Some("person"),
            Some(say!("page.no-person")),
        );
    }
    for (field, text) in [("person", person), ("reason", reason)] {
        let told = workshop::given::on_one_line(field, text);
        if let Some(wrong) = told.err().filter(|_| !text.is_empty()) {
            return again(
                unprocessable,
                &read,
                Some(field),
                Some(&words::said(&wrong)),
            );
        }
    }
    let today = today()?;
    let went_on = Cell::new(false);
    let mut added = Vec::new();
    app.register(|ledger| {
        // The register may have gone on since it was read here: then nothing is recorded that nobody saw.
        let pieces = |register: &Register| {
            let rows = list.against(register, today)?;
            let is_as_shown = seen(&rows).is_ok_and(|seen| seen == typed.shown);
            went_on.set(!is_as_shown);
            let pieces = rows.into_iter().map(|row| row.piece);
            Ok::<_, Error>(pieces.filter(|_| is_as_shown).collect())
        };
        let reason = is_changed.then_some(reason);
        added = register::add_by(ledger, pieces, &desk::recorder(person), reason)?;
        Ok(Vec::new())
    })?;
    if went_on.get() {
        return match self::read(app, &typed.name, content)? {
            Ok((_, read)) => again(
                StatusCode::CONFLICT,
                &read,
                None,
                Some(say!("list-page.meanwhile")),
            ),
            Err(response) => Ok(response),
        };
    }
    let entries: Vec<EntryId> = added.iter().map(entry_of).collect();
    let markup = page::kept(&read, &entries);
    Ok(reply::page(StatusCode::OK, markup))
}

const fn entry_of(added: &Added) -> EntryId {
    match added {
        Added::New(now) | Added::Changed { now, .. } => now.entry,
        Added::Unchanged(piece) => piece.entry,
    }
}
