//! Charts of the means and of the spreads of subgroups.

use super::constants::ChartConstants;
use crate::double_double::{self as exact, DoubleDouble, decimals, squares};

/// Control limits about a centre line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Lower control limit.
    pub lower: f64,
    /// Centre line.
    pub centre: f64,
    /// Upper control limit.
    pub upper: f64,
}

/// What the spread of a subgroup is taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    /// The range, of subgroups of up to [`LARGEST_WITH_RANGE`] values.
    Range,
    /// The standard deviation, of larger ones, of which the range uses too little.
    StandardDeviation,
}

crate::codes! {
    /// What is drawn on a chart.
    pub enum Charted "charted" {
        /// Single values.
        Values "individuals",
        /// Means of subgroups.
        Means "means",
        /// Ranges of subgroups.
        Ranges "ranges",
        /// Standard deviations of subgroups.
        Deviations "deviations",
    }
}

/// The largest subgroup whose spread is its range; common practice.
pub const LARGEST_WITH_RANGE: usize = 10;

/// Charts of means and spreads of subgroups of one size.
#[derive(Clone, Debug, PartialEq)]
pub struct Means {
    /// Values in a subgroup.
    pub size: usize,
    pub spread: Spread,
    /// Mean of each subgroup.
    pub means: Vec<f64>,
    /// Range or standard deviation of each subgroup.
    pub spreads: Vec<f64>,
    /// Limits of the means, x̄ ± A2 R̄ or x̄ ± A3 s̄.
    pub of_means: Limits,
    /// Limits of the spreads, D3 R̄ and D4 R̄ or B3 s̄ and B4 s̄.
    pub of_spreads: Limits,
    /// R̄/d2 or s̄/c4.
    pub standard_deviation: f64,
    /// The probability that the spread of a normal subgroup lies beyond its limits without a cause.
    pub spread_beyond: f64,
}

impl Limits {
    /// Whether a value is beyond one of them.
    pub fn beyond(&self, value: f64) -> bool {
        value < self.lower || value > self.upper
    }
}

impl Means {
    /// From subgroups of one size, 2 to [`LARGEST_SUBGROUP`](super::LARGEST_SUBGROUP) values; `None` of none, and of any other
    /// size.
    ///
    /// Source: NIST/SEMATECH e-Handbook, 6.3.2.1; from memory.
    pub fn of(subgroups: &[Vec<f64>]) -> Option<Self> {
        let size = subgroups.first()?.len();
        if subgroups.iter().any(|group| group.len() != size) {
            return None;
        }
        let constants = ChartConstants::of(size)?;
        let (spread, of_one, per_deviation, reach, [lower, upper]) = if size <= LARGEST_WITH_RANGE {
            let limits = [constants.lower_of_ranges(), constants.upper_of_ranges()];
            let of_one: fn(&[f64]) -> f64 = range;
            (Spread::Range, of_one, constants.d2, constants.a2(), limits)
        } else {
            let limits = [constants.b3(), constants.b4()];
            let of_one: fn(&[f64]) -> f64 = deviation;
            let spread = Spread::StandardDeviation;
            (spread, of_one, constants.c4, constants.a3(), limits)
        };
        let means: Vec<f64> = subgroups.iter().map(|group| mean(group)).collect();
        let spreads: Vec<f64> = subgroups.iter().map(|group| of_one(group)).collect();
        // Of all values: what means of subgroups are rounded to does not add up.
        let (centre, mean_spread) = (mean(&subgroups.concat()), mean(&spreads));
        Some(Self {
            size,
            spread,
            of_means: Limits {
                lower: centre - reach * mean_spread,
                centre,
                upper: centre + reach * mean_spread,
            },
            of_spreads: Limits {
                lower: lower * mean_spread,
                centre: mean_spread,
                upper: upper * mean_spread,
            },
            standard_deviation: mean_spread / per_deviation,
            spread_beyond: match spread {
                Spread::Range => constants.range_beyond(),
                Spread::StandardDeviation => constants.deviation_beyond(),
            },
            means,
            spreads,
        })
    }
}

fn mean(values: &[f64]) -> f64 {
    exact::mean(&decimals(values)).value()
}

/// From the least to the greatest of some values, of the decimals that they stand for.
pub fn range(values: &[f64]) -> f64 {
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    (DoubleDouble::decimal(most) - DoubleDouble::decimal(least)).value()
}

fn deviation(values: &[f64]) -> f64 {
    let squares = squares(&decimals(values));
    (squares / values.len().saturating_sub(1).into())
        .sqrt()
        .value()
}
