//! What a pair of cone and V reads on a thread, for the bench.

use std::fmt::Write as _;

use metrology::effect::Effect;
use metrology::units::LengthUnit;

use super::sentence;
use super::small::{headed, indented, item, paragraph};
use crate::document::{Contacts, Per};
use crate::say;
use crate::words::{self, number};

/// The answer, at most 78 columns.
pub fn answer(contacts: &Contacts, width: usize) -> String {
    let unit = contacts.unit;
    let mut out = String::new();
    let Some(correction) = contacts.correction_mm() else {
        let _ = writeln!(out, "{}", say!("contacts.does-not-fit"));
        let _ = writeln!(out, "{}", contacts.designation);
        let reason = contacts.reason().unwrap_or_default();
        out += &paragraph(&sentence(&reason), width);
        return out;
    };
    let correction = number::effect_to_add(correction, unit);
    let _ = writeln!(out, "{}", say!("contacts.add", correction = correction));
    let _ = writeln!(
        out,
        "{}, {}\n",
        contacts.designation,
        words::word(&contacts.zero)
    );
    for effect in &contacts.effects {
        let _ = writeln!(
            out,
            "  {:<58} {:>13}",
            words::word(&effect.name),
            number::effect_to_add(effect.correction_mm, unit)
        );
        out += &indented("    ", &about(effect), width);
    }
    let _ = writeln!(out);
    if let Some(fit) = fit(contacts) {
        out += &headed(say!("contacts.fit"), HEAD, &fit, width);
    }
    let zero = contacts.zero;
    out += &headed(say!("contacts.zero-takes"), HEAD, zero.takes_out(), width);
    out += &headed(say!("contacts.zero-leaves"), HEAD, zero.leaves(), width);
    let _ = writeln!(out, "\n{}", say!("contacts.for-the-budget"));
    let step = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => 0.00254,
        LengthUnit::Millimetre | LengthUnit::Micrometre => 0.001,
    };
    for line in &contacts.sensitivities {
        let (by, moves) = match line.per {
            Per::Degree => (number::degrees(0.1), line.value * 0.1),
            Per::Length => (number::effect(step, unit), line.value * step),
        };
        let _ = writeln!(
            out,
            "  {:<58} {:>13}",
            say!("contacts.by-of", by = by, cause = words::word(&line.name)),
            number::effect(moves, unit)
        );
    }
    let _ = writeln!(out);
    if let Some(effect) = &contacts.width {
        let add = number::effect_to_add(effect.correction_mm, unit);
        out += &item(&say!("contacts.perfect-width", add = add), width);
    }
    for note in &contacts.notes {
        out += &item(note, width);
    }
    out
}

/// Columns of the head of a line.
const HEAD: usize = 14;

/// What an effect holds for, and where its formula comes from.
fn about(effect: &Effect) -> String {
    say!(
        "effect.about",
        valid_for = words::word(&effect.valid_for),
        source = words::source(effect.source),
        confidence = words::word(&effect.confidence)
    )
}

/// What was checked of the fit.
fn fit(contacts: &Contacts) -> Option<String> {
    let unit = contacts.unit;
    let length = |mm: f64| number::length(crate::document::from_mm(mm, unit), 3, unit);
    let marked = contacts.fit.marked.map(|(from, to)| {
        say!(
            "contacts.pitch-marked",
            pitch = length(contacts.pitch_mm),
            from = length(from),
            to = length(to)
        )
    });
    let clear = contacts
        .fit
        .clearances
        .map(|(tip, crest)| say!("contacts.clear", tip = length(tip), crest = length(crest)));
    let parts: Vec<String> = [marked, clear].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}
