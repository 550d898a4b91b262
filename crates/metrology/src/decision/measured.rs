//! The uncertainty of the size that is decided upon.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::DecisionError;
use crate::message::Value;
use crate::uncertainty::report::shortest_decimal;
use crate::units::{Length, LengthUnit};

/// A standard uncertainty in exact decimal millimetres, with what turns it into an expanded one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasurementUncertainty {
    /// Standard uncertainty u (k = 1) in millimetres, from 0 up.
    pub standard: Decimal,
    /// Coverage factor k of the expanded uncertainty U = k u.
    pub coverage_factor: Decimal,
    /// Degrees of freedom of u; infinity where they are not known.
    pub degrees_of_freedom: f64,
}

impl MeasurementUncertainty {
    /// A standard uncertainty in millimetres with k = 2 and infinite degrees of freedom.
    pub const fn new(standard: Decimal) -> Self {
        Self {
            standard,
            coverage_factor: Decimal::TWO,
            degrees_of_freedom: f64::INFINITY,
        }
    }

    /// A standard uncertainty given in a unit, exact.
    pub fn in_unit(standard: Decimal, unit: LengthUnit) -> Result<Self, DecisionError> {
        standard
            .checked_mul(Decimal::new(unit.tenth_nanometres(), 7))
            .map(Self::new)
            .ok_or(DecisionError::TooLarge)
    }

    /// A computed standard uncertainty in millimetres, taken with the shortest digits that name it.
    pub fn from_mm(standard: f64) -> Result<Self, DecisionError> {
        if standard.is_finite() && standard.abs() < 1e-20 {
            // Below anything that 28 digits can carry along with a size.
            return Ok(Self::new(Decimal::ZERO));
        }
        shortest_decimal(standard)
            .map(Self::new)
            .ok_or(DecisionError::StandardUncertainty {
                given: Value::Number(standard),
            })
    }

    /// The same with another coverage factor.
    pub const fn with_coverage_factor(mut self, coverage_factor: Decimal) -> Self {
        self.coverage_factor = coverage_factor;
        self
    }

    /// The same with degrees of freedom.
    pub const fn with_degrees_of_freedom(mut self, degrees_of_freedom: f64) -> Self {
        self.degrees_of_freedom = degrees_of_freedom;
        self
    }

    /// The expanded uncertainty U = k u in millimetres; checks all three numbers.
    pub fn expanded(&self) -> Result<Decimal, DecisionError> {
        let largest = Length::MAX.decimal(LengthUnit::Millimetre);
        if self.standard < Decimal::ZERO || self.standard > largest {
            return Err(DecisionError::StandardUncertainty {
                given: Value::Stated(self.standard),
            });
        }
        if self.coverage_factor <= Decimal::ZERO || self.coverage_factor > Decimal::ONE_HUNDRED {
            return Err(DecisionError::CoverageFactor {
                given: self.coverage_factor,
            });
        }
        if self.degrees_of_freedom.is_nan() || self.degrees_of_freedom < 1.0 {
            return Err(DecisionError::DegreesOfFreedom {
                given: self.degrees_of_freedom,
            });
        }
        self.standard
            .checked_mul(self.coverage_factor)
            .ok_or(DecisionError::TooLarge)
    }

    /// u as the nearest `f64`, in millimetres.
    pub(super) fn mm(&self) -> Result<f64, DecisionError> {
        self.standard.to_f64().ok_or(DecisionError::TooLarge)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refuses_what_is_no_uncertainty() {
        assert!(MeasurementUncertainty::from_mm(f64::NAN).is_err());
        assert!(MeasurementUncertainty::from_mm(f64::INFINITY).is_err());
        assert!(MeasurementUncertainty::from_mm(1.2345678901234567e-13).is_ok());
        assert!(
            MeasurementUncertainty::from_mm(-0.001)
                .unwrap()
                .expanded()
                .is_err()
        );
        assert!(
            MeasurementUncertainty::new(Decimal::MAX)
                .expanded()
                .is_err()
        );
        let plain = MeasurementUncertainty::new(Decimal::ONE);
        assert!(
            plain
                .with_coverage_factor(Decimal::ZERO)
                .expanded()
                .is_err()
        );
        assert!(plain.with_degrees_of_freedom(0.5).expanded().is_err());
        assert!(plain.with_degrees_of_freedom(f64::NAN).expanded().is_err());
    }

    #[test]
    fn inch_is_exact() {
        let uncertainty =
            MeasurementUncertainty::in_unit("0.0001".parse().unwrap(), LengthUnit::Inch).unwrap();
        assert_eq!(uncertainty.expanded().unwrap(), "0.00508".parse().unwrap());
    }
}
