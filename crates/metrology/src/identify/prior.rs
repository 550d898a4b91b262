//! How likely one meets a thread at a bench, before anything is measured.
//!
//! `data/identify/prior.csv` has the weights for each kind of shop with their reasons. They are common practice, not
//! statistics. A shop says once which kind it is, or has its own records counted; as long as nobody has said, nothing
//! is claimed that one of the kinds does not bear out.

use std::sync::LazyLock;

use serde::Deserialize;

use super::candidate::Candidate;
use crate::designation::{Form, StandardThread};
use crate::tables::rows;

const TABLE: &str = include_str!("../../../../data/identify/prior.csv");

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

/// What is taken to be known of an unknown thread before it is measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Prior {
    /// Nobody has said which shop: each probability is the least that any shop gives.
    Unstated,
    /// The shop is of this kind.
    Shop(Shop),
    /// How many threads of each form the shop has recorded.
    Records(Vec<(Form, u64)>),
}

impl Prior {
    /// The probability of each candidate, once for each prior that is to be satisfied.
    pub(super) fn shares(&self, candidates: &[Candidate]) -> Vec<Vec<f64>> {
        match self {
            Self::Unstated => (Shop::EVERY.iter())
                .map(|shop| of_shop(*shop, candidates))
                .collect(),
            Self::Shop(shop) => vec![of_shop(*shop, candidates)],
            Self::Records(counts) => vec![of_records(counts, candidates)],
        }
    }
}

fn of_shop(shop: Shop, candidates: &[Candidate]) -> Vec<f64> {
    let total: f64 = candidates.iter().map(|one| one.weights.of(shop)).sum();
    (candidates.iter())
        .map(|one| one.weights.of(shop) / total)
        .collect()
}

/// Each form by its records and one more (Laplace's rule of succession), its sizes as in a mixed shop.
fn of_records(counts: &[(Form, u64)], candidates: &[Candidate]) -> Vec<f64> {
    let recorded = |form: Form| {
        let of_form = counts.iter().filter(|(counted, _)| *counted == form);
        of_form.map(|(_, count)| *count).sum::<u64>()
    };
    let mut forms: Vec<Form> = candidates.iter().map(|one| one.form).collect();
    forms.sort_unstable();
    forms.dedup();
    #[expect(clippy::cast_precision_loss, reason = "nobody records 2^53 threads")]
    let share_of = |form| (recorded(form) + 1) as f64;
    let of_all: f64 = forms.iter().map(|form| share_of(*form)).sum();
    let of_form: Vec<(Form, f64, f64)> = forms
        .iter()
        .map(|form| {
            let sizes = candidates.iter().filter(|one| one.form == *form);
            let weights: f64 = sizes.map(|one| one.weights.of(Shop::Mixed)).sum();
            (*form, share_of(*form) / of_all, weights)
        })
        .collect();
    (candidates.iter())
        .map(|one| {
            (of_form.iter().find(|(form, _, _)| *form == one.form))
                .map_or(0.0, |(_, share, weights)| {
                    share * one.weights.of(Shop::Mixed) / weights
                })
        })
        .collect()
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

    const fn of(self, shop: Shop) -> f64 {
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
    use crate::designation::Kind;
    use crate::identify::candidates;

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

    #[test]
    fn every_prior_shares_out_all_of_it() {
        let all = candidates(Kind::External);
        let records = Prior::Records(vec![(Form::IsoMetric, 40), (Form::Unj, 3)]);
        for prior in [Prior::Unstated, Prior::Shop(Shop::British), records] {
            for shares in prior.shares(all) {
                assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-9);
                assert!(shares.iter().all(|share| *share > 0.0));
            }
        }
    }

    /// 40 metric records and one more, of 49 with one of each of the nine forms that are candidates.
    #[test]
    fn records_are_counted() {
        let all = candidates(Kind::External);
        let shares = Prior::Records(vec![(Form::IsoMetric, 40)]).shares(all);
        let metric: f64 = (all.iter().zip(&shares[0]))
            .filter(|(one, _)| one.form == Form::IsoMetric)
            .map(|(_, share)| share)
            .sum();
        assert!((metric - 41.0 / 49.0).abs() < 1e-9, "{metric}");
    }
}
