//! Readings that lie beyond what a picture is drawn to, and flagged readings that count in the mean: neither is left out in
//! silence.

use super::size;
use crate::document::{Inspected, inspection::Outcome};
use crate::say;
use crate::words::{self, number};

/// A reading beyond one end of a scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OffScale {
    /// Its number on the report, from 1.
    pub number: usize,
    /// Corrected, in the unit of the document.
    pub value: f64,
    /// Whether it lies beyond the upper end.
    pub above: bool,
    pub is_flagged: bool,
}

/// The readings below `low` or above `high`, in the order of the report.
pub fn beyond(result: &Inspected, low: f64, high: f64) -> Vec<OffScale> {
    let readings = (1..).zip(&result.readings);
    readings
        .filter(|(_, reading)| reading.corrected < low || reading.corrected > high)
        .map(|(number, reading)| OffScale {
            number,
            value: reading.corrected,
            above: reading.corrected > high,
            is_flagged: !reading.flags.is_empty(),
        })
        .collect()
}

/// The value of a reading as it stands on a picture, without its unit.
pub fn value(result: &Inspected, value: f64) -> String {
    number::fixed(value, decimals(result))
}

/// Those whose values can stand beside them. `across` is the place of a number as a part of the width, `apart` what a value takes.
pub fn valued(all: &[OffScale], across: impl Fn(usize) -> f64, apart: f64) -> Vec<OffScale> {
    let mut valued: Vec<OffScale> = Vec::new();
    for one in all {
        let is_clear = |other: &OffScale| {
            other.above != one.above || across(one.number) - across(other.number) > apart
        };
        if valued.iter().all(is_clear) {
            valued.push(*one);
        }
    }
    valued
}

/// What stands at an end of a bar: the reading, or how many there are and the farthest of them. Nothing where none lies
/// beyond that end.
pub fn at_end(result: &Inspected, all: &[OffScale], above: bool) -> Option<String> {
    let there: Vec<&OffScale> = all.iter().filter(|one| one.above == above).collect();
    let farthest = there.iter().copied().max_by(|one, other| {
        let order = one.value.total_cmp(&other.value);
        if above { order } else { order.reverse() }
    })?;
    Some(say!(
        "report.off-scale-end",
        n = there.len(),
        number = farthest.number,
        value = value(result, farthest.value)
    ))
}

/// All of them in a sentence; nothing where there are none.
pub fn told(result: &Inspected, all: &[OffScale]) -> Option<String> {
    let one = |one: &OffScale| {
        let value = number::length(one.value, decimals(result), result.unit);
        if one.is_flagged {
            say!(
                "report.off-scale-flagged",
                number = one.number,
                value = value
            )
        } else {
            say!("report.off-scale-one", number = one.number, value = value)
        }
    };
    (!all.is_empty()).then(|| {
        say!(
            "report.off-scale",
            readings = words::list(all.iter().map(one))
        )
    })
}

/// That flagged readings count in the mean, and what it is without them; nothing where none is flagged.
pub fn in_the_mean(result: &Inspected) -> Option<String> {
    let readings = (1..).zip(&result.readings);
    let flagged: Vec<String> = readings
        .filter(|(_, reading)| !reading.flags.is_empty())
        .map(|(number, _): (u32, _)| number.to_string())
        .collect();
    if flagged.is_empty() {
        return None;
    }
    let of = |outcome: &Outcome| {
        let (value, expanded, _) = size(outcome.size.value, outcome.size.expanded_uncertainty);
        format!("{value} ± {expanded} {}", result.unit)
    };
    let (n, mean) = (flagged.len(), of(&result.mean));
    let readings = words::list(flagged);
    Some(match &result.without_flagged {
        Some(without) => say!(
            "report.mean-includes",
            n = n,
            mean = mean,
            readings = readings,
            without = of(without)
        ),
        None => say!(
            "report.mean-includes-alone",
            n = n,
            mean = mean,
            readings = readings
        ),
    })
}

/// One more than the limits are stated to.
fn decimals(result: &Inspected) -> usize {
    usize::try_from(result.decimals).unwrap_or(4) + 1
}
