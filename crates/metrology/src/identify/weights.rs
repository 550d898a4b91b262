//! How often one meets a thread in each kind of shop.
//!
//! `data/identify/prior.csv` has the weights with their reasons. They are common practice, not statistics.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::designation::{Form, StandardThread};
use crate::tables::rows;

const TABLE: &str = include_str!("../../data/identify/prior.csv");

crate::codes! {
    /// Which threads occur in a shop.
    pub enum Shop "shop" {
        /// Metric threads and the pipe threads that go with them.
        Metric "metric",
        /// Unified threads and the pipe threads of North America.
        Unified "unified",
        /// Whitworth and BA, with metric and Unified among them.
        British "british",
        /// All forms alike, common sizes more often.
        Mixed "mixed",
        /// Every standard thread alike.
        Flat "flat",
    }
}

/// How often one meets a thread in each kind of shop, relative to the others; above zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Weights {
    metric: f64,
    unified: f64,
    british: f64,
    mixed: f64,
}

impl Weights {
    /// Of a standard thread.
    pub(super) fn of_thread(thread: &StandardThread) -> Self {
        let choice = thread.choice.clamp(1, 3).to_string();
        // The other forms have no choices: what their row says holds for each size.
        let with_choices = matches!(
            thread.form,
            Form::Unified | Form::IsoMetric | Form::Trapezoidal
        );
        let rows = [
            row("form", thread.form.key()),
            with_choices.then(|| row("choice", &choice)).flatten(),
            row("series", thread.series),
        ];
        let product =
            |weight: fn(&Row) -> f64| rows.iter().flatten().map(|row| weight(row)).product();
        Self {
            metric: product(|row| row.metric),
            unified: product(|row| row.unified),
            british: product(|row| row.british),
            mixed: product(|row| row.mixed),
        }
    }

    pub(super) const fn of(self, shop: Shop) -> f64 {
        match shop {
            Shop::Metric => self.metric,
            Shop::Unified => self.unified,
            Shop::British => self.british,
            Shop::Mixed => self.mixed,
            Shop::Flat => 1.0,
        }
    }
}

#[derive(Deserialize)]
struct Row {
    table: String,
    quantity: String,
    metric: f64,
    unified: f64,
    british: f64,
    mixed: f64,
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
        for row in ROWS.iter() {
            for weight in [row.metric, row.unified, row.british, row.mixed] {
                assert!(weight > 0.0 && weight <= 1.0, "{}", row.quantity);
            }
        }
        assert_eq!(taper("npt"), 1.0 / 16.0);
        assert_eq!(taper("unified"), 0.0);
        assert_eq!(row("form", "no such form").unwrap().quantity, "other");
    }
}
