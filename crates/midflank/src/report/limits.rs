//! Limits of a thread as a table to read at the bench, in both units.

use crate::say;
use std::fmt::Write as _;

use maud::{Markup, html};
use metrology::limits::{Limits, Taper, ThreadLimits};
use metrology::source::Confidence;
use metrology::units::{Length, LengthUnit};

use super::range;
use super::text::wrap;

/// The table; the unit asked for, or else that of the designation, comes first.
///
/// The other unit is converted from the exact limit and rounded once, a digit finer than the limit itself, so that
/// nobody rounds twice.
pub fn table(thread: &ThreadLimits, unit: Option<LengthUnit>, width: usize) -> String {
    let first = unit.unwrap_or(thread.unit);
    let second = first.other();
    let width = width.clamp(40, super::text::WIDTH);
    let mut out = String::new();
    let side = thread.kind.key();
    let _ = writeln!(
        out,
        "{}  {side}, {}-hand",
        thread.designation,
        thread.hand.key()
    );
    let starts = if thread.starts == 1 {
        String::new()
    } else {
        format!(", {} starts", thread.starts)
    };
    let _ = writeln!(
        out,
        "  pitch {}{starts}, or {:.4} {second}",
        pitch_text(thread, first),
        thread.pitch.in_unit(second)
    );
    match &thread.taper {
        Some(taper) => positions(&mut out, taper, first),
        None => diameters(&mut out, thread, first),
    }
    if thread.class.is_empty() {
        out.push('\n');
    } else {
        let _ = writeln!(
            out,
            "\n  class {}, allowance {} {first}",
            thread.class,
            thread
                .allowance
                .to_fixed(first, decimals(first, thread.unit))
        );
    }
    let mut notes = vec![format!(
        "by {}",
        thread
            .sources
            .iter()
            .map(|source| crate::words::source(*source))
            .collect::<Vec<_>>()
            .join(", ")
    )];
    notes.extend(
        thread
            .assumed
            .iter()
            .map(|taken| format!("assumed: {taken}")),
    );
    notes.extend(weakness(thread.confidence).map(str::to_owned));
    notes.extend(thread.notes.iter().cloned());
    notes.extend(
        thread
            .disputes
            .iter()
            .map(|dispute| format!("disputed: {dispute}")),
    );
    for note in notes {
        for (index, line) in wrap(&note, width - 4).iter().enumerate() {
            let _ = writeln!(out, "  {} {line}", if index == 0 { "-" } else { " " });
        }
    }
    out
}

/// The same on a page: both units side by side.
pub fn both_units(thread: &ThreadLimits) -> Markup {
    let own = thread.unit;
    html! {
        table {
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
                        td class="number" { @if let Some(tolerance) = limits.tolerance() { (tolerance.to_fixed(own, decimals(own, own))) } }
                    }
                }
            }
        }
    }
}

/// What a reader must know of numbers that were not seen in print.
const fn weakness(confidence: Confidence) -> Option<&'static str> {
    match confidence {
        Confidence::Weak => Some(
            "confidence: weak. At least one number behind these limits is from memory and was not seen in print; \
             check it against the standard before a certificate depends on it.",
        ),
        Confidence::FormulaBacked => {
            Some("confidence: calculated by formula, and not seen as printed limits")
        }
        _ => None,
    }
}

/// The limits of the three diameters, and of the root radius where it is a limit.
fn diameters(out: &mut String, thread: &ThreadLimits, first: LengthUnit) {
    let second = first.other();
    let _ = writeln!(
        out,
        "\n  {:<16} {:>10} {:>10} {:>8}   {:>10} {:>10}",
        format!("limits ({first}, {second})"),
        "min",
        "max",
        "",
        "min",
        "max"
    );
    for (name, limits) in [
        ("major diameter", thread.major),
        ("pitch diameter", thread.pitch_diameter),
        ("minor diameter", thread.minor),
        ("root radius", thread.root_radius),
    ] {
        if name == "root radius" && limits == Limits::default() {
            continue;
        }
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
            "\n  {:<16} {:>10} {:>10} {:>10} {:>10}   (pitch dia)",
            format!("at ({unit})"),
            "from end",
            "pitch dia",
            "major",
            "minor"
        );
        for position in &taper.positions {
            let text = |length: Length| length.to_fixed(unit, digits(unit));
            let off = position.tolerance.map_or(String::new(), |tolerance| {
                format!("   \u{b1}{}", text(tolerance))
            });
            let _ = writeln!(
                out,
                "  {:<16} {:>10} {:>10} {:>10} {:>10}{off}",
                position.name,
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
        range if range.is_empty() => "not set".to_owned(),
        range => format!("{range} {unit}"),
    }
}

/// The pitch as the designation has it.
pub(super) fn pitch_text(thread: &ThreadLimits, unit: LengthUnit) -> String {
    match thread.pitch {
        metrology::units::Pitch::PerInch(count) if unit == LengthUnit::Inch => {
            format!("1/{count} in")
        }
        pitch if unit == LengthUnit::Inch => format!("{:.5} {unit}", pitch.in_unit(unit)),
        pitch => format!("{} {unit}", pitch.in_unit(unit)),
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

fn text(limit: Option<Length>, unit: LengthUnit, own: LengthUnit) -> String {
    limit.map_or("-".to_owned(), |limit| {
        limit.to_fixed(unit, decimals(unit, own))
    })
}

fn tolerance(limits: Limits, unit: LengthUnit, own: LengthUnit) -> String {
    limits.tolerance().map_or(String::new(), |tolerance| {
        format!("T {}", tolerance.to_fixed(unit, decimals(unit, own)))
    })
}
