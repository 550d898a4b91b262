//! Limits of size in a document.

use metrology::limits::Limits;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::from_length;

/// Limits of size, both included; `null` where the standard sets none.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MaxMin {
    pub max: Option<f64>,
    pub min: Option<f64>,
}

impl MaxMin {
    pub fn of(limits: Limits, unit: LengthUnit) -> Self {
        let limit = |limit: Option<_>| limit.map(|limit| from_length(limit, unit));
        Self {
            max: limit(limits.upper),
            min: limit(limits.lower),
        }
    }
}
