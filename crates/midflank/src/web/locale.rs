//! Numbers as the reader's country writes them: with a decimal comma, where the browser asks for a language that has one.
//!
//! Done once, on the finished page, so that no page and no report has to think of it. Only text is touched, never an
//! attribute, and only what stands alone as a number: `8.871 mm` becomes `8,871 mm`, while `M10x1.5-6g`, `B1.1` and `7.2.6`
//! stay. Names that people gave (`translate="no"`), keys and raw documents are left as they are.

use axum::body::{Body, to_bytes};
use axum::extract::Request;
use axum::http::header::{ACCEPT_LANGUAGE, CONTENT_LENGTH, CONTENT_TYPE, VARY};
use axum::http::{HeaderMap, HeaderValue};
use axum::middleware::Next;
use axum::response::Response;

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

/// Pages larger than this are not of ours.
const LARGEST_PAGE: usize = 16 << 20;

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

/// Puts the comma into pages, where it is wanted.
pub async fn decimal_sign(request: Request, next: Next) -> Response {
    let comma = wants_comma(request.headers());
    let mut response = next.run(request).await;
    response
        .headers_mut()
        .insert(VARY, HeaderValue::from_static("accept-language"));
    let is_page = response
        .headers()
        .get(CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"));
    if !comma || !is_page {
        return response;
    }
    let (mut head, body) = response.into_parts();
    head.headers.remove(CONTENT_LENGTH);
    let page = to_bytes(body, LARGEST_PAGE).await.unwrap_or_default();
    let page = String::from_utf8_lossy(&page);
    Response::from_parts(head, Body::from(with_comma(&page)))
}

/// A page as its reader writes numbers.
pub fn shown(page: String, comma: bool) -> String {
    if comma { with_comma(&page) } else { page }
}

/// A page with the numbers of its text written with a comma.
fn with_comma(page: &str) -> String {
    let mut out = String::with_capacity(page.len());
    let mut rest = page;
    // The element whose text is left as it is.
    let mut kept: Option<String> = None;
    while let Some((text, more)) = rest.split_once('<') {
        push_text(&mut out, text, kept.is_some());
        let Some((tag, after)) = more.split_once('>') else {
            out.push('<');
            out.push_str(more);
            return out;
        };
        out.push('<');
        out.push_str(tag);
        out.push('>');
        let name = tag
            .split(|c: char| c.is_whitespace() || c == '>')
            .next()
            .unwrap_or_default();
        match &kept {
            Some(element) if name.strip_prefix('/') == Some(element) => kept = None,
            None if leaves_as_is(name, tag) => kept = Some(name.to_owned()),
            _ => {}
        }
        rest = after;
    }
    push_text(&mut out, rest, kept.is_some());
    out
}

fn leaves_as_is(name: &str, tag: &str) -> bool {
    matches!(name, "kbd" | "pre" | "title") || tag.contains("translate=\"no\"")
}

fn push_text(out: &mut String, text: &str, as_is: bool) {
    if as_is {
        out.push_str(text);
        return;
    }
    let letters: Vec<char> = text.chars().collect();
    let at = |index: usize| letters.get(index).copied();
    for (index, letter) in letters.iter().enumerate() {
        out.push(if *letter == '.' && is_decimal_point(index, at) {
            ','
        } else {
            *letter
        });
    }
}

/// Whether a point stands within a number that stands alone.
fn is_decimal_point(index: usize, at: impl Fn(usize) -> Option<char>) -> bool {
    let is_digit = |index: usize| at(index).is_some_and(|c| c.is_ascii_digit());
    let mut first = index;
    while first > 0 && is_digit(first - 1) {
        first -= 1;
    }
    let mut end = index + 1;
    while is_digit(end) {
        end += 1;
    }
    let before = first.checked_sub(1).and_then(&at);
    let after = at(end);
    let stands_alone = !before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '.' | ',' | '/' | '_'))
        && !after.is_some_and(|c| matches!(c, '/' | '_' | '-') || (c == '.' && is_digit(end + 1)))
        // A unit may follow at once: 8.871mm.
        && !after.is_some_and(|c| c.is_alphabetic() && !matches!(c, 'm' | 'i' | 'u' | 'µ'));
    first < index && end > index + 1 && stands_alone
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_the_text_and_nothing_else() {
        for (page, shown) in [
            ("<p>8.871 mm</p>", "<p>8,871 mm</p>"),
            ("<td>-0.00193</td>", "<td>-0,00193</td>"),
            ("8.862 to 8.994 mm.", "8,862 to 8,994 mm."),
            ("8.929mm (±0.5 µm)", "8,929mm (±0,5 µm)"),
            ("<path d=\"M1.5 2.5\"/>", "<path d=\"M1.5 2.5\"/>"),
            (
                "M10x1.5-6g by ASME B1.1-2003",
                "M10x1.5-6g by ASME B1.1-2003",
            ),
            ("JCGM 100:2008, 7.2.6", "JCGM 100:2008, 7.2.6"),
            ("midflank 0.1.0", "midflank 0.1.0"),
            ("0.2500-28 UNJF-3A", "0.2500-28 UNJF-3A"),
            (
                "<dd translate=\"no\">rev 1.2</dd><dd>1.2</dd>",
                "<dd translate=\"no\">rev 1.2</dd><dd>1,2</dd>",
            ),
            ("<kbd>1.2</kbd> 1.2", "<kbd>1.2</kbd> 1,2"),
            ("3. 4 .5 6.", "3. 4 .5 6."),
            ("a < 1.5", "a < 1.5"),
        ] {
            assert_eq!(with_comma(page), shown, "{page}");
        }
    }

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

    proptest::proptest! {
        #[test]
        fn any_page_keeps_its_letters(page in "\\PC{0,60}") {
            let shown = with_comma(&page);
            proptest::prop_assert_eq!(shown.replace(',', "."), page.replace(',', "."));
        }
    }
}
