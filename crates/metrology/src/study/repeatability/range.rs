//! The average-and-range method.

use super::super::error::StudyError;
use super::Components;
use super::layout::{Design, Layout};
use crate::chart::{ChartConstants, LARGEST_SUBGROUP};

/// Constants of the range method, what mean ranges are multiplied by to give standard deviations: computed, and rounded to four
/// decimals as the manual has them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RangeConstants {
    /// 1/d2 of the trials.
    pub k1: f64,
    /// 1/d2* of the operators, one range.
    pub k2: f64,
    /// 1/d2* of the parts, one range.
    pub k3: f64,
    /// Mean range of the trials.
    pub mean_range: f64,
    /// D4 times the mean range: a range above it says that something went wrong in that cell.
    pub range_limit: f64,
    /// How many ranges are above it.
    pub ranges_above: usize,
}

pub(super) fn evaluate(layout: &Layout) -> Result<(Components, RangeConstants), StudyError> {
    if layout.design == Design::Nested {
        return Err(StudyError::RangeOfNested);
    }
    let (operators, parts, trials) = (layout.operators(), layout.parts(), layout.trials());
    let constants = |n| {
        ChartConstants::of(n).ok_or(StudyError::LargeSubgroups {
            n,
            largest: LARGEST_SUBGROUP,
        })
    };
    let of_trials = constants(trials)?;
    // Four decimals, as the forms of the manual print them: its results are found again to their last digit.
    let printed = |factor: f64| (factor * 1e4).round() / 1e4;
    let (k1, k2, k3) = (
        printed(1.0 / of_trials.d2),
        printed(1.0 / constants(operators)?.d2_star(1)),
        printed(1.0 / constants(parts)?.d2_star(1)),
    );
    // Cells by operator and part, as distances from the first reading.
    let origin = layout.cells.iter().flatten().flatten().next().copied();
    let cells: Vec<Vec<Vec<f64>>> = layout
        .cells
        .iter()
        .map(|own| {
            own.iter()
                .map(|cell| {
                    cell.iter()
                        .map(|value| (*value - origin.unwrap_or(*value)).value())
                        .collect()
                })
                .collect()
        })
        .collect();
    let ranges: Vec<f64> = cells.iter().flatten().map(|cell| range(cell)).collect();
    let mean_range = mean(&ranges);
    let of_operators: Vec<f64> = cells.iter().map(|own| mean(&own.concat())).collect();
    let of_parts: Vec<f64> = (0..parts)
        .map(|part| {
            let all = cells.iter().filter_map(|own| own.get(part));
            mean(&all.flatten().copied().collect::<Vec<f64>>())
        })
        .collect();
    let repeatability = mean_range * k1;
    let spread = range(&of_operators) * k2;
    let of_mean = repeatability * repeatability / (parts * trials) as f64;
    let part = range(&of_parts) * k3;
    let range_limit = of_trials.upper_of_ranges() * mean_range;
    Ok((
        Components::of([
            repeatability * repeatability,
            spread * spread - of_mean,
            0.0,
            part * part,
        ]),
        RangeConstants {
            k1,
            k2,
            k3,
            mean_range,
            range_limit,
            ranges_above: ranges.iter().filter(|range| **range > range_limit).count(),
        },
    ))
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

fn range(values: &[f64]) -> f64 {
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    most - values.iter().copied().fold(f64::INFINITY, f64::min)
}
