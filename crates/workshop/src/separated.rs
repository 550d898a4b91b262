//! Lines of a file whose fields a sign separates: comma, semicolon or tab.

use std::borrow::Cow;
use std::ops::Range;
use std::path::Path;

use metrology::message::Say;

use crate::error::{Error, Fault, InFile};

/// Hands over the fields of a line that is printable ASCII without quotation marks, with their numbers; how many there are, or
/// none where one has blanks around it.
pub fn split_plain<'t>(
    text: &'t str,
    delimiter: u8,
    mut take: impl FnMut(usize, &'t str),
) -> Option<usize> {
    let (mut count, mut start) = (0, 0);
    let mut give = |end: usize| {
        let field = text.get(start..end).unwrap_or_default();
        take(count, field);
        count += 1;
        start = end + 1;
        let blank = |byte: Option<&u8>| byte == Some(&b' ');
        !blank(field.as_bytes().first()) && !blank(field.as_bytes().last())
    };
    for (index, byte) in text.bytes().enumerate() {
        if byte == delimiter && !give(index) {
            return None;
        }
    }
    give(text.len()).then_some(count)
}

/// The fields of a line, without the blanks around them; at which byte a quotation mark opens that is not closed.
pub fn split(text: &str, delimiter: u8, fields: &mut Vec<Range<usize>>) -> Result<(), usize> {
    fields.clear();
    let bytes = text.as_bytes();
    let mut start = 0;
    if memchr::memchr(b'"', bytes).is_none() {
        for end in memchr::memchr_iter(delimiter, bytes) {
            fields.push(trimmed(text, start..end));
            start = end + 1;
        }
        fields.push(trimmed(text, start..text.len()));
        return Ok(());
    }
    let (mut quoted, mut opened) = (false, 0);
    for (index, byte) in bytes.iter().enumerate() {
        if *byte == b'"' {
            quoted = !quoted;
            opened = index;
        } else if *byte == delimiter && !quoted {
            fields.push(trimmed(text, start..index));
            start = index + 1;
        }
    }
    if quoted {
        return Err(opened);
    }
    fields.push(trimmed(text, start..text.len()));
    Ok(())
}

/// Something wrong at a place of a file, in a column of that name; empty where it is in none.
pub fn wrong_at(path: &Path, line: usize, column: usize, field: &str, reason: impl Say) -> Error {
    Error::Wrong(Box::new(Fault {
        file: Some(InFile {
            path: path.to_owned(),
            line,
            column: Some(column),
        }),
        section: None,
        field: (!field.is_empty()).then(|| field.to_owned()),
        reason: reason.message(),
    }))
}

fn trimmed(text: &str, range: Range<usize>) -> Range<usize> {
    let inner = text.as_bytes().get(range.clone()).unwrap_or_default();
    let blank = |byte: Option<&u8>| byte.is_some_and(|byte| !byte.is_ascii_graphic());
    if !blank(inner.first()) && !blank(inner.last()) {
        return range;
    }
    let field = text.get(range.clone()).unwrap_or_default();
    let start = range.start + (field.len() - field.trim_start().len());
    start..start + field.trim().len()
}

/// A field without its quotation marks, of which two stand for one.
pub fn unquoted(field: &str) -> Cow<'_, str> {
    if !field.starts_with('"') {
        return Cow::Borrowed(field);
    }
    match field
        .strip_prefix('"')
        .and_then(|rest| rest.strip_suffix('"'))
    {
        Some(inner) if inner.contains('"') => Cow::Owned(inner.replace("\"\"", "\"")),
        Some(inner) => Cow::Borrowed(inner),
        None => Cow::Borrowed(field),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every line of up to six signs: where one look at each is enough, the fields are those of the longer way.
    #[test]
    fn plain_lines_are_split_as_all_others() {
        let signs = ["a", "7", " ", ",", ";", "\t"];
        let mut lines = vec![String::new()];
        let mut whole = Vec::new();
        let mut plain_ones = 0;
        for _ in 0..6 {
            for line in &lines {
                for delimiter in [b',', b';', b'\t'] {
                    let mut plain = Vec::new();
                    let take = |number, field| plain.push((number, field));
                    let tabs = delimiter != b'\t' && line.contains('\t');
                    let count = split_plain(line, delimiter, take).filter(|_| !tabs);
                    if count.is_none() {
                        continue;
                    }
                    plain_ones += 1;
                    assert_eq!(count, Some(plain.len()));
                    assert_eq!(split(line, delimiter, &mut whole), Ok(()), "{line:?}");
                    let fields = whole.iter().filter_map(|field| line.get(field.clone()));
                    assert!(fields.enumerate().eq(plain.iter().copied()), "{line:?}");
                    let written = |field: &str| unquoted(field) == field && field.trim() == field;
                    assert!(plain.iter().all(|(_, field)| written(field)), "{line:?}");
                }
            }
            let longer = lines
                .iter()
                .flat_map(|line| signs.map(|sign| format!("{line}{sign}")));
            lines = longer.collect();
        }
        assert!(plain_ones > 1000, "{plain_ones}");
    }
}
