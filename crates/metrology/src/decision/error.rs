//! Why no decision can be made.

use rust_decimal::Decimal;

use crate::units::Length;

/// What is wrong with the question.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DecisionError {
    /// Nothing to compare with.
    #[error("neither a lower nor an upper limit is given; at least one is needed")]
    NoLimits,
    /// Limits in the wrong order.
    #[error("the lower limit {lower} is above the upper limit {upper}")]
    LimitsCrossed {
        /// As given.
        lower: Length,
        /// As given.
        upper: Length,
    },
    /// Below zero, not finite, or beyond any length.
    #[error("a standard uncertainty of {0} mm is not between 0 and 100 m")]
    StandardUncertainty(String),
    /// Out of range.
    #[error("a coverage factor of {0} is not above 0 and at most 100; 2 is usual")]
    CoverageFactor(Decimal),
    /// Out of range.
    #[error(
        "{0} degrees of freedom; 1 or more are needed (leave them out where they are not known)"
    )]
    DegreesOfFreedom(f64),
    /// No such rule.
    #[error("{}; the rules are {known}", no_such_rule(.given))]
    UnknownRule {
        /// As given.
        given: String,
        /// All keys.
        known: String,
    },
    /// A parameter out of range.
    #[error("rule {rule}: the parameter {given} is not {permitted}")]
    Parameter {
        /// The rule's key.
        rule: &'static str,
        /// As given.
        given: Decimal,
        /// What would be right.
        permitted: &'static str,
    },
    /// A parameter for a rule without one.
    #[error("rule {0} takes no parameter")]
    NoParameter(&'static str),
    /// Numbers whose product is beyond 28 digits.
    #[error("these numbers are too large to compute with")]
    TooLarge,
}

fn no_such_rule(given: &str) -> String {
    if given.is_empty() {
        "no decision rule is named".to_owned()
    } else {
        format!("there is no decision rule `{given}`")
    }
}
