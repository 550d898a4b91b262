//! Numbers as the reader's country writes them: with a decimal comma, where the browser asks for a language that has one.
//!
//! Which sign a request wants is known to the task that answers it; whoever makes its page runs under
//! [`number::on_page`](crate::words::number::on_page).

use axum::extract::Request;
use axum::http::header::{ACCEPT_LANGUAGE, VARY};
use axum::http::{HeaderMap, HeaderValue};
use axum::middleware::Next;
use axum::response::Response;

tokio::task_local! {
    static COMMA_WANTED: bool;
}

/// Languages that write a decimal comma (Unicode CLDR, from memory); some countries among them do otherwise.
const COMMA: &[&str] = &[
    "bg", "ca", "cs", "da", "de", "el", "es", "et", "eu", "fi", "fr", "gl", "hr", "hu", "id", "is",
    "it", "lt", "lv", "nb", "nl", "nn", "no", "pl", "pt", "ro", "ru", "sk", "sl", "sr", "sv", "tr",
    "uk", "vi",
];
/// Countries that write a point though their language has a comma elsewhere (Unicode CLDR, from memory).
const POINT: &[&str] = &[
    "de-ch", "de-li", "it-ch", "es-mx", "es-us", "es-gt", "es-hn", "es-ni", "es-pa", "es-pe",
    "es-pr", "es-sv", "es-do",
];

/// Whether the first language that the reader asks for has a decimal comma.
pub fn wants_comma(headers: &HeaderMap) -> bool {
    let asked = headers
        .get(ACCEPT_LANGUAGE)
        .and_then(|value| value.to_str().ok());
    let first = asked.and_then(|asked| asked.split([',', ';']).next());
    let tag = first.unwrap_or_default().trim().to_lowercase();
    let language = tag.split('-').next().unwrap_or_default();
    COMMA.contains(&language) && !POINT.contains(&tag.as_str())
}

/// Whether the request that is answered now wants a comma.
pub fn comma_wanted() -> bool {
    COMMA_WANTED.try_with(|comma| *comma).unwrap_or_default()
}

/// Notes which sign a request wants.
pub async fn decimal_sign(request: Request, next: Next) -> Response {
    let comma = wants_comma(request.headers());
    let mut response = COMMA_WANTED.scope(comma, next.run(request)).await;
    response
        .headers_mut()
        .insert(VARY, HeaderValue::from_static("accept-language"));
    response
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn by_the_first_language() {
        let wants = |language: &'static str| {
            let mut headers = HeaderMap::new();
            headers.insert(ACCEPT_LANGUAGE, HeaderValue::from_static(language));
            wants_comma(&headers)
        };
        assert!(wants("de-DE,de;q=0.9,en;q=0.8"));
        assert!(wants("fr"));
        assert!(!wants("de-CH"));
        assert!(!wants("en-US,de;q=0.5"));
        assert!(!wants(""));
    }
}
