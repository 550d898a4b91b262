//! A verdict with what supports it.

use std::ops::Not;

use metrology::decision::{self, Decision};
use metrology::message::{Message, Say};
use metrology::units::LengthUnit;
use serde::Serialize;

use super::{from_exact_mm, from_length};

/// Bounds in the document's unit; `null` where there is none.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bounds {
    pub lower: Option<f64>,
    pub upper: Option<f64>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Decided {
    pub decision: String,
    pub rule: String,
    pub rule_parameter: Option<f64>,
    pub conformance_probability: f64,
    pub guard_band: Option<f64>,
    pub acceptance: Bounds,
    pub rejection: Bounds,
    /// Distance to the nearest limit; negative outside.
    pub margin: f64,
    pub unit: LengthUnit,
    pub reason: Message,
    /// Where the verdict that the numbers alone would give is withheld: the code of what withholds it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<String>,
    /// It waits for a good closing zero check.
    #[serde(skip_serializing_if = "Not::not")]
    pub provisional: bool,
}

impl Decided {
    /// The document of a decision.
    pub fn of(decision: &Decision, unit: LengthUnit) -> Self {
        let bounds = |bounds: decision::Bounds| Bounds {
            lower: bounds.lower.map(|bound| from_exact_mm(bound, unit)),
            upper: bounds.upper.map(|bound| from_exact_mm(bound, unit)),
        };
        Self {
            decision: decision.verdict.key().to_owned(),
            rule: decision.rule.key().to_owned(),
            rule_parameter: decision
                .rule
                .parameter()
                .and_then(|parameter| parameter.try_into().ok()),
            conformance_probability: decision.conformance_probability,
            guard_band: decision.guard_band.map(|guard| from_exact_mm(guard, unit)),
            acceptance: bounds(decision.acceptance),
            rejection: bounds(decision.rejection),
            margin: from_length(decision.margin, unit),
            unit,
            reason: decision.reason.message(),
            because: None,
            provisional: false,
        }
    }
}
