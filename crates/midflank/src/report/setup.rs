//! The advice on a set-up as plain text.

use std::fmt::Write as _;

use metrology::inspection::ContactKind;
use metrology::units::LengthUnit;

use super::text::{WIDTH, wrap};
use crate::document::{Refused, SetUp, SetUpDocument};
use crate::say;

/// The advice, at most 78 columns wide.
pub fn words(document: &SetUpDocument, width: usize) -> String {
    let width = width.clamp(40, WIDTH);
    let unit = document.unit;
    let decimals = usize::try_from(document.decimals).unwrap_or(4);
    let limit =
        |limit: Option<f64>| limit.map_or("none".to_owned(), |limit| format!("{limit:.decimals$}"));
    let mut out = String::new();
    let _ = writeln!(
        out,
        "{}\n  limits {} to {} {unit}",
        document.characteristic,
        limit(document.limits.min),
        limit(document.limits.max)
    );
    for one in &document.set_ups {
        set_up(&mut out, one, unit, width);
    }
    if document.set_ups.is_empty() {
        out.push_str("\nNOTHING OWNED MEASURES THIS\n");
    }
    if !document.wanted.is_empty() {
        out.push_str("\nWhat would be good enough\n");
        for wanted in &document.wanted {
            fold(&mut out, wanted, "  - ", width);
        }
    }
    let _ = writeln!(out, "\nReadings: {}", document.readings);
    fold(&mut out, &document.places, "  ", width);
    if let Some(soak) = &document.soak {
        fold(
            &mut out,
            &format!(
                "soak: {} falls by half in {:.0} min; from {:.1} K to {:.1} K takes about {:.0} min in still air, far less on a \
                 metal plate; read the temperatures, do not count minutes alone",
                soak.material,
                soak.time_constant_minutes * std::f64::consts::LN_2,
                soak.from_kelvins,
                soak.to_kelvins,
                soak.minutes
            ),
            "  ",
            width,
        );
    }
    for advice in &document.advice {
        fold(&mut out, advice, "  ", width);
    }
    refusals(&mut out, "Not to be used", &document.refused, unit, width);
    refusals(
        &mut out,
        "What usual wrong choices would cost",
        &document.wrong_choices,
        unit,
        width,
    );
    out
}

/// One of them: what to do, and what it will give.
fn set_up(out: &mut String, set_up: &SetUp, unit: LengthUnit, width: usize) {
    let share = set_up.share_of_tolerance.map_or(String::new(), |share| {
        format!(", 2U takes {:.0} % of the tolerance", share * 100.0)
    });
    let wires = set_up
        .wires
        .as_ref()
        .map_or(String::new(), |wires| format!("{wires} with "));
    let headline = format!(
        "{wires}{} in {}: U = {}{share}, {}",
        set_up.contacts,
        set_up.instrument,
        small(set_up.expanded_uncertainty, unit),
        set_up.judgement.to_uppercase()
    );
    out.push('\n');
    fold(out, &headline, &format!("{}. ", set_up.rank), width);
    // As the display shows it, whatever the unit of the drawing.
    let display = set_up.display_unit;
    let places = if display == LengthUnit::Inch { 5 } else { 4 };
    let shown = |value: f64| match (unit, display) {
        (LengthUnit::Inch, LengthUnit::Millimetre) => value * 25.4,
        (LengthUnit::Millimetre, LengthUnit::Inch) => value / 25.4,
        _ => value,
    };
    let mut details = vec![
        format!(
            "zero on {}: the display must show {:.places$} {display}",
            set_up.standard,
            shown(set_up.expected_zero_reading)
        ),
        format!(
            "expected reading, middle of the limits: {:.places$} {display}",
            shown(set_up.expected_reading)
        ),
    ];
    details.push(set_up.force_newtons.map_or_else(
        || "measuring force: not stated with the pair or the micrometer".to_owned(),
        |force| format!("measuring force: {force} N"),
    ));
    details.push(format!(
        "largest lines: {}; repeatability taken as {}",
        set_up
            .largest
            .iter()
            .map(|(name, contribution)| format!("{name} {}", small(*contribution, unit)))
            .collect::<Vec<_>>()
            .join("; "),
        small(set_up.repeatability, unit)
    ));
    for detail in details {
        fold(out, &detail, "   ", width);
    }
}

fn refusals(out: &mut String, title: &str, refused: &[Refused], unit: LengthUnit, width: usize) {
    if refused.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{title}");
    // Many pairs are refused for the same reason: said once, behind all of them.
    let off: Vec<_> = refused
        .iter()
        .filter_map(|one| Some((&one.id, one.off_thread?)))
        .collect();
    if !off.is_empty() {
        let named = |(id, kind): &(&String, ContactKind)| {
            let kind = crate::words::word(kind);
            say!("setup.pair-of-kind", id = id, kind = kind)
        };
        let pairs: Vec<_> = off.iter().map(named).collect();
        let words = say!("setup.off-thread", pairs = pairs.join(", "));
        fold(out, &words, "  - ", width);
    }
    for one in refused.iter().filter(|one| one.off_thread.is_none()) {
        let by = one
            .error
            .map_or(String::new(), |error| format!(" [{}]", signed(error, unit)));
        fold(out, &format!("{}{by}: {}", one.id, one.why), "  - ", width);
    }
}

/// A small length as one says it at the bench.
fn small(length: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => format!("{length:.6} in"),
        LengthUnit::Millimetre | LengthUnit::Micrometre => format!("{:.1} µm", length * 1000.0),
    }
}

fn signed(length: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => format!("{length:+.5} in"),
        LengthUnit::Millimetre | LengthUnit::Micrometre => format!("{length:+.3} mm"),
    }
}

/// Words folded, the first line led by a mark and the others set in under it.
fn fold(out: &mut String, words: &str, mark: &str, width: usize) {
    let indent = " ".repeat(mark.chars().count());
    for (index, line) in wrap(words, width.saturating_sub(indent.len()))
        .iter()
        .enumerate()
    {
        let _ = writeln!(out, "{}{line}", if index == 0 { mark } else { &indent });
    }
}
