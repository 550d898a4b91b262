//! One correction: what to add, why, and when not to.

use std::fmt::Write as _;

use super::small::{headed, item};
use crate::document::Correct;
use crate::say;
use crate::words::{self, number};

/// Columns of the head of a line.
const HEAD: usize = 11;

/// The answer, at most 78 columns.
pub fn answer(correct: &Correct, width: usize) -> String {
    let unit = correct.unit;
    let effect = &correct.effect;
    let mut out = String::new();
    let add = number::effect_to_add(effect.correction_mm, unit);
    let _ = writeln!(out, "{}", say!("correct.add", correction = add));
    if let Some(half_width) = correct.half_width_mm {
        let half_width = number::effect(half_width, unit);
        let _ = writeln!(out, "{}", say!("correct.budget", half_width = half_width));
    }
    let _ = writeln!(out);
    out += &headed(
        say!("correct.what"),
        HEAD,
        &words::word(&effect.name),
        width,
    );
    out += &headed(say!("correct.why"), HEAD, &correct.why, width);
    out += &headed(
        say!("correct.valid-for"),
        HEAD,
        &words::word(&effect.valid_for),
        width,
    );
    out += &headed(
        say!("correct.not-when"),
        HEAD,
        &words::word(&correct.instead),
        width,
    );
    let source = say!(
        "correct.where-from",
        source = words::source(effect.source),
        confidence = words::word(&effect.confidence)
    );
    out += &headed(say!("correct.source"), HEAD, &source, width);
    for note in &correct.notes {
        out += &item(note, width);
    }
    out
}
