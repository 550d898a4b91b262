//! Limit gauges as a table to read at the bench.

use std::fmt::Write as _;

use metrology::gauges::{Gauge, GaugeSet};
use metrology::limits::Limits;
use metrology::units::{Length, LengthUnit};

use super::text::{WIDTH, wrap};

/// The table, in the unit of the designation or the one asked for.
pub fn table(set: &GaugeSet, unit: Option<LengthUnit>, width: usize) -> String {
    let unit = unit.unwrap_or(set.unit);
    let width = width.clamp(40, WIDTH);
    let mut out = String::new();
    let _ = writeln!(
        out,
        "Limit gauges for {}  {}, {unit}",
        set.designation,
        set.kind.key()
    );
    for gauge in &set.gauges {
        let _ = writeln!(
            out,
            "\n  {}  {}",
            gauge.name.replace('-', " "),
            gauge.standard
        );
        for (name, limits) in [
            ("diameter", gauge.diameter),
            ("major diameter", gauge.major),
            ("pitch diameter", gauge.pitch_diameter),
            ("minor diameter", gauge.minor),
        ] {
            if limits != Limits::default() {
                let _ = writeln!(
                    out,
                    "    {name:<16} {:>11} to {:>11}{}",
                    text(limits.lower, unit, set.unit),
                    text(limits.upper, unit, set.unit),
                    worn(gauge, name, unit, set.unit),
                );
            }
        }
        if let Some(line) = form_errors(gauge, unit) {
            let _ = writeln!(out, "    {line}");
        }
        for line in wrap(gauge.direction, width - 4) {
            let _ = writeln!(out, "    {line}");
        }
    }
    out.push('\n');
    let mut notes: Vec<String> = set
        .assumed
        .iter()
        .map(|taken| format!("assumed: {taken}"))
        .collect();
    notes.extend(set.notes.iter().cloned());
    notes.push(format!("confidence: {}", set.confidence.words()));
    for note in notes {
        for (index, line) in wrap(&note, width - 4).iter().enumerate() {
            let _ = writeln!(out, "  {} {line}", if index == 0 { "-" } else { " " });
        }
    }
    out
}

/// Where wear ends the life of a gauge, beside its pitch diameter.
fn worn(gauge: &Gauge, name: &str, unit: LengthUnit, own: LengthUnit) -> String {
    match gauge.wear_limit {
        Some(limit) if name == "pitch diameter" => {
            format!("   worn at {}", text(Some(limit), unit, own))
        }
        _ => String::new(),
    }
}

/// What lead and flank angle may be off by.
fn form_errors(gauge: &Gauge, unit: LengthUnit) -> Option<String> {
    let small = unit.small();
    let lead = gauge.lead_tolerance.map(|lead| {
        let lead = lead.decimal(small).round_dp(1).normalize();
        format!("lead +/- {lead} {small}")
    });
    let angle = gauge
        .half_angle_tolerance
        .map(|minutes| format!("half angle +/- {minutes}'"));
    match (lead, angle) {
        (Some(lead), Some(angle)) => Some(format!("{lead}, {angle}")),
        (one, other) => one.or(other),
    }
}

/// In the gauge's own unit exact, in the other a digit finer.
fn text(limit: Option<Length>, unit: LengthUnit, own: LengthUnit) -> String {
    let Some(limit) = limit else {
        return "-".to_owned();
    };
    if unit == own {
        // A thread gauge to 0.0001 in or 0.1 um at least, a plain gauge as fine as its class.
        let least = if unit == LengthUnit::Inch { 4 } else { 3 };
        let decimals = limit.decimal(unit).scale().clamp(least, 6);
        limit.to_fixed(unit, decimals)
    } else {
        limit.to_fixed(unit, if unit == LengthUnit::Inch { 6 } else { 5 })
    }
}
