//! What a known cause does to a reading, and what to add for it.

use serde::Serialize;

use crate::source::{Confidence, Source};

/// One cause of error, as a correction.
///
/// Everywhere error = indicated − true, and a correction is what is *added* to the reading.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Effect {
    /// The cause, in the words of a report line.
    pub name: &'static str,
    /// What to add to the reading, millimetres.
    pub correction_mm: f64,
    /// What the formula holds for, in words.
    pub valid_for: &'static str,
    /// Where the formula comes from.
    pub source: Source,
    /// How far it has been seen in print.
    pub confidence: Confidence,
}
