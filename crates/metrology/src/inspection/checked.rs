//! Entered numbers that must be above zero, or not below it.

use super::JobError;
use super::field::Field;
use crate::units::{Entered, Length};

/// A length above zero.
pub fn positive(field: Field, entered: &Entered) -> Result<Length, JobError> {
    match entered.value() {
        value if value > Length::ZERO => Ok(value),
        _ => Err(JobError::NotPositive {
            field,
            value: entered.clone(),
        }),
    }
}

/// A length of zero or above.
pub fn not_negative(field: Field, entered: &Entered) -> Result<Length, JobError> {
    match entered.value() {
        value if value.is_negative() => Err(JobError::Negative {
            field,
            value: entered.clone(),
        }),
        value => Ok(value),
    }
}

/// A coverage factor as certificates state it.
pub fn coverage_factor(field: Field, k: f64) -> Result<f64, JobError> {
    if k.is_finite() && (0.5..=10.0).contains(&k) {
        Ok(k)
    } else {
        Err(JobError::CoverageFactor { field, k })
    }
}
