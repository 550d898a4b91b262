//! A corrected size with its uncertainty: the only thing that can be held against limits.

use super::JobError;
use super::target::Target;
use crate::decision::{Decision, MeasurementUncertainty, Rule, decide};
use crate::limits::Limits;
use crate::uncertainty::report::shortest_decimal;
use crate::uncertainty::{Budget, COVERAGE};
use crate::units::Length;

/// A corrected size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// The size, millimetres.
    pub value: f64,
    /// Combined standard uncertainty, millimetres.
    pub standard_uncertainty: f64,
    /// Effective degrees of freedom.
    pub degrees_of_freedom: f64,
    /// Coverage factor for 95 %.
    pub coverage_factor: f64,
    /// Expanded uncertainty, millimetres.
    pub expanded_uncertainty: f64,
}

impl Size {
    /// What a budget says of the size.
    pub fn of(budget: &Budget) -> Result<Self, JobError> {
        let expanded = budget.expanded(COVERAGE)?;
        Ok(Self {
            value: budget.value,
            standard_uncertainty: budget.standard_uncertainty,
            degrees_of_freedom: budget.degrees_of_freedom,
            coverage_factor: expanded.coverage_factor,
            expanded_uncertainty: expanded.expanded_uncertainty,
        })
    }

    /// Distance to the nearest limit, millimetres; below zero outside the limits.
    pub fn room(&self, limits: Limits) -> f64 {
        room(self.value, limits)
    }

    /// Holds the size against its limits under a rule: the one place where a computed size becomes an exact length.
    pub fn decide(&self, target: &Target, rule: Rule) -> Result<Decision, JobError> {
        let coverage_factor =
            shortest_decimal(self.coverage_factor).ok_or(JobError::CoverageFound {
                k: self.coverage_factor,
            })?;
        let uncertainty = MeasurementUncertainty::from_mm(self.standard_uncertainty)?
            .with_coverage_factor(coverage_factor)
            .with_degrees_of_freedom(self.degrees_of_freedom);
        Ok(decide(
            Length::nearest_mm(self.value)?,
            &uncertainty,
            target.limits,
            rule,
        )?)
    }
}

/// Distance of a size to the nearest limit, millimetres; below zero outside the limits.
pub fn room(size: f64, limits: Limits) -> f64 {
    let below = limits
        .upper
        .map_or(f64::INFINITY, |upper| upper.mm() - size);
    let above = limits
        .lower
        .map_or(f64::INFINITY, |lower| size - lower.mm());
    below.min(above)
}
