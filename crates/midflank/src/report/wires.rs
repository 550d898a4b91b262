//! Wires for a thread as a card to print: sizes, the reading, its limits on one line.

use std::fmt::{Display, Write as _};

use metrology::units::LengthUnit;
use metrology::wires::Side;

use super::fine_decimals;
use super::small::item;
use crate::document::{Wires, from_mm};
use crate::say;
use crate::words::{self, number};

metrology::codes! {
    /// A line of the card for wires over an external thread.
    pub enum Wire "wires-line" {
        Over "over",
        Best "best",
        Smallest "smallest",
        Largest "largest",
        Taken "taken",
        Reading "reading",
        Leans "leans",
    }
}

metrology::codes! {
    /// The same for balls in an internal thread.
    pub enum Ball "balls-line" {
        Over "over",
        Best "best",
        Smallest "smallest",
        Largest "largest",
        Taken "taken",
        Reading "reading",
    }
}

/// A length with the decimals of the card.
pub fn fine_length(mm: f64, unit: LengthUnit) -> String {
    number::length(from_mm(mm, unit), fine_decimals(unit), unit)
}

/// The words of a line for wires or balls.
pub fn line(side: Side, wire: Wire, ball: Ball) -> String {
    match side {
        Side::External => words::word(&wire),
        Side::Internal => words::word(&ball),
    }
}

/// The card, at most 78 columns.
pub fn card(wires: &Wires, side: Side, width: usize) -> String {
    let unit = wires.unit;
    let length = |mm: f64| fine_length(mm, unit);
    let mut out = String::new();
    match &wires.designation {
        Some(designation) => out += designation,
        None => out += say!("wires.by-geometry"),
    }
    out.push('\n');
    if let Some((smallest, largest)) = wires.limits_to_keep() {
        let limits = say!(
            "wires.limits",
            over = line(side, Wire::Over, Ball::Over),
            smallest = length(smallest),
            largest = length(largest)
        );
        let _ = writeln!(out, "{limits}");
    }
    let _ = writeln!(out);
    rows(wires, side, &mut out);
    comparison(wires, &mut out);
    for (index, (wire, usable)) in wires.owned.iter().enumerate() {
        let wire = length(*wire);
        let owned = match (usable, index) {
            (false, _) => say!("wires.owned-not", wire = wire),
            (true, 0) => say!("wires.owned-best", wire = wire),
            (true, _) => say!("wires.owned-usable", wire = wire),
        };
        let _ = writeln!(out, "  {owned}");
    }
    for note in &wires.notes {
        out += &item(note, width);
    }
    out
}

/// The numbers, one a line.
fn rows(wires: &Wires, side: Side, out: &mut String) {
    let unit = wires.unit;
    let length = |mm: f64| fine_length(mm, unit);
    let degrees = |degrees: f64| number::fixed_degrees(degrees, 4);
    let reading = &wires.reading;
    let mut row = |name: &dyn Display, value: String| {
        let _ = writeln!(out, "  {:<34} {value:>16}", name.to_string());
    };
    row(&line(side, Wire::Best, Ball::Best), length(wires.best));
    if let Some((smallest, largest)) = wires.usable {
        row(
            &line(side, Wire::Smallest, Ball::Smallest),
            length(smallest),
        );
        row(&line(side, Wire::Largest, Ball::Largest), length(largest));
    }
    row(
        &line(side, Wire::Taken, Ball::Taken),
        length(reading.seat.wire_diameter_mm),
    );
    row(
        &say!("wires.pitch-diameter"),
        length(reading.pitch_diameter_mm),
    );
    row(
        &line(side, Wire::Reading, Ball::Reading),
        length(reading.reading_mm),
    );
    if let Some((_, straight)) = wires.straight {
        row(&say!("wires.straight"), length(straight));
    }
    if let Some((_, correction)) = wires.plane {
        row(&say!("wires.for-taper"), length(correction));
    }
    row(&say!("wires.for-lead"), length(reading.lead_correction_mm));
    row(
        &say!("wires.lead-angle"),
        degrees(reading.lead_angle.degrees()),
    );
    // A ball has no direction to lean to.
    if side == Side::External {
        row(
            &words::word(&Wire::Leans),
            degrees(reading.seat.inclination.degrees()),
        );
    }
    row(
        &say!("wires.touches"),
        length(2.0 * reading.seat.upper.radius_mm),
    );
    if let Some(correction) = wires.elastic_correction {
        row(&say!("wires.for-force"), length(correction));
    }
}

/// What published formulas would give.
fn comparison(wires: &Wires, out: &mut String) {
    if wires.comparison.is_empty() {
        return;
    }
    let places = fine_decimals(wires.unit);
    let _ = writeln!(
        out,
        "\n  {:<34} {:>12}  {:>14}",
        say!("wires.formulas"),
        "M",
        say!("wires.less-exact")
    );
    for row in &wires.comparison {
        let _ = writeln!(
            out,
            "  {:<34} {:>12}  {:>14}",
            words::word(&row.formula),
            number::fixed(from_mm(row.reading_mm, wires.unit), places),
            number::signed(from_mm(row.difference_mm, wires.unit), places)
        );
    }
}
