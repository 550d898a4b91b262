//! Where to look first when two results do not agree.

use std::fmt::Write as _;

use metrology::source::Confidence;

use super::small::{headed, item, paragraph};
use crate::document::Reconcile;
use crate::say;
use crate::words::{self, number};

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
    let head = say!(
        "reconcile.head",
        designation = reconciled.designation,
        first = number::size(reconciled.first_mm, unit),
        first_method = first_method,
        second = number::size(reconciled.second_mm, unit),
        second_method = second_method,
        difference = number::effect_to_add(found.difference_mm, unit),
        expected = number::effect_to_add(found.expected_mm, unit),
        deviation = number::effect(scatter(reconciled), unit)
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
        say!("reconcile.in-result"),
        say!("reconcile.can-give"),
        "(k = 1)",
        say!("reconcile.likely")
    );
    let worth: Vec<_> = reconciled
        .causes()
        .filter(|cause| cause.likely_mm / difference >= LEAST)
        .take(SHOWN)
        .collect();
    for cause in &worth {
        let _ = write!(
            out,
            "  {}\n    {:<20} {:>13} ± {:<12} {:>12}",
            words::word(&cause.name),
            words::word(&cause.carrier),
            number::effect_to_add(cause.expected_mm, unit),
            number::effect(cause.spread_mm, unit),
            number::effect_to_add(cause.likely_mm, unit),
        );
        if cause.confidence == Confidence::Weak {
            let _ = write!(out, "  {}", say!("reconcile.weak"));
        }
        let _ = writeln!(out);
    }
    let more = reconciled.causes().count() - worth.len();
    let _ = writeln!(
        out,
        "  {}\n",
        say!("reconcile.more", n = more, option = "--json")
    );
    if let Some(first) = reconciled.causes().next() {
        out += &headed(
            say!("reconcile.would-tell"),
            12,
            &words::word(&first.check),
            width,
        );
    }
    out
}

/// The verdict: a slip, none of these, nothing to explain, or the first cause.
fn first_words(reconciled: &Reconcile) -> String {
    let unit = reconciled.unit;
    let found = &reconciled.reconciliation;
    if let Some(turns) = found.thimble_turns {
        return say!("reconcile.sleeve", turns = words::word(&turns));
    }
    if found.surprise > BEYOND {
        return say!(
            "reconcile.none-of-these",
            times = number::fixed(found.surprise, 0)
        );
    }
    if reconciled.agree() {
        return say!(
            "reconcile.agree",
            deviation = number::effect(reconciled.repeatability_mm, unit)
        );
    }
    reconciled.causes().next().map_or_else(
        || say!("reconcile.no-cause").to_owned(),
        |cause| {
            say!(
                "reconcile.look-first",
                cause = words::word(&cause.name),
                carrier = words::word(&cause.carrier)
            )
        },
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
