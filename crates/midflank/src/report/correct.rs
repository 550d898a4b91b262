//! One correction: what to add, why, and when not to.

use std::fmt::Write as _;

use super::small::{indented, item, signed, small};
use crate::document::Correct;

/// The answer, at most 78 columns.
pub fn answer(correct: &Correct, width: usize) -> String {
    let unit = correct.unit;
    let mut out = String::new();
    let _ = writeln!(
        out,
        "add to the reading: {}",
        signed(correct.effect.correction_mm, unit)
    );
    if let Some(half_width) = correct.half_width_mm {
        let _ = writeln!(
            out,
            "for the budget: ±{} (limits, rectangular)",
            small(half_width, unit)
        );
    }
    let _ = writeln!(out);
    out += &indented("what     ", correct.effect.name, width);
    out += &indented("why      ", &correct.why, width);
    out += &indented("for      ", correct.effect.valid_for, width);
    out += &indented("not when ", correct.instead, width);
    let source = format!(
        "{} ({})",
        crate::words::source(correct.effect.source),
        correct.effect.confidence.words()
    );
    out += &indented("source   ", &source, width);
    for note in &correct.notes {
        out += &item(note, width);
    }
    out
}
