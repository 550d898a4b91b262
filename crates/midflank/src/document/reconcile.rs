//! `midflank reconcile`: the ranked causes of a difference.

use metrology::reconcile::{Cause, Reconciliation};
use metrology::source::Confidence;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::from_mm;
use crate::words;

/// What is said of two results; lengths in millimetres.
pub struct Reconcile {
    pub designation: String,
    pub unit: LengthUnit,
    pub first_mm: f64,
    pub second_mm: f64,
    /// As given: `wires`, `contacts,master`.
    pub methods: [String; 2],
    pub repeatability_mm: f64,
    pub reconciliation: Reconciliation,
    pub notes: Vec<String>,
}

impl Reconcile {
    /// The causes that can give anything, the likeliest first.
    pub fn causes(&self) -> impl Iterator<Item = &Cause> {
        self.reconciliation
            .causes
            .iter()
            .filter(|cause| cause.expected_mm != 0.0 || cause.spread_mm != 0.0)
    }

    /// Whether the readings alone scatter by this much: twice the standard deviation of a difference.
    pub fn agree(&self) -> bool {
        let scatter = 2.0 * std::f64::consts::SQRT_2 * self.repeatability_mm;
        self.reconciliation.difference_mm.abs() <= scatter
    }
}

#[derive(Serialize)]
pub struct ReconcileDocument<'a> {
    designation: &'a str,
    unit: LengthUnit,
    first: f64,
    second: f64,
    first_method: &'a str,
    second_method: &'a str,
    difference: f64,
    within_repeatability: bool,
    expected: f64,
    /// In standard deviations of all causes together.
    surprise: f64,
    thimble_turns: Option<String>,
    check: Option<String>,
    causes: Vec<CauseDocument>,
    notes: &'a [String],
}

/// A cause; the lengths are its part of first less second.
#[derive(Serialize)]
struct CauseDocument {
    name: &'static str,
    label: String,
    result: &'static str,
    expected: f64,
    spread: f64,
    likely: f64,
    check: String,
    confidence: Confidence,
}

impl<'a> ReconcileDocument<'a> {
    pub fn of(reconciled: &'a Reconcile) -> Self {
        let length = |mm| from_mm(mm, reconciled.unit);
        let found = &reconciled.reconciliation;
        let [first_method, second_method] = &reconciled.methods;
        Self {
            designation: &reconciled.designation,
            unit: reconciled.unit,
            first: length(reconciled.first_mm),
            second: length(reconciled.second_mm),
            first_method,
            second_method,
            difference: length(found.difference_mm),
            within_repeatability: reconciled.agree(),
            expected: length(found.expected_mm),
            surprise: found.surprise,
            thimble_turns: found.thimble_turns.map(|turns| words::word(&turns)),
            check: reconciled
                .causes()
                .next()
                .map(|cause| words::word(&cause.check)),
            causes: reconciled
                .causes()
                .map(|cause| CauseDocument {
                    name: cause.name.key(),
                    label: words::word(&cause.name),
                    result: cause.carrier.key(),
                    expected: length(cause.expected_mm),
                    spread: length(cause.spread_mm),
                    likely: length(cause.likely_mm),
                    check: words::word(&cause.check),
                    confidence: cause.confidence,
                })
                .collect(),
            notes: &reconciled.notes,
        }
    }
}
