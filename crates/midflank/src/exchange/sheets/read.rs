//! Readings out of a workbook, as the rows that a CSV file of readings has. What may mean two things is refused, and so is a workbook
//! that is too large unpacked.

use std::fs::File;
use std::io::{Cursor, Read as _};
use std::path::Path;

use calamine::{DataRef, ExcelDateTime, Reader as _, Xlsx};
use workshop::equipment_list;
use workshop::lot::HEADER;
use workshop::plan;
use zip::ZipArchive;

use super::letters;
use crate::failure::Failure;
use crate::say;

/// The largest workbook, packed and unpacked, in bytes: a hundred thousand readings take about 10 MB unpacked.
const LARGEST: u64 = 50_000_000;
const LARGEST_UNPACKED: u64 = 100_000_000;
/// No sheet of readings has more rows, or more columns.
const MOST_ROWS: u32 = 500_000;
const MOST_COLUMNS: u32 = 100;
/// No reading has more decimals; a number that has was computed.
const MOST_DECIMALS: usize = 7;

/// The column of readings.
const READING: &str = "reading";

/// A cell: its row from 1, its column from 0, and what stands in it.
struct Filled {
    row: u32,
    column: u32,
    held: Held,
}

enum Held {
    Text(String),
    Number(f64),
}

/// What a sheet may hold beside texts and numbers.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Holds {
    /// Nothing: a time has no zone there.
    Nothing,
    /// Days, and yes or no, each taken as it is typed.
    DaysAndFlags,
}

/// The rows, line for line those of the sheet, and what was understood.
pub fn rows(path: &Path) -> Result<(String, String), Failure> {
    let bytes = unpackable(packed(path)?)?;
    let unreadable =
        |why: &dyn std::fmt::Display| Failure::input(say!("sheet.unreadable", why = why));
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|error| unreadable(&error))?;
    let mut found: Option<(String, Vec<Filled>)> = None;
    for name in book.sheet_names() {
        let cells = cells(&mut book, &name, Holds::Nothing)?;
        if !has_heading(&cells) {
            continue;
        }
        if let Some((other, _)) = &found {
            let names = format!("{other}, {name}");
            return Err(Failure::input(say!("sheet.several", names = names)));
        }
        found = Some((name, cells));
    }
    let Some((name, cells)) = found else {
        let columns = HEADER.join(", ");
        return Err(Failure::input(say!("sheet.none", columns = columns)));
    };
    written(&name, &cells)
}

/// The sheet of a plan: its name, its rows from the first with as many cells each, and how its numbers are written.
pub fn plan(path: &Path) -> Result<(Vec<Vec<String>>, String), Failure> {
    let (name, cells, header) = only_sheet(
        packed(path)?,
        Holds::Nothing,
        plan::needed(),
        |names| say!("sheet.several-plans", names = names),
        |columns| say!("sheet.no-plan", columns = columns),
    )?;
    of_plan(&name, &cells, header)
}

/// The sheet of a list of equipment in the bytes of a workbook: its name, and its rows from the first with as many cells each.
pub fn equipment(bytes: Vec<u8>) -> Result<(String, Vec<Vec<equipment_list::Cell>>), Failure> {
    let (name, cells, header) = only_sheet(
        bytes,
        Holds::DaysAndFlags,
        equipment_list::needed(),
        |names| say!("sheet.several-lists", names = names),
        |columns| say!("sheet.no-list", columns = columns),
    )?;
    let rows = of_list(&name, &cells, header)?;
    Ok((name, rows))
}

/// The one sheet of a workbook that names these columns: its name, its cells and the row of the names.
fn only_sheet(
    bytes: Vec<u8>,
    holds: Holds,
    needed: [&str; 2],
    several: impl Fn(&str) -> String,
    none: impl Fn(&str) -> String,
) -> Result<(String, Vec<Filled>, u32), Failure> {
    let bytes = unpackable(bytes)?;
    let unreadable =
        |why: &dyn std::fmt::Display| Failure::input(say!("sheet.unreadable", why = why));
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|error| unreadable(&error))?;
    let mut found: Option<(String, Vec<Filled>, u32)> = None;
    for name in book.sheet_names() {
        let cells = cells(&mut book, &name, holds)?;
        let Some(header) = names_columns(&cells, needed) else {
            continue;
        };
        if let Some((other, ..)) = &found {
            return Err(Failure::input(several(&format!("{other}, {name}"))));
        }
        found = Some((name, cells, header));
    }
    found.ok_or_else(|| Failure::input(none(&needed.join(", "))))
}

fn of_list(
    sheet: &str,
    cells: &[Filled],
    header: u32,
) -> Result<Vec<Vec<equipment_list::Cell>>, Failure> {
    let mut rows: Vec<Vec<equipment_list::Cell>> = Vec::new();
    for cell in cells {
        let (text, is_number) = match &cell.held {
            Held::Number(number) => {
                let text = (number + 0.0).to_string();
                let decimals = text.split_once('.').map_or(0, |(_, after)| after.len());
                if decimals > MOST_DECIMALS {
                    let what = say!("sheet.computed-list", text = text, most = MOST_DECIMALS);
                    return Err(wrong(sheet, cell.row, cell.column, &what));
                }
                (text, true)
            }
            Held::Text(text) => (text.trim().to_owned(), false),
        };
        let (row, column) = (cell.row as usize, cell.column as usize);
        if rows.len() < row {
            rows.resize_with(row, Vec::new);
        }
        if let Some(of) = rows.last_mut() {
            of.resize_with(column, equipment_list::Cell::default);
            of.push(equipment_list::Cell { text, is_number });
        }
    }
    let width = rows.get(header as usize - 1).map_or(0, Vec::len);
    for row in rows.iter_mut().skip(header as usize) {
        if row.len() < width {
            row.resize_with(width, equipment_list::Cell::default);
        }
    }
    Ok(rows)
}

/// The row that names the columns, of which these are needed.
fn names_columns(cells: &[Filled], needed: [&str; 2]) -> Option<u32> {
    let rows = cells.chunk_by(|one, other| one.row == other.row);
    let mut rows = rows.filter_map(|row| Some((row.first()?.row, row)));
    let found = rows.find(|(_, row)| {
        let mut needed = needed.into_iter();
        needed.all(|name| row.iter().any(|cell| is_named(cell, name)))
    });
    found.map(|(row, _)| row)
}

fn of_plan(
    sheet: &str,
    cells: &[Filled],
    header: u32,
) -> Result<(Vec<Vec<String>>, String), Failure> {
    let name_of = |column: u32| {
        let mut names = cells.iter().filter(|cell| cell.row == header);
        names.find(|cell| cell.column == column)
    };
    let has_lengths = |cell: &Filled| match name_of(cell.column).map(|cell| &cell.held) {
        Some(Held::Text(name)) => cell.row > header && plan::has_lengths(name),
        _ => false,
    };
    let mut rows: Vec<Vec<String>> = Vec::new();
    let (mut points, mut commas, mut numbers) = (0_u32, 0_u32, 0_u32);
    for cell in cells {
        let refused = |what: &str| wrong(sheet, cell.row, cell.column, what);
        let text = match &cell.held {
            Held::Number(number) => {
                let text = (number + 0.0).to_string();
                let decimals = text.split_once('.').map_or(0, |(_, after)| after.len());
                if decimals > MOST_DECIMALS {
                    let what = say!("sheet.computed", text = text, most = MOST_DECIMALS);
                    return Err(refused(&what));
                }
                numbers += u32::from(has_lengths(cell));
                text
            }
            Held::Text(text) => {
                if has_lengths(cell) {
                    let words = text.split([' ', ';', '±']).filter(|word| is_number(word));
                    for word in words {
                        match (word.contains('.'), word.contains(',')) {
                            (true, true) => {
                                let what = say!("sheet.point-and-comma", text = word);
                                return Err(refused(&what));
                            }
                            (true, false) => points += 1,
                            (false, true) => commas += 1,
                            (false, false) => {}
                        }
                        if points > 0 && commas > 0 {
                            return Err(refused(say!("sheet.mixed-plan")));
                        }
                    }
                }
                text.trim().to_owned()
            }
        };
        let (row, column) = (cell.row as usize, cell.column as usize);
        while rows.len() < row {
            rows.push(Vec::new());
        }
        if let Some(of) = rows.last_mut() {
            while of.len() < column {
                of.push(String::new());
            }
            of.push(text);
        }
    }
    // Every row below the names has as many cells.
    let width = rows.get(header as usize - 1).map_or(0, Vec::len);
    for row in rows.iter_mut().skip(header as usize) {
        while row.len() < width {
            row.push(String::new());
        }
    }
    let signs = match (commas, points, numbers) {
        (0, 0, 0) => say!("sheet.no-decimals"),
        (0, 0, _) => say!("sheet.lengths-as-numbers"),
        (0, ..) => say!("sheet.with-point"),
        _ => say!("sheet.with-comma"),
    };
    let below = rows.iter().skip(header as usize);
    let n = below.filter(|row| row.iter().any(|cell| !cell.is_empty()));
    let understood = say!(
        "sheet.understood-plan",
        sheet = sheet,
        n = n.count(),
        numbers = signs
    );
    Ok((rows, understood))
}

/// Whether a word is a number, so that a sign in it is a decimal one: no thread, no text.
fn is_number(word: &str) -> bool {
    let digits = word.trim_start_matches(['+', '-', '\u{2212}']);
    let digits = digits.trim_end_matches(|letter: char| letter.is_alphabetic() || letter == '°');
    !digits.is_empty()
        && digits
            .bytes()
            .all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','))
}

/// The bytes of a workbook as they are on the disk.
pub fn packed(path: &Path) -> Result<Vec<u8>, Failure> {
    let failed = |why: &dyn std::fmt::Display| {
        Failure::input(say!(
            "command.cannot-read",
            file = path.display(),
            why = why
        ))
    };
    let file = File::open(path).map_err(|error| failed(&error))?;
    let mut bytes = Vec::new();
    file.take(LARGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| failed(&error))?;
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::input(say!(
            "sheet.too-large",
            limit = LARGEST / 1_000_000
        )));
    }
    Ok(bytes)
}

/// The same once it is known that they can be unpacked.
fn unpackable(bytes: Vec<u8>) -> Result<Vec<u8>, Failure> {
    let unreadable =
        |why: &dyn std::fmt::Display| Failure::input(say!("sheet.unreadable", why = why));
    let mut archive = ZipArchive::new(Cursor::new(&bytes)).map_err(|error| unreadable(&error))?;
    // What an archive says of its sizes may be wrong: they are counted.
    let mut rest = LARGEST_UNPACKED;
    for index in 0..archive.len() {
        let part = archive
            .by_index(index)
            .map_err(|error| unreadable(&error))?;
        let read = std::io::copy(&mut part.take(rest + 1), &mut std::io::sink())
            .map_err(|error| unreadable(&error))?;
        rest = rest.checked_sub(read).ok_or_else(|| {
            Failure::input(say!(
                "sheet.too-large",
                limit = LARGEST_UNPACKED / 1_000_000
            ))
        })?;
    }
    Ok(bytes)
}

/// The cells of a sheet that hold something, in their order.
fn cells(
    book: &mut Xlsx<Cursor<Vec<u8>>>,
    sheet: &str,
    holds: Holds,
) -> Result<Vec<Filled>, Failure> {
    let unreadable =
        |why: &dyn std::fmt::Display| Failure::input(say!("sheet.unreadable", why = why));
    // A sheet of another kind, such as a chart, has no cells.
    let Ok(mut reader) = book.worksheet_cells_reader(sheet) else {
        return Ok(Vec::new());
    };
    let mut all: Vec<Filled> = Vec::new();
    while let Some(cell) = reader.next_cell().map_err(|error| unreadable(&error))? {
        let (row, column) = cell.get_position();
        let refused = |what: &str| wrong(sheet, row + 1, column, what);
        let held = match cell.get_value() {
            DataRef::Empty => continue,
            DataRef::Int(number) => Held::Number(*number as f64),
            DataRef::Float(number) => Held::Number(*number),
            DataRef::String(text) | DataRef::DateTimeIso(text) => Held::Text(text.clone()),
            DataRef::SharedString(text) => Held::Text((*text).to_owned()),
            DataRef::DateTime(day) if holds == Holds::DaysAndFlags => {
                Held::Text(whole_day(day).ok_or_else(|| refused(say!("sheet.no-day")))?)
            }
            DataRef::DateTime(_) | DataRef::DurationIso(_) => {
                return Err(refused(say!("sheet.date")));
            }
            DataRef::Bool(flag) if holds == Holds::DaysAndFlags => Held::Text(flag.to_string()),
            DataRef::Bool(_) => return Err(refused(say!("sheet.flag"))),
            DataRef::Error(_) => return Err(refused(say!("sheet.error"))),
        };
        if let Held::Text(text) = &held {
            if text.trim().is_empty() {
                continue;
            }
            if text.contains(['\n', '\r']) {
                return Err(refused(say!("sheet.lines")));
            }
        }
        if row >= MOST_ROWS || column >= MOST_COLUMNS {
            let what = say!("sheet.too-many", rows = MOST_ROWS, columns = MOST_COLUMNS);
            return Err(refused(&what));
        }
        let rises = all
            .last()
            .is_none_or(|last| (last.row, last.column) < (row + 1, column));
        if !rises {
            return Err(refused(say!("sheet.not-in-order")));
        }
        all.push(Filled {
            row: row + 1,
            column,
            held,
        });
    }
    Ok(all)
}

/// A day without a time.
fn whole_day(day: &ExcelDateTime) -> Option<String> {
    let (year, month, of_month, hour, minute, second, rest) = day.to_ymd_hms_milli();
    let whole = day.is_datetime() && (hour, minute, second, rest) == (0, 0, 0, 0);
    whole.then(|| format!("{year:04}-{month:02}-{of_month:02}"))
}

/// What is wrong with a cell.
fn wrong(sheet: &str, row: u32, column: u32, what: &str) -> Failure {
    let cell = format!("{}{row}", letters(column));
    Failure::input(say!("sheet.cell", sheet = sheet, cell = cell, what = what))
}

/// The cells of the first row that has any.
fn heading(cells: &[Filled]) -> impl Iterator<Item = &Filled> {
    let first = cells.first().map(|cell| cell.row);
    cells.iter().take_while(move |cell| Some(cell.row) == first)
}

fn is_named(cell: &Filled, name: &str) -> bool {
    matches!(&cell.held, Held::Text(text) if text.trim().eq_ignore_ascii_case(name))
}

/// Whether a sheet is one of readings.
fn has_heading(cells: &[Filled]) -> bool {
    let has = |name: &str| heading(cells).any(|cell| is_named(cell, name));
    has("piece") && has(READING)
}

fn written(sheet: &str, cells: &[Filled]) -> Result<(String, String), Failure> {
    let readings = heading(cells).find(|cell| is_named(cell, READING));
    let readings = readings.map_or(0, |cell| cell.column);
    let first = cells.first().map_or(1, |cell| cell.row);
    let width = heading(cells)
        .map(|cell| cell.column + 1)
        .max()
        .unwrap_or(0);
    let below = |cell: &&Filled| cell.row > first && cell.column == readings;
    let convention = Convention::of(sheet, cells.iter().filter(below))?;
    let mut text = String::new();
    let mut line = 1;
    let mut rows = 0_u32;
    let mut cells = cells.iter().peekable();
    while let Some(row) = cells.peek().map(|cell| cell.row) {
        while line < row {
            text.push('\n');
            line += 1;
        }
        for column in 0..width {
            if column > 0 {
                text.push(';');
            }
            let Some(cell) = cells.next_if(|cell| cell.row == row && cell.column == column) else {
                continue;
            };
            let held = match &cell.held {
                Held::Text(text) => text.trim().to_owned(),
                Held::Number(number) if column == readings => convention.reading(*number),
                Held::Number(number) => (number + 0.0).to_string(),
            };
            text.push('"');
            text.push_str(&held.replace('"', "\"\""));
            text.push('"');
        }
        if let Some(cell) = cells.next_if(|cell| cell.row == row) {
            return Err(wrong(sheet, row, cell.column, say!("sheet.no-heading")));
        }
        text.push('\n');
        line += 1;
        rows += 1;
    }
    let understood = say!(
        "sheet.understood",
        sheet = sheet,
        n = rows.saturating_sub(1),
        numbers = convention.told()
    );
    Ok((text, understood))
}

/// How the readings of a sheet are written; all in one way.
enum Convention {
    /// Numbers, the most decimals that one of them has.
    Numbers(usize),
    /// Texts with a decimal point, or none with decimals.
    Point,
    Comma,
}

impl Convention {
    fn of<'a>(sheet: &str, readings: impl Iterator<Item = &'a Filled>) -> Result<Self, Failure> {
        let mut found: Option<Self> = None;
        for cell in readings {
            let refused = |what: &str| wrong(sheet, cell.row, cell.column, what);
            let this = match &cell.held {
                Held::Number(number) => {
                    let text = number.to_string();
                    let decimals = text.split_once('.').map_or(0, |(_, after)| after.len());
                    if decimals > MOST_DECIMALS {
                        let what = say!("sheet.computed", text = text, most = MOST_DECIMALS);
                        return Err(refused(&what));
                    }
                    Self::Numbers(decimals)
                }
                Held::Text(text) => match (text.contains('.'), text.contains(',')) {
                    (true, true) => {
                        return Err(refused(&say!("sheet.point-and-comma", text = text)));
                    }
                    (true, false) => Self::Point,
                    (false, true) => Self::Comma,
                    // A whole number is the same in both.
                    (false, false) => continue,
                },
            };
            found = Some(match (found, this) {
                (None, this) => this,
                (Some(Self::Numbers(one)), Self::Numbers(other)) => Self::Numbers(one.max(other)),
                (Some(Self::Point), Self::Point) => Self::Point,
                (Some(Self::Comma), Self::Comma) => Self::Comma,
                (Some(_), _) => return Err(refused(say!("sheet.mixed"))),
            });
        }
        Ok(found.unwrap_or(Self::Point))
    }

    /// A number as a reading: a spreadsheet does not keep the zeros at its end.
    fn reading(&self, number: f64) -> String {
        match self {
            Self::Numbers(decimals) => format!("{:.*}", *decimals, number + 0.0),
            Self::Point | Self::Comma => number.to_string(),
        }
    }

    fn told(&self) -> String {
        match self {
            Self::Numbers(decimals) => say!("sheet.as-numbers", n = decimals),
            Self::Point => say!("sheet.with-point").to_owned(),
            Self::Comma => say!("sheet.with-comma").to_owned(),
        }
    }
}
