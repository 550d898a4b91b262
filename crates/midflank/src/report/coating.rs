//! A coating as lines under the table of limits.

use std::fmt::Write as _;

use metrology::coating::{Coated, State};
use metrology::designation::Kind;
use metrology::limits::{Limits, ThreadLimits};
use metrology::units::{Length, LengthUnit};

use super::text::{WIDTH, wrap};

/// Limits before and after coating, and whether it fits.
pub fn coating_lines(
    thread: &ThreadLimits,
    coated: &Coated,
    unit: Option<LengthUnit>,
    width: usize,
) -> String {
    let unit = unit.unwrap_or(thread.unit);
    let width = width.clamp(40, WIDTH);
    let mut out = String::new();
    let (least, most) = (
        thin(coated.thickness.least, unit),
        thin(coated.thickness.most, unit),
    );
    let range = if least == most {
        most
    } else {
        format!("{least} to {most}")
    };
    let (verb, by) = match thread.kind {
        Kind::External => ("adds", "to"),
        Kind::Internal => ("takes", "off"),
    };
    let _ = writeln!(
        out,
        "\n  coating t of {range}\n  {verb} {} {by} the pitch diameter, 2 t {by} major and minor",
        times(coated.factor),
    );
    let mark = |state| {
        if state == coated.limits_hold {
            "the class"
        } else if state == State::Before {
            "make to"
        } else {
            "at most"
        }
    };
    let _ = writeln!(
        out,
        "  {:<16} {:>21}    {:>21}",
        format!("limits ({unit})"),
        format!("before ({})", mark(State::Before)),
        format!("after ({})", mark(State::After)),
    );
    for (name, before, after) in [
        ("major diameter", coated.before.major, coated.after.major),
        (
            "pitch diameter",
            coated.before.pitch_diameter,
            coated.after.pitch_diameter,
        ),
        ("minor diameter", coated.before.minor, coated.after.minor),
    ] {
        let _ = writeln!(
            out,
            "  {name:<16} {}    {}",
            pair(before, unit),
            pair(after, unit)
        );
    }
    let mut notes: Vec<String> = Vec::new();
    match (&coated.conflict, coated.room) {
        (Some(conflict), _) => notes.push(format!("DOES NOT FIT: {conflict}")),
        (None, Some(room)) => notes.push(format!("fits: up to {} would", thin(room, unit))),
        (None, None) => notes.push("fits, if the thread is made to the limits before".to_owned()),
    }
    notes.extend(
        coated
            .assumed
            .iter()
            .map(|taken| format!("assumed: {taken}")),
    );
    notes.extend(coated.notes.iter().cloned());
    for note in notes {
        for (index, line) in wrap(&note, width - 4).iter().enumerate() {
            let _ = writeln!(out, "  {} {line}", if index == 0 { "-" } else { " " });
        }
    }
    out
}

/// `4 t`, or more decimals where the flanks ask for them.
fn times(factor: f64) -> String {
    let text = format!("{factor:.3}");
    format!("{} t", text.trim_end_matches('0').trim_end_matches('.'))
}

/// A thickness, in micrometres or inches.
fn thin(length: Length, unit: LengthUnit) -> String {
    let (unit, decimals) = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => (LengthUnit::Inch, 6),
        LengthUnit::Millimetre | LengthUnit::Micrometre => (LengthUnit::Micrometre, 2),
    };
    format!(
        "{} {unit}",
        length.decimal(unit).round_dp(decimals).normalize()
    )
}

/// Both limits, a digit finer than the standard's own: computed limits are not round.
fn pair(limits: Limits, unit: LengthUnit) -> String {
    let decimals = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => 5,
        LengthUnit::Millimetre | LengthUnit::Micrometre => 4,
    };
    let text = |limit: Option<Length>| {
        limit.map_or("-".to_owned(), |limit| limit.to_fixed(unit, decimals))
    };
    format!("{:>10} {:>10}", text(limits.lower), text(limits.upper))
}
