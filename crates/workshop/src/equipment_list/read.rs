//! The table of a list, and every mistake in it with its line and column.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use jiff::civil::Date;
use metrology::message::{Message, Say};

use super::column::{self, KIND, has_decimals, needed, plain};
use super::error::ListError;
use super::row::Taken;
use super::{Understood, typed};
use crate::equipment::Kind;
use crate::error::Error;
use crate::grid::{Grid, Row};
use crate::job_file::{read_text, text_of};
use crate::register::Register;
use crate::separated::wrong_at;

/// A cell of a spreadsheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cell {
    pub text: String,
    /// Whether it was a number, so that its sign says nothing of how texts are written.
    pub is_number: bool,
}

/// How the decimals of a list are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Signs {
    None,
    Numbers,
    Points,
    Commas,
}

/// The table of a list.
pub struct List {
    path: PathBuf,
    grid: Grid,
    /// Cells that were numbers, by row and column.
    numbers: BTreeSet<(usize, usize)>,
}

/// Reads a list from a file.
pub fn read(path: &Path) -> Result<List, Error> {
    parse(path, &read_text(path)?)
}

/// Takes the bytes of a file as a list.
pub fn parse_bytes(path: &Path, bytes: Vec<u8>) -> Result<List, Error> {
    parse(path, &text_of(path, bytes)?)
}

/// Takes the text of a list.
pub fn parse(path: &Path, text: &str) -> Result<List, Error> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let delimiters = [b',', b';', b'\t'].into_iter();
    let mut grids = delimiters.filter_map(|one| Grid::of(text, one, names_columns));
    let grid = grids.next();
    if grids.next().is_some() {
        return Err(wrong_at(path, 1, 1, "", ListError::Separators));
    }
    of(path, grid, BTreeSet::new())
}

/// Takes the cells of a spreadsheet, row by row from the first; the column of a mistake is counted in cells.
pub fn parse_cells(path: &Path, cells: &[Vec<Cell>]) -> Result<List, Error> {
    let texts = cells.iter().map(|row| {
        let texts = row.iter().map(|cell| cell.text.clone());
        texts.collect::<Vec<String>>()
    });
    let texts: Vec<Vec<String>> = texts.collect();
    let mut numbers = BTreeSet::new();
    for (row, cells) in cells.iter().enumerate() {
        let found = cells.iter().enumerate().filter(|(_, cell)| cell.is_number);
        numbers.extend(found.map(|(cell, _)| (row, cell)));
    }
    of(path, Grid::of_cells(&texts, names_columns), numbers)
}

fn of(path: &Path, grid: Option<Grid>, numbers: BTreeSet<(usize, usize)>) -> Result<List, Error> {
    let grid = grid.ok_or_else(|| {
        let needed = needed().to_vec();
        wrong_at(path, 1, 1, "", ListError::NoHeader { needed })
    })?;
    Ok(List {
        path: path.to_owned(),
        grid,
        numbers,
    })
}

fn names_columns(row: &Row) -> bool {
    let names = |needed: &&str| row.fields.iter().any(|(name, _)| plain(name) == **needed);
    needed().iter().all(names)
}

/// Something wrong in a cell.
struct Slip {
    row: usize,
    cell: usize,
    /// What its column is called; empty where the row is meant.
    column: String,
    what: Message,
}

impl List {
    /// How its decimals are written, and how many pieces it has.
    pub fn told(&self) -> (Signs, usize) {
        let mut slips = Vec::new();
        let columns = self.columns(&mut slips);
        let signs = self.signs(&columns, &mut slips);
        let below = self.grid.rows.iter().skip(self.grid.header + 1);
        (signs, below.filter(|row| !row.is_blank()).count())
    }

    /// Every piece beside the register on a day, or every mistake.
    pub fn against(&self, register: &Register, today: Date) -> Result<Vec<Understood>, Error> {
        let mut slips = Vec::new();
        let columns = self.columns(&mut slips);
        self.signs(&columns, &mut slips);
        let mut all: Vec<Understood> = Vec::new();
        let mut lines: BTreeMap<(Kind, String), usize> = BTreeMap::new();
        let mut any = false;
        for (index, row) in self.grid.rows.iter().enumerate() {
            let is_blank = row.is_blank() && row.open.is_none();
            if index <= self.grid.header || is_blank {
                continue;
            }
            any = true;
            if let Some(what) = self.wrong_row(row, &columns) {
                slips.push(Slip::of_row(index, what));
                continue;
            }
            match piece(row, &columns, register, today) {
                Ok(piece) => {
                    let (kind, id) = (piece.piece.kind(), piece.piece.id().to_owned());
                    let first = lines.entry((kind, id.to_lowercase()));
                    if let Entry::Occupied(first) = first {
                        let twice = ListError::Twice {
                            kind,
                            id,
                            line: *first.get(),
                        };
                        let cell = cell_of(&columns, column::ID).unwrap_or_default();
                        slips.push(Slip::at(index, cell, column::ID, twice));
                        continue;
                    }
                    first.or_insert(row.line);
                    all.push(piece);
                }
                Err(wrong) => slips.extend(wrong.into_iter().map(|(name, what)| Slip {
                    row: index,
                    cell: cell_of(&columns, &name).unwrap_or_default(),
                    column: name,
                    what,
                })),
            }
        }
        if !any && slips.is_empty() {
            slips.push(Slip::of_row(self.grid.header, ListError::Empty));
        }
        if slips.is_empty() {
            return Ok(all);
        }
        Err(self.wrong(slips))
    }

    /// The columns by their places; none of one without a name or with one that is not known.
    fn columns(&self, slips: &mut Vec<Slip>) -> Vec<Option<String>> {
        let header = self.grid.header;
        let Some(row) = self.grid.rows.get(header) else {
            return Vec::new();
        };
        let known = column::columns();
        let mut columns: Vec<Option<String>> = Vec::new();
        for (cell, (name, _)) in row.fields.iter().enumerate() {
            let column = known.iter().find(|known| plain(name) == **known).cloned();
            let (named, known) = (name.clone(), known.clone());
            if column.is_none() && !name.is_empty() {
                let wrong = ListError::UnknownColumn {
                    column: named,
                    known,
                };
                slips.push(Slip::at(header, cell, "", wrong));
            } else if column.is_some() && columns.contains(&column) {
                let wrong = ListError::ColumnTwice { column: named };
                slips.push(Slip::at(header, cell, "", wrong));
                columns.push(None);
                continue;
            }
            columns.push(column);
        }
        if row.open.is_some() {
            slips.push(Slip::of_row(header, ListError::OpenQuote));
        }
        columns
    }

    /// How decimals are written; all in one way.
    fn signs(&self, columns: &[Option<String>], slips: &mut Vec<Slip>) -> Signs {
        let mut found: Option<(char, &str, usize)> = None;
        let mut any_number = false;
        for (index, row) in self.grid.rows.iter().enumerate().skip(self.grid.header + 1) {
            let kind = cell_of(columns, KIND).map(|cell| plain(row.cell(cell)));
            let Some(kind) = kind.and_then(|kind| Kind::of(&kind)) else {
                continue;
            };
            let keys = typed::keys(kind);
            for (cell, (text, _)) in row.fields.iter().enumerate() {
                let Some(column) = columns.get(cell).and_then(Option::as_deref) else {
                    continue;
                };
                let mut keys = keys.iter();
                let key = keys.find(|(path, _)| column::of_key(kind, path) == column);
                if !key.is_some_and(|(_, key)| has_decimals(key)) {
                    continue;
                }
                if self.numbers.contains(&(index, cell)) {
                    any_number = true;
                    continue;
                }
                if let Some(word) = self.grid.decimal_comma(text) {
                    let wrong = ListError::DecimalComma {
                        text: word.to_owned(),
                        right: word.replace(',', "."),
                    };
                    slips.push(Slip::at(index, cell, column, wrong));
                    continue;
                }
                for (sign, word) in text
                    .split([' ', ';', '\n'])
                    .filter_map(|word| Some((decimal_sign(word)?, word)))
                {
                    match found {
                        None => found = Some((sign, word, row.line)),
                        Some((first, other, line)) if first != sign => {
                            let wrong = ListError::Mixed {
                                text: word.to_owned(),
                                other: other.to_owned(),
                                line,
                            };
                            slips.push(Slip::at(index, cell, column, wrong));
                            break;
                        }
                        Some(_) => {}
                    }
                }
            }
        }
        match found {
            Some(('.', ..)) => Signs::Points,
            Some(_) => Signs::Commas,
            None if any_number => Signs::Numbers,
            None => Signs::None,
        }
    }

    /// Why nothing is taken of a row.
    fn wrong_row(&self, row: &Row, columns: &[Option<String>]) -> Option<ListError> {
        if row.open.is_some() {
            return Some(ListError::OpenQuote);
        }
        let header = self.grid.rows.get(self.grid.header);
        let names = header.map_or(&[][..], |header| header.fields.as_slice());
        let mut fields = row.fields.iter().enumerate();
        let under_none = fields.any(|(at, (text, _))| {
            let is_named = names.get(at).is_some_and(|(name, _)| !name.is_empty());
            !text.is_empty() && !is_named
        });
        let (found, columns) = (row.fields.len(), columns.len());
        (found < columns || under_none).then_some(ListError::Fields { found, columns })
    }

    fn wrong(&self, mut slips: Vec<Slip>) -> Error {
        slips.sort_by_key(|slip| (slip.row, slip.cell));
        slips.dedup_by(|one, other| one.row == other.row && one.cell == other.cell);
        let mut errors: Vec<Error> = slips
            .into_iter()
            .map(|slip| {
                let (line, column) = self.grid.place(slip.row, slip.cell);
                if slip.column.is_empty() {
                    return wrong_at(&self.path, line, column, "", slip.what);
                }
                let wrong = ListError::InColumn {
                    column: slip.column,
                    what: slip.what,
                };
                wrong_at(&self.path, line, column, "", wrong)
            })
            .collect();
        match errors.len() {
            1 => errors.remove(0),
            _ => Error::Several(errors),
        }
    }
}

impl Slip {
    fn at(row: usize, cell: usize, column: &str, what: impl Say) -> Self {
        Self {
            row,
            cell,
            column: column.to_owned(),
            what: what.message(),
        }
    }

    fn of_row(row: usize, what: impl Say) -> Self {
        Self::at(row, 0, "", what)
    }
}

fn piece(
    row: &Row,
    columns: &[Option<String>],
    register: &Register,
    today: Date,
) -> Result<Understood, Vec<(String, Message)>> {
    let cells = columns.iter().enumerate().filter_map(|(at, column)| {
        let column = column.clone()?;
        Some((column, row.cell(at).to_owned()))
    });
    Taken::of(row.line, cells.collect())?.against(register, today)
}

fn cell_of(columns: &[Option<String>], column: &str) -> Option<usize> {
    let mut columns = columns.iter();
    columns.position(|one| one.as_deref() == Some(column))
}

/// The decimal sign of a number, with its unit or without.
fn decimal_sign(word: &str) -> Option<char> {
    let digits = word.trim_start_matches(['+', '-', '\u{2212}']);
    let digits = digits.trim_end_matches(|letter: char| letter.is_alphabetic() || letter == '"');
    let is_number = !digits.is_empty()
        && digits
            .bytes()
            .all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
    let mut signs = digits.chars().filter(|sign| matches!(sign, '.' | ','));
    signs.next().filter(|_| is_number)
}
