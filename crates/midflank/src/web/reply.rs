//! Answers of the server that are the same for every page.

use std::sync::Arc;

use axum::extract::rejection::FormRejection;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use maud::Markup;

use super::app::App;
use super::locale::comma_wanted;
use super::pages;
use crate::bench::{View, words};
use crate::failure::Failure;
use crate::output::warn;
use crate::words::number;

/// Whether our script asks. Another site's page cannot send this header unasked.
pub fn is_fragment(headers: &HeaderMap) -> bool {
    headers.contains_key("x-fragment")
}

pub fn page(status: StatusCode, markup: Markup) -> Response {
    (
        status,
        [(header::CONTENT_TYPE, "text/html; charset=utf-8")],
        markup.into_string(),
    )
        .into_response()
}

/// The page, or that there is nothing at this address.
pub fn found(markup: Option<Markup>) -> Response {
    markup.map_or_else(not_found, |markup| page(StatusCode::OK, markup))
}

/// After a post, so that a reload does not send it again.
pub fn redirect(job: Option<u64>, view: Option<View>) -> Response {
    let mut place = job.map_or_else(|| "/".to_owned(), |job| format!("/job/{job}"));
    if let Some(view) = view {
        place += "?show=";
        place += view.word();
    }
    (StatusCode::SEE_OTHER, [(header::LOCATION, place)]).into_response()
}

pub fn asset(kind: &'static str, content: &'static str) -> Response {
    (
        [
            (header::CONTENT_TYPE, format!("{kind}; charset=utf-8")),
            (header::CACHE_CONTROL, "no-cache".to_owned()),
        ],
        content,
    )
        .into_response()
}

/// A report to be kept.
pub fn pdf(bytes: Vec<u8>) -> Response {
    let kind = [
        (header::CONTENT_TYPE, "application/pdf"),
        (header::CACHE_CONTROL, "no-cache"),
    ];
    (kind, bytes).into_response()
}

pub fn not_found() -> Response {
    page(StatusCode::NOT_FOUND, pages::nothing_here())
}

/// A form that is not one of ours, or too long.
pub fn refused_form(rejection: &FormRejection) -> Response {
    let status = rejection.status();
    let why = if status == StatusCode::PAYLOAD_TOO_LARGE {
        words::form_too_long()
    } else {
        words::form_broken()
    };
    page(status, pages::message(words::not_taken(), why))
}

/// A form that was cut off, or is none of ours.
pub fn broken_form() -> Response {
    let told = pages::message(words::not_taken(), words::form_broken());
    page(StatusCode::BAD_REQUEST, told)
}

pub fn failed() -> Response {
    page(
        StatusCode::INTERNAL_SERVER_ERROR,
        pages::message(words::not_taken(), words::failed()),
    )
}

/// Runs what waits for the disk beside the tasks that must not wait. What goes wrong is told where the program runs;
/// the page only says that it did.
pub async fn blocking(
    app: Arc<App>,
    work: impl FnOnce(&App) -> Result<Response, Failure> + Send + 'static,
) -> Response {
    let comma = comma_wanted();
    let done = tokio::task::spawn_blocking(move || number::on_page(comma, || work(&app))).await;
    match done {
        Ok(Ok(response)) => response,
        Ok(Err(failure)) => {
            warn(&failure.to_string());
            failed()
        }
        Err(error) => {
            warn(&error.to_string());
            failed()
        }
    }
}

/// Runs what reads many records, in its turn.
pub async fn look_back(
    app: Arc<App>,
    work: impl FnOnce(&App) -> Result<Response, Failure> + Send + 'static,
) -> Response {
    let turn = app.turn_to_look_back().await;
    blocking(app, move |app| {
        let _turn = turn;
        work(app)
    })
    .await
}
