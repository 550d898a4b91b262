//! Why a GO gauge takes or refuses a thread, in words that a customer understands.

use std::fmt::Write as _;

use metrology::wires::Side;

use super::small::{item, paragraph};
use crate::document::Functional;
use crate::say;
use crate::words::{self, number};

metrology::codes! {
    /// What the gauge does, at the head of the answer.
    pub enum Head "go" {
        Refuses "refuses",
        Passes "passes",
        PassesOutOfLimits "passes-out-of-limits",
    }
}

metrology::codes! {
    /// The GO gauge.
    pub enum Gauge "go-gauge" {
        Ring "ring",
        Plug "plug",
    }
}

/// The answer, at most 78 columns.
pub fn answer(functional: &Functional, width: usize) -> String {
    let unit = functional.unit;
    let mut out = String::new();
    let head = match (functional.go_passes, functional.size_within_limits()) {
        (false, _) => Head::Refuses,
        (true, true) => Head::Passes,
        (true, false) => Head::PassesOutOfLimits,
    };
    let _ = writeln!(out, "{}", words::word(&head));
    let _ = writeln!(out, "{}", functional.designation);
    out += &paragraph(&explanation(functional), width);
    let _ = writeln!(out);
    rows(functional, &mut out);
    let _ = writeln!(out);
    let by_sign = functional.angle_term_by_sign_mm;
    if (by_sign - functional.difference.angle_term_mm).abs() > 1e-4 {
        let cost = number::effect(by_sign, unit);
        out += &item(&say!("functional.by-sign", cost = cost), width);
    }
    out += &item(say!("functional.gauge-at-limit"), width);
    let source = say!(
        "functional.source",
        source = words::source(functional.difference.source),
        confidence = words::word(&functional.difference.confidence)
    );
    out += &item(&source, width);
    for note in &functional.notes {
        out += &item(note, width);
    }
    out
}

/// The numbers, one a line.
fn rows(functional: &Functional, out: &mut String) {
    let unit = functional.unit;
    let difference = &functional.difference;
    let mut row = |name: &dyn std::fmt::Display, value: String| {
        let _ = writeln!(out, "  {:<44} {value:>16}", name.to_string());
    };
    let outward = match functional.side {
        Side::External => 1.0,
        Side::Internal => -1.0,
    };
    row(
        &say!("functional.simple"),
        number::size(functional.size.mm(), unit),
    );
    if difference.pitch_term_mm > 0.0 {
        let error = number::effect(functional.pitch_error_mm.abs(), unit);
        row(
            &say!("functional.of-lead-error", error = error),
            number::effect_to_add(outward * difference.pitch_term_mm, unit),
        );
    }
    if difference.angle_term_mm > 0.0 {
        let (one, other) = half_angles(functional);
        row(
            &say!("functional.of-half-angles", one = one, other = other),
            number::effect_to_add(outward * difference.angle_term_mm, unit),
        );
    }
    row(
        &say!("functional.functional"),
        number::size(functional.felt_mm, unit),
    );
    row(
        &say!("functional.limit"),
        number::size(functional.maximum_material.mm(), unit),
    );
    row(
        &say!("functional.permitted"),
        functional.permitted_pitch_error_mm.map_or_else(
            || say!("functional.none-permitted").to_owned(),
            |error| number::effect(error, unit),
        ),
    );
    if let (Some(permitted), Some(length)) = (
        functional.permitted_pitch_error_mm,
        functional.engagement_mm,
    ) {
        let over = number::short_length(length, unit);
        row(
            &say!("functional.permitted-per-pitch", length = over),
            number::effect(permitted * functional.pitch_mm / length, unit),
        );
    }
}

/// One or two sentences: what the gauge does, although or because, and what costs it.
fn explanation(functional: &Functional) -> String {
    let unit = functional.unit;
    let gauge = words::word(&match functional.side {
        Side::External => Gauge::Ring,
        Side::Internal => Gauge::Plug,
    });
    let size = number::size(functional.size.mm(), unit);
    let costs = costs(functional);
    let room = number::effect(functional.room_mm().abs(), unit);
    let simple_beyond = match functional.side {
        Side::External => functional.size > functional.maximum_material,
        Side::Internal => functional.size < functional.maximum_material,
    };
    match (functional.go_passes, functional.size_within_limits()) {
        (false, true) => match functional.side {
            Side::External => say!(
                "functional.refuses-larger",
                gauge = gauge,
                size = size,
                costs = costs,
                by = room
            ),
            Side::Internal => say!(
                "functional.refuses-smaller",
                gauge = gauge,
                size = size,
                costs = costs,
                by = room
            ),
        },
        (false, false) if simple_beyond && costs.is_empty() => {
            say!("functional.refuses-size", gauge = gauge, size = size)
        }
        (false, false) if simple_beyond => say!(
            "functional.refuses-size-and-form",
            gauge = gauge,
            size = size,
            costs = costs
        ),
        // Below the limits and refused all the same: errors of form larger than the tolerance.
        (false, false) => say!(
            "functional.refuses-form",
            gauge = gauge,
            size = size,
            costs = costs
        ),
        (true, true) if costs.is_empty() => {
            say!(
                "functional.goes-on",
                gauge = gauge,
                size = size,
                room = room
            )
        }
        (true, true) => say!(
            "functional.goes-on-with-errors",
            gauge = gauge,
            size = size,
            room = room,
            costs = costs
        ),
        (true, false) => say!(
            "functional.goes-on-out-of-limits",
            gauge = gauge,
            size = size,
            room = room
        ),
    }
}

/// Which error costs how much; empty when there is none.
fn costs(functional: &Functional) -> String {
    let unit = functional.unit;
    let difference = &functional.difference;
    let mut parts = Vec::new();
    if difference.pitch_term_mm > 0.0 {
        let error = number::effect(functional.pitch_error_mm.abs(), unit);
        let cost = number::effect(difference.pitch_term_mm, unit);
        parts.push(match functional.engagement_mm {
            Some(length) => say!(
                "functional.lead-costs-over",
                error = error,
                length = number::short_length(length, unit),
                cost = cost
            ),
            None => say!("functional.lead-costs", error = error, cost = cost),
        });
    }
    if difference.angle_term_mm > 0.0 {
        let (one, other) = half_angles(functional);
        parts.push(say!(
            "functional.half-angles-cost",
            one = one,
            other = other,
            cost = number::effect(difference.angle_term_mm, unit)
        ));
    }
    words::list(parts)
}

/// The errors of the two half angles, degrees.
fn half_angles(functional: &Functional) -> (String, String) {
    let (one, other) = functional.half_angle_errors;
    let degrees = |error: f64| number::signed_degrees(error, 4);
    (degrees(one), degrees(other))
}
