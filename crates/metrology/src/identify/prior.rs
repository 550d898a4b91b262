//! How likely one meets a thread at a bench, before anything is measured.
//!
//! `data/identify/prior.csv` has the weights with their reasons. They are common practice, not statistics: a shop that
//! restores old British machines switches them off, or changes the file.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::designation::StandardThread;
use crate::tables::rows;

const TABLE: &str = include_str!("../../../../data/identify/prior.csv");

#[derive(Deserialize)]
struct Row {
    table: String,
    quantity: String,
    weight: f64,
    taper: Option<f64>,
}

static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| rows(TABLE));

/// The row of a name, or that of `other`.
fn row(table: &str, name: &str) -> Option<&'static Row> {
    let find = |name: &str| {
        ROWS.iter()
            .find(|row| row.table == table && row.quantity == name)
    };
    find(name).or_else(|| find("other"))
}

/// The weight of a standard thread, above zero; weights are relative.
pub(super) fn weight(thread: &StandardThread) -> f64 {
    let weight = |table, name: &str| row(table, name).map_or(1.0, |row| row.weight);
    weight("form", thread.form.key())
        * weight("choice", &thread.choice.clamp(1, 3).to_string())
        * weight("series", thread.series)
}

/// The taper of a form, as growth of the diameter by length.
pub(super) fn taper(form: &str) -> f64 {
    row("form", form).and_then(|row| row.taper).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read_and_every_weight_is_above_zero() {
        assert_eq!(ROWS.len() + 1, TABLE.lines().count());
        assert!(ROWS.iter().all(|row| row.weight > 0.0 && row.weight <= 1.0));
        assert_eq!(taper("npt"), 1.0 / 16.0);
        assert_eq!(taper("unified"), 0.0);
        assert_eq!(row("form", "no such form").unwrap().quantity, "other");
    }
}
