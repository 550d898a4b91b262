//! Why a GO gauge takes or refuses a thread, in words that a customer understands.

use std::fmt::Write as _;

use metrology::units::LengthUnit;
use metrology::wires::Side;

use super::small::{item, paragraph, signed, size, small};
use crate::document::{Functional, from_mm};

/// The answer, at most 78 columns.
pub fn answer(functional: &Functional, width: usize) -> String {
    let unit = functional.unit;
    let mut out = String::new();
    out += match (functional.go_passes, functional.size_within_limits()) {
        (false, _) => "GO REFUSES\n",
        (true, true) => "GO PASSES\n",
        (true, false) => "GO PASSES, SIZE OUT OF LIMITS\n",
    };
    let _ = writeln!(out, "{}", functional.designation);
    out += &paragraph(&explanation(functional), width);
    let _ = writeln!(out);
    let mut row = |name: &str, value: String| {
        let _ = writeln!(out, "  {name:<44} {value:>16}");
    };
    let outward = match functional.side {
        Side::External => 1.0,
        Side::Internal => -1.0,
    };
    row("simple pitch diameter", size(functional.size.mm(), unit));
    if functional.difference.pitch_term_mm > 0.0 {
        let error = small(functional.pitch_error_mm.abs(), unit);
        let costs = outward * functional.difference.pitch_term_mm;
        row(&format!("{error} of lead error"), signed(costs, unit));
    }
    if functional.difference.angle_term_mm > 0.0 {
        let (one, other) = functional.half_angle_errors;
        let costs = outward * functional.difference.angle_term_mm;
        row(
            &format!("{one:+} and {other:+} degrees of half angle"),
            signed(costs, unit),
        );
    }
    row("functional pitch diameter", size(functional.felt_mm, unit));
    row(
        "maximum-material limit, where GO stands",
        size(functional.maximum_material.mm(), unit),
    );
    row(
        "lead error that would still pass",
        functional
            .permitted_pitch_error_mm
            .map_or_else(|| "none".to_owned(), |error| small(error, unit)),
    );
    if let (Some(permitted), Some(length)) = (
        functional.permitted_pitch_error_mm,
        functional.engagement_mm,
    ) {
        row(
            &format!("  of that for each pitch in {}", long(length, unit)),
            small(permitted * functional.pitch_mm / length, unit),
        );
    }
    let _ = writeln!(out);
    let by_sign = functional.angle_term_by_sign_mm;
    if (by_sign - functional.difference.angle_term_mm).abs() > 1e-4 {
        out += &item(
            &format!(
                "counting each flank only on the side where it sticks out, the half angles cost {}",
                small(by_sign, unit)
            ),
            width,
        );
    }
    out += &item(
        "a real GO gauge has a tolerance and wear of its own; this is the one at the limit",
        width,
    );
    out += &item(
        &format!(
            "{} ({})",
            crate::words::source(functional.difference.source),
            functional.difference.confidence.words()
        ),
        width,
    );
    for note in &functional.notes {
        out += &item(note, width);
    }
    out
}

/// One or two sentences: what the gauge does, although or because, and what costs it.
fn explanation(functional: &Functional) -> String {
    let unit = functional.unit;
    let (gauge, feels) = match functional.side {
        Side::External => ("ring", "larger"),
        Side::Internal => ("plug", "smaller"),
    };
    let measured = size(functional.size.mm(), unit);
    let costs = costs(functional);
    let room = functional.room_mm();
    let simple_beyond = match functional.side {
        Side::External => functional.size > functional.maximum_material,
        Side::Internal => functional.size < functional.maximum_material,
    };
    match (functional.go_passes, functional.size_within_limits()) {
        (false, true) => format!(
            "The {gauge} refuses although {measured} is in limits: {costs}, and the thread feels {} {feels} than the \
             limit.",
            small(-room, unit)
        ),
        (false, false) if simple_beyond => format!(
            "The {gauge} refuses, and {measured} alone is beyond the maximum-material limit already{}.",
            if costs.is_empty() {
                String::new()
            } else {
                format!("; on top, {costs}")
            }
        ),
        // Below the limits and refused all the same: errors of form larger than the tolerance.
        (false, false) => format!(
            "The {gauge} refuses, and {measured} is beyond the other limit as well: {costs}, more than the whole \
             tolerance."
        ),
        (true, true) if costs.is_empty() => format!(
            "The {gauge} goes on: {measured} is in limits and no error of form is given, with {} to spare.",
            small(room, unit)
        ),
        (true, true) => format!(
            "The {gauge} goes on with {} to spare: {measured} is in limits, and {costs}.",
            small(room, unit)
        ),
        (true, false) => format!(
            "The {gauge} goes on with {} to spare, but {measured} is out of limits on the side that GO does not see: \
             NO GO is there to refuse it.",
            small(room, unit)
        ),
    }
}

/// A length of engagement: no more digits than it has.
fn long(mm: f64, unit: LengthUnit) -> String {
    let number = (from_mm(mm, unit) * 1e4).round() / 1e4;
    format!("{number} {unit}")
}

/// Which error costs how much; empty when there is none.
fn costs(functional: &Functional) -> String {
    let unit = functional.unit;
    let difference = &functional.difference;
    let mut parts = Vec::new();
    if difference.pitch_term_mm > 0.0 {
        let over = functional
            .engagement_mm
            .map_or_else(String::new, |length| format!(" of {}", long(length, unit)));
        parts.push(format!(
            "{} of lead error over the engagement{over} costs {}",
            small(functional.pitch_error_mm.abs(), unit),
            small(difference.pitch_term_mm, unit)
        ));
    }
    if difference.angle_term_mm > 0.0 {
        let (one, other) = functional.half_angle_errors;
        parts.push(format!(
            "half angles off by {one:+} and {other:+} degrees cost {}",
            small(difference.angle_term_mm, unit)
        ));
    }
    parts.join(", and ")
}
