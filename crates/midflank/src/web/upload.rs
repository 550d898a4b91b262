//! The body of a form that hands in a file (RFC 7578, `multipart/form-data`), taken apart where it lies in memory.

use axum::http::{HeaderMap, header};

/// A field of such a form.
#[derive(Debug, PartialEq, Eq)]
pub struct Part<'a> {
    pub name: String,
    /// What the file is called, without folders; none of a field that is no file.
    pub file: Option<String>,
    pub content: &'a [u8],
}

/// A form that was sent so.
pub struct Form<'a>(Vec<Part<'a>>);

impl<'a> Form<'a> {
    /// None where this is no such form, or its end is missing.
    pub fn of(headers: &HeaderMap, body: &'a [u8]) -> Option<Self> {
        let kind = headers.get(header::CONTENT_TYPE)?.to_str().ok()?;
        parts(kind, body).map(Self)
    }

    /// The token with which a page sends it; empty where it has none.
    pub fn token(&self) -> &'a str {
        std::str::from_utf8(self.content("token")).unwrap_or_default()
    }

    /// What stands in a field; nothing where there is none of that name.
    pub fn content(&self, name: &str) -> &'a [u8] {
        let part = self.0.iter().find(|part| part.name == name);
        part.map(|part| part.content).unwrap_or_default()
    }

    /// The same as text, without blanks at its ends.
    pub fn text(&self, name: &str) -> String {
        let text = String::from_utf8_lossy(self.content(name));
        text.trim().to_owned()
    }

    /// A file with what it is called; both are empty where none was chosen.
    pub fn file(&self, name: &str) -> Option<(&str, &'a [u8])> {
        let part = self.0.iter().find(|part| part.name == name)?;
        Some((part.file.as_deref()?, part.content))
    }
}

/// The fields in their order; none where this is no such form, or its end is missing.
pub fn parts<'a>(content_type: &str, body: &'a [u8]) -> Option<Vec<Part<'a>>> {
    let mark = format!("--{}", boundary(content_type)?);
    // A mark stands at the beginning of a line; the break before it is not part of the field.
    let between = format!("\r\n{mark}");
    let (_, mut rest) = if body.starts_with(mark.as_bytes()) {
        body.split_at_checked(mark.len())
    } else {
        split_at_text(body, between.as_bytes())
    }?;
    let mut all = Vec::new();
    loop {
        if rest.starts_with(b"--") {
            return Some(all);
        }
        let begun = rest.strip_prefix(b"\r\n")?;
        let (part, after) = split_at_text(begun, between.as_bytes())?;
        all.push(field(part)?);
        rest = after;
    }
}

/// The boundary that the header names: 1 to 70 characters (RFC 2046, 5.1.1).
fn boundary(content_type: &str) -> Option<&str> {
    let mut parameters = content_type.split(';').map(str::trim);
    let kind = parameters.next()?;
    if !kind.eq_ignore_ascii_case("multipart/form-data") {
        return None;
    }
    let (_, boundary) = parameters
        .filter_map(|parameter| parameter.split_once('='))
        .find(|(name, _)| name.eq_ignore_ascii_case("boundary"))?;
    let boundary = boundary.trim_matches('"');
    (1..=70).contains(&boundary.len()).then_some(boundary)
}

/// A field: its headers, an empty line, and what it holds.
fn field(part: &[u8]) -> Option<Part<'_>> {
    let (head, content) = split_at_text(part, b"\r\n\r\n")?;
    let head = std::str::from_utf8(head).ok()?;
    let disposition = head.split("\r\n").find_map(|line| {
        let (name, value) = line.split_once(':')?;
        let is_it = name.eq_ignore_ascii_case("content-disposition");
        is_it.then_some(value)
    })?;
    let parameter = |wanted: &str| {
        let start = format!("; {wanted}=\"");
        let (_, rest) = disposition.split_once(&start)?;
        Some(plain(rest.split_once('"')?.0))
    };
    let file = parameter("filename").map(|name| {
        let last = name.rsplit(['/', '\\']).next();
        last.unwrap_or_default().to_owned()
    });
    Some(Part {
        name: parameter("name")?,
        file,
        content,
    })
}

/// A name as it was before the browser wrote it between quotation marks (HTML Living Standard, 4.10.21.8, from memory).
fn plain(name: &str) -> String {
    name.replace("%22", "\"")
        .replace("%0D", " ")
        .replace("%0A", " ")
}

/// What stands before the first of these bytes, and what after them.
fn split_at_text<'a>(bytes: &'a [u8], text: &[u8]) -> Option<(&'a [u8], &'a [u8])> {
    let first = *text.first()?;
    let mut from = 0;
    loop {
        let rest = bytes.get(from..)?;
        let at = from + rest.iter().position(|byte| *byte == first)?;
        let (before, found) = bytes.split_at_checked(at)?;
        if let Some(after) = found.strip_prefix(text) {
            return Some((before, after));
        }
        from = at + 1;
    }
}

#[cfg(test)]
mod tests {
    use super::{Part, parts};

    const TYPE: &str = "multipart/form-data; boundary=----form7MA4";

    fn part<'a>(name: &str, file: Option<&str>, content: &'a [u8]) -> Part<'a> {
        Part {
            name: name.to_owned(),
            file: file.map(str::to_owned),
            content,
        }
    }

    /// Fields as RFC 7578, section 4, has them (from memory), one with line breaks and the mark of another form in it.
    #[test]
    fn fields_and_files_are_told_apart_to_the_byte() {
        let body = b"------form7MA4\r\n\
            Content-Disposition: form-data; name=\"token\"\r\n\r\n\
            a1\r\n\
            ------form7MA4\r\n\
            Content-Disposition: form-data; name=\"list\"; filename=\"C:\\lists\\my %22list%22.csv\"\r\n\
            Content-Type: text/csv\r\n\r\n\
            kind;id\r\n\r\n------form8\r\n\xff\x00\r\n\
            ------form7MA4--\r\n";
        let wanted = [
            part("token", None, b"a1"),
            part(
                "list",
                Some("my \"list\".csv"),
                b"kind;id\r\n\r\n------form8\r\n\xff\x00",
            ),
        ];
        assert_eq!(parts(TYPE, body).unwrap(), wanted);
        let quoted = "Multipart/Form-Data; charset=utf-8; Boundary=\"----form7MA4\"";
        assert_eq!(parts(quoted, body).unwrap(), wanted);
        // Nothing of a form that was cut off is taken, wherever that was.
        for end in 0..body.len() - 3 {
            assert_eq!(parts(TYPE, &body[..end]), None, "{end}");
        }
    }

    #[test]
    fn what_is_no_such_form_is_not_taken() {
        for (kind, body) in [
            ("text/plain", "--x\r\n"),
            ("multipart/form-data", "--\r\n\r\n----"),
            ("multipart/form-data; boundary=", "--\r\n\r\n----"),
            (TYPE, ""),
            (TYPE, "------form7MA4"),
            (TYPE, "------form7MA4\r\n\r\n------form7MA4--"),
            (
                TYPE,
                "------form7MA4\r\nContent-Type: a\r\n\r\nx\r\n------form7MA4--",
            ),
        ] {
            assert_eq!(parts(kind, body.as_bytes()), None, "{kind} {body}");
        }
        assert_eq!(parts(TYPE, b"------form7MA4--\r\n").unwrap(), []);
    }
}
