//! Rows of a file of readings, one at a time.

use std::fs::File;
use std::io::{Read as _, Seek as _, SeekFrom};
use std::ops::Range;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::message::Say;
use metrology::units::{Digits, Entered, EntryError, LengthUnit};

use super::error::LotError;
use super::text_lines::{Line, TextLines};
use crate::error::Error;
use crate::job_file::{Wrong, day_of};
use crate::separated::{split, split_plain, unquoted, wrong_at};

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
    /// The columns in their order, by their places in [`HEADER`].
    columns: Vec<usize>,
    /// The number of the line that was read last, from 1.
    line: usize,
    /// Where it begins in the file, and where the next one does, in bytes.
    begins: u64,
    ends: u64,
    /// Where it lies in the lines, without its end.
    text: Range<usize>,
    /// What stands in its columns, in the order of [`HEADER`], where that is not the text as it lies there.
    unquoted: [String; HEADER.len()],
    /// Whether the line has its end.
    ended: bool,
}

#[derive(Clone, Copy)]
pub struct Row<'a> {
    /// What stands in its columns, in the order of [`HEADER`].
    fields: [&'a str; HEADER.len()],
    pub reading: Digits,
    pub time: Option<Timestamp>,
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

impl<'a> Row<'a> {
    pub const fn piece(&self) -> &'a str {
        self.fields[0]
    }

    pub const fn characteristic(&self) -> &'a str {
        self.fields[1]
    }

    pub const fn place(&self) -> &'a str {
        self.fields[2]
    }

    /// The reading as it is written, without the unit of its column.
    pub const fn written(&self) -> &'a str {
        self.fields[3]
    }

    /// The day of its time, where the offset that stands behind that says which.
    pub fn day(&self) -> Option<Date> {
        self.time.and_then(|_| day_of(self.fields[5]))
    }

    /// Why it was taken again.
    pub fn struck(&self) -> Option<&'a str> {
        Some(self.fields[6]).filter(|reason| !reason.is_empty())
    }

    /// Why it was left standing in spite of a flag.
    pub fn left(&self) -> Option<&'a str> {
        Some(self.fields[7]).filter(|reason| !reason.is_empty())
    }

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
        Entered::parse(self.written(), Some(self.reading.unit))
    }

    /// Looks at what every row needs, and at texts that a screen and a report shall show as they are meant.
    fn check(&self) -> Result<(), Error> {
        let without_name = if self.piece().is_empty() && !is_zero(self.characteristic()) {
            Some("piece")
        } else {
            Some("characteristic").filter(|_| self.characteristic().is_empty())
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
        if self.struck().is_some() && self.left().is_some() {
            return Err(self.wrong("left", LotError::TwoReasons));
        }
        Ok(())
    }

    fn check_texts(&self) -> Result<(), Error> {
        let texts = [
            ("piece", Some(self.piece())),
            ("place", Some(self.place())),
            ("struck", self.struck()),
            ("left", self.left()),
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
            columns: Vec::new(),
            line: 0,
            begins: 0,
            ends: 0,
            text: 0..0,
            unquoted: Default::default(),
            ended: true,
        };
        let mut read = rows.read_line()?;
        if read && names_the_separator(rows.text()) {
            read = rows.read_line()?;
        }
        if !read {
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
            unquoted: Default::default(),
            columns: self.columns.clone(),
            unit: self.unit,
            delimiter: self.delimiter,
            ended: self.ended,
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
        let start = self.field(column).map_or(0, |field| field.start);
        let before = self.text().get(..start).unwrap_or_default();
        before.chars().count() + 1
    }

    /// Where a column lies in the row that was read last.
    fn field(&self, column: &str) -> Option<Range<usize>> {
        let place = HEADER.iter().position(|known| *known == column)?;
        let column = self.columns.iter().position(|column| *column == place)?;
        self.fields().get(column).cloned()
    }

    /// Where the fields of the row that was read last lie.
    fn fields(&self) -> Vec<Range<usize>> {
        let mut fields = Vec::new();
        // What is no row has no fields.
        let _ = split(self.text(), self.delimiter, &mut fields);
        fields
    }

    /// Reads the next line that has something in it, without its end; whether there was one.
    fn read_line(&mut self) -> Result<bool, Error> {
        loop {
            let line = self.lines.next(LONGEST + 2);
            let line = line.map_err(|source| Error::Unreadable {
                path: self.path.clone(),
                source,
            })?;
            let Some(line) = line else {
                return Ok(false);
            };
            self.line += 1;
            let mut line = match line {
                Line::Text(line) => line,
                Line::NotText(column) => return Err(self.wrong(column, "", LotError::NotText)),
                Line::TooLong => return Err(self.too_long()),
            };
            self.begins = self.ends;
            self.ends += line.len() as u64;
            let mut read = self.lines.get(line.clone()).as_bytes();
            self.ended = read.last() == Some(&b'\n');
            while let [rest @ .., b'\n' | b'\r'] = read {
                read = rest;
            }
            line.end = line.start + read.len();
            if line.len() > LONGEST {
                return Err(self.too_long());
            }
            if self.line == 1 && read.starts_with("\u{feff}".as_bytes()) {
                line.start += '\u{feff}'.len_utf8();
            }
            self.text = line;
            // A spreadsheet writes its empty rows too.
            let empty = |byte: u8| byte.is_ascii_whitespace() || byte == self.delimiter;
            if !self.text().bytes().all(empty) {
                return Ok(true);
            }
        }
    }

    fn too_long(&self) -> Error {
        self.wrong(1, "", LotError::LongLine { most: LONGEST })
    }

    /// The line that was read last.
    fn text(&self) -> &str {
        self.lines.get(self.text.clone())
    }

    fn header(&mut self) -> Result<(), Error> {
        let text = self.text().to_owned();
        let separators = [b';', b'\t'];
        self.delimiter = separators
            .into_iter()
            .find(|one| text.as_bytes().contains(one))
            .unwrap_or(b',');
        let mut fields = Vec::new();
        split(&text, self.delimiter, &mut fields)
            .map_err(|at| self.wrong(at + 1, "", LotError::OpenQuote))?;
        let name_of = |field: &Range<usize>| {
            unquoted(text.get(field.clone()).unwrap_or_default()).to_lowercase()
        };
        if !fields
            .iter()
            .any(|field| HEADER.contains(&&*name_of(field)))
        {
            let needed = HEADER[..NEEDED].to_vec();
            return Err(self.wrong(1, "", LotError::NoHeader { needed }));
        }
        for field in &fields {
            let name = name_of(field);
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
            if self.columns.contains(&place) {
                let wrong = LotError::ColumnTwice {
                    column: name.clone(),
                };
                return Err(self.wrong(column, &name, wrong));
            }
            self.columns.push(place);
        }
        for (place, name) in HEADER.iter().enumerate().take(NEEDED) {
            if !self.columns.contains(&place) {
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
        let text = self.lines.get(self.text.clone());
        let mut fields = [""; HEADER.len()];
        let mut put = |number: usize, field| {
            let place = self.columns.get(number);
            if let Some(place) = place.and_then(|place| fields.get_mut(*place)) {
                *place = field;
            }
        };
        let of_plain = self.lines.is_plain(self.delimiter == b'\t');
        let of_plain = of_plain.then(|| split_plain(text, self.delimiter, &mut put));
        let of_plain = of_plain.flatten();
        let count = if let Some(count) = of_plain {
            count
        } else {
            let count = unquote(text, self.delimiter, &self.columns, &mut self.unquoted);
            let count = count.map_err(|at| {
                let wrong = if self.ended {
                    LotError::OpenQuote
                } else {
                    LotError::Cut
                };
                wrong_at(&self.path, self.line, at + 1, "", wrong)
            })?;
            for (field, unquoted) in fields.iter_mut().zip(&self.unquoted) {
                *field = unquoted;
            }
            count
        };
        let rows: &Self = self;
        if count != rows.columns.len() {
            return Err(rows.other_count(fields[3]));
        }
        let row = Row {
            reading: rows.reading(fields[3], fields[4], of_plain.is_some())?,
            time: rows.time(fields[5])?,
            fields,
            plain: of_plain.is_some(),
            rows,
        };
        row.check()?;
        Ok(Some(row))
    }

    /// The reading of the row that was read last, and its unit.
    fn reading(&self, written: &str, unit: &str, plain: bool) -> Result<Digits, Error> {
        let unit = match unit {
            "" => self.unit,
            unit => match unit.parse() {
                Ok(unit) => Some(unit),
                Err(()) if !self.ended => return Err(self.wrong_in("unit", LotError::Cut)),
                Err(()) => {
                    let text = unit.to_owned();
                    return Err(self.wrong_in("unit", Wrong::NoUnit { text }));
                }
            },
        };
        if !plain && self.delimiter == b',' && written.contains(',') {
            return Err(self.wrong_in("reading", decimal_comma(written)));
        }
        match unit.and_then(|unit| Digits::plain(written, unit)) {
            Some(digits) => Ok(digits),
            None => Entered::parse(written, unit)
                .map(|entered| Digits::from(&entered))
                .map_err(|error| self.wrong_in("reading", error)),
        }
    }

    /// The time of the row that was read last.
    fn time(&self, written: &str) -> Result<Option<Timestamp>, Error> {
        match written {
            "" => Ok(None),
            text => match text.parse() {
                Ok(time) => Ok(Some(time)),
                Err(_) if !self.ended => Err(self.wrong_in("time", LotError::Cut)),
                Err(_) => {
                    let text = text.to_owned();
                    Err(self.wrong_in("time", LotError::NoTime { text }))
                }
            },
        }
    }

    /// The row that was read last has its end; a file that was cut in the middle of a line has not.
    pub const fn has_ended(&self) -> bool {
        self.ended
    }

    /// What is wrong with a row of another number of fields.
    fn other_count(&self, reading: &str) -> Error {
        let (fields, columns) = (self.fields(), self.columns.len());
        if !self.ended {
            return self.wrong_in("", LotError::Cut);
        }
        let column = self.columns.iter().position(|place| *place == 3);
        let after = column.and_then(|column| fields.get(column + 1));
        let after = after
            .and_then(|range| self.text().get(range.clone()))
            .unwrap_or_default();
        let digits =
            |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        let whole = reading.trim_start_matches(['-', '+', '\u{2212}']);
        if self.delimiter == b',' && fields.len() == columns + 1 && digits(whole) {
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
                found: fields.len(),
                columns,
            },
        )
    }
}

/// Writes what stands in the columns of a line, without quotation marks and the blanks within and around them; how many fields
/// there are, or where a quotation mark opens that is not closed.
fn unquote(
    text: &str,
    delimiter: u8,
    columns: &[usize],
    unquoted_fields: &mut [String; HEADER.len()],
) -> Result<usize, usize> {
    let mut fields = Vec::new();
    split(text, delimiter, &mut fields)?;
    for (place, range) in columns.iter().zip(&fields) {
        let field = text.get(range.clone()).unwrap_or_default();
        if let Some(to) = unquoted_fields.get_mut(*place) {
            to.clear();
            to.push_str(unquoted(field).trim());
        }
    }
    Ok(fields.len())
}

/// Whether a line tells a spreadsheet by which sign the fields are separated: `sep=;` above the header.
fn names_the_separator(line: &str) -> bool {
    let told = unquoted(line).to_ascii_lowercase();
    let sign = told.strip_prefix("sep=");
    sign.is_some_and(|sign| sign.chars().count() <= 1)
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
