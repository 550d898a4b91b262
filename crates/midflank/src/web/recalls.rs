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
use super::pages::recalls::{self as page, Asked, Begun, Marked, Typed, Wrong};
use super::pass::same;
use super::reply::{self, look_back};
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
        let all_wrong = |wrong: Vec<Wrong>, status| {
            let markup = page::list(app, &typed, &Begun::Wrong(wrong))?;
            Ok(reply::page(status, markup))
        };
        let wrong = |wrong: Wrong, status| all_wrong(vec![wrong], status);
        if !same(&typed.token, &app.token) {
            let stale = Wrong::whole(words::said(&LineRefused::StaleForm));
            return wrong(stale, StatusCode::FORBIDDEN);
        }
        let faults = faults(&typed);
        if !faults.is_empty() {
            return all_wrong(faults, StatusCode::UNPROCESSABLE_ENTITY);
        }
        let case = match recalled(app, &typed)? {
            Ok(case) => case,
            Err(why) => return wrong(why, StatusCode::UNPROCESSABLE_ENTITY),
        };
        if typed.act != page::SAVE {
            let markup = page::list(app, &typed, &Begun::Shown(case))?;
            return Ok(reply::page(StatusCode::OK, markup));
        }
        let recorder = desk::recorder(typed.person.trim());
        match app.gauge_room(|ledger| cases::save(ledger, &case, &recorder)) {
            Ok(entry) => Ok(see(&page::address_of(&entry.id().to_string()))),
            Err(error) if error.is_input() => {
                let why = Wrong::whole(words::error_on_page(&error));
                wrong(why, StatusCode::UNPROCESSABLE_ENTITY)
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

/// All fields that are missing or cannot be read, in the order of the form.
fn faults(typed: &Typed) -> Vec<Wrong> {
    let mut all = missing(typed);
    for (field, text) in [
        ("at_part", &typed.at_part),
        ("at_standard", &typed.at_standard),
        ("error", &typed.error),
    ] {
        if let (false, Err(error)) = (text.trim().is_empty(), Entered::parse(text.trim(), None)) {
            all.push(Wrong::at(field, words::said(&error)));
        }
    }
    for (field, text) in [
        ("found", &typed.found),
        ("since", &typed.since),
        ("step", &typed.step),
    ] {
        let text = text.trim();
        if !text.is_empty() && text.parse::<Date>().is_err() {
            all.push(Wrong::at(field, bench_words::no_date(text)));
        }
    }
    all.sort_by_key(|wrong| FIELDS.iter().position(|field| *field == wrong.field));
    all
}

/// All fields that are missing.
fn missing(typed: &Typed) -> Vec<Wrong> {
    let is_empty = |text: &str| text.trim().is_empty();
    let needed = |what: &str| say!("page.needed", what = what);
    let mut all = Vec::new();
    if is_empty(&typed.id) {
        all.push(Wrong::at("id", needed(say!("recall-case.id"))));
    }
    let by_error = !is_empty(&typed.error);
    match Piece::of(typed.piece.trim()) {
        Some(Piece::Instrument) if !by_error => {
            let points = [
                ("at_part", &typed.at_part),
                ("at_standard", &typed.at_standard),
            ];
            let missing = points.into_iter().filter(|(_, text)| is_empty(text));
            all.extend(missing.map(|(field, _)| Wrong::at(field, say!("recall-case.both-needed"))));
        }
        Some(piece) if !by_error && !matches!(piece, Piece::Instrument) => {
            all.push(Wrong::at("error", say!("recall-case.no-error")));
        }
        _ => {}
    }
    if is_empty(&typed.found) {
        all.push(Wrong::at("found", needed(say!("recall-case.found"))));
    }
    if typed.act == page::SAVE && is_empty(&typed.person) {
        all.push(Wrong::at("person", say!("page.no-person")));
    }
    all
}

/// The case that a form asks for, or what is wrong.
fn recalled(app: &App, typed: &Typed) -> Result<Result<Case, Wrong>, Failure> {
    let (recall, error, points) = match asked(typed) {
        Ok(asked) => asked,
        Err(wrong) => return Ok(Err(wrong)),
    };
    Ok(match cases::recalled(&recall, &app.ledger) {
        Ok(recalls) => {
            let mut case = cases::of(&recall, &error, &recalls);
            case.points = points;
            Ok(case)
        }
        Err(error) if error.is_input() => Err(Wrong::whole(words::error_on_page(&error))),
        Err(error) => return Err(Failure::on_page(&error)),
    })
}

/// What a form asks for, with the error as it is kept, and the two points that it is the difference of.
fn asked(typed: &Typed) -> Result<(Recall, String, Option<[String; 2]>), Wrong> {
    let texts = [("id", &typed.id), ("person", &typed.person)];
    for (field, text) in texts {
        if workshop::given::on_one_line(field, text).is_err() {
            return Err(Wrong::at(field, bench_words::hidden_characters()));
        }
    }
    let piece = Piece::of(typed.piece.trim()).ok_or_else(|| {
        let text = typed.piece.trim();
        Wrong::at("piece", say!("recall-case.no-piece", text = text))
    })?;
    let id = typed.id.trim();
    if id.is_empty() {
        let what = say!("recall-case.id");
        return Err(Wrong::at("id", say!("page.needed", what = what)));
    }
    let (error, kept, points) = error(piece, typed)?;
    let day = |field: &'static str, text: &str| -> Result<Option<Date>, Wrong> {
        match text.trim() {
            "" => Ok(None),
            text => match text.parse() {
                Ok(day) => Ok(Some(day)),
                Err(_) => Err(Wrong::at(field, bench_words::no_date(text))),
            },
        }
    };
    let found = day("found", &typed.found)?.ok_or_else(|| {
        let what = say!("recall-case.found");
        Wrong::at("found", say!("page.needed", what = what))
    })?;
    let history = match (typed.history.trim(), day("step", &typed.step)?) {
        ("" | page::CONSTANT, None) => History::Constant,
        (page::LINEAR, None) => History::Linear,
        (page::STEP, Some(step)) => History::Step(step),
        (page::STEP, None) => return Err(Wrong::at("step", say!("recall-case.step-needed"))),
        ("" | page::CONSTANT | page::LINEAR, Some(_)) => {
            return Err(Wrong::at("step", say!("recall-case.step-alone")));
        }
        (text, _) => {
            let wrong = say!("recall-case.no-history", text = text);
            return Err(Wrong::at("history", wrong));
        }
    };
    let recall = Recall {
        piece,
        id: id.to_owned(),
        error,
        found,
        since: day("since", &typed.since)?,
        history,
    };
    Ok((recall, kept, points))
}

/// The error: of a micrometer the difference between two points of its curve, for zero was set at one of them.
fn error(piece: Piece, typed: &Typed) -> Result<(Length, String, Option<[String; 2]>), Wrong> {
    let length = |field: &'static str, text: &str| {
        Entered::parse(text.trim(), None).map_err(|error| Wrong::at(field, words::said(&error)))
    };
    let texts = [&typed.error, &typed.at_part, &typed.at_standard].map(|text| text.trim());
    let [error, at_part, at_standard] = texts;
    if !matches!(piece, Piece::Instrument) {
        if error.is_empty() || !at_part.is_empty() || !at_standard.is_empty() {
            let (field, wrong) = if error.is_empty() {
                ("error", say!("recall-case.no-error"))
            } else {
                ("error", say!("recall-case.error-one-way"))
            };
            return Err(Wrong::at(field, wrong));
        }
        let error = length("error", error)?;
        return Ok((error.value(), error.text().to_owned(), None));
    }
    if !error.is_empty() {
        return Err(Wrong::at("error", say!("recall-case.error-of-micrometer")));
    }
    for (field, text) in [("at_part", at_part), ("at_standard", at_standard)] {
        if text.is_empty() {
            return Err(Wrong::at(field, say!("recall-case.both-needed")));
        }
    }
    let (part, standard) = (
        length("at_part", at_part)?,
        length("at_standard", at_standard)?,
    );
    let left = part.value() - standard.value();
    if left == Length::ZERO {
        return Err(Wrong::at("at_standard", say!("recall-case.no-difference")));
    }
    let kept = Entered::of(left, LengthUnit::Micrometre);
    let points = [part.text().to_owned(), standard.text().to_owned()];
    Ok((left, kept.text().to_owned(), Some(points)))
}

/// A case by the name of any of its entries.
pub async fn case(
    State(app): Shared,
    Path(name): Path<String>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    look_back(app, move |app| {
        let asked = asked.map(|Query(asked)| asked).unwrap_or_default();
        shown(app, &name, &asked, &Marked::default(), None)
    })
    .await
}

/// The page of a case, or that there is none.
fn shown(
    app: &App,
    name: &str,
    asked: &Asked,
    marked: &Marked,
    wrong: Option<&str>,
) -> Result<Response, Failure> {
    let Some((entry, case)) = named(app, name)? else {
        return Ok(reply::not_found());
    };
    let status = match wrong {
        Some(_) => StatusCode::UNPROCESSABLE_ENTITY,
        None => StatusCode::OK,
    };
    let markup = page::case(app, &entry, &case, asked, marked, wrong)?;
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
            return shown(app, &name, &asked, &marked, Some(&wrong));
        }
        let Some((entry, case)) = named(app, &name)? else {
            return Ok(reply::not_found());
        };
        match decided(app, &entry, &case, &marked) {
            Ok(made) => Ok(see(&page::address_of(&made.id().to_string()))),
            Err(Failure::Input(wrong)) => shown(app, &name, &asked, &marked, Some(&wrong)),
            Err(failure) => Err(failure),
        }
    })
    .await
}

/// Records a decision on the marked results of a case.
fn decided(app: &App, entry: &Entry, case: &Case, marked: &Marked) -> Result<Entry, Failure> {
    let text = marked.decided.trim();
    let decided = Decided::of(text).ok_or_else(|| {
        let known = Decided::EVERY.iter().map(|one| one.key().to_owned());
        let known = words::choice(known);
        Failure::input(say!("recall-case.no-decision", text = text, known = known))
    })?;
    let person = marked.person.trim();
    if person.is_empty() {
        return Err(Failure::input(say!("page.no-person")));
    }
    let results = if marked.every {
        let open = case.results.iter().map(|one| one.entry.clone());
        open.filter(|one| case.decision(one).is_none()).collect()
    } else {
        marked.results.clone()
    };
    if results.is_empty() {
        return Err(Failure::input(say!("recall-case.none-marked")));
    }
    let note = Some(marked.note.trim()).filter(|note| !note.is_empty());
    let what = words::word(&decided);
    let reason = say!("recall-case.decided", n = results.len(), what = what);
    let recorder = desk::recorder(person);
    let made = app.gauge_room(|ledger| {
        let case = entry.id().into();
        cases::decide(ledger, &case, &results, decided, note, &recorder, &reason)
    });
    made.map_err(|error| Failure::on_page(&error))
}

fn see(place: &str) -> Response {
    (
        StatusCode::SEE_OTHER,
        [(header::LOCATION, place.to_owned())],
    )
        .into_response()
}
