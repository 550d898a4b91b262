//! What a pair of cone and V reads on a thread, for the bench.

use std::fmt::Write as _;

use metrology::units::LengthUnit;

use super::sentence;
use super::small::{indented, item, paragraph, signed, small};
use crate::document::{Contacts, Per, from_mm};

/// The answer, at most 78 columns.
pub fn answer(contacts: &Contacts, width: usize) -> String {
    let unit = contacts.unit;
    let mut out = String::new();
    let Some(correction) = contacts.correction_mm() else {
        out += "DOES NOT FIT\n";
        let _ = writeln!(out, "{}", contacts.designation);
        let reason = contacts.fit.misfit.as_deref().unwrap_or_default();
        out += &paragraph(&sentence(reason), width);
        return out;
    };
    let _ = writeln!(out, "add to the reading: {}", signed(correction, unit));
    let _ = writeln!(out, "{}, {}\n", contacts.designation, contacts.zero.words);
    for effect in &contacts.effects {
        let _ = writeln!(
            out,
            "  {:<58} {:>13}",
            effect.name,
            signed(effect.correction_mm, unit)
        );
        let about = format!(
            "{} ({}, {})",
            effect.valid_for,
            crate::words::source(effect.source),
            effect.confidence.words()
        );
        out += &indented("    ", &about, width);
    }
    let _ = writeln!(out);
    if let Some(fit) = fit(contacts) {
        out += &indented("fit         ", &fit, width);
    }
    out += &indented("zero takes  ", contacts.zero.takes_out, width);
    out += &indented("and leaves  ", contacts.zero.leaves, width);
    let _ = writeln!(out, "\nfor the budget, the reading moves by");
    let step = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => 0.00254,
        LengthUnit::Millimetre | LengthUnit::Micrometre => 0.001,
    };
    for line in &contacts.sensitivities {
        let (cause, moves) = match line.per {
            Per::Degree => ("0.1°".to_owned(), line.value * 0.1),
            Per::Length => (small(step, unit), line.value * step),
        };
        let _ = writeln!(
            out,
            "  {:<58} {:>13}",
            format!("{cause} of {}", line.name),
            small(moves, unit)
        );
    }
    let _ = writeln!(out);
    if let Some(effect) = &contacts.width {
        let words = format!(
            "to compare with a thread of perfect spacing, and never with limits of the pitch diameter, add {} for the \
             width of groove and ridge",
            signed(effect.correction_mm, unit)
        );
        out += &item(&words, width);
    }
    for note in &contacts.notes {
        out += &item(note, width);
    }
    out
}

/// What was checked of the fit.
fn fit(contacts: &Contacts) -> Option<String> {
    let unit = contacts.unit;
    let length = |mm: f64| format!("{:.3}", from_mm(mm, unit));
    let marked = contacts.fit.marked.map(|(from, to)| {
        format!(
            "pitch {} is within the {} to {} {unit} marked on the pair",
            length(contacts.pitch_mm),
            length(from),
            length(to)
        )
    });
    let clear = contacts.fit.clearances.map(|(tip, crest)| {
        format!(
            "the tip clears the root by {} and the crest clears the V by {} {unit}",
            length(tip),
            length(crest)
        )
    });
    let parts: Vec<String> = [marked, clear].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}
