//! Limit gauges as a table to read at the bench.

use std::fmt::Write as _;

use metrology::gauges::{Gauge, GaugeSet};
use metrology::limits::Limits;
use metrology::units::{Length, LengthUnit};

use super::limits::assumed;
use super::small::{indented, item};
use super::text::WIDTH;
use crate::say;
use crate::words::{self, number};

/// The table, in the unit of the designation or the one asked for.
pub fn table(set: &GaugeSet, unit: Option<LengthUnit>, width: usize) -> String {
    let unit = unit.unwrap_or(set.unit);
    let width = width.clamp(40, WIDTH);
    let mut out = String::new();
    let title = say!(
        "gauges.title",
        designation = set.designation,
        kind = words::word(&set.kind),
        unit = unit
    );
    let _ = writeln!(out, "{title}");
    for gauge in &set.gauges {
        let _ = writeln!(out, "\n  {}  {}", words::word(&gauge.name), gauge.standard);
        for (name, limits, wear_limit) in [
            (say!("gauges.diameter"), gauge.diameter, None),
            (say!("limits-table.major"), gauge.major, None),
            (
                say!("limits-table.pitch-diameter"),
                gauge.pitch_diameter,
                gauge.wear_limit,
            ),
            (say!("limits-table.minor"), gauge.minor, None),
        ] {
            if limits != Limits::default() {
                let range = say!(
                    "gauges.from-to",
                    lower = format!("{:>11}", text(limits.lower, unit, set.unit)),
                    upper = format!("{:>11}", text(limits.upper, unit, set.unit))
                );
                let worn = wear_limit.map_or(String::new(), |limit| {
                    let limit = text(Some(limit), unit, set.unit);
                    format!("   {}", say!("gauges.worn-at", limit = limit))
                });
                let _ = writeln!(out, "    {name:<16} {range}{worn}");
            }
        }
        if let Some(line) = form_errors(gauge, unit) {
            let _ = writeln!(out, "    {line}");
        }
        out += &indented("    ", &words::word(&gauge.direction), width);
    }
    out.push('\n');
    let mut notes: Vec<String> = assumed(&set.assumed).collect();
    notes.extend(words::all_said(&set.notes));
    let confidence = words::word(&set.confidence);
    notes.push(say!("gauges.confidence", confidence = confidence));
    for note in notes {
        out += &item(&note, width);
    }
    out
}

/// What lead and flank angle may be off by.
pub fn form_errors(gauge: &Gauge, unit: LengthUnit) -> Option<String> {
    let small = unit.small();
    let lead = gauge.lead_tolerance.map(|lead| {
        let lead = lead.decimal(small).round_dp(1).normalize().to_string();
        let lead = format!("{} {small}", number::localized(&lead));
        say!("gauges.lead", tolerance = lead)
    });
    let angle = gauge.half_angle_tolerance.map(|minutes| {
        let minutes = number::minutes_of_arc(minutes);
        say!("gauges.half-angle", tolerance = minutes)
    });
    match (lead, angle) {
        (Some(lead), Some(angle)) => Some(say!(
            "gauges.lead-and-half-angle",
            lead = lead,
            half_angle = angle
        )),
        (one, other) => one.or(other),
    }
}

/// In the gauge's own unit exact, in the other a digit finer.
pub fn text(limit: Option<Length>, unit: LengthUnit, own: LengthUnit) -> String {
    let Some(limit) = limit else {
        return "-".to_owned();
    };
    if unit == own {
        // A thread gauge to 0.0001 in or 0.1 um at least, a plain gauge as fine as its class.
        let least = if unit == LengthUnit::Inch { 4 } else { 3 };
        let decimals = limit.decimal(unit).scale().clamp(least, 6);
        number::rounded(limit, unit, decimals)
    } else {
        let decimals = if unit == LengthUnit::Inch { 6 } else { 5 };
        number::rounded(limit, unit, decimals)
    }
}
