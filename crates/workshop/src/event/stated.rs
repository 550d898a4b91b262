//! A size with its limits, as it was stated.

use metrology::units::{Entered, LengthUnit};

/// What is measured, by its limits; more may have to be asked where it is a feature.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated {
    /// The feature, where the line names one.
    pub feature: Option<String>,
    /// What the drawing calls it; empty where the line does not say.
    pub name: String,
    pub lower: Option<Entered>,
    pub upper: Option<Entered>,
}

impl Stated {
    /// No feature, where something else is measured.
    pub const fn nothing() -> Self {
        Self {
            feature: None,
            name: String::new(),
            lower: None,
            upper: None,
        }
    }

    /// The unit that bare numbers beside it mean.
    pub fn unit(&self) -> LengthUnit {
        match self.lower.as_ref().or(self.upper.as_ref()) {
            Some(limit) => limit.unit(),
            None => LengthUnit::Millimetre,
        }
    }
}
