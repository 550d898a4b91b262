//! Limits of threads and of gauges against printed rows and cells.

use csv::StringRecord;

use super::{Comparison, cell, half_digit, rows};
use crate::designation::parse;
use crate::gauges::{Gauge, GaugeClass, gauges};
use crate::limits::{Limits, ThreadLimits};
use crate::units::{Length, LengthUnit};

/// Columns of a row of limits, after those that name the thread.
const CELLS: [&str; 7] = [
    "allowance",
    "major_max",
    "major_min",
    "pitch_max",
    "pitch_min",
    "minor_max",
    "minor_min",
];

pub(super) fn unified() -> Vec<Comparison> {
    // The minor diameter of a bolt is a reference, printed to 0.0002 in.
    of_rows(
        include_str!("cases/unified_limits.csv"),
        1,
        0.00025,
        |row| format!("{}-{}", cell(row, 0), cell(row, 1)),
    )
}

pub(super) fn metric() -> Vec<Comparison> {
    // Printings differ by 0.001 mm in the minor diameter of a rounded root.
    of_rows(
        include_str!("cases/metric_limits.csv"),
        1000,
        0.0015,
        |row| cell(row, 0).to_owned(),
    )
}

/// `per_unit` says how many of the column with the allowance are one unit of the others: metric rows have deviations in
/// micrometres, negative for a bolt.
fn of_rows(
    text: &'static str,
    per_unit: u32,
    of_external_minor: f64,
    designation: impl Fn(&StringRecord) -> String,
) -> Vec<Comparison> {
    let mut all = Vec::new();
    for row in rows(text) {
        let designation = designation(&row);
        let external = cell(&row, 2) == "external";
        let thread = limits(&designation);
        for (index, name) in CELLS.iter().enumerate() {
            let printed = cell(&row, index + 3);
            // The tables of nuts have no allowance.
            let is_allowance = index == 0;
            if printed.is_empty() || (is_allowance && !external) {
                continue;
            }
            let allowed = if external && name.starts_with("minor") {
                of_external_minor
            } else {
                half_digit(printed)
            };
            let scale = if is_allowance {
                f64::from(per_unit)
            } else {
                1.0
            };
            let published = printed.parse().ok().map(|value: f64| {
                if is_allowance {
                    value.abs() / scale
                } else {
                    value
                }
            });
            all.push(Comparison::of_numbers(
                format!("{designation} {name}"),
                published,
                thread.as_ref().and_then(|thread| answered(thread, name)),
                allowed / scale,
            ));
        }
    }
    all
}

pub(super) fn single() -> Vec<Comparison> {
    rows(include_str!("cases/published_cells.csv"))
        .map(|row| {
            let (designation, name, printed) = (cell(&row, 0), cell(&row, 1), cell(&row, 2));
            let allowed = if cell(&row, 4).ends_with("within 0.001") {
                0.0015
            } else {
                half_digit(printed)
            };
            Comparison::of_numbers(
                format!("{designation} {name}"),
                printed.parse().ok(),
                limits(designation).and_then(|thread| answered(&thread, name)),
                allowed,
            )
        })
        .collect()
}

/// Both limits of every worked example; one where they are one value.
pub(super) fn gauges_of_examples() -> Vec<Comparison> {
    let mut all = Vec::new();
    for row in rows(include_str!("cases/gauges.csv")) {
        let (designation, gauge, quantity) = (cell(&row, 0), cell(&row, 2), cell(&row, 3));
        let class = match cell(&row, 1) {
            "W" => Some(GaugeClass::W),
            "X" => Some(GaugeClass::X),
            _ => None,
        };
        let found =
            limits(designation).and_then(|thread| gauge_limits(&thread, class, gauge, quantity));
        for (end, column) in [("max", 4), ("min", 5)] {
            let printed = cell(&row, column);
            if end == "min" && printed == cell(&row, 4) {
                continue;
            }
            let of_end = found.and_then(|(limits, unit)| {
                let limit = if end == "max" {
                    limits.upper
                } else {
                    limits.lower
                };
                limit.map(|limit| limit.in_unit(unit))
            });
            all.push(Comparison::of_numbers(
                format!("{designation} {gauge} {quantity} {end}"),
                printed.parse().ok(),
                of_end,
                half_digit(printed),
            ));
        }
    }
    all
}

fn gauge_limits(
    thread: &ThreadLimits,
    class: Option<GaugeClass>,
    gauge: &str,
    quantity: &str,
) -> Option<(Limits, LengthUnit)> {
    let set = gauges(thread, class).ok()?;
    let gauge = set.gauges.iter().find(|one| one.name.key() == gauge)?;
    Some((of_gauge(gauge, quantity)?, set.unit))
}

fn limits(designation: &str) -> Option<ThreadLimits> {
    parse(designation).and_then(|thread| thread.limits()).ok()
}

/// A limit in the unit of its thread.
fn answered(thread: &ThreadLimits, name: &str) -> Option<f64> {
    limit(thread, name)?.map(|length| length.in_unit(thread.unit))
}

/// A limit of a thread by the name that the files of cases have for it: none where there is no such name, and in it none
/// where the standard sets no such limit.
pub fn limit(thread: &ThreadLimits, name: &str) -> Option<Option<Length>> {
    Some(match name {
        "allowance" => Some(thread.allowance),
        "major_max" => thread.major.upper,
        "major_min" => thread.major.lower,
        "pitch_max" => thread.pitch_diameter.upper,
        "pitch_min" => thread.pitch_diameter.lower,
        "minor_max" => thread.minor.upper,
        "minor_min" => thread.minor.lower,
        "hot_rolled" => thread.hot_rolled_major_min,
        "rounded_root" => thread.rounded_root_minor_max,
        _ => return None,
    })
}

/// The limits of a quantity of a gauge, by the name that the file of cases has for it.
pub fn of_gauge(gauge: &Gauge, quantity: &str) -> Option<Limits> {
    match quantity {
        "major" => Some(gauge.major),
        "pitch_diameter" => Some(gauge.pitch_diameter),
        "minor" => Some(gauge.minor),
        "wear_limit" => Some(Limits {
            lower: gauge.wear_limit,
            upper: gauge.wear_limit,
        }),
        _ => None,
    }
}
