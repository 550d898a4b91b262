//! Charts of means and ranges of subgroups.

use super::constants::ChartConstants;

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

/// Charts of means and ranges of subgroups of one size.
#[derive(Clone, Debug, PartialEq)]
pub struct MeansAndRanges {
    /// Values in a subgroup.
    pub size: usize,
    /// Mean of each subgroup.
    pub means: Vec<f64>,
    /// Range of each subgroup.
    pub ranges: Vec<f64>,
    /// Limits of the means, x̄ ± A2 R̄.
    pub of_means: Limits,
    /// Limits of the ranges, D3 R̄ and D4 R̄.
    pub of_ranges: Limits,
    /// R̄/d2.
    pub standard_deviation: f64,
}

impl Limits {
    /// Whether a value is beyond one of them.
    pub fn beyond(&self, value: f64) -> bool {
        value < self.lower || value > self.upper
    }
}

impl MeansAndRanges {
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
        let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
        let range = |values: &[f64]| {
            let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            most - values.iter().copied().fold(f64::INFINITY, f64::min)
        };
        let means: Vec<f64> = subgroups.iter().map(|group| mean(group)).collect();
        let ranges: Vec<f64> = subgroups.iter().map(|group| range(group)).collect();
        let (centre, mean_range) = (mean(&means), mean(&ranges));
        let reach = constants.a2() * mean_range;
        Some(Self {
            size,
            of_means: Limits {
                lower: centre - reach,
                centre,
                upper: centre + reach,
            },
            of_ranges: Limits {
                lower: constants.lower_of_ranges() * mean_range,
                centre: mean_range,
                upper: constants.upper_of_ranges() * mean_range,
            },
            standard_deviation: mean_range / constants.d2,
            means,
            ranges,
        })
    }
}
