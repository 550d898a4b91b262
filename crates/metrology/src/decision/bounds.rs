//! A lower and an upper bound.

use rust_decimal::Decimal;

use super::DecisionError;
use crate::limits::Limits;
use crate::units::{Length, LengthUnit};

/// A lower and an upper bound in exact decimal millimetres; `None` where there is none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Bounds {
    pub lower: Option<Decimal>,
    pub upper: Option<Decimal>,
}

impl Bounds {
    /// Whether a size lies between them, both included.
    pub fn contains(&self, size: Decimal) -> bool {
        self.lower.is_none_or(|lower| size >= lower) && self.upper.is_none_or(|upper| size <= upper)
    }

    /// Whether no size lies between them.
    pub fn is_empty(&self) -> bool {
        self.lower
            .zip(self.upper)
            .is_some_and(|(lower, upper)| lower > upper)
    }

    /// Both moved towards each other by `guard` (negative: apart).
    pub(super) fn moved_in(self, guard: Decimal) -> Result<Self, DecisionError> {
        let moved = |bound: Option<Decimal>, by: Decimal| {
            bound
                .map(|b| b.checked_add(by).ok_or(DecisionError::TooLarge))
                .transpose()
        };
        Ok(Self {
            lower: moved(self.lower, guard)?,
            upper: moved(self.upper, -guard)?,
        })
    }
}

impl From<Limits> for Bounds {
    fn from(limits: Limits) -> Self {
        let decimal = |limit: Length| limit.decimal(LengthUnit::Millimetre);
        Self {
            lower: limits.lower.map(decimal),
            upper: limits.upper.map(decimal),
        }
    }
}
