//! The uncertainty budget: components into a combined standard uncertainty, with every line kept.

mod effective;
mod error;
mod second_order;

use std::borrow::Cow;

pub use error::{BudgetError, LineNumber};

use super::coverage::{CoverageError, coverage_factor, truncated_degrees_of_freedom};
use super::{Correlation, Input, Model, correlation};
pub use effective::independent;

use effective::of_groups;
use error::{check, finite};
pub use second_order::second_order_bound;
use second_order::second_order_variance;

/// Second-order terms are reported as mattering when they change the standard uncertainty by more than this
/// fraction: what two printed digits can hide. [Common practice](crate::source::Source::CommonPractice).
const SECOND_ORDER_MATTERS: f64 = 0.05;

/// A component that is ready to be combined: its sensitivity is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Component {
    /// What it is: a symbol or a code.
    pub name: Cow<'static, str>,
    /// Standard uncertainty of the input, in the unit of the input.
    pub standard_uncertainty: f64,
    /// Sensitivity coefficient: unit of the result per unit of the input.
    pub sensitivity: f64,
    /// Degrees of freedom, infinity allowed.
    pub degrees_of_freedom: f64,
}

/// One line of a budget.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Line {
    /// What it is: a symbol or a code.
    pub name: Cow<'static, str>,
    /// Standard uncertainty of the input, in the unit of the input.
    pub standard_uncertainty: f64,
    /// Sensitivity coefficient: unit of the result per unit of the input.
    pub sensitivity: f64,
    /// Degrees of freedom, infinity allowed.
    pub degrees_of_freedom: f64,
    /// |sensitivity| × standard uncertainty, in the unit of the result.
    pub contribution: f64,
    /// Share of the variance of the result; all shares sum to 1. A correlated line can have a negative share.
    pub share: f64,
}

/// A result with its combined standard uncertainty and the lines it is made of, in the unit of the result.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// The estimate of the result.
    pub value: f64,
    /// Combined standard uncertainty u_c.
    pub standard_uncertainty: f64,
    /// Effective degrees of freedom ν_eff, not truncated.
    pub degrees_of_freedom: f64,
    /// One line for each input, in the order of the inputs.
    pub lines: Vec<Line>,
    /// u_c with the second-order terms of the model added (5.1.2 note); `None` where they are not known (no
    /// model, or correlated inputs).
    pub second_order: Option<f64>,
}

/// A standard uncertainty times its coverage factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expanded {
    /// Coverage probability asked for.
    pub probability: f64,
    /// Coverage factor k = t_p(ν).
    pub coverage_factor: f64,
    /// ν as used, truncated to the integer below.
    pub degrees_of_freedom: f64,
    /// U = k u_c, in the unit of the result.
    pub expanded_uncertainty: f64,
}

impl Budget {
    /// Combines the inputs of a measurement model: the sensitivities are the model's own derivatives.
    ///
    /// Source: JCGM 100:2008, 5.1.2 and 5.2.2; G.4.1 for the degrees of freedom.
    ///
    /// ```
    /// use metrology::uncertainty::{Budget, Input, Model, Scalar};
    ///
    /// struct Difference;
    ///
    /// impl Model<2> for Difference {
    ///     fn evaluate<S: Scalar>(&self, [reading, zero_error]: [S; 2]) -> S {
    ///         reading - zero_error
    ///     }
    /// }
    ///
    /// let inputs = [Input::normal("reading", 8.9287, 3e-4), Input::normal("zero error", 0.0021, 4e-4)];
    /// let budget = Budget::of_model(&Difference, &inputs, &[])?;
    /// assert!((budget.standard_uncertainty - 5e-4).abs() < 1e-12);
    /// assert!((budget.lines[1].share - 0.64).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of_model<const N: usize>(
        model: &impl Model<N>,
        inputs: &[Input; N],
        correlations: &[Correlation],
    ) -> Result<Self, BudgetError> {
        let (mut budget, components) = Self::combined(model, inputs, correlations)?;
        if correlations.is_empty() {
            let at = inputs.each_ref().map(|input| input.estimate);
            let first = budget.standard_uncertainty * budget.standard_uncertainty;
            let sum = first + second_order_variance(model, at, &components);
            budget.second_order = sum.is_finite().then(|| sum.max(0.0).sqrt());
        }
        Ok(budget)
    }

    /// The same without the second-order terms, which take most of the time of a model of many inputs.
    pub fn of_model_first_order<const N: usize>(
        model: &impl Model<N>,
        inputs: &[Input; N],
        correlations: &[Correlation],
    ) -> Result<Self, BudgetError> {
        Self::combined(model, inputs, correlations).map(|(budget, _)| budget)
    }

    fn combined<const N: usize>(
        model: &impl Model<N>,
        inputs: &[Input; N],
        correlations: &[Correlation],
    ) -> Result<(Self, Vec<Component>), BudgetError> {
        for input in inputs {
            finite(&input.name, LineNumber::Estimate, input.estimate)?;
        }
        let at = inputs.each_ref().map(|input| input.estimate);
        let value = model.evaluate(at);
        if !value.is_finite() {
            return Err(BudgetError::Model { given: value });
        }
        let components: Vec<Component> = inputs
            .iter()
            .zip(model.sensitivities(at))
            .map(|(input, sensitivity)| Component {
                name: input.name.clone(),
                standard_uncertainty: input.standard_uncertainty(),
                sensitivity,
                degrees_of_freedom: input.degrees_of_freedom,
            })
            .collect();
        let budget = Self::of_components(value, &components, correlations)?;
        Ok((budget, components))
    }

    /// Combines components whose sensitivities are known.
    ///
    /// Correlated components take part in the degrees of freedom as one: a group tied by correlations counts
    /// with its joint variance and its smallest degrees of freedom, which is right when its members were
    /// read together (H.2) and cautious otherwise; the Welch-Satterthwaite formula itself is for independent
    /// components only.
    pub fn of_components(
        value: f64,
        components: &[Component],
        correlations: &[Correlation],
    ) -> Result<Self, BudgetError> {
        for component in components {
            check(component)?;
        }
        let signed: Vec<f64> = components
            .iter()
            .map(|component| component.sensitivity * component.standard_uncertainty)
            .collect();
        let (parts, variance, degrees_of_freedom) = if correlations.is_empty() {
            let parts: Vec<f64> = signed.iter().map(|own| own * own).collect();
            let known = components.iter().map(|one| one.degrees_of_freedom);
            let (variance, together) = independent(parts.iter().copied().zip(known));
            (parts, variance, together)
        } else {
            let matrix = correlation::matrix(components.len(), correlations)?;
            let parts = parts(&matrix, &signed);
            let variance = parts.iter().sum::<f64>().max(0.0);
            let groups = correlation::groups(&matrix);
            let together = of_groups(variance, components, &parts, &groups);
            (parts, variance, together)
        };
        if !variance.is_finite() {
            return Err(BudgetError::TooLarge);
        }
        let lines = components
            .iter()
            .zip(&signed)
            .zip(&parts)
            .map(|((component, signed), part)| Line {
                name: component.name.clone(),
                standard_uncertainty: component.standard_uncertainty,
                sensitivity: component.sensitivity,
                degrees_of_freedom: component.degrees_of_freedom,
                contribution: signed.abs(),
                share: if variance > 0.0 { part / variance } else { 0.0 },
            })
            .collect();
        Ok(Self {
            value,
            standard_uncertainty: variance.sqrt(),
            degrees_of_freedom,
            lines,
            second_order: None,
        })
    }

    /// The expanded uncertainty for a coverage probability (0.95 for 95 %), with ν_eff truncated (G.6.4).
    pub fn expanded(&self, probability: f64) -> Result<Expanded, CoverageError> {
        let degrees_of_freedom = truncated_degrees_of_freedom(self.degrees_of_freedom);
        let coverage_factor = coverage_factor(probability, degrees_of_freedom)?;
        Ok(Expanded {
            probability,
            coverage_factor,
            degrees_of_freedom,
            expanded_uncertainty: coverage_factor * self.standard_uncertainty,
        })
    }

    /// The lines, the largest share first: the first is the one to improve first.
    pub fn by_share(&self) -> Vec<&Line> {
        let mut lines: Vec<&Line> = self.lines.iter().collect();
        lines.sort_by(|a, b| b.share.total_cmp(&a.share));
        lines
    }

    /// Whether the model bends enough over the uncertainty of its inputs that the first-order u_c is off by
    /// more than 5 %.
    pub fn second_order_matters(&self) -> bool {
        self.second_order.is_some_and(|second| {
            (second - self.standard_uncertainty).abs()
                > SECOND_ORDER_MATTERS * self.standard_uncertainty
        })
    }
}

/// The part of the variance that belongs to each line: cᵢuᵢ Σⱼ rᵢⱼ cⱼuⱼ.
fn parts(matrix: &[Vec<f64>], signed: &[f64]) -> Vec<f64> {
    let with_all = |(row, own): (&Vec<f64>, &f64)| {
        let tied = row.iter().zip(signed).map(|(r, other)| r * other);
        own * tied.sum::<f64>()
    };
    matrix.iter().zip(signed).map(with_all).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn component(
        name: &'static str,
        standard_uncertainty: f64,
        degrees_of_freedom: f64,
    ) -> Component {
        Component {
            name: name.into(),
            standard_uncertainty,
            sensitivity: 1.0,
            degrees_of_freedom,
        }
    }

    #[test]
    fn shares_name_what_to_improve() {
        let parts = [
            component("force", 3.0, f64::INFINITY),
            component("scale", 4.0, f64::INFINITY),
        ];
        let budget = Budget::of_components(0.0, &parts, &[]).unwrap();
        assert_eq!(budget.standard_uncertainty, 5.0);
        assert_eq!(budget.degrees_of_freedom, f64::INFINITY);
        let line = budget.by_share()[0];
        assert_eq!((&*line.name, line.share), ("scale", 0.64));
    }

    #[test]
    fn full_correlation_adds_linearly() {
        let parts = [component("a", 3.0, 4.0), component("b", 4.0, 6.0)];
        let tied = [Correlation {
            first: 0,
            second: 1,
            coefficient: 1.0,
        }];
        let budget = Budget::of_components(0.0, &parts, &tied).unwrap();
        assert!((budget.standard_uncertainty - 7.0).abs() < 1e-12);
        assert!((budget.degrees_of_freedom - 4.0).abs() < 1e-12);
        assert!((budget.lines.iter().map(|line| line.share).sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn welch_satterthwaite_lies_between_fewest_and_sum() {
        let parts = [component("a", 1.0, 4.0), component("b", 1.0, 4.0)];
        let budget = Budget::of_components(0.0, &parts, &[]).unwrap();
        assert!((budget.degrees_of_freedom - 8.0).abs() < 1e-12);
    }

    #[test]
    fn nothing_uncertain_is_allowed() {
        let budget = Budget::of_components(1.0, &[component("a", 0.0, 4.0)], &[]).unwrap();
        assert_eq!(budget.standard_uncertainty, 0.0);
        assert_eq!(budget.degrees_of_freedom, f64::INFINITY);
        assert_eq!(budget.expanded(0.95).unwrap().expanded_uncertainty, 0.0);
    }

    #[test]
    fn bad_components_are_named() {
        let error = |part| Budget::of_components(0.0, &[part], &[]).unwrap_err();
        assert_eq!(
            error(component("wire", -1.0, 4.0)),
            BudgetError::StandardUncertainty {
                name: "wire".into(),
                given: -1.0
            }
        );
        assert!(matches!(
            error(component("wire", f64::NAN, 4.0)),
            BudgetError::StandardUncertainty { given, .. } if given.is_nan()
        ));
        assert!(matches!(
            error(component("wire", 1.0, 0.0)),
            BudgetError::DegreesOfFreedom { .. }
        ));
        assert_eq!(
            error(component("wire", f64::MAX, 4.0)),
            BudgetError::TooLarge
        );
    }
}
