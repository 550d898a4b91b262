//! The error that one result may carry by one cause.

use super::{CauseName, Check};
use crate::source::Confidence;

/// The error that one result may carry by one cause.
pub(super) struct Error {
    pub name: CauseName,
    pub expected: f64,
    pub spread: f64,
    pub check: Check,
    pub confidence: Confidence,
    /// Whether it is the same in both results when the equipment is.
    pub of_equipment: bool,
}
