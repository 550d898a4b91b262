//! Limits of a thread as a table to read at the bench, in both units.

use std::fmt::Write as _;

use maud::{Markup, html};
use metrology::limits::{Limits, Taper, ThreadLimits};
use metrology::message::Say;
use metrology::source::Confidence;
use metrology::units::{Length, LengthUnit};

use super::range;
use super::small::item;
use crate::document::disputes;
use crate::say;
use crate::words::{self, number};

/// The table; the unit asked for, or else that of the designation, comes first.
///
/// The other unit is converted from the exact limit and rounded once, a digit finer than the limit itself, so that
/// nobody rounds twice.
pub fn table(thread: &ThreadLimits, unit: Option<LengthUnit>, width: usize) -> String {
    let first = unit.unwrap_or(thread.unit);
    let second = first.other();
    let width = width.clamp(40, super::text::WIDTH);
    let mut out = String::new();
    let title = say!(
        "limits-table.thread",
        designation = thread.designation,
        kind = words::word(&thread.kind),
        hand = words::word(&thread.hand)
    );
    let pitch = pitch_text(thread, first);
    let other = number::length(thread.pitch.in_unit(second), 4, second);
    let pitch = if thread.starts == 1 {
        say!("limits-table.pitch", pitch = pitch, other = other)
    } else {
        let starts = thread.starts;
        say!(
            "limits-table.pitch-starts",
            pitch = pitch,
            starts = starts,
            other = other
        )
    };
    let _ = writeln!(out, "{title}\n  {pitch}");
    match &thread.taper {
        Some(taper) => positions(&mut out, taper, first),
        None => diameters(&mut out, thread, first),
    }
    if thread.class.is_empty() {
        out.push('\n');
    } else {
        let allowance = text(Some(thread.allowance), first, thread.unit);
        let line = say!(
            "limits-table.class",
            class = thread.class,
            allowance = format!("{allowance} {first}")
        );
        let _ = writeln!(out, "\n  {line}");
    }
    let sources: Vec<_> = (thread.sources.iter())
        .map(|source| words::source(*source))
        .collect();
    let mut notes = vec![say!("limits-table.by", sources = sources.join(", "))];
    notes.extend(assumed(&thread.assumed));
    notes.extend(weakness(thread.confidence));
    notes.extend(words::all_said(&thread.notes));
    let disputes = disputes(thread).into_iter();
    notes.extend(disputes.map(|dispute| say!("limits-table.disputed", dispute = dispute)));
    for note in notes {
        out += &item(&note, width);
    }
    out
}

/// The same on a page: both units side by side.
pub fn both_units(thread: &ThreadLimits) -> Markup {
    let own = thread.unit;
    html! {
        table aria-label=(say!("bench.limits")) {
            thead { tr {
                th scope="col" { (say!("limits.diameter")) }
                @for unit in [own, own.other()] {
                    th scope="col" class="number" { (say!("limits.least-in", unit = unit)) } th scope="col" class="number" { (say!("limits.most-in", unit = unit)) }
                }
                th scope="col" class="number" { (say!("limits.tolerance-in", unit = own)) }
            } }
            tbody {
                @for (name, limits) in [(say!("limits.major"), thread.major), (say!("limits.pitch"), thread.pitch_diameter), (say!("limits.minor"), thread.minor)] {
                    tr {
                        th scope="row" { (name) }
                        @for unit in [own, own.other()] {
                            td class="number" { (text(limits.lower, unit, own)) } td class="number" { (text(limits.upper, unit, own)) }
                        }
                        td class="number" { @if let Some(tolerance) = limits.tolerance() { (number::rounded(tolerance, own, decimals(own, own))) } }
                    }
                }
            }
        }
    }
}

/// What was left open and what was taken, a line each.
pub fn assumed(all: &[impl Say]) -> impl Iterator<Item = String> {
    all.iter()
        .map(|taken| say!("limits-table.assumed", taken = words::said(taken)))
}

/// What a reader must know of numbers that were not seen in print.
pub fn weakness(confidence: Confidence) -> Option<String> {
    match confidence {
        Confidence::Weak => Some(say!("limits-table.weak").into()),
        Confidence::FormulaBacked => Some(say!("limits-table.formula-backed").into()),
        _ => None,
    }
}

/// The limits of the three diameters, and of the root radius where it is a limit.
fn diameters(out: &mut String, thread: &ThreadLimits, first: LengthUnit) {
    let second = first.other();
    let _ = writeln!(
        out,
        "\n  {:<16} {:>10} {:>10} {:>8}   {:>10} {:>10}",
        say!("limits-table.units", first = first, second = second),
        say!("limits-table.min"),
        say!("limits-table.max"),
        "",
        say!("limits-table.min"),
        say!("limits-table.max")
    );
    for (name, limits) in [
        (say!("limits-table.major"), Some(thread.major)),
        (
            say!("limits-table.pitch-diameter"),
            Some(thread.pitch_diameter),
        ),
        (say!("limits-table.minor"), Some(thread.minor)),
        (
            say!("limits-table.root-radius"),
            Some(thread.root_radius).filter(|limits| *limits != Limits::default()),
        ),
    ] {
        let Some(limits) = limits else { continue };
        let _ = writeln!(
            out,
            "  {name:<16} {:>10} {:>10} {:>8}   {:>10} {:>10}",
            text(limits.lower, first, thread.unit),
            text(limits.upper, first, thread.unit),
            tolerance(limits, first, thread.unit),
            text(limits.lower, second, thread.unit),
            text(limits.upper, second, thread.unit),
        );
    }
}

/// The diameters of a taper thread, each at its place.
fn positions(out: &mut String, taper: &Taper, first: LengthUnit) {
    let digits = |unit| if unit == LengthUnit::Inch { 5 } else { 4 };
    for unit in [first, first.other()] {
        let _ = writeln!(
            out,
            "\n  {:<16} {:>10} {:>10} {:>10} {:>10}   {}",
            say!("limits-table.at", unit = unit),
            say!("limits-table.from-end"),
            say!("limits-table.at-pitch"),
            say!("limits-table.at-major"),
            say!("limits-table.at-minor"),
            say!("limits-table.at-tolerance")
        );
        for position in &taper.positions {
            let text = |length: Length| number::rounded(length, unit, digits(unit));
            let off = position.tolerance.map_or(String::new(), |tolerance| {
                format!("   \u{b1}{}", text(tolerance))
            });
            let _ = writeln!(
                out,
                "  {:<16} {:>10} {:>10} {:>10} {:>10}{off}",
                words::word(&position.name),
                text(position.at),
                text(position.pitch_diameter),
                text(position.major),
                text(position.minor),
            );
        }
    }
}

/// Both limits in a unit, rounded once from the exact ones: `0.2127 to 0.2164 in`, `at most 0.1894 in`.
pub fn range_text(limits: Limits, unit: LengthUnit, own: LengthUnit) -> String {
    let one = |limit: Option<Length>| limit.map(|limit| text(Some(limit), unit, own));
    match range(one(limits.lower), one(limits.upper)) {
        range if range.is_empty() => say!("limits-table.not-set").into(),
        range => format!("{range} {unit}"),
    }
}

/// The pitch as the designation has it.
pub(super) fn pitch_text(thread: &ThreadLimits, unit: LengthUnit) -> String {
    match thread.pitch {
        metrology::units::Pitch::PerInch(count) if unit == LengthUnit::Inch => {
            number::localized(&format!("1/{count} in"))
        }
        pitch if unit == LengthUnit::Inch => number::length(pitch.in_unit(unit), 5, unit),
        pitch => format!(
            "{} {unit}",
            number::localized(&pitch.in_unit(unit).to_string())
        ),
    }
}

/// Decimals for a limit in a unit: as the standard rounds it in its own, a digit finer in the other.
pub const fn decimals(unit: LengthUnit, own: LengthUnit) -> u32 {
    match (unit, own) {
        (LengthUnit::Inch | LengthUnit::Millimetre, LengthUnit::Inch) => 4,
        (LengthUnit::Inch, _) => 5,
        _ => 3,
    }
}

/// A limit, rounded once.
pub fn text(limit: Option<Length>, unit: LengthUnit, own: LengthUnit) -> String {
    limit.map_or("-".to_owned(), |limit| {
        number::rounded(limit, unit, decimals(unit, own))
    })
}

fn tolerance(limits: Limits, unit: LengthUnit, own: LengthUnit) -> String {
    limits.tolerance().map_or(String::new(), |tolerance| {
        let tolerance = number::rounded(tolerance, unit, decimals(unit, own));
        say!("limits-table.tolerance", tolerance = tolerance)
    })
}
