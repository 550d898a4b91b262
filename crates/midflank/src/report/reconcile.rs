//! Where to look first when two results do not agree.

use std::fmt::Write as _;

use metrology::source::Confidence;

use super::small::{indented, item, paragraph, signed, size, small};
use crate::document::{Reconcile, carrier};

/// Causes that are worth a line.
const SHOWN: usize = 5;

/// Least part of the difference that a cause must be likely to give for a line.
const LEAST: f64 = 0.02;

/// Beyond so many standard deviations none of the causes is it.
const BEYOND: f64 = 3.0;

/// The answer, at most 78 columns.
pub fn answer(reconciled: &Reconcile, width: usize) -> String {
    let unit = reconciled.unit;
    let found = &reconciled.reconciliation;
    let mut out = String::new();
    out += &paragraph(&first_words(reconciled), width);
    let [first_method, second_method] = &reconciled.methods;
    let head = format!(
        "{}: first {} by {first_method}, second {} by {second_method}; first less second {}, where {} would be \
         expected and the known causes scatter it by {} (k = 1).",
        reconciled.designation,
        size(reconciled.first_mm, unit),
        size(reconciled.second_mm, unit),
        signed(found.difference_mm, unit),
        signed(found.expected_mm, unit),
        small(scatter(reconciled), unit),
    );
    out += &paragraph(&head, width);
    if found.thimble_turns.is_none() && found.surprise <= BEYOND && !reconciled.agree() {
        out += &causes(reconciled, width);
    }
    for note in &reconciled.notes {
        out += &item(note, width);
    }
    out
}

/// The causes that give much of the difference, and the check that would tell the first.
fn causes(reconciled: &Reconcile, width: usize) -> String {
    let unit = reconciled.unit;
    let difference = reconciled.reconciliation.difference_mm;
    let mut out = String::new();
    let _ = writeln!(
        out,
        "\n  {:<22} {:>13} ± {:<12} {:>12}",
        "in the result", "can give", "(k = 1)", "likely"
    );
    let worth: Vec<_> = reconciled
        .causes()
        .filter(|cause| cause.likely_mm / difference >= LEAST)
        .take(SHOWN)
        .collect();
    for cause in &worth {
        let weak = match cause.confidence {
            Confidence::Weak => "  weak",
            _ => "",
        };
        let _ = writeln!(
            out,
            "  {}\n    {:<20} {:>13} ± {:<12} {:>12}{weak}",
            cause.name,
            carrier(cause),
            signed(cause.expected_mm, unit),
            small(cause.spread_mm, unit),
            signed(cause.likely_mm, unit),
        );
    }
    let more = reconciled.causes().count() - worth.len();
    let _ = writeln!(out, "  and {more} that give less (--json has all)\n");
    if let Some(first) = reconciled.causes().next() {
        out += &indented("would tell  ", first.check, width);
    }
    out
}

/// The verdict: a slip, none of these, nothing to explain, or the first cause.
fn first_words(reconciled: &Reconcile) -> String {
    let unit = reconciled.unit;
    let found = &reconciled.reconciliation;
    if let Some(turns) = found.thimble_turns {
        return format!("READ THE SLEEVE AGAIN: the difference is about {turns}.");
    }
    if found.surprise > BEYOND {
        return format!(
            "NONE OF THESE: the difference is {:.0} times what the known causes scatter together. Look for a mistake: \
             another thread, another wire, a digit, a unit, an unset zero.",
            found.surprise
        );
    }
    if reconciled.agree() {
        return format!(
            "NOTHING TO EXPLAIN: readings that scatter by {} differ as much by themselves.",
            small(reconciled.repeatability_mm, unit)
        );
    }
    reconciled.causes().next().map_or_else(
        || "NO CAUSE IS KNOWN.".to_owned(),
        |cause| format!("LOOK FIRST AT: {} ({}).", cause.name, carrier(cause)),
    )
}

/// All causes together, one standard deviation.
fn scatter(reconciled: &Reconcile) -> f64 {
    reconciled
        .causes()
        .map(|cause| cause.spread_mm * cause.spread_mm)
        .sum::<f64>()
        .sqrt()
}
