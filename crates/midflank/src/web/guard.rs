//! Who may speak with the bench: this computer, by its own pages. Set once, before any page.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, HeaderName, ORIGIN, REFERRER_POLICY,
    X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::app::App;
use crate::say;

/// Nothing from elsewhere, nothing inline, in nobody's frame.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// The longest body taken, in bytes.
pub const LONGEST_BODY: usize = 16 << 10;

/// Refuses foreign hosts and origins, and puts the headers of safety on every answer.
pub async fn guard(State(app): State<Arc<App>>, request: Request, next: Next) -> Response {
    let mut response = match refuse(&request, app.port) {
        Some(refused) => refused.into_response(),
        None => next.run(request).await,
    };
    let headers = response.headers_mut();
    for (name, value) in [
        (CONTENT_SECURITY_POLICY, POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (X_FRAME_OPTIONS, "DENY"),
        // Not `no-referrer`: with it a browser calls the origin of our own plain form posts `null`.
        (REFERRER_POLICY, "same-origin"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    // A page of the bench is never shown from a store: it would show a job as it was.
    headers
        .entry(CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    response
}

fn refuse(request: &Request, port: u16) -> Option<(StatusCode, &'static str)> {
    let headers = request.headers();
    if !is_own_host(headers, port) {
        return Some((StatusCode::MISDIRECTED_REQUEST, say!("guard.other-host")));
    }
    if let Some(origin) = headers.get(ORIGIN)
        && !is_own_origin(origin, port)
    {
        return Some((StatusCode::FORBIDDEN, say!("guard.other-site")));
    }
    // Browsers say where a request came from; another site may at most lead here.
    let site = headers.get("sec-fetch-site").map(HeaderValue::as_bytes);
    let foreign = matches!(site, Some(b"cross-site" | b"same-site"));
    let leads = request.method() == Method::GET
        && headers.get("sec-fetch-mode").map(HeaderValue::as_bytes) == Some(b"navigate");
    (foreign && !leads).then_some((StatusCode::FORBIDDEN, say!("guard.other-site")))
}

fn names(port: u16) -> [String; 2] {
    [format!("127.0.0.1:{port}"), format!("localhost:{port}")]
}

/// Exactly one host, and ours: a name that someone else points at this computer is not.
fn is_own_host(headers: &HeaderMap, port: u16) -> bool {
    let mut hosts = headers.get_all(HOST).iter();
    match (hosts.next(), hosts.next()) {
        (Some(host), None) => names(port)
            .iter()
            .any(|name| host.as_bytes().eq_ignore_ascii_case(name.as_bytes())),
        _ => false,
    }
}

fn is_own_origin(origin: &HeaderValue, port: u16) -> bool {
    names(port)
        .iter()
        .any(|name| origin.as_bytes() == format!("http://{name}").as_bytes())
}
