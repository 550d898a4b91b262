//! Limits of size: from a designation to the largest and smallest permitted diameters.

use crate::units::Length;

/// The limits of one size, both included. A limit that the standard does not set is `None`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Limits {
    /// The smallest permitted size.
    pub lower: Option<Length>,
    /// The largest permitted size.
    pub upper: Option<Length>,
}

impl Limits {
    /// Both limits.
    pub const fn between(lower: Length, upper: Length) -> Self {
        Self {
            lower: Some(lower),
            upper: Some(upper),
        }
    }

    /// The distance between the limits, where both are set.
    pub fn tolerance(self) -> Option<Length> {
        Some(self.upper? - self.lower?)
    }
}
