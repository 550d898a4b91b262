//! Entered numbers that must be above zero, or not below it.

use super::JobError;
use super::field::Right;
use crate::message::Code;
use crate::units::{Entered, Length};

/// A length above zero.
pub fn positive(field: impl Into<Code>, entered: &Entered) -> Result<Length, JobError> {
    match entered.value() {
        value if value > Length::ZERO => Ok(value),
        _ => Err(JobError::NotPositive {
            field: field.into(),
            value: entered.clone(),
        }),
    }
}

/// A length of zero or above.
pub fn not_negative(field: impl Into<Code>, entered: &Entered) -> Result<Length, JobError> {
    match entered.value() {
        value if value.is_negative() => Err(JobError::Negative {
            field: field.into(),
            value: entered.clone(),
        }),
        value => Ok(value),
    }
}

/// A coverage factor as certificates state it.
pub fn coverage_factor(field: impl Into<Code>, k: f64) -> Result<f64, JobError> {
    if k.is_finite() && (0.5..=10.0).contains(&k) {
        Ok(k)
    } else {
        Err(JobError::CoverageFactor {
            field: field.into(),
            k,
        })
    }
}

/// Refuses a number that is not good.
pub fn number(
    field: impl Into<Code>,
    value: f64,
    good: bool,
    right: Right,
) -> Result<(), JobError> {
    if good {
        Ok(())
    } else {
        Err(JobError::Number {
            field: field.into(),
            value,
            right,
        })
    }
}

/// Lengths that are above zero where they are stated.
pub fn all_positive<const N: usize>(all: [(Code, Option<&Entered>); N]) -> Result<(), JobError> {
    for (field, entered) in all {
        if let Some(entered) = entered {
            positive(field, entered)?;
        }
    }
    Ok(())
}

/// Lengths that are zero or above where they are stated.
pub fn none_negative<const N: usize>(all: [(Code, Option<&Entered>); N]) -> Result<(), JobError> {
    for (field, entered) in all {
        if let Some(entered) = entered {
            not_negative(field, entered)?;
        }
    }
    Ok(())
}
