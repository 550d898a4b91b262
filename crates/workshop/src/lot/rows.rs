//! Rows of a file of readings, one at a time.

use std::borrow::Cow;
use std::fs::File;
use std::io::{Read as _, Seek as _, SeekFrom};
use std::ops::Range;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use metrology::message::Say;
use metrology::units::{Digits, Entered, EntryError, LengthUnit};

use super::error::LotError;
use super::text_lines::TextLines;
use crate::error::Error;
use crate::job_file::Wrong;
use crate::separated::{Signs, split, unquoted, wrong_at};

/// The columns of a file of readings; the first four are needed.
pub const HEADER: [&str; 8] = [
    "piece",
    "characteristic",
    "place",
    "reading",
    "unit",
    "time",
    "struck",
    "left",
];
const NEEDED: usize = 4;

/// The longest line that is read, in bytes.
const LONGEST: usize = 1_000_000;

/// Rows of a readings file.
pub struct Rows {
    path: PathBuf,
    lines: TextLines,
    /// What a bare number means where no column says it.
    unit: Option<LengthUnit>,
    delimiter: u8,
    signs: Signs,
    /// Where each column of [`HEADER`] stands.
    columns: [Option<usize>; HEADER.len()],
    /// How many columns there are.
    count: usize,
    /// The number of the line that was read last, from 1.
    line: usize,
    /// Where it begins in the file, and where the next one does, in bytes.
    begins: u64,
    ends: u64,
    /// Where it lies in the lines, without its end.
    text: Range<usize>,
    fields: Vec<Range<usize>>,
    /// Whether the line has its end.
    ended: bool,
}

pub struct Row<'a> {
    pub piece: Cow<'a, str>,
    pub characteristic: Cow<'a, str>,
    pub place: Cow<'a, str>,
    pub reading: Digits,
    /// The reading as it is written, without the unit of its column.
    written: Cow<'a, str>,
    pub time: Option<Timestamp>,
    pub struck: Option<String>,
    pub left: Option<String>,
    /// The line has nothing but what any screen shows as it is meant: printable ASCII.
    plain: bool,
    /// The rows of which it is the one read last.
    rows: &'a Rows,
}

/// Where a row begins, from which a file can be read on.
#[derive(Clone, Copy, Debug, Default)]
pub struct Begins {
    /// Bytes before it.
    pub offset: u64,
    /// Lines before it.
    pub lines: usize,
}

impl Row<'_> {
    pub const fn line(&self) -> usize {
        self.rows.line
    }

    /// Where it begins in the file.
    pub const fn begins(&self) -> Begins {
        Begins {
            offset: self.rows.begins,
            lines: self.line().saturating_sub(1),
        }
    }

    /// The reading as it was entered.
    pub fn entered(&self) -> Result<Entered, EntryError> {
        Entered::parse(&self.written, Some(self.reading.unit))
    }

    /// The text of [`entered`](Self::entered).
    pub fn written(&self) -> &str {
        &self.written
    }

    /// Looks at what every row needs, and at texts that a screen and a report shall show as they are meant.
    fn check(&self) -> Result<(), Error> {
        let without_name = if self.piece.is_empty() && !is_zero(&self.characteristic) {
            Some("piece")
        } else {
            Some("characteristic").filter(|_| self.characteristic.is_empty())
        };
        if let Some(column) = without_name {
            let wrong = LotError::NoName {
                column: column.to_owned(),
            };
            return Err(self.wrong(column, wrong));
        }
        if !self.plain {
            self.check_texts()?;
        }
        if self.struck.is_some() && self.left.is_some() {
            return Err(self.wrong("left", LotError::TwoReasons));
        }
        Ok(())
    }

    fn check_texts(&self) -> Result<(), Error> {
        let texts = [
            ("piece", Some(&*self.piece)),
            ("place", Some(&*self.place)),
            ("struck", self.struck.as_deref()),
            ("left", self.left.as_deref()),
        ];
        for (column, text) in texts {
            if let Some(text) = text {
                crate::given::on_one_line(column, text)
                    .map_err(|error| self.wrong(column, error))?;
            }
        }
        Ok(())
    }

    /// Its line, and where a column of it begins there.
    pub fn place_of(&self, column: &str) -> (usize, usize) {
        (self.line(), self.rows.place_of(column))
    }

    /// Something wrong in a column of it.
    pub fn wrong(&self, column: &str, reason: impl Say) -> Error {
        self.rows.wrong_in(column, reason)
    }
}

impl Rows {
    /// Opens a file and reads its header.
    pub fn open(path: &Path, unit: Option<LengthUnit>) -> Result<Self, Error> {
        let file = File::open(path).map_err(|source| Error::Unreadable {
            path: path.to_owned(),
            source,
        })?;
        let mut rows = Self {
            path: path.to_owned(),
            lines: TextLines::of(file.take(u64::MAX)),
            unit,
            delimiter: b',',
            signs: Signs::of(b','),
            columns: [None; HEADER.len()],
            count: 0,
            line: 0,
            begins: 0,
            ends: 0,
            text: 0..0,
            fields: Vec::new(),
            ended: true,
        };
        if !rows.read_line()? {
            return Err(rows.wrong(1, "", LotError::Empty));
        }
        rows.header()?;
        Ok(rows)
    }

    /// The rows that begin at one place of the same file, up to those that begin at another, if any do.
    pub fn between(&self, from: Begins, to: Option<Begins>) -> Result<Self, Error> {
        let unreadable = |source| Error::Unreadable {
            path: self.path.clone(),
            source,
        };
        let mut file = File::open(&self.path).map_err(unreadable)?;
        let begins = SeekFrom::Start(from.offset);
        file.seek(begins).map_err(unreadable)?;
        let length = to.map_or(u64::MAX, |to| to.offset.saturating_sub(from.offset));
        Ok(Self {
            path: self.path.clone(),
            lines: TextLines::of(file.take(length)),
            line: from.lines,
            begins: from.offset,
            ends: from.offset,
            text: 0..0,
            fields: Vec::new(),
            ..*self
        })
    }

    /// Where the row that is read next begins.
    pub const fn next_begins(&self) -> Begins {
        Begins {
            offset: self.ends,
            lines: self.line,
        }
    }

    /// Where parts of the rows begin, each of whole lines and at least so many bytes; the first where the rows do.
    pub fn cuts(&self, bytes: u64) -> Result<Vec<Begins>, Error> {
        let unreadable = |source| Error::Unreadable {
            path: self.path.clone(),
            source,
        };
        let mut cuts = vec![self.next_begins()];
        let mut last = self.next_begins();
        let mut file = File::open(&self.path).map_err(unreadable)?;
        file.seek(SeekFrom::Start(last.offset))
            .map_err(unreadable)?;
        let (mut offset, mut lines) = (last.offset, last.lines);
        let mut block = vec![0; 1 << 18];
        loop {
            let read = file.read(&mut block).map_err(unreadable)?;
            if read == 0 {
                return Ok(cuts);
            }
            for end in memchr::memchr_iter(b'\n', block.get(..read).unwrap_or_default()) {
                lines += 1;
                let begins = offset + end as u64 + 1;
                if begins - last.offset >= bytes {
                    last = Begins {
                        offset: begins,
                        lines,
                    };
                    cuts.push(last);
                }
            }
            offset += read as u64;
        }
    }

    /// Something wrong in the line that was read last.
    fn wrong(&self, column: usize, field: &str, reason: impl Say) -> Error {
        wrong_at(&self.path, self.line.max(1), column, field, reason)
    }

    /// Something wrong in a column of the row that was read last.
    fn wrong_in(&self, column: &str, reason: impl Say) -> Error {
        self.wrong(self.place_of(column), column, reason)
    }

    /// Where a column of the row that was read last begins, in characters from 1.
    fn place_of(&self, column: &str) -> usize {
        let index = HEADER.iter().position(|known| *known == column);
        let field = index.and_then(|index| self.columns.get(index).copied().flatten());
        let start = field
            .and_then(|field| self.fields.get(field))
            .map_or(0, |field| field.start);
        let before = self.bytes().get(..start).unwrap_or_default();
        String::from_utf8_lossy(before).chars().count() + 1
    }

    /// Reads the next line that is not blank, without its end; whether there was one.
    fn read_line(&mut self) -> Result<bool, Error> {
        loop {
            let line = self.lines.next(LONGEST + 2);
            let mut line = line.map_err(|source| Error::Unreadable {
                path: self.path.clone(),
                source,
            })?;
            if line.is_empty() {
                return Ok(false);
            }
            self.line += 1;
            self.begins = self.ends;
            self.ends += line.len() as u64;
            let mut read = self.lines.get(line.clone());
            self.ended = read.last() == Some(&b'\n');
            while let [rest @ .., b'\n' | b'\r'] = read {
                read = rest;
            }
            line.end = line.start + read.len();
            if line.len() > LONGEST {
                return Err(self.wrong(1, "", LotError::LongLine { most: LONGEST }));
            }
            if self.line == 1 && read.starts_with("\u{feff}".as_bytes()) {
                line.start += 3;
            }
            self.text = line;
            if !self.bytes().iter().all(u8::is_ascii_whitespace) {
                return Ok(true);
            }
        }
    }

    /// The line that was read last.
    fn bytes(&self) -> &[u8] {
        self.lines.get(self.text.clone())
    }

    fn header(&mut self) -> Result<(), Error> {
        let text = match std::str::from_utf8(self.bytes()) {
            Ok(text) => text.to_owned(),
            Err(_) => return Err(self.wrong(1, "", LotError::NotText)),
        };
        let separators = [b';', b'\t'];
        self.delimiter = separators
            .into_iter()
            .find(|one| text.as_bytes().contains(one))
            .unwrap_or(b',');
        self.signs = Signs::of(self.delimiter);
        split(&text, self.delimiter, &mut self.fields)
            .map_err(|at| self.wrong(at + 1, "", LotError::OpenQuote))?;
        self.count = self.fields.len();
        for (index, field) in self.fields.iter().enumerate() {
            let name = unquoted(text.get(field.clone()).unwrap_or_default()).to_lowercase();
            let before = text.get(..field.start).unwrap_or_default();
            let column = before.chars().count() + 1;
            let Some(place) = HEADER.iter().position(|known| *known == name) else {
                let known = HEADER.to_vec();
                let wrong = LotError::UnknownColumn {
                    column: name.clone(),
                    known,
                };
                return Err(self.wrong(column, &name, wrong));
            };
            if let Some(taken) = self.columns.get_mut(place)
                && taken.replace(index).is_some()
            {
                let wrong = LotError::ColumnTwice {
                    column: name.clone(),
                };
                return Err(self.wrong(column, &name, wrong));
            }
        }
        let needed = HEADER.iter().zip(&self.columns).take(NEEDED);
        for (name, found) in needed {
            if found.is_none() {
                let wrong = LotError::MissingColumn {
                    column: (*name).to_owned(),
                    known: HEADER[..NEEDED].to_vec(),
                };
                return Err(self.wrong(1, name, wrong));
            }
        }
        if !self.ended {
            return Err(self.wrong(1, "", LotError::NoRows));
        }
        Ok(())
    }

    /// The next row; none at the end of the file.
    pub fn next(&mut self) -> Result<Option<Row<'_>>, Error> {
        if !self.read_line()? {
            return Ok(None);
        }
        let bytes = self.lines.get(self.text.clone());
        let text = match std::str::from_utf8(bytes) {
            Ok(text) => text,
            Err(error) => {
                let good = bytes.get(..error.valid_up_to()).unwrap_or_default();
                let column = String::from_utf8_lossy(good).chars().count() + 1;
                return Err(self.wrong(column, "", LotError::NotText));
            }
        };
        let plain = self.signs.split_plain(bytes, &mut self.fields);
        if !plain && let Err(at) = split(text, self.delimiter, &mut self.fields) {
            let wrong = if self.ended {
                LotError::OpenQuote
            } else {
                LotError::Cut
            };
            return Err(wrong_at(&self.path, self.line, at + 1, "", wrong));
        }
        let rows: &Self = self;
        let field = |index: usize| -> Cow<'_, str> {
            let found = self.columns.get(index).copied().flatten();
            let range = found.and_then(|field| self.fields.get(field));
            let field = range.and_then(|range| text.get(range.clone()));
            let field = field.unwrap_or_default();
            if plain {
                return Cow::Borrowed(field);
            }
            // Blanks within quotation marks are no part of a name either.
            match unquoted(field) {
                Cow::Borrowed(field) => Cow::Borrowed(field.trim()),
                Cow::Owned(field) => Cow::Owned(field.trim().to_owned()),
            }
        };
        if self.fields.len() != self.count {
            return Err(self.other_count(text, &field(3)));
        }
        let unit = match &*field(4) {
            "" => self.unit,
            unit => match unit.parse() {
                Ok(unit) => Some(unit),
                Err(()) if !self.ended => return Err(rows.wrong_in("unit", LotError::Cut)),
                Err(()) => {
                    let text = unit.to_owned();
                    return Err(rows.wrong_in("unit", Wrong::NoUnit { text }));
                }
            },
        };
        let written = field(3);
        if !plain && self.delimiter == b',' && written.contains(',') {
            return Err(rows.wrong_in("reading", decimal_comma(&written)));
        }
        let digits = unit.and_then(|unit| Digits::plain(&written, unit));
        let reading = match digits {
            Some(digits) => digits,
            None => Entered::parse(&written, unit)
                .map(|entered| Digits::from(&entered))
                .map_err(|error| rows.wrong_in("reading", error))?,
        };
        let time = match &*field(5) {
            "" => None,
            text => match text.parse() {
                Ok(time) => Some(time),
                Err(_) if !self.ended => return Err(rows.wrong_in("time", LotError::Cut)),
                Err(_) => {
                    let text = text.to_owned();
                    return Err(rows.wrong_in("time", Wrong::NoTime { text }));
                }
            },
        };
        let reason = |index| Some(field(index).into_owned()).filter(|text| !text.is_empty());
        let row = Row {
            piece: field(0),
            characteristic: field(1),
            place: field(2),
            reading,
            written,
            time,
            struck: reason(6),
            left: reason(7),
            plain,
            rows,
        };
        row.check()?;
        Ok(Some(row))
    }

    /// The row that was read last has its end; a file that was cut in the middle of a line has not.
    pub const fn has_ended(&self) -> bool {
        self.ended
    }

    /// What is wrong with a row of another number of fields.
    fn other_count(&self, text: &str, reading: &str) -> Error {
        let found = self.fields.len();
        if !self.ended {
            return self.wrong_in("", LotError::Cut);
        }
        let column = self.columns.get(3).copied().flatten();
        let after = column.and_then(|column| self.fields.get(column + 1));
        let after = after
            .and_then(|range| text.get(range.clone()))
            .unwrap_or_default();
        let digits =
            |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        let whole = reading.trim_start_matches(['-', '+', '\u{2212}']);
        if self.delimiter == b',' && found == self.count + 1 && digits(whole) {
            // The decimals, with the unit where that is written behind them.
            let end = after
                .find(|c: char| !c.is_ascii_digit())
                .unwrap_or(after.len());
            if digits(after.get(..end).unwrap_or_default()) {
                return self.wrong_in("reading", decimal_comma(&format!("{reading},{after}")));
            }
        }
        self.wrong_in(
            "",
            LotError::Fields {
                found,
                columns: self.count,
            },
        )
    }
}

/// Whether a row is of the standard.
pub fn is_zero(characteristic: &str) -> bool {
    characteristic.eq_ignore_ascii_case("zero")
}

fn decimal_comma(written: &str) -> LotError {
    LotError::DecimalComma {
        reading: written.to_owned(),
        right: written.replacen(',', ".", 1),
    }
}
