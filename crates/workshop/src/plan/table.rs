//! A plan from a table of a spreadsheet, saved as CSV: rows that state what the plan is of, a row that names the columns, and
//! a row for each characteristic.

use std::path::Path;

use metrology::inspection::FeatureKind;
use metrology::message::{Message, Say};

use super::line::{self, Line, plain};
use super::mistake::Mistake;
use super::sheet::{self, Sheet};
use super::{Plan, PlanError, Way};
use crate::error::Error;
use crate::grid::{Grid, Row};
use crate::separated::wrong_at;

/// The columns that the row has which names them.
const NEEDED: [&str; 2] = [line::NUMBER, line::REQUIREMENT];
/// The others that are no key of a line.
const OWN: [&str; 5] = [
    line::NUMBER,
    line::REQUIREMENT,
    line::PLACES,
    line::WAY,
    line::CLASS,
];

/// Columns whose values have a decimal sign; so have those of features.
const LENGTHS: [&str; 8] = [
    "lower",
    "upper",
    "nominal",
    "tolerance",
    "plane",
    "plane_within",
    "parameter",
    "coating",
];
/// The same above the columns.
const HEAD_NUMBERS: [&str; 7] = [
    "lot_size",
    "n",
    "accept",
    "reject",
    "limiting_fraction",
    "risk",
    "parameter",
];

/// Takes the text of a table: the plan, or every mistake in it with its line and column.
pub fn parse(path: &Path, text: &str) -> Result<Plan, Error> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let tables = [b',', b';', b'\t'].into_iter();
    let mut tables = tables.filter_map(|delimiter| Grid::of(text, delimiter, names_columns));
    let table = tables.next();
    if tables.next().is_some() {
        return Err(wrong_at(path, 1, 1, "", PlanError::Separators));
    }
    take(path, table)
}

/// Takes the cells of a spreadsheet, row by row from the first: as [`parse`], with the column of a mistake counted in cells.
pub fn parse_cells(path: &Path, rows: &[Vec<String>]) -> Result<Plan, Error> {
    take(path, Grid::of_cells(rows, names_columns))
}

/// What the first row that names the columns needs.
pub const fn needed() -> [&'static str; 2] {
    NEEDED
}

/// Whether a column of this name has lengths, so that a decimal sign is one.
pub fn has_lengths(column: &str) -> bool {
    let name = plain(column);
    name == line::REQUIREMENT || LENGTHS.iter().any(|one| plain(one) == name)
}

/// Whether a row names the columns.
fn names_columns(row: &Row) -> bool {
    let names = |needed: &&str| row.fields.iter().any(|(name, _)| plain(name) == **needed);
    NEEDED.iter().all(names)
}

fn take(path: &Path, table: Option<Grid>) -> Result<Plan, Error> {
    let Some(table) = table else {
        let needed = NEEDED.to_vec();
        return Err(wrong_at(path, 1, 1, "", PlanError::NoHeader { needed }));
    };
    let mut taking = Taking {
        table: &table,
        sheet: Sheet::default(),
        rows: Vec::new(),
        columns: Vec::new(),
        slips: Vec::new(),
    };
    taking.head();
    taking.columns();
    taking.lines();
    let plan = match sheet::read(&taking.sheet, &[]).plan {
        Ok(plan) if taking.slips.is_empty() => return Ok(plan),
        Ok(_) => Vec::new(),
        Err(mistakes) => mistakes,
    };
    for mistake in plan {
        taking.mistake(mistake);
    }
    let mut slips = taking.slips;
    slips.sort_by_key(|slip| (slip.row, slip.cell));
    let told = |slip: Slip| {
        let (line, column) = table.place(slip.row, slip.cell);
        if slip.key.is_empty() {
            return wrong_at(path, line, column, "", slip.what);
        }
        let (column_name, what) = (slip.key, slip.what);
        let wrong = PlanError::InColumn {
            column: column_name,
            what,
        };
        wrong_at(path, line, column, "", wrong)
    };
    let mut errors: Vec<Error> = slips.into_iter().map(told).collect();
    match errors.len() {
        1 => Err(errors.remove(0)),
        _ => Err(Error::Several(errors)),
    }
}

/// Something wrong in a field.
struct Slip {
    row: usize,
    cell: usize,
    /// What its column or row is called; empty where the row is meant.
    key: String,
    what: Message,
}

/// What was taken of a table so far.
struct Taking<'a> {
    table: &'a Grid,
    sheet: Sheet,
    /// The row of each line of the sheet.
    rows: Vec<usize>,
    /// What each column is; none of one without a name.
    columns: Vec<Option<String>>,
    slips: Vec<Slip>,
}

impl Taking<'_> {
    fn slip(&mut self, row: usize, cell: usize, key: &str, what: impl Say) {
        let (key, what) = (key.to_owned(), what.message());
        self.slips.push(Slip {
            row,
            cell,
            key,
            what,
        });
    }

    /// Rows above the columns: a key and its value.
    fn head(&mut self) {
        let table = self.table;
        for (index, row) in table.rows.iter().enumerate().take(table.header) {
            if row.is_blank() {
                continue;
            }
            let key = plain(row.cell(0)).replace(' ', "_");
            if row.open.is_some() {
                self.slip(index, 0, "", PlanError::OpenQuote);
                continue;
            }
            let filled = row.fields.iter().skip(1);
            if filled.filter(|(text, _)| !text.is_empty()).count() > 1 || key.is_empty() {
                self.slip(index, 0, "", PlanError::HeadCells { key });
                continue;
            }
            let value = row.fields.iter().skip(1).find(|(text, _)| !text.is_empty());
            let value = value.map_or_else(String::new, |(text, _)| text.clone());
            let is_number = HEAD_NUMBERS.contains(&key.as_str());
            if let Some(wrong) = self.decimal_comma(&value).filter(|_| is_number) {
                self.slip(index, 1, &key, wrong);
                continue;
            }
            self.sheet.head.push((key, value));
        }
    }

    /// The row that names the columns.
    fn columns(&mut self) {
        let table = self.table;
        let Some(row) = table.rows.get(table.header) else {
            return;
        };
        let features = FeatureKind::EVERY.iter();
        let features = features.flat_map(|kind| line::keys_of(*kind));
        let others = OWN.into_iter().chain(line::keys()).map(str::to_owned);
        let known: Vec<String> = others.chain(features).collect();
        for (cell, (name, _)) in row.fields.iter().enumerate() {
            let column = known.iter().find(|known| plain(known) == plain(name));
            let column = column.cloned();
            let column_name = name.clone();
            if column.is_none() && !name.is_empty() {
                let known = OWN.into_iter().chain(line::keys());
                let known = known.map(str::to_owned).collect();
                let wrong = PlanError::UnknownColumn {
                    column: column_name,
                    known,
                };
                self.slip(table.header, cell, "", wrong);
            } else if column.is_some() && self.columns.contains(&column) {
                let twice = PlanError::ColumnTwice {
                    column: column_name,
                };
                self.slip(table.header, cell, "", twice);
                self.columns.push(None);
                continue;
            }
            self.columns.push(column);
        }
        if row.open.is_some() {
            self.slip(table.header, 0, "", PlanError::OpenQuote);
        }
    }

    /// A row for each characteristic.
    fn lines(&mut self) {
        let table = self.table;
        for (index, row) in table.rows.iter().enumerate().skip(table.header + 1) {
            if row.is_blank() && row.open.is_none() {
                continue;
            }
            if let Some(wrong) = self.wrong_row(row) {
                let cell = row.fields.len().saturating_sub(1);
                self.slip(index, cell, "", wrong);
                continue;
            }
            let mut typed = Line {
                row: row.line,
                ..Line::default()
            };
            for (cell, (text, _)) in row.fields.iter().enumerate() {
                let Some(column) = self.columns.get(cell).cloned().flatten() else {
                    continue;
                };
                let field = match column.as_str() {
                    line::NUMBER => &mut typed.number,
                    line::REQUIREMENT => &mut typed.requirement,
                    line::PLACES => &mut typed.places,
                    line::WAY => &mut typed.way,
                    line::CLASS => &mut typed.class,
                    _ => {
                        typed.more.push((column, text.clone()));
                        continue;
                    }
                };
                text.clone_into(field);
            }
            self.decimal_commas(index, &typed);
            self.rows.push(index);
            self.sheet.lines.push(typed);
        }
    }

    /// Why nothing is taken of a row.
    fn wrong_row(&self, row: &Row) -> Option<PlanError> {
        if row.open.is_some() {
            return Some(PlanError::OpenQuote);
        }
        let columns = self.columns.len();
        let filled = row.fields.iter().rposition(|(text, _)| !text.is_empty());
        let found = row.fields.len();
        let beyond = filled.is_some_and(|last| last >= columns);
        let header = self.table.rows.get(self.table.header);
        let names = header.map_or(&[][..], |header| header.fields.as_slice());
        let mut under = row.fields.iter().zip(names);
        let under_none = under.any(|((text, _), (name, _))| !text.is_empty() && name.is_empty());
        if found >= columns && !beyond && !under_none {
            return None;
        }
        if self.table.commas && beyond {
            let digits =
                |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
            let pairs = row.fields.windows(2).zip(&self.columns);
            let pairs = pairs.filter(|(_, column)| column.as_deref() != Some(line::NUMBER));
            for (pair, _) in pairs {
                let [(one, _), (other, _)] = pair else {
                    continue;
                };
                let whole = one.rsplit(char::is_whitespace).next().unwrap_or_default();
                let decimals = other.split(|c: char| !c.is_ascii_digit()).next();
                let decimals = decimals.unwrap_or_default();
                if digits(whole.trim_start_matches(['+', '-', '±'])) && digits(decimals) {
                    return Some(PlanError::DecimalComma {
                        text: format!("{whole},{decimals}"),
                        right: format!("{whole}.{decimals}"),
                    });
                }
            }
        }
        Some(PlanError::Fields { found, columns })
    }

    /// A decimal comma, where commas separate.
    fn decimal_comma(&self, text: &str) -> Option<PlanError> {
        let word = self.table.decimal_comma(text)?;
        Some(PlanError::DecimalComma {
            text: word.to_owned(),
            right: word.replace(',', "."),
        })
    }

    fn decimal_commas(&mut self, row: usize, typed: &Line) {
        // What is only looked at or stands in a document is a text.
        let way = plain(&typed.way).replace(' ', "-");
        let is_measured = Way::of(&way).is_none_or(Way::is_measured);
        let requirement = is_measured.then_some((line::REQUIREMENT, &typed.requirement));
        let of_features = |key: &str| !line::keys().any(|known| known == key);
        let more = typed.more.iter().map(|(key, text)| (key.as_str(), text));
        let more = more.filter(|(key, _)| LENGTHS.contains(key) || of_features(key));
        for (key, text) in requirement.into_iter().chain(more) {
            if let Some(wrong) = self.decimal_comma(text) {
                let cell = self.cell_of(key);
                self.slip(row, cell, key, wrong);
            }
        }
    }

    fn cell_of(&self, key: &str) -> usize {
        let mut columns = self.columns.iter();
        let found = columns.position(|column| column.as_deref() == Some(key));
        found.unwrap_or_default()
    }

    /// Takes note of what is wrong in the plan, unless the same field is told already.
    fn mistake(&mut self, mistake: Mistake) {
        let table = self.table;
        let (row, cell) = if let Some(at) = mistake.line {
            (self.rows.get(at).copied(), self.cell_of(&mistake.key))
        } else {
            let head = table.rows.iter().take(table.header);
            let mut keys = head.map(|row| plain(row.cell(0)).replace(' ', "_"));
            let found = keys.rposition(|key| !key.is_empty() && key == mistake.key);
            let is_key = mistake.why.message.code == "plan.unknown-head";
            (found, usize::from(!is_key))
        };
        // What is missing above the columns is missed there.
        let is_missing = row.is_none();
        let row = row.unwrap_or(table.header);
        let cell = if is_missing { 0 } else { cell };
        let told = |slip: &Slip| slip.row == row && slip.key == mistake.key;
        // Rows of which nothing was taken are told as what they are.
        let is_empty = mistake.why.message.code == "plan.empty";
        if is_empty && !self.slips.is_empty() {
            return;
        }
        if !self.slips.iter().any(told) {
            self.slip(row, cell, &mistake.key, mistake.why.message);
        }
    }
}
