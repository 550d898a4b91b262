//! Spreadsheets: tables written as a workbook, and readings taken from one. In builds with the feature `sheets`.

mod document;
mod equipment;
mod first_article;
mod lot;
mod plan;
#[cfg(feature = "sheets")]
mod read;
mod readings;
#[cfg(feature = "sheets")]
mod write;

use jiff::Timestamp;

use crate::failure::Failure;

pub use document::of_document;
pub use equipment::{Untaken, of_register, parse_equipment, read_equipment};
pub use first_article::of_first_article;
pub use lot::of_lot;
pub use plan::read_plan;
pub use readings::{begins_workbook, is_workbook, readings};

/// A sheet of a workbook: a heading and rows under it.
#[cfg_attr(
    not(feature = "sheets"),
    allow(dead_code, reason = "read by the writer alone")
)]
pub struct Table {
    pub name: String,
    pub columns: Vec<String>,
    pub rows: Vec<Vec<Cell>>,
}

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(
    not(feature = "sheets"),
    allow(dead_code, reason = "read by the writer alone")
)]
pub enum Cell {
    Nothing,
    Text(String),
    /// A number, shown with so many decimals; the number itself is whole.
    Number(f64, usize),
    Count(u64),
}

impl Cell {
    pub fn text(text: impl ToString) -> Self {
        Self::Text(text.to_string())
    }

    /// A number where there is one.
    pub fn number(value: Option<f64>, decimals: usize) -> Self {
        value.map_or(Self::Nothing, |value| Self::Number(value, decimals))
    }

    pub fn optional(text: Option<impl ToString>) -> Self {
        text.map_or(Self::Nothing, Self::text)
    }
}

/// Writes the tables as a workbook of this moment.
#[cfg(feature = "sheets")]
pub fn workbook(tables: &[Table], at: Timestamp) -> Result<Vec<u8>, Failure> {
    write::workbook(tables, at).map_err(Failure::outside)
}

/// Says that this build writes none.
#[cfg(not(feature = "sheets"))]
pub fn workbook(_tables: &[Table], _at: Timestamp) -> Result<Vec<u8>, Failure> {
    Err(Failure::input(crate::say!("sheet.not-built")))
}

/// A column, from 0, as a spreadsheet names it: A, B, ..., Z, AA, ...
pub fn letters(column: u32) -> String {
    let mut name = Vec::new();
    let mut rest = column.saturating_add(1);
    while rest > 0 {
        let place = (rest - 1) % 26;
        name.push(char::from_u32(u32::from('A') + place).unwrap_or('?'));
        rest = (rest - 1) / 26;
    }
    name.iter().rev().collect()
}
