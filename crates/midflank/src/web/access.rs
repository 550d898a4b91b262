//! Whose browser this is: the one that opened the address which the program printed.
//!
//! Any account of this computer can speak with the loopback. So the first address carries a token that works once; it
//! gives the browser a cookie, and without that cookie there is no page, no event, no channel and no answer.

use std::sync::Arc;

use axum::Extension;
use axum::extract::{Path, Request, State};
use axum::http::header::{LOCATION, SET_COOKIE};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

use super::app::{App, Shared};
use super::connections::Connection;
use super::pages;
use super::pass::{DOOR, cookie};
use super::reply;
use crate::say;

/// The first address: gives the cookie, and goes on to the bench.
pub async fn open(
    State(app): Shared,
    method: Method,
    headers: HeaderMap,
    Path(token): Path<String>,
) -> Response {
    let to_the_bench = (StatusCode::SEE_OTHER, [(LOCATION, "/")]);
    if app.access.knows(&headers, app.port) {
        return to_the_bench.into_response();
    }
    // What only looks at an address must not use it up.
    if method != Method::GET || !app.access.admits(&token) {
        return refused();
    }
    let pass = format!(
        "{}={}; Path=/; HttpOnly; SameSite=Strict",
        cookie(app.port),
        app.access.pass
    );
    ([(SET_COOKIE, pass)], to_the_bench).into_response()
}

/// Lets only requests with the cookie go on.
pub async fn admit(
    State(app): State<Arc<App>>,
    connection: Option<Extension<Arc<Connection>>>,
    request: Request,
    next: Next,
) -> Response {
    let known = app.access.knows(request.headers(), app.port);
    if let Some(Extension(connection)) = connection.filter(|_| known) {
        connection.is_known();
    }
    if known || is_open_to_all(request.uri().path()) {
        next.run(request).await
    } else {
        refused()
    }
}

/// The door itself, and what the page behind it is drawn with.
fn is_open_to_all(path: &str) -> bool {
    path.starts_with(DOOR) || ["/bench.css", "/bench.js", "/icon.svg"].contains(&path)
}

fn refused() -> Response {
    reply::page(
        StatusCode::FORBIDDEN,
        pages::message(say!("page.not-let-in"), say!("page.not-let-in-long")),
    )
}
