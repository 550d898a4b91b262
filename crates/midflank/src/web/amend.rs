//! A record put right from its own page: withdrawn, or measured anew by a job file.

use std::path::Path as FilePath;

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use ledger::{Draft, Entry};
use metrology::inspection::{Job, inspect};

use super::app::{App, Shared};
use super::form::Untaken;
use super::pages::amend::{self as page, Asked};
use super::pages::field::{Fault, one_line};
use super::pass::same;
use super::reply::{self, blocking, found};
use super::words;
use crate::amending::{self, Anew};
use crate::bench::words as bench_words;
use crate::document::Inspected;
use crate::failure::Failure;
use crate::job_file;
use crate::record;
use crate::register::Shelf;
use crate::say;

/// What the text of a job is called where it is complained of.
const JOB: &str = "job.toml";

pub async fn form(State(app): Shared, Path(id): Path<String>) -> Response {
    blocking(app, move |app| {
        let asked = Asked {
            person: app.books()?.last_person.clone().unwrap_or_default(),
            ..Asked::default()
        };
        Ok(found(page::page(app, &id, &asked, None, &[])?))
    })
    .await
}

/// Records the amendment, or shows the form again with what is wrong and all that was typed.
pub async fn keep(
    State(app): Shared,
    Path(id): Path<String>,
    form: Result<Form<Asked>, FormRejection>,
) -> Response {
    let asked = match form {
        Ok(Form(asked)) => asked,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    blocking(app, move |app| {
        let Some(old) = super::pages::record::named(app, &id)? else {
            return Ok(reply::not_found());
        };
        let (wrong, faults) = match amend(app, &old, &asked)? {
            Ok(new) => {
                let place = format!("/record/{}", new.id());
                return Ok((StatusCode::SEE_OTHER, [(header::LOCATION, place)]).into_response());
            }
            Err(wrong) => wrong,
        };
        let again = page::page(app, &id, &asked, wrong.as_deref(), &faults)?;
        Ok(again.map_or_else(reply::not_found, |markup| {
            reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup)
        }))
    })
    .await
}

/// The entry that was recorded, or what is wrong with the form.
fn amend(app: &App, old: &Entry, asked: &Asked) -> Result<Result<Entry, Untaken>, Failure> {
    if !same(&asked.token, &app.token) {
        let stale = bench_words::stale_form().to_owned();
        return Ok(Err((Some(stale), Vec::new())));
    }
    if let Err(error) = record::intact(old) {
        return match Failure::from(error) {
            Failure::Input(wrong) => Ok(Err((Some(wrong), Vec::new()))),
            failure => Err(failure),
        };
    }
    let (reason, person) = (asked.reason.trim(), asked.person.trim());
    let told = |text: &str, missing: &str| match text {
        "" => Some(missing.to_owned()),
        text => one_line(text),
    };
    let wrong_reason = told(reason, say!("page.amend-no-reason"));
    let wrong_person = told(person, words::no_person());
    let made = draft(app, old, asked, person);
    let (draft, wrong_job) = match made {
        Ok(draft) => (Some(draft), None),
        Err(Failure::Input(wrong)) => (None, Some(wrong)),
        Err(failure) => return Err(failure),
    };
    let faults = [
        ("reason", wrong_reason),
        ("person", wrong_person),
        ("job", wrong_job),
    ];
    let faults = faults.into_iter();
    let faults: Vec<Fault> = faults
        .filter_map(|(field, wrong)| Some((field, wrong?)))
        .collect();
    let Some(draft) = draft.filter(|_| faults.is_empty()) else {
        return Ok(Err((None, faults)));
    };
    match app.amend(old, reason, draft) {
        Ok(entry) => Ok(Ok(entry)),
        Err(Failure::Input(wrong)) => Ok(Err((Some(wrong), Vec::new()))),
        Err(failure) => Err(failure),
    }
}

/// What is to stand in the place of an entry.
fn draft(app: &App, old: &Entry, asked: &Asked, person: &str) -> Result<Draft, Failure> {
    if asked.job.trim().is_empty() {
        return amending::withdrawal(old, person);
    }
    let file = FilePath::new(JOB);
    let anew = Anew {
        file,
        other_part: !asked.other_part.is_empty(),
        how_other_part: say!("page.amend-other-part-how"),
        ledger: &app.ledger,
    };
    let shelf = Shelf::beside(app.ledger.path());
    let measured = amending::measured(&app.ledger, old)?;
    let read = |clock| Ok(job_file::parse(file, &asked.job, clock, &shelf)?);
    anew.draft(&measured, person, read, compute)
}

fn compute(job: &Job) -> Result<Inspected, Failure> {
    let result = inspect(job).map_err(|error| Failure::refused(&error))?;
    Ok(Inspected::of(job, &result))
}
