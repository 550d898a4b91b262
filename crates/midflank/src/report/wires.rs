//! Wires for a thread as a card to print: sizes, the reading, its limits on one line.

use std::fmt::Write as _;

use metrology::wires::Side;

use super::fine_decimals;
use super::text::wrap;
use crate::document::{Wires, from_mm};

/// The card, at most 78 columns.
pub fn card(wires: &Wires, side: Side, width: usize) -> String {
    let unit = wires.unit;
    let places = fine_decimals(unit);
    let length = |mm: f64| format!("{:.places$} {unit}", from_mm(mm, unit));
    let reading = &wires.reading;
    let (feeler, over) = match side {
        Side::External => ("wire", "over three wires"),
        Side::Internal => ("ball", "between centres of two balls"),
    };
    let mut out = String::new();
    let _ = writeln!(
        out,
        "{}",
        wires
            .designation
            .as_deref()
            .unwrap_or("thread by its geometry")
    );
    if let Some((smallest, largest)) = wires.limits {
        let _ = writeln!(out, "M {over}: {} to {}", length(smallest), length(largest));
    }
    let _ = writeln!(out);
    let mut row = |name: &str, value: String| {
        let _ = writeln!(out, "  {name:<34} {value:>16}");
    };
    row(&format!("best {feeler}"), length(wires.best));
    if let Some((smallest, largest)) = wires.usable {
        row(&format!("smallest {feeler} to use"), length(smallest));
        row(&format!("largest {feeler} to use"), length(largest));
    }
    row(
        &format!("{feeler} taken"),
        length(reading.seat.wire_diameter_mm),
    );
    row("pitch diameter", length(reading.pitch_diameter_mm));
    row(&format!("M, {over}"), length(reading.reading_mm));
    row(
        "of it for the lead angle",
        length(reading.lead_correction_mm),
    );
    row(
        "lead angle at the pitch line",
        format!("{:.4} °", reading.lead_angle.degrees()),
    );
    row(
        &format!("{feeler} leans by"),
        format!("{:.4} °", reading.seat.inclination.degrees()),
    );
    row(
        "it touches at diameter",
        length(2.0 * reading.seat.upper.radius_mm),
    );
    if let Some(correction) = wires.elastic_correction {
        row("add to the reading for the force", length(correction));
    }
    if !wires.comparison.is_empty() {
        let _ = writeln!(
            out,
            "\n  published formulas, for comparison {:>12}  {:>14}",
            "M", "less the exact"
        );
        for row in &wires.comparison {
            let _ = writeln!(
                out,
                "  {:<34} {:>12.places$}  {:>+14.places$}",
                row.formula.name(),
                from_mm(row.reading_mm, unit),
                from_mm(row.difference_mm, unit)
            );
        }
    }
    for (index, (wire, usable)) in wires.owned.iter().enumerate() {
        let words = match (usable, index) {
            (false, _) => "not for this thread",
            (true, 0) => "the best of yours",
            (true, _) => "can be used",
        };
        let _ = writeln!(out, "  {feeler} {}: {words}", length(*wire));
    }
    for note in &wires.notes {
        for (index, line) in wrap(note, width.clamp(40, super::text::WIDTH) - 4)
            .iter()
            .enumerate()
        {
            let _ = writeln!(out, "  {} {line}", if index == 0 { "-" } else { " " });
        }
    }
    out
}
