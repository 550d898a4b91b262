//! `midflank decide` with a process: what the rule costs consumer and producer.

use metrology::decision::risk::{self, Interval};
use metrology::decision::{self, Decision, MeasurementUncertainty, Rule, Verdict};
use metrology::limits::Limits;
use metrology::units::{Length, LengthUnit};
use rust_decimal::prelude::ToPrimitive;
use serde::Serialize;

use super::{Decided, from_mm};
use crate::process::{Kind, Process};

/// A decision with its risks.
#[derive(Debug, Serialize)]
pub struct DecidedWithRisk {
    #[serde(flatten)]
    pub decided: Decided,
    /// That a part which does not conform is accepted.
    pub consumer_risk: Risk,
    /// That a part which conforms is rejected.
    pub producer_risk: Risk,
    pub process: ProcessDocument,
    #[serde(skip)]
    pub kind: Kind,
}

/// Probabilities (JCGM 106:2012, clause 9); `null` where there is none to give.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Risk {
    /// Of this part, from its measurement alone; only the consumer's for an accepted, the producer's for a rejected one.
    pub specific: Option<f64>,
    /// Of this part, from its measurement and the process together.
    pub specific_given_process: Option<f64>,
    /// Of the next part to be made and measured: accepted, or rejected, without condition.
    pub global: Option<f64>,
    /// The same with what is accepted, or rejected, on condition counted as such; only under the rule with four outcomes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub global_with_conditional: Option<f64>,
}

/// The process, in the document's unit.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct ProcessDocument {
    /// `normal`, `gamma` or `empirical`.
    pub distribution: &'static str,
    pub mean: f64,
    pub standard_deviation: f64,
    /// Of a gamma process; `null` for another.
    pub shape: Option<f64>,
    /// Of a gamma process, in 1/unit of the document.
    pub rate: Option<f64>,
    /// Probability that a part does not conform.
    pub nonconforming: f64,
    /// How many recorded sizes it is estimated from; `null` where it was stated.
    pub n: Option<usize>,
    /// Standard deviation of the recorded sizes, measurement and all.
    pub observed_standard_deviation: Option<f64>,
}

impl DecidedWithRisk {
    /// The risks of a decision on a size, for parts of this process.
    pub fn of(
        decision: &Decision,
        value: Length,
        uncertainty: &MeasurementUncertainty,
        limits: Limits,
        process: &Process,
        unit: LengthUnit,
    ) -> Result<Self, risk::RiskError> {
        let u = uncertainty.standard.to_f64().unwrap_or(f64::NAN);
        let tolerance = Interval {
            lower: limits.lower.map(Length::mm),
            upper: limits.upper.map(Length::mm),
        };
        let made = &process.made;
        let accepted = made.global_risk(tolerance, interval(decision.acceptance), u)?;
        let rejected = made.global_risk(tolerance, interval(decision.rejection), u)?;
        let usable = decision.verdict != Verdict::Unusable;
        // Within the limits is accepted with or without condition, beyond them rejected.
        let by_limits = match decision.rule {
            Rule::GuardBandFour { .. } if usable => {
                Some(made.global_risk(tolerance, tolerance, u)?)
            }
            _ => None,
        };
        // The rule `probability` may find no size good enough; then its acceptance is empty, not boundless.
        let accepts =
            decision.guard_band.is_some() || !matches!(decision.rule, Rule::Probability { .. });
        let (consumer, producer) = match decision.verdict {
            Verdict::Accept | Verdict::ConditionalAccept => (true, false),
            Verdict::Reject | Verdict::ConditionalReject => (false, true),
            Verdict::Undecided | Verdict::Unusable => (false, false),
        };
        let alone = decision.conformance_probability;
        let together = made.conformance(value.mm(), u, tolerance);
        let (mean, standard_deviation) = made.moments();
        let gamma = match process.kind {
            Kind::Gamma {
                shape,
                rate,
                unit: stated,
            } => {
                let units = unit.tenth_nanometres() as f64 / stated.tenth_nanometres() as f64;
                Some((shape, rate * units))
            }
            _ => None,
        };
        Ok(Self {
            kind: process.kind,
            decided: Decided::of(decision, unit),
            consumer_risk: Risk {
                specific: consumer.then_some(1.0 - alone),
                specific_given_process: together
                    .filter(|_| consumer)
                    .map(|together| 1.0 - together),
                global: usable.then_some(if accepts { accepted.consumer } else { 0.0 }),
                global_with_conditional: by_limits.map(|risk| risk.consumer),
            },
            producer_risk: Risk {
                specific: producer.then_some(alone),
                specific_given_process: together.filter(|_| producer),
                global: usable.then_some(rejected.producer),
                global_with_conditional: by_limits.map(|risk| risk.producer),
            },
            process: ProcessDocument {
                distribution: process.kind.key(),
                mean: from_mm(mean, unit),
                standard_deviation: from_mm(standard_deviation, unit),
                shape: gamma.map(|(shape, _)| shape),
                rate: gamma.map(|(_, rate)| rate),
                nonconforming: accepted.nonconforming,
                n: process.estimate.map(|estimate| estimate.n),
                observed_standard_deviation: process
                    .estimate
                    .map(|estimate| from_mm(estimate.observed, unit)),
            },
        })
    }
}

fn interval(bounds: decision::Bounds) -> Interval {
    Interval {
        lower: bounds.lower.and_then(|bound| bound.to_f64()),
        upper: bounds.upper.and_then(|bound| bound.to_f64()),
    }
}
