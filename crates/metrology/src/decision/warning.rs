//! What the person who signs ought to know of a decision, whoever measured and however.

use rust_decimal::prelude::ToPrimitive;

use super::{Decision, DecisionError, MeasurementUncertainty, Rule, Verdict};
use crate::limits::Limits;
use crate::units::Length;

/// The probability of conformity that `iso14253-1` proves (ISO 14253-1:2017, default rule; from memory).
pub const PROVEN: f64 = 0.95;
/// The share of the tolerance that 2U may take before it is worth a word: one half (common practice, no source).
pub const LARGE_SHARE: f64 = 0.5;

crate::messages! {
    /// By the codes of an inspection, which warns of the same facts.
    pub enum DecisionWarning "warning" {
        /// Accepted by a guard band of one limit where both matter.
        NotProven "not-proven" { probability: f64 as Probability, degrees_of_freedom: f64 as number },
        /// Risks of a process by a normal error of measurement, of which the spread is not well known.
        NormalRisks "normal-risks" { degrees_of_freedom: f64 as number },
        /// The uncertainty takes a large part of the tolerance.
        LargeUncertainty "large-uncertainty" { share: f64 as Share, tolerance: f64 as Difference, line: Improve as code },
    }
}

crate::codes! {
    /// What of an uncertainty is to be made smaller, where its budget is not known.
    pub enum Improve "improve" {
        /// The largest line.
        LargestLine "largest-line",
    }
}

impl Decision {
    /// The warnings of this decision, made with this uncertainty within these limits.
    ///
    /// Errors: an uncertainty out of range.
    pub fn warnings(
        &self,
        uncertainty: &MeasurementUncertainty,
        limits: Limits,
    ) -> Result<Vec<DecisionWarning>, DecisionError> {
        let not_proven = self.rule == Rule::Iso14253_1
            && self.verdict == Verdict::Accept
            && self.conformance_probability < PROVEN;
        let expanded = uncertainty.expanded()?.to_f64().unwrap_or_default();
        let tolerance = limits.tolerance().map(Length::mm);
        let large = tolerance
            .filter(|tolerance| *tolerance > 0.0)
            .map(|tolerance| (2.0 * expanded / tolerance, tolerance))
            .filter(|(share, _)| *share > LARGE_SHARE);
        let mut all = Vec::new();
        if not_proven {
            all.push(DecisionWarning::NotProven {
                probability: self.conformance_probability,
                degrees_of_freedom: uncertainty.degrees_of_freedom,
            });
        }
        all.extend(
            large.map(|(share, tolerance)| DecisionWarning::LargeUncertainty {
                share,
                tolerance,
                line: Improve::LargestLine,
            }),
        );
        Ok(all)
    }
}

#[cfg(test)]
mod tests {
    use super::super::decide;
    use super::*;

    /// Codes of the warnings of a size in the middle of 0 to 20 µm.
    fn warned(u: &str, degrees_of_freedom: f64, rule: &str) -> Vec<&'static str> {
        let limits = Limits::between(Length::from_micrometres(0), Length::from_micrometres(20));
        let uncertainty = MeasurementUncertainty::new(u.parse().unwrap())
            .with_degrees_of_freedom(degrees_of_freedom);
        let rule = Rule::parse(rule, None).unwrap();
        let decision = decide(Length::from_micrometres(10), &uncertainty, limits, rule).unwrap();
        let warnings = decision.warnings(&uncertainty, limits).unwrap();
        warnings.iter().map(DecisionWarning::code).collect()
    }

    #[test]
    fn what_an_inspection_would_warn_of() {
        assert!(warned("0.002", f64::INFINITY, "iso14253-1").is_empty());
        // 2U = 10.4 of 20 µm.
        assert_eq!(
            warned("0.0026", f64::INFINITY, "simple"),
            ["warning.large-uncertainty"]
        );
        // 1.65 u = 9.9 µm from both limits: 5 % beyond each.
        assert_eq!(
            warned("0.006", f64::INFINITY, "iso14253-1"),
            ["warning.not-proven", "warning.large-uncertainty"]
        );
        // 6.314 u = 9.9 µm: the tails of one degree of freedom.
        assert_eq!(warned("0.00157", 1.0, "iso14253-1"), ["warning.not-proven"]);
    }
}
