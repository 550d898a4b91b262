//! A line that does nothing.

use metrology::message::Say;
use metrology::units::LengthUnit;

use crate::words::{Shown, on_page};

/// A line that does nothing: what is wrong, and what would be right.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Refusal {
    pub message: String,
    /// Designations that would be right.
    pub suggestions: Vec<String>,
}

impl Refusal {
    pub fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            suggestions: Vec::new(),
        }
    }

    /// As the calculation or the intake says it.
    pub fn said(error: &impl Say) -> Self {
        let shown = Shown::in_unit(LengthUnit::Millimetre);
        Self::new(on_page(error, shown))
    }
}
