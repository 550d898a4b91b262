//! A record put right from its own page: withdrawn, or measured anew by a job file.

use std::path::Path as FilePath;

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use ledger::Entry;
use metrology::inspection::{Job, inspect};

use super::app::{App, Shared};
use super::pages::amend::{self as page, Asked, Wrong};
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
        Ok(found(page::page(app, &id, &asked, None)?))
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
        let wrong = match amend(app, &old, &asked) {
            Ok(new) => {
                let place = format!("/record/{}", new.id());
                return Ok((StatusCode::SEE_OTHER, [(header::LOCATION, place)]).into_response());
            }
            Err(Refused::Form(wrong)) => wrong,
            Err(Refused::Failed(Failure::Input(message))) => Wrong { field: "", message },
            Err(Refused::Failed(failure)) => return Err(failure),
        };
        let again = page::page(app, &id, &asked, Some(&wrong))?;
        Ok(again.map_or_else(reply::not_found, |markup| {
            reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup)
        }))
    })
    .await
}

/// Why nothing was recorded.
enum Refused {
    /// Something in the form.
    Form(Wrong),
    Failed(Failure),
}

impl<E: Into<Failure>> From<E> for Refused {
    fn from(failure: E) -> Self {
        Self::Failed(failure.into())
    }
}

fn amend(app: &App, old: &Entry, asked: &Asked) -> Result<Entry, Refused> {
    let wrong = |field, message: &str| {
        Refused::Form(Wrong {
            field,
            message: message.to_owned(),
        })
    };
    if !same(&asked.token, &app.token) {
        return Err(wrong("", bench_words::stale_form()));
    }
    let (reason, person) = (asked.reason.trim(), asked.person.trim());
    for (field, text, missing) in [
        ("reason", reason, say!("page.amend-no-reason")),
        ("person", person, words::no_person()),
    ] {
        if text.is_empty() {
            return Err(wrong(field, missing));
        }
        if crate::given::on_one_line(field, text).is_err() {
            return Err(wrong(field, bench_words::hidden_characters()));
        }
    }
    record::intact(old).map_err(Failure::from)?;
    let draft = if asked.job.trim().is_empty() {
        amending::withdrawal(old, person)?
    } else {
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
        let drafted = anew.draft(&measured, person, read, compute);
        drafted.map_err(|failure| match failure {
            Failure::Input(message) => wrong("job", &message),
            failure => Refused::Failed(failure),
        })?
    };
    Ok(app.amend(old, reason, draft)?)
}

fn compute(job: &Job) -> Result<Inspected, Failure> {
    let result = inspect(job).map_err(|error| Failure::refused(&error))?;
    Ok(Inspected::of(job, &result))
}
