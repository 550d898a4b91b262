//! The addresses of recalls: the cases, one of them with its decisions, and the form that begins one. What is recalled, saved and
//! decided is judged as for the command line.

use axum::extract::rejection::{FormRejection, QueryRejection};
use axum::extract::{Form, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use jiff::civil::Date;
use ledger::{Entry, EntryRef};
use metrology::units::{Entered, Length, LengthUnit};
use workshop::gauge_record::case::{Case, Decided};
use workshop::gauge_room::case as cases;
use workshop::recall::{History, Piece, Recall};

use super::app::{App, LineRefused, Shared};
use super::form::Untaken;
use super::pages::field::{Fault, in_order, needed, one_line};
use super::pages::recalls::{self as page, Asked, Begun, Marked, Typed};
use super::pass::same;
use super::reply::{self, look_back};
use super::words as own_words;
use crate::bench::words as bench_words;
use crate::desk;
use crate::failure::Failure;
use crate::say;
use crate::words;

/// All cases, and the form; a piece in the address stands in it already.
pub async fn list(State(app): Shared, asked: Result<Query<Typed>, QueryRejection>) -> Response {
    look_back(app, move |app| {
        let typed = asked.map(|Query(typed)| typed).unwrap_or_default();
        let markup = page::list(app, &typed, &Begun::Nothing)?;
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

/// Shows what a recall lists, or saves it as a case; shows the form again with what is wrong.
pub async fn begin(State(app): Shared, form: Result<Form<Typed>, FormRejection>) -> Response {
    let typed = match form {
        Ok(Form(typed)) => typed,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    look_back(app, move |app| {
        let wrong = |whole: Option<String>, faults: Vec<Fault>, status| {
            let markup = page::list(app, &typed, &Begun::Wrong(whole, faults))?;
            Ok(reply::page(status, markup))
        };
        if !same(&typed.token, &app.token) {
            let stale = words::said(&LineRefused::StaleForm);
            return wrong(Some(stale), Vec::new(), StatusCode::FORBIDDEN);
        }
        let case = match recalled(app, &typed)? {
            Ok(case) => case,
            Err((whole, faults)) => {
                return wrong(whole, faults, StatusCode::UNPROCESSABLE_ENTITY);
            }
        };
        if typed.act != page::SAVE {
            let markup = page::list(app, &typed, &Begun::Shown(case))?;
            return Ok(reply::page(StatusCode::OK, markup));
        }
        let recorder = desk::recorder(typed.person.trim());
        match app.gauge_room(|ledger| cases::save(ledger, &case, &recorder)) {
            Ok(entry) => Ok(see(&page::address_of(&entry.id().to_string()))),
            Err(error) if error.is_input() => {
                let whole = words::error_on_page(&error);
                wrong(Some(whole), Vec::new(), StatusCode::UNPROCESSABLE_ENTITY)
            }
            Err(error) => Err(Failure::on_page(&error)),
        }
    })
    .await
}

/// The fields of the form, in their order.
const FIELDS: [&str; 10] = [
    "piece",
    "id",
    "at_part",
    "at_standard",
    "error",
    "found",
    "since",
    "history",
    "step",
    "person",
];

/// The case that a form asks for, or what is wrong.
fn recalled(app: &App, typed: &Typed) -> Result<Result<Case, Untaken>, Failure> {
    let (recall, error, points) = match asked(typed) {
        Ok(asked) => asked,
        Err(faults) => return Ok(Err((None, faults))),
    };
    Ok(match cases::recalled(&recall, &app.ledger) {
        Ok(recalls) => {
            let mut case = cases::of(&recall, &error, &recalls);
            case.points = points;
            Ok(case)
        }
        Err(error) if error.is_input() => {
            let told = words::error_on_page(&error);
            Err(match field_of(&error) {
                Some(field) => (None, vec![(field, told)]),
                None => (Some(told), Vec::new()),
            })
        }
        Err(error) => return Err(Failure::on_page(&error)),
    })
}

/// The field that a recall is refused for.
fn field_of(error: &workshop::Error) -> Option<&'static str> {
    let workshop::Error::Input(why) = error else {
        return None;
    };
    match why.message.key() {
        "never-used" => Some("id"),
        "since-after-found" | "no-check" => Some("since"),
        "found-in-future" => Some("found"),
        "step-outside" | "step-after-found" => Some("step"),
        _ => None,
    }
}

/// What is recalled, with the error as it is kept, and the two points that it is the difference of.
type Recalled = (Recall, String, Option<[String; 2]>);

/// What a form asks for, or all of its fields that are missing or wrong.
fn asked(typed: &Typed) -> Result<Recalled, Vec<Fault>> {
    let mut faults: Vec<Fault> = Vec::new();
    let text = typed.piece.trim();
    let piece = Piece::of(text);
    if piece.is_none() {
        faults.push(("piece", say!("recall-case.no-piece", text = text)));
    }
    let id = typed.id.trim();
    faults.extend(needed(say!("recall-case.id"), id).map(|wrong| ("id", wrong)));
    let person = match typed.person.trim() {
        "" if typed.act == page::SAVE => Some(say!("page.no-person").to_owned()),
        person => one_line(person),
    };
    faults.extend(person.map(|wrong| ("person", wrong)));
    let error = piece.map(|piece| error(piece, typed));
    let error = error.and_then(|error| error.map_err(|wrong| faults.extend(wrong)).ok());
    let mut day = |field: &'static str, text: &str| -> Option<Date> {
        let text = text.trim();
        let day = text.parse().ok();
        if day.is_none() && !text.is_empty() {
            faults.push((field, bench_words::no_date(text)));
        }
        day
    };
    let found = day("found", &typed.found);
    let since = day("since", &typed.since);
    let step = day("step", &typed.step);
    if typed.found.trim().is_empty() {
        faults.push(("found", own_words::needed(say!("recall-case.found"))));
    }
    let history = match (typed.history.trim(), typed.step.trim()) {
        (page::STEP, "") => Err(("step", say!("recall-case.step-needed").to_owned())),
        (page::STEP, _) => Ok(step.map(History::Step)),
        ("" | page::CONSTANT, "") => Ok(Some(History::Constant)),
        (page::LINEAR, "") => Ok(Some(History::Linear)),
        ("" | page::CONSTANT | page::LINEAR, _) => {
            Err(("step", say!("recall-case.step-alone").to_owned()))
        }
        (text, _) => Err(("history", say!("recall-case.no-history", text = text))),
    };
    let history = history.map_err(|wrong| faults.push(wrong)).ok().flatten();
    match (piece, error, found, history) {
        (Some(piece), Some((error, kept, points)), Some(found), Some(history))
            if faults.is_empty() =>
        {
            let recall = Recall {
                piece,
                id: id.to_owned(),
                error,
                found,
                since,
                history,
            };
            Ok((recall, kept, points))
        }
        _ => Err(in_order(faults, &FIELDS)),
    }
}

/// An error as a length, as it is kept, and the two points that it is the difference of.
type OfError = (Length, String, Option<[String; 2]>);

/// The error: of a micrometer the difference between two points of its curve, for zero was set at one of them.
fn error(piece: Piece, typed: &Typed) -> Result<OfError, Vec<Fault>> {
    let mut faults = Vec::new();
    let of_micrometer = matches!(piece, Piece::Instrument);
    let texts = [&typed.error, &typed.at_part, &typed.at_standard].map(|text| text.trim());
    let [of_piece, at_part, at_standard] = texts;
    if of_micrometer && !of_piece.is_empty() {
        faults.push(("error", say!("recall-case.error-of-micrometer").to_owned()));
        return Err(faults);
    }
    let mut length = |field: &'static str, text: &str, of_it: bool, none: &str, other: &str| {
        if of_it == text.is_empty() {
            let wrong = if of_it { none } else { other };
            faults.push((field, wrong.to_owned()));
        }
        let length = Entered::parse(text, None);
        let wrong = length.as_ref().err().filter(|_| !text.is_empty());
        faults.extend(wrong.map(|error| (field, words::said(error))));
        length.ok()
    };
    let (both, one) = (
        say!("recall-case.both-needed"),
        say!("recall-case.error-one-way"),
    );
    let error = length(
        "error",
        of_piece,
        !of_micrometer,
        say!("recall-case.no-error"),
        one,
    );
    let part = length("at_part", at_part, of_micrometer, both, one);
    let standard = length("at_standard", at_standard, of_micrometer, both, one);
    match (error, part, standard) {
        _ if !faults.is_empty() => Err(faults),
        (Some(error), None, None) => Ok((error.value(), error.text().to_owned(), None)),
        (None, Some(part), Some(standard)) => {
            let left = part.value() - standard.value();
            if left == Length::ZERO {
                let wrong = say!("recall-case.no-difference");
                return Err(vec![("at_standard", wrong.to_owned())]);
            }
            let kept = Entered::of(left, LengthUnit::Micrometre);
            let points = [part.text().to_owned(), standard.text().to_owned()];
            Ok((left, kept.text().to_owned(), Some(points)))
        }
        _ => Err(faults),
    }
}

/// A case by the name of any of its entries.
pub async fn case(
    State(app): Shared,
    Path(name): Path<String>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    look_back(app, move |app| {
        let asked = asked.map(|Query(asked)| asked).unwrap_or_default();
        shown(app, &name, &asked, &Marked::default(), NONE)
    })
    .await
}

/// Nothing is wrong.
const NONE: Untaken = (None, Vec::new());

/// The page of a case, or that there is none.
fn shown(
    app: &App,
    name: &str,
    asked: &Asked,
    marked: &Marked,
    (wrong, faults): Untaken,
) -> Result<Response, Failure> {
    let Some((entry, case)) = named(app, name)? else {
        return Ok(reply::not_found());
    };
    let status = if wrong.is_none() && faults.is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    let wrong = wrong.as_deref();
    let markup = page::case(app, &entry, &case, asked, marked, wrong, &faults)?;
    Ok(reply::page(status, markup))
}

fn named(app: &App, name: &str) -> Result<Option<(ledger::Entry, Case)>, Failure> {
    let Ok(name) = name.parse::<EntryRef>() else {
        return Ok(None);
    };
    match cases::latest(&app.ledger, &name) {
        Ok(found) => Ok(Some(found)),
        Err(error) if error.is_input() => Ok(None),
        Err(workshop::Error::Ledger(
            ledger::Error::NoSuchEntry { .. } | ledger::Error::Ambiguous { .. },
        )) => Ok(None),
        Err(error) => Err(Failure::on_page(&error)),
    }
}

/// Records a decision on the marked results, or shows the page again with what is wrong.
pub async fn decide(
    State(app): Shared,
    Path(name): Path<String>,
    form: Result<Form<Vec<(String, String)>>, FormRejection>,
) -> Response {
    let marked = match form {
        Ok(Form(fields)) => Marked::of(fields),
        Err(rejection) => return reply::refused_form(&rejection),
    };
    look_back(app, move |app| {
        let asked = Asked::default();
        if !same(&marked.token, &app.token) {
            let wrong = words::said(&LineRefused::StaleForm);
            return shown(app, &name, &asked, &marked, (Some(wrong), Vec::new()));
        }
        let Some((entry, case)) = named(app, &name)? else {
            return Ok(reply::not_found());
        };
        match decided(app, &entry, &case, &marked)? {
            Ok(made) => Ok(see(&page::address_of(&made.id().to_string()))),
            Err(wrong) => shown(app, &name, &asked, &marked, wrong),
        }
    })
    .await
}

/// Records a decision on the marked results of a case, or gives what is wrong.
fn decided(
    app: &App,
    entry: &Entry,
    case: &Case,
    marked: &Marked,
) -> Result<Result<Entry, Untaken>, Failure> {
    let mut faults: Vec<Fault> = Vec::new();
    let results: Vec<String> = if marked.every {
        let open = case.results.iter().map(|one| one.entry.clone());
        open.filter(|one| case.decision(one).is_none()).collect()
    } else {
        marked.results.clone()
    };
    if results.is_empty() {
        faults.push((page::RESULT, say!("recall-case.none-marked").to_owned()));
    }
    let text = marked.decided.trim();
    let decided = Decided::of(text);
    if decided.is_none() {
        let known = Decided::EVERY.iter().map(|one| one.key().to_owned());
        let known = words::choice(known);
        let wrong = say!("recall-case.no-decision", text = text, known = known);
        faults.push(("decided", wrong));
    }
    let person = marked.person.trim();
    let wrong = match person {
        "" => Some(say!("page.no-person").to_owned()),
        person => one_line(person),
    };
    faults.extend(wrong.map(|wrong| ("person", wrong)));
    faults.extend(one_line(&marked.note).map(|wrong| ("note", wrong)));
    let Some(decided) = decided.filter(|_| faults.is_empty()) else {
        return Ok(Err((None, faults)));
    };
    let note = Some(marked.note.trim()).filter(|note| !note.is_empty());
    let what = words::word(&decided);
    let reason = say!("recall-case.decided", n = results.len(), what = what);
    let recorder = desk::recorder(person);
    let made = app.gauge_room(|ledger| {
        let case = entry.id().into();
        cases::decide(ledger, &case, &results, decided, note, &recorder, &reason)
    });
    match made {
        Ok(made) => Ok(Ok(made)),
        Err(error) if error.is_input() => {
            let told = words::error_on_page(&error);
            let of_note =
                matches!(&error, workshop::Error::Input(why) if why.message.key() == "not-good");
            Ok(Err(if of_note {
                (None, vec![("note", told)])
            } else {
                (Some(told), Vec::new())
            }))
        }
        Err(error) => Err(Failure::on_page(&error)),
    }
}

fn see(place: &str) -> Response {
    (
        StatusCode::SEE_OTHER,
        [(header::LOCATION, place.to_owned())],
    )
        .into_response()
}
