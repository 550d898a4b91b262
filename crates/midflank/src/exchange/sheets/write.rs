//! Tables as a workbook: numbers are numbers with their decimals, nothing is a formula, headings stay in sight.

use jiff::Timestamp;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};

use super::{Cell, Table};

/// The widest column, in characters.
const WIDEST: f64 = 60.0;

/// The width that a cell asks for, in characters.
fn width(cell: &Cell) -> usize {
    match cell {
        Cell::Nothing => 0,
        Cell::Text(text) => text.chars().count(),
        Cell::Number(value, decimals) => format!("{value:.decimals$}").len(),
        Cell::Count(n) => n.to_string().len(),
    }
}

pub fn workbook(tables: &[Table], at: Timestamp) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let made = ExcelDateTime::from_timestamp(at.as_second())?;
    // The same record gives the same bytes.
    book.set_properties(&DocProperties::new().set_creation_datetime(&made));
    let bold = Format::new().set_bold();
    for table in tables {
        let sheet = book.add_worksheet();
        sheet.set_name(&table.name)?;
        sheet.set_freeze_panes(1, 0)?;
        let mut widths: Vec<usize> = table
            .columns
            .iter()
            .map(|one| one.chars().count())
            .collect();
        for (column, name) in (0..).zip(&table.columns) {
            sheet.write_string_with_format(0, column, name, &bold)?;
        }
        for (row, cells) in (1..).zip(&table.rows) {
            for (column, cell) in (0..).zip(cells) {
                match cell {
                    Cell::Nothing => continue,
                    Cell::Text(text) => sheet.write_string(row, column, text)?,
                    Cell::Count(n) => sheet.write_number(row, column, *n as f64)?,
                    Cell::Number(value, _) if !value.is_finite() => continue,
                    Cell::Number(value, decimals) => {
                        let format = Format::new().set_num_format(decimals_format(*decimals));
                        sheet.write_number_with_format(row, column, *value, &format)?
                    }
                };
                if let Some(most) = widths.get_mut(usize::from(column)) {
                    *most = width(cell).max(*most);
                }
            }
        }
        for (column, width) in (0..).zip(widths) {
            sheet.set_column_width(column, (width as f64 + 2.0).min(WIDEST))?;
        }
    }
    book.save_to_buffer()
}

/// How a number of so many decimals is shown: `0.000`.
fn decimals_format(decimals: usize) -> String {
    match decimals {
        0 => "0".to_owned(),
        n => format!("0.{}", "0".repeat(n.min(30))),
    }
}
