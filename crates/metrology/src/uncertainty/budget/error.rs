//! Why no budget can be made, and the checks that say so.

use std::borrow::Cow;

use super::Component;
use crate::uncertainty::CorrelationError;

crate::codes! {
    /// A number of a budget line.
    pub enum LineNumber "line-number" {
        /// The estimate of the input.
        Estimate "estimate",
        /// The sensitivity of the result to it.
        Sensitivity "sensitivity",
    }
}

crate::messages! {
    /// Why no budget can be made. Inputs are named by symbol or code.
    pub enum BudgetError "budget-error" {
        /// A standard uncertainty that is none.
        StandardUncertainty "standard-uncertainty" { name: Cow<'static, str> as Code, given: f64 as Given },
        /// Degrees of freedom that are none.
        DegreesOfFreedom "degrees-of-freedom" { name: Cow<'static, str> as Code, given: f64 as Given },
        /// An estimate or a sensitivity that is no finite number.
        NotFinite "not-finite" { name: Cow<'static, str> as Code, what: LineNumber as code, given: f64 as Given },
        /// The model has no value there.
        Model "model" { given: f64 as Given },
        /// The sum of squares overflows.
        TooLarge "too-large",
        /// Correlations that cannot be.
        Correlation "correlation" { error: CorrelationError as said },
    }
}

impl From<CorrelationError> for BudgetError {
    fn from(error: CorrelationError) -> Self {
        Self::Correlation { error }
    }
}

/// Whether a component can be combined.
pub(super) fn check(component: &Component) -> Result<(), BudgetError> {
    let name = &component.name;
    finite(name, LineNumber::Sensitivity, component.sensitivity)?;
    let given = component.standard_uncertainty;
    if !(given.is_finite() && given >= 0.0) {
        return Err(BudgetError::StandardUncertainty {
            name: name.clone(),
            given,
        });
    }
    let given = component.degrees_of_freedom;
    if given.is_nan() || given <= 0.0 {
        return Err(BudgetError::DegreesOfFreedom {
            name: name.clone(),
            given,
        });
    }
    Ok(())
}

/// Whether a number is one.
pub(super) fn finite(name: &str, what: LineNumber, given: f64) -> Result<(), BudgetError> {
    if given.is_finite() {
        Ok(())
    } else {
        Err(BudgetError::NotFinite {
            name: name.to_owned().into(),
            what,
            given,
        })
    }
}
