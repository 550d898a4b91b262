//! Why no decision can be made.

use rust_decimal::Decimal;

use super::Rule;
use crate::message::Value;

crate::messages! {
    /// What is wrong with the question.
    pub enum DecisionError "decision" {
        /// Nothing to compare with.
        NoLimits "no-limits",
        /// Limits in the wrong order, millimetres.
        LimitsCrossed "limits-crossed" { lower: Decimal as Exact, upper: Decimal as Exact },
        /// Below zero, not finite, or beyond any length; millimetres.
        StandardUncertainty "standard-uncertainty" { given: Value as itself },
        /// Out of range.
        CoverageFactor "coverage-factor" { given: Decimal as Stated },
        /// Out of range.
        DegreesOfFreedom "degrees-of-freedom" { given: f64 as Number },
        /// No rule was named.
        NoRule "no-rule" { known: Vec<&'static str> as texts },
        /// No such rule.
        UnknownRule "unknown-rule" { given: String as Text, known: Vec<&'static str> as texts },
        /// A parameter out of range.
        Parameter "parameter" { rule: Rule as code, given: Decimal as Stated, permitted: Permitted as code },
        /// A parameter for a rule without one.
        NoParameter "no-parameter" { rule: Rule as code },
        /// Numbers whose product is beyond 28 digits.
        TooLarge "too-large",
    }
}

crate::codes! {
    /// What the parameter of a rule may be.
    pub enum Permitted "permitted" {
        /// A probability, from 0.5 up to below 1.
        Probability "probability",
        /// 2U/T, above 0 and at most 10.
        Ratio "ratio",
        /// A multiple of U, between -10 and 10.
        Multiple "multiple",
        /// A multiple of U that narrows the limits, between 0 and 10.
        Narrowing "narrowing",
        /// A multiple of U, between 0 and 10.
        PositiveMultiple "positive-multiple",
    }
}
