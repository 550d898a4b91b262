//! A document of machine-readable output as sheets: its numbers and texts by their keys, and a sheet for each list in it.

use serde_json::Value;

use super::{Cell, Table};
use crate::say;

/// Significant digits that a number is shown with.
const DIGITS: i32 = 6;
/// A very small number is shown with no more decimals.
const MOST_DECIMALS: i32 = 15;
/// A sheet has no longer name.
const LONGEST_NAME: usize = 31;

pub fn of_document(document: &Value) -> Vec<Table> {
    let mut tables = vec![Table {
        name: say!("sheet.name-study").to_owned(),
        columns: vec![
            say!("sheet.what").to_owned(),
            say!("sheet.value").to_owned(),
        ],
        rows: Vec::new(),
    }];
    below("", document, &mut tables);
    tables
}

fn below(key: &str, value: &Value, tables: &mut Vec<Table>) {
    match value {
        Value::Null => {}
        Value::Object(fields) => {
            for (name, value) in fields {
                let key = if key.is_empty() {
                    name.clone()
                } else {
                    format!("{key}.{name}")
                };
                below(&key, value, tables);
            }
        }
        Value::Array(all) if all.is_empty() => {}
        Value::Array(all) => tables.push(list(key, all)),
        scalar => {
            if let Some(first) = tables.first_mut() {
                first.rows.push(vec![Cell::text(key), cell(Some(scalar))]);
            }
        }
    }
}

/// A list as a sheet: of objects a column for each key, of anything else one column.
fn list(key: &str, all: &[Value]) -> Table {
    let mut columns: Vec<String> = Vec::new();
    for fields in all.iter().filter_map(Value::as_object) {
        for name in fields.keys() {
            if !columns.contains(name) {
                columns.push(name.clone());
            }
        }
    }
    let rows = all.iter().map(|one| match one {
        Value::Object(fields) => columns.iter().map(|name| cell(fields.get(name))).collect(),
        other => vec![cell(Some(other))],
    });
    let rows = rows.collect();
    if columns.is_empty() {
        columns.push(say!("sheet.value").to_owned());
    }
    Table {
        name: key.chars().take(LONGEST_NAME).collect(),
        columns,
        rows,
    }
}

fn cell(value: Option<&Value>) -> Cell {
    match value {
        None | Some(Value::Null) => Cell::Nothing,
        Some(Value::String(text)) => Cell::text(text),
        Some(Value::Number(number)) => match (number.as_u64(), number.as_f64()) {
            (Some(n), _) => Cell::Count(n),
            (_, Some(value)) => Cell::Number(value, decimals(value)),
            _ => Cell::text(number),
        },
        // Lists in lists are few and short.
        Some(other) => Cell::text(other),
    }
}

/// Decimals that show a number to its digits.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held between nought and the most"
)]
fn decimals(value: f64) -> usize {
    if value == 0.0 || !value.is_finite() {
        return 0;
    }
    let before = libm::floor(libm::log10(value.abs())) as i32;
    (DIGITS - 1 - before).clamp(0, MOST_DECIMALS) as usize
}
