//! A form that records: it leads on to a page, or is shown again with what is wrong and all that was typed.

use std::sync::Arc;

use axum::extract::Form;
use axum::extract::rejection::FormRejection;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use maud::Markup;

use super::app::{App, LineRefused};
use super::pages::field::Fault;
use super::pass::same;
use super::reply::{self, blocking};
use crate::failure::Failure;
use crate::words;

/// What is wrong with a form: as a whole, and at its fields in their order.
pub type Untaken = (Option<String>, Vec<Fault>);

/// Records what a form says; `record` gives the place it leads to, and wrong input is shown by `again`.
pub async fn recorded<T: Send + 'static>(
    app: Arc<App>,
    form: Result<Form<T>, FormRejection>,
    token: impl Fn(&T) -> &str + Send + 'static,
    record: impl Fn(&App, &T) -> Result<String, Failure> + Send + 'static,
    again: impl Fn(&App, &T, &str) -> Result<Markup, Failure> + Send + 'static,
) -> Response {
    let typed = match form {
        Ok(Form(typed)) => typed,
        Err(rejection) => return reply::refused_form(&rejection),
    };
    blocking(app, move |app| {
        if !same(token(&typed), &app.token) {
            let wrong = words::said(&LineRefused::StaleForm);
            let markup = again(app, &typed, &wrong)?;
            return Ok(reply::page(StatusCode::FORBIDDEN, markup));
        }
        match record(app, &typed) {
            Ok(place) => Ok((StatusCode::SEE_OTHER, [(header::LOCATION, place)]).into_response()),
            Err(Failure::Input(wrong)) => {
                let markup = again(app, &typed, &wrong)?;
                Ok(reply::page(StatusCode::UNPROCESSABLE_ENTITY, markup))
            }
            Err(failure) => Err(failure),
        }
    })
    .await
}

/// Refuses what has a wrong field; the form says each of them.
pub fn none_wrong(faults: Vec<Fault>) -> Result<(), Failure> {
    match faults.into_iter().next() {
        None => Ok(()),
        Some((_, wrong)) => Err(Failure::Input(wrong)),
    }
}
