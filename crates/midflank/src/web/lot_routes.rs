//! The addresses of lots.

use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::civil::Date;
use metrology::sampling::Severity;
use workshop::lots::{self, Begin};

use super::app::{App, Shared};
use super::form::recorded;
use super::pages::lots::{self as page, Typed};
use super::reply::{self, look_back};
use crate::desk;
use crate::failure::Failure;
use crate::say;

/// All lots.
pub async fn list(State(app): Shared) -> Response {
    look_back(app, |app| {
        let markup = page::list(app, &Typed::default(), None)?;
        Ok(reply::page(StatusCode::OK, markup))
    })
    .await
}

pub async fn lot(State(app): Shared, Path(number): Path<String>) -> Response {
    look_back(app, move |app| {
        let (status, markup) = page::page(app, &number)?;
        Ok(reply::page(status, markup))
    })
    .await
}

/// Begins a lot, or shows the form again with what is wrong.
pub async fn begin(State(app): Shared, form: Result<Form<Typed>, FormRejection>) -> Response {
    recorded(
        app,
        form,
        |typed| &typed.token,
        |app, typed| begun(app, typed).map(|number| page::address_of(&number)),
        |app, typed, wrong| page::list(app, typed, Some(wrong)),
    )
    .await
}

fn day(text: &str) -> Result<Date, Failure> {
    text.parse()
        .map_err(|_| Failure::input(say!("jobfile.no-date", text = text)))
}

fn begun(app: &App, typed: &Typed) -> Result<String, Failure> {
    let optional = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
    let Some(person) = optional(&typed.person) else {
        return Err(Failure::input(say!("page.no-person")));
    };
    let size = match optional(&typed.size).map(|text| text.parse::<u64>()) {
        None => None,
        Some(Ok(size)) => Some(size),
        Some(Err(_)) => {
            return Err(Failure::input(say!(
                "lots.no-count",
                text = typed.size.trim()
            )));
        }
    };
    let severity = match optional(&typed.severity).map(|text| Severity::parse(&text)) {
        None => None,
        Some(Ok(severity)) => Some(severity),
        Some(Err(error)) => return Err(Failure::on_page(&workshop::Error::input(error))),
    };
    let received = optional(&typed.received)
        .map(|text| day(&text))
        .transpose()?;
    let asked = Begin {
        number: typed.number.trim().to_owned(),
        plan: typed.plan.trim().to_owned(),
        size,
        severity,
        resubmits: optional(&typed.resubmits),
        customer: optional(&typed.customer),
        order: optional(&typed.order),
        received,
        condition: optional(&typed.condition),
    };
    let texts = [&asked.number, &person].into_iter();
    let texts = texts.chain(&asked.customer).chain(&asked.order);
    let texts = texts.chain(&asked.condition);
    for text in texts {
        if workshop::given::on_one_line("lot", text).is_err() {
            return Err(Failure::input(say!("lots.no-line")));
        }
    }
    let begun = lots::begin(&app.ledger, &asked, &desk::recorder(&person));
    let lot = begun.map_err(|error| Failure::on_page(&error))?;
    Ok(lot.begun.number)
}
