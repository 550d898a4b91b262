//! Why no budget can be made, and the checks that say so.

use super::Component;
use crate::uncertainty::CorrelationError;

/// Why no budget can be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BudgetError {
    /// A standard uncertainty that is none.
    #[error("{name}: a standard uncertainty of {given} is no number from 0 up")]
    StandardUncertainty {
        /// Which input.
        name: String,
        /// As given.
        given: f64,
    },
    /// Degrees of freedom that are none.
    #[error("{name}: {given} degrees of freedom; a number above 0, or infinity, is needed")]
    DegreesOfFreedom {
        /// Which input.
        name: String,
        /// As given.
        given: f64,
    },
    /// An estimate or a sensitivity that is no finite number.
    #[error("{name}: the {what} is {given}, which is no finite number")]
    NotFinite {
        /// Which input.
        name: String,
        /// `estimate` or `sensitivity`.
        what: &'static str,
        /// As found.
        given: f64,
    },
    /// The model has no value there.
    #[error("the measurement model gives {0}, which is no finite number, at these estimates")]
    Model(f64),
    /// The sum of squares overflows.
    #[error("the components are too large to combine")]
    TooLarge,
    /// Correlations that cannot be.
    #[error(transparent)]
    Correlation(#[from] CorrelationError),
}

/// Whether a component can be combined.
pub(super) fn check(component: &Component) -> Result<(), BudgetError> {
    let name = &component.name;
    finite(name, "sensitivity", component.sensitivity)?;
    let given = component.standard_uncertainty;
    if !(given.is_finite() && given >= 0.0) {
        return Err(BudgetError::StandardUncertainty {
            name: name.to_string(),
            given,
        });
    }
    let given = component.degrees_of_freedom;
    if given.is_nan() || given <= 0.0 {
        return Err(BudgetError::DegreesOfFreedom {
            name: name.to_string(),
            given,
        });
    }
    Ok(())
}

/// Whether a number is one.
pub(super) fn finite(name: &str, what: &'static str, given: f64) -> Result<(), BudgetError> {
    if given.is_finite() {
        Ok(())
    } else {
        Err(BudgetError::NotFinite {
            name: name.to_owned(),
            what,
            given,
        })
    }
}
