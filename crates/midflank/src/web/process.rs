//! The process that parts come from: capability and control chart of what is on record, on the page or as PDF.

use axum::extract::rejection::QueryRejection;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use workshop::process_on_record::{Selection, Sizes};

use super::app::{App, Shared};
use super::pages::field::Fault;
use super::pages::process::{self as page, Asked};
use super::reply::{self, look_back};
use crate::clock;
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::sheet::Printing;
use crate::report::sheet::study::StudySheet;
use crate::say;
use crate::study::recorded::{self, Settings};
use crate::study::{CONFIDENCE, COVERAGE};

/// The form, and what was found where something was asked.
pub async fn show(State(app): Shared, asked: Result<Query<Asked>, QueryRejection>) -> Response {
    answered(app, asked, |app, asked, sheet| {
        let markup = page::page(app, asked, None, &[], Some(&sheet))?;
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

/// The same as PDF.
pub async fn pdf(State(app): Shared, asked: Result<Query<Asked>, QueryRejection>) -> Response {
    answered(app, asked, |_, _, sheet| {
        let letterhead = Letterhead::read(None)?;
        Ok(reply::pdf(sheet.pdf(&letterhead, &Printing::default())?))
    })
    .await
}

async fn answered(
    app: std::sync::Arc<App>,
    asked: Result<Query<Asked>, QueryRejection>,
    show: impl FnOnce(&App, &Asked, StudySheet) -> Result<Response, Failure> + Send + 'static,
) -> Response {
    let asked = asked.map(|Query(asked)| asked).unwrap_or_default();
    look_back(app, move |app| {
        let again = |status, wrong: Option<&str>, faults: &[Fault]| {
            let markup = page::page(app, &asked, wrong, faults, None)?;
            Ok(reply::page(status, markup))
        };
        if asked.is_empty() {
            return again(StatusCode::OK, None, &[]);
        }
        let subgroup = match asked.subgroup.trim() {
            "" => Ok(None),
            text => text.parse().map(Some).map_err(drop),
        };
        let Some(subgroup) = subgroup
            .ok()
            .filter(|n| n.is_none_or(|n| (2..=25).contains(&n)))
        else {
            let fault = [("subgroup", say!("process-page.no-subgroup").to_owned())];
            return again(StatusCode::UNPROCESSABLE_ENTITY, None, &fault);
        };
        match found(app, &asked, subgroup) {
            Ok(Some(sheet)) => show(app, &asked, sheet),
            Ok(None) => again(StatusCode::OK, Some(say!("process-page.nothing")), &[]),
            Err(Failure::Input(why)) => again(StatusCode::UNPROCESSABLE_ENTITY, Some(&why), &[]),
            Err(failure) => Err(failure),
        }
    })
    .await
}

fn found(app: &App, asked: &Asked, subgroup: Option<usize>) -> Result<Option<StudySheet>, Failure> {
    let said = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
    let selection = Selection {
        part: said(&asked.part),
        lot: said(&asked.lot),
        characteristic: said(&asked.characteristic),
        number: said(&asked.number),
        empirical: false,
    };
    let of = |selection: &Selection| {
        let sizes = Sizes::from_ledger(&app.ledger, selection);
        sizes.map_err(|error| Failure::on_page(&error))
    };
    let found = match of(&selection)? {
        None => of(&page::as_recorded(app, &selection)?)?,
        found => found,
    };
    let Some(sizes) = found else {
        return Ok(None);
    };
    let settings = Settings {
        confidence: CONFIDENCE,
        coverage: COVERAGE,
        subgroup,
    };
    let (answer, taken) = recorded::answer(&sizes, &settings)?;
    let (_, sheet) = answer.on_sheet(&taken.from(), clock::now()?)?;
    Ok(Some(sheet))
}
