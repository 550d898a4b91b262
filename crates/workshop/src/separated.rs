//! Lines of a file whose fields a sign separates: comma, semicolon or tab.

use std::borrow::Cow;
use std::ops::Range;
use std::path::Path;

use metrology::message::Say;

use crate::error::{Error, Fault, InFile};

/// What each byte is in lines whose fields one sign separates.
#[derive(Clone, Copy)]
pub struct Signs([Sign; 256]);

#[derive(Clone, Copy)]
enum Sign {
    /// Printable ASCII with no meaning of its own.
    Plain,
    Delimiter,
    Blank,
    /// All that needs a closer look.
    Other,
}

impl Signs {
    pub const fn of(delimiter: u8) -> Self {
        let mut all = [Sign::Other; 256];
        let mut byte = b'!';
        while byte <= b'~' {
            all[byte as usize] = Sign::Plain;
            byte += 1;
        }
        all[b' ' as usize] = Sign::Blank;
        all[b'"' as usize] = Sign::Other;
        all[delimiter as usize] = Sign::Delimiter;
        Self(all)
    }

    fn at(&self, bytes: &[u8], index: usize) -> Sign {
        let byte = bytes.get(index).map(|byte| usize::from(*byte));
        let sign = byte.and_then(|byte| self.0.get(byte));
        sign.copied().unwrap_or(Sign::Delimiter)
    }

    /// The fields of a line of printable ASCII without quotation marks and without blanks at either end of a field, which
    /// most lines are; whether it is one.
    pub fn split_plain(&self, bytes: &[u8], fields: &mut Vec<Range<usize>>) -> bool {
        fields.clear();
        let mut start = 0;
        for index in 0..bytes.len() {
            match self.at(bytes, index) {
                Sign::Plain => {}
                Sign::Delimiter => {
                    fields.push(start..index);
                    start = index + 1;
                }
                Sign::Blank => {
                    let ends_field = matches!(self.at(bytes, index + 1), Sign::Delimiter);
                    if index == start || ends_field {
                        return false;
                    }
                }
                Sign::Other => return false,
            }
        }
        fields.push(start..bytes.len());
        true
    }
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
        let signs = ["a", "7", " ", ",", ";", "\"", "\t", "é"];
        let mut lines = vec![String::new()];
        let (mut plain, mut whole) = (Vec::new(), Vec::new());
        let mut plain_ones = 0;
        for _ in 0..6 {
            for line in &lines {
                for delimiter in [b',', b';', b'\t'] {
                    if !Signs::of(delimiter).split_plain(line.as_bytes(), &mut plain) {
                        continue;
                    }
                    plain_ones += 1;
                    assert_eq!(split(line, delimiter, &mut whole), Ok(()), "{line:?}");
                    assert_eq!(plain, whole, "{line:?}");
                    let mut fields = whole.iter().filter_map(|field| line.get(field.clone()));
                    let written = |field: &str| unquoted(field) == field && field.trim() == field;
                    assert!(fields.all(written), "{line:?}");
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
