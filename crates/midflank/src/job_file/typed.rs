//! Values as they were typed, with their place in the file.

use crate::say;
use std::path::{Path, PathBuf};

use jiff::{Timestamp, civil::Date};
use metrology::units::{Entered, LengthUnit};
use rust_decimal::Decimal;
use toml::{Spanned, Value};

use super::{JobFileError, one_unit};

/// A string or number, and where it stands.
pub type Typed = Spanned<Value>;

/// The file that typed values come from.
pub struct Source<'a> {
    path: PathBuf,
    text: &'a str,
    unit: Option<LengthUnit>,
}

/// The line that a byte offset is on, from 1.
pub fn line_of(text: &str, offset: usize) -> usize {
    text.bytes()
        .take(offset)
        .filter(|byte| *byte == b'\n')
        .count()
        + 1
}

impl<'a> Source<'a> {
    pub fn new(path: &Path, text: &'a str, unit: Option<&Typed>) -> Result<Self, JobFileError> {
        let mut source = Self {
            path: path.to_owned(),
            text,
            unit: None,
        };
        source.unit = source.optional(unit, |source, typed| {
            source.text(typed).parse().map_err(|()| {
                source.wrong_at(
                    typed,
                    say!("jobfile.new-is-not-a", source = source.text(typed)),
                )
            })
        })?;
        Ok(source)
    }

    /// The unit that a bare number in this file means.
    pub const fn unit(&self) -> Option<LengthUnit> {
        self.unit
    }

    pub fn path(&self) -> &Path {
        &self.path
    }

    pub fn wrong(&self, line: usize, message: impl Into<String>) -> JobFileError {
        JobFileError::Wrong {
            path: self.path.clone(),
            line,
            message: message.into(),
        }
    }

    pub fn wrong_at<T>(&self, typed: &Spanned<T>, message: impl Into<String>) -> JobFileError {
        self.wrong(line_of(self.text, typed.span().start), message)
    }

    /// The line on which a section starts; 1 where it is written inline.
    pub fn line_of_table(&self, name: &str) -> usize {
        let header = format!("[{name}]");
        self.text
            .find(&header)
            .map_or(1, |offset| line_of(self.text, offset))
    }

    /// What was typed: a string's content, or a number with the digits it was written with.
    pub fn text(&self, typed: &Typed) -> String {
        match typed.get_ref() {
            Value::String(text) => text.clone(),
            _ => self.text.get(typed.span()).unwrap_or_default().to_owned(),
        }
    }

    pub fn length(&self, typed: &Typed) -> Result<Entered, JobFileError> {
        Entered::parse(&self.text(typed), self.unit)
            .map_err(|error| self.wrong_at(typed, crate::words::error(&error)))
    }

    /// A list of readings of one size, all in one unit.
    pub fn readings(&self, name: &str, typed: &[Typed]) -> Result<Vec<Entered>, JobFileError> {
        let readings = typed
            .iter()
            .map(|one| self.length(one))
            .collect::<Result<Vec<_>, _>>()?;
        match (one_unit(readings.iter()), typed.first()) {
            (Err(message), Some(first)) => Err(self.wrong_at(first, format!("{name}: {message}"))),
            _ => Ok(readings),
        }
    }

    pub fn timestamp(&self, typed: &Typed) -> Result<Timestamp, JobFileError> {
        let text = self.text(typed);
        text.parse()
            .map_err(|_| self.wrong_at(typed, say!("jobfile.timestamp", text = text)))
    }

    pub fn date(&self, typed: &Typed) -> Result<Date, JobFileError> {
        let text = self.text(typed);
        text.parse()
            .map_err(|_| self.wrong_at(typed, say!("jobfile.date", text = text)))
    }

    /// A number with the digits it was written with.
    pub fn number(&self, typed: &Typed) -> Result<Decimal, JobFileError> {
        let text = self.text(typed);
        text.parse()
            .map_err(|_| self.wrong_at(typed, say!("jobfile.number", text = text)))
    }

    /// Applies a reader where something was typed.
    pub fn optional<T>(
        &self,
        typed: Option<&Typed>,
        read: impl Fn(&Self, &Typed) -> Result<T, JobFileError>,
    ) -> Result<Option<T>, JobFileError> {
        typed.map(|typed| read(self, typed)).transpose()
    }
}
