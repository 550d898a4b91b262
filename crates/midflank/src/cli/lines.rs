//! Input that comes line by line, or as a whole file.

use std::io::{self, BufRead};
use std::path::Path;

use metrology::study::open_quote;

use crate::failure::Failure;
use crate::say;

/// Calls `answer` with the argument, or for `-` with each line of standard input that is not blank.
///
/// Bytes that are no text are passed on as replacement characters, to be answered as a wrong line in their place.
pub fn each_line(
    argument: &str,
    mut answer: impl FnMut(&str) -> Result<(), Failure>,
) -> Result<(), Failure> {
    if argument != "-" {
        return answer(argument);
    }
    let mut input = io::stdin().lock();
    without_mark(&mut input)?;
    let mut line = Vec::new();
    loop {
        line.clear();
        let read = input.read_until(b'\n', &mut line).map_err(unread)?;
        if read == 0 {
            return Ok(());
        }
        each_line_of(&line, &mut answer)?;
    }
}

/// Passes over the byte-order mark that some programs begin a file with.
pub fn without_mark(input: &mut impl BufRead) -> Result<(), Failure> {
    if input.fill_buf().map_err(unread)?.starts_with(MARK) {
        input.consume(MARK.len());
    }
    Ok(())
}

/// That standard input cannot be read.
pub fn unread(error: io::Error) -> Failure {
    Failure::outside(say!("command.cannot-read-input", why = error))
}

const MARK: &[u8] = "\u{feff}".as_bytes();

/// The same for lines that have been read.
pub fn each_line_of(
    lines: &[u8],
    mut answer: impl FnMut(&str) -> Result<(), Failure>,
) -> Result<(), Failure> {
    // Looked at once where it is text, as it mostly is.
    let text = String::from_utf8_lossy(lines);
    for line in text.split('\n') {
        let text = line.trim_end_matches('\r');
        if !text.trim().is_empty() {
            answer(text)?;
        }
    }
    Ok(())
}

/// A row of a CSV file, its fields by the names of the columns.
pub struct Row<'a> {
    columns: &'a csv::StringRecord,
    fields: csv::StringRecord,
    /// The line on which it begins, from 1.
    pub line: u64,
}

impl Row<'_> {
    /// The field of this column without blanks at its ends; empty where it is empty or missing.
    pub fn field(&self, column: &str) -> &str {
        self.columns
            .iter()
            .position(|name| name == column)
            .and_then(|index| self.fields.get(index))
            .unwrap_or_default()
    }

    /// The row as it was written, near enough to be found.
    pub fn input(&self) -> String {
        self.fields.iter().collect::<Vec<_>>().join(",")
    }
}

/// Calls `answer` with every row of a CSV file; a file without one of the columns that are needed is refused whole.
pub fn each_row(
    path: &Path,
    needed: &[&str],
    mut answer: impl FnMut(&Row<'_>) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let text = read_text(path)?;
    // Rows below it would be taken for a part of its field.
    if let Some((line, at)) = open_quote(&text, b',') {
        let file = path.display();
        let why = say!("command.open-quote", file = file, line = line, at = at);
        return Err(Failure::Input(why));
    }
    let unreadable =
        |line: u64| Failure::Input(say!("command.no-row", file = path.display(), line = line));
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .flexible(true)
        .from_reader(text.as_bytes());
    let columns = reader.headers().map_err(|_| unreadable(1))?.clone();
    for column in needed {
        if !columns.iter().any(|name| name == *column) {
            return Err(Failure::Input(say!(
                "command.no-column",
                file = path.display(),
                column = column
            )));
        }
    }
    for fields in reader.records() {
        let fields =
            fields.map_err(|error| unreadable(error.position().map_or(1, csv::Position::line)))?;
        let line = fields.position().map_or(1, csv::Position::line);
        answer(&Row {
            columns: &columns,
            fields,
            line,
        })?;
    }
    Ok(())
}

/// Reads a whole text file, without its byte-order mark.
pub fn read_text(path: &Path) -> Result<String, Failure> {
    let bytes = std::fs::read(path).map_err(|source| workshop::Error::Unreadable {
        path: path.to_owned(),
        source,
    })?;
    let text = String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        Failure::Input(say!("command.not-utf-8", file = path.display(), at = at))
    })?;
    Ok(text
        .strip_prefix('\u{feff}')
        .map_or_else(|| text.clone(), str::to_owned))
}
