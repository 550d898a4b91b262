//! Control limits of the ranges and of the means of the parts.

use crate::chart::ChartConstants;

/// Where ranges and means lie if the readings of a part differ by repeatability alone, in the unit of the readings.
///
/// They are one for all operators, from the mean of all ranges, so that an operator who reads less well stands out by them: D3 R̄
/// and D4 R̄ of the ranges, x̄ ± A2 R̄ of the means. Source: measurement systems analysis manual of the car industry, 4th edition
/// (2010), chapter III; from memory, checked by its worked example.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartLimits {
    /// Mean of all readings.
    pub mean: f64,
    /// Mean range of a part by an operator.
    pub mean_range: f64,
    /// Of the means: half their width.
    pub of_means: f64,
    /// Of the ranges: the lower one, 0 with up to six readings of a part.
    pub lower: f64,
    /// Of the ranges: the upper one.
    pub upper: f64,
}

impl PartLimits {
    /// Of the readings of each part by each operator; none where they are not as many of each, fewer than two, too many for
    /// ranges, or all alike.
    pub fn of(cells: &[Vec<f64>]) -> Option<Self> {
        let n = cells.first()?.len();
        let is_even = cells.iter().all(|cell| cell.len() == n);
        let constants = ChartConstants::of(n).filter(|_| is_even)?;
        let of_all = |sum: f64, n: usize| sum / n as f64;
        let ranges = cells.iter().filter_map(|cell| range(cell));
        let mean_range = of_all(ranges.sum(), cells.len());
        let sum = cells.iter().flatten().sum();
        (mean_range > 0.0).then(|| Self {
            mean: of_all(sum, n * cells.len()),
            mean_range,
            of_means: constants.a2() * mean_range,
            lower: constants.lower_of_ranges() * mean_range,
            upper: constants.upper_of_ranges() * mean_range,
        })
    }

    /// Whether a range is beyond them.
    pub fn is_beyond(&self, range: f64) -> bool {
        range > self.upper || range < self.lower
    }
}

/// From the least to the greatest of some readings; none of fewer than two.
pub fn range(values: &[f64]) -> Option<f64> {
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    (values.len() > 1).then_some(most - least)
}
