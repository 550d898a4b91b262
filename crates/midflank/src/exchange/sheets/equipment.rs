//! The register as sheets, of which one is a list that can be read again; and a list from a file.

use std::path::Path;

use jiff::civil::Date;
use workshop::Error;
use workshop::equipment_list::{self, List, Signs};

use super::readings::{begins_workbook, is_workbook};
use super::{Cell, Table};
use crate::failure::Failure;
use crate::register::Registered;
use crate::say;
use crate::words;

/// What one looks up, and the list with every value under its key.
pub fn of_register(pieces: &[&Registered], today: Date) -> Vec<Table> {
    vec![looked_up(pieces, today), list(pieces)]
}

fn looked_up(pieces: &[&Registered], today: Date) -> Table {
    let rows = pieces.iter().map(|piece| {
        let one = &piece.equipment;
        let standing = piece.standing(today);
        let is_overdue = standing.due.is_some_and(|due| due < today);
        vec![
            Cell::text(words::named("equipment-kind", one.kind().key())),
            Cell::text(one.id()),
            Cell::text(words::piece(one)),
            Cell::text(words::word(&one.state())),
            Cell::optional(standing.due),
            Cell::optional(is_overdue.then_some(say!("sheet.yes"))),
            Cell::optional(one.certificate()),
            Cell::text(piece.entry),
            Cell::text(piece.recorded_at),
            Cell::text(&piece.person),
        ]
    });
    let columns = [
        say!("sheet.kind"),
        say!("sheet.identity"),
        say!("sheet.described"),
        say!("sheet.state"),
        say!("sheet.due"),
        say!("sheet.overdue"),
        say!("sheet.certificate"),
        say!("sheet.entry"),
        say!("sheet.recorded"),
        say!("sheet.person"),
    ];
    Table {
        name: say!("sheet.name-equipment").to_owned(),
        columns: columns.map(str::to_owned).to_vec(),
        rows: rows.collect(),
    }
}

/// As `midflank equipment read` takes it: every value as text, with its unit and its digits.
fn list(pieces: &[&Registered]) -> Table {
    let rows = pieces.iter().map(|piece| {
        let cells = equipment_list::row(&piece.equipment).into_iter();
        let filled = |text: String| Some(text).filter(|text| !text.is_empty());
        cells.map(|text| Cell::optional(filled(text))).collect()
    });
    Table {
        name: say!("sheet.name-list").to_owned(),
        columns: equipment_list::columns(),
        rows: rows.collect(),
    }
}

/// A list of equipment, and what was understood of its file.
pub fn read_equipment(path: &Path) -> Result<(List, String), Failure> {
    if is_workbook(path) {
        let read = packed(path).and_then(|bytes| of_workbook(path, bytes));
        return read.map_err(|untaken| match untaken {
            Untaken::Workbook(failure) => failure.about(path),
            Untaken::List(error) => error.into(),
        });
    }
    Ok(of_csv(path, equipment_list::read(path)?))
}

/// The same from the bytes of a file of this name.
pub fn parse_equipment(path: &Path, bytes: Vec<u8>) -> Result<(List, String), Untaken> {
    if begins_workbook(&bytes) {
        return of_workbook(path, bytes);
    }
    let list = equipment_list::parse_bytes(path, bytes).map_err(Untaken::List)?;
    Ok(of_csv(path, list))
}

/// Why a list is not taken.
pub enum Untaken {
    /// The workbook cannot be read, or has no sheet with a list.
    Workbook(Failure),
    /// What stands in the list, at its places.
    List(Error),
}

fn of_csv(path: &Path, list: List) -> (List, String) {
    let (signs, n) = list.told();
    let told = say!(
        "sheet.understood-csv",
        file = path.display(),
        n = n,
        numbers = in_words(signs)
    );
    (list, told)
}

#[cfg(not(feature = "sheets"))]
#[expect(clippy::unnecessary_wraps, reason = "as where workbooks are read")]
fn packed(_path: &Path) -> Result<Vec<u8>, Untaken> {
    Ok(Vec::new())
}

#[cfg(not(feature = "sheets"))]
fn of_workbook(_path: &Path, _bytes: Vec<u8>) -> Result<(List, String), Untaken> {
    Err(Untaken::Workbook(Failure::input(say!("sheet.not-built"))))
}

#[cfg(feature = "sheets")]
fn packed(path: &Path) -> Result<Vec<u8>, Untaken> {
    super::read::packed(path).map_err(Untaken::Workbook)
}

#[cfg(feature = "sheets")]
fn of_workbook(path: &Path, bytes: Vec<u8>) -> Result<(List, String), Untaken> {
    let (sheet, rows) = super::read::equipment(bytes).map_err(Untaken::Workbook)?;
    let list = equipment_list::parse_cells(path, &rows).map_err(Untaken::List)?;
    let (signs, n) = list.told();
    let told = say!(
        "sheet.understood-list",
        sheet = sheet,
        n = n,
        numbers = in_words(signs)
    );
    Ok((list, told))
}

fn in_words(signs: Signs) -> &'static str {
    match signs {
        Signs::None => say!("sheet.no-decimals"),
        Signs::Numbers => say!("sheet.values-as-numbers"),
        Signs::Points => say!("sheet.with-point-list"),
        Signs::Commas => say!("sheet.with-comma-list"),
    }
}
