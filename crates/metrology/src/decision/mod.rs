//! The decision: does a measured size conform, under a named rule, given its uncertainty?
//!
//! A bare reading is never compared with limits. What is compared is a corrected size with its
//! [`MeasurementUncertainty`], under a [`Rule`] agreed beforehand (ISO/IEC 17025:2017, 7.1.3), and the answer
//! says with what probability the size conforms and why the verdict is what it is.
//!
//! Sizes, limits and guard bands are compared as decimals, exactly, limits included: 8.994 passes at 8.994.
//! Only the rules that need a probability or a logarithm (`probability`, `false-accept-2`) compute in `f64`; the factor
//! of `iso14253-1` is computed so, and taken as a decimal.
//!
//! With more uncertainty no rule turns a rejection into an acceptance, except those that give the doubt to the
//! producer: `relaxed`, and `guard-band` with a negative multiple.

pub mod risk;

mod bounds;
mod conformance;
mod drawing;
mod error;
mod margin;
mod measured;
mod named;
mod process;
mod reason;
mod rule;
mod told;
mod verdict;
mod warning;
mod zones;

pub use crate::message::Told;
pub use bounds::Bounds;
pub use conformance::conformance_probability;
pub use drawing::{Drawing, in_unit};
pub use error::{DecisionError, Permitted};
pub use measured::MeasurementUncertainty;
pub use process::{EstimateError, FEWEST, ProcessEstimate};
pub use reason::{NoneAccepted, Range, Reason};
pub use rule::Rule;
pub use verdict::Verdict;
pub use warning::{DecisionWarning, Improve, LARGE_SHARE, PROVEN};

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use crate::limits::Limits;
use crate::units::{Length, LengthUnit};

/// A verdict with all that supports it. Decimals are exact millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Decision {
    pub verdict: Verdict,
    /// The rule it was made under, with its parameter.
    pub rule: Rule,
    /// Probability that the true size lies within the limits, given the measured one (0 to 1).
    pub conformance_probability: f64,
    /// How far the acceptance limits lie inside the limits of size (negative: outside); `None` where the rule
    /// has no acceptance.
    pub guard_band: Option<Decimal>,
    /// Accepted from, to (both included). A lower bound above the upper one accepts nothing.
    pub acceptance: Bounds,
    /// Rejected below, above (the bounds themselves are not).
    pub rejection: Bounds,
    /// Distance from the measured size to the nearest limit; negative outside the limits.
    pub margin: Length,
    /// Distance from the measured size to the nearest boundary of the zone that gave the verdict, from 0 up; under
    /// `simple`, `relaxed` and `false-accept-2` to the limit itself, 0 beyond it. `None` where the verdict claims
    /// nothing (undecided, unusable).
    pub zone_margin: Option<Decimal>,
    /// Why, for the customer.
    pub reason: Reason,
}

impl Decision {}

/// Decides on a size measured with an uncertainty.
///
/// Errors: no limit at all, limits in the wrong order, an uncertainty, coverage factor, degrees of freedom or
/// rule parameter out of range.
///
/// ```
/// use metrology::decision::{MeasurementUncertainty, Rule, Verdict, decide};
/// use metrology::limits::Limits;
/// use metrology::units::Length;
///
/// let limits = Limits::between(Length::from_micrometres(8862), Length::from_micrometres(8994));
/// let uncertainty = MeasurementUncertainty::from_mm(0.003)?;
/// let verdict = |micrometres, rule| {
///     decide(Length::from_micrometres(micrometres), &uncertainty, limits, rule)
///         .map(|decision| decision.verdict)
/// };
/// assert_eq!(verdict(8930, Rule::Iso14253_1)?, Verdict::Accept);
/// assert_eq!(verdict(8992, Rule::Iso14253_1)?, Verdict::Undecided);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn decide(
    value: Length,
    uncertainty: &MeasurementUncertainty,
    limits: Limits,
    rule: Rule,
) -> Result<Decision, DecisionError> {
    let margin = margin(value, limits)?;
    let expanded = uncertainty.expanded()?;
    rule.check()?;
    let probability = conformance_probability(value, uncertainty, limits)?;
    let zones = zones::of(rule, limits, uncertainty, expanded)?;
    let size = value.decimal(LengthUnit::Millimetre);
    let verdict = zones::verdict(rule, &zones, size, margin, probability);
    let to_limit = margin.decimal(LengthUnit::Millimetre);
    let zone_margin = margin::zone_margin(rule, &zones, verdict, size, to_limit);
    let reason = reason::reason(&reason::Facts {
        size,
        expanded,
        limits: Bounds::from(limits),
        margin,
        rule,
        zones: &zones,
        verdict,
        probability,
    });
    Ok(Decision {
        verdict,
        rule,
        conformance_probability: probability,
        guard_band: zones.guard_band,
        acceptance: zones.acceptance,
        rejection: zones.rejection,
        margin,
        zone_margin,
        reason,
    })
}

/// Whether a size is accepted, and its conformity proven with 95 %, by so much that neither the decimals of the guard band nor
/// the other limit could change it: what [`decide`] says then needs no more. `expanded` is U for 95 % (two-sided), in
/// millimetres. False where only [`decide`] can tell.
pub fn is_clearly_accepted(value: Length, expanded: f64, limits: Limits, rule: Rule) -> bool {
    /// More than rounding to decimals can move a guard band by.
    const CLEARLY: f64 = 1.001;
    // The one-sided factor of ISO 14253-1 is less than the two-sided one of U, whatever the degrees of freedom.
    let guard_bands = match rule {
        Rule::Iso14253_1
        | Rule::Simple {
            largest_ratio: None,
        } => Some(1.0),
        Rule::GuardBand { multiple } | Rule::GuardBandFour { multiple } => multiple.to_f64(),
        Rule::Stringent { fraction } => fraction.to_f64(),
        _ => None,
    };
    let Some(guard_bands) = guard_bands else {
        return false;
    };
    let needed = CLEARLY * guard_bands.max(1.0) * expanded;
    needed > 0.0 && margin(value, limits).is_ok_and(|margin| margin.mm() > needed)
}

/// Distance to the nearest limit, negative outside; checks the limits on the way.
fn margin(value: Length, limits: Limits) -> Result<Length, DecisionError> {
    let below = limits.lower.map(|lower| value - lower);
    let above = limits.upper.map(|upper| upper - value);
    match (below, above) {
        (None, None) => Err(DecisionError::NoLimits),
        (Some(only), None) | (None, Some(only)) => Ok(only),
        (Some(below), Some(above)) if (below + above).is_negative() => {
            Err(DecisionError::LimitsCrossed {
                lower: limits
                    .lower
                    .unwrap_or_default()
                    .decimal(LengthUnit::Millimetre),
                upper: limits
                    .upper
                    .unwrap_or_default()
                    .decimal(LengthUnit::Millimetre),
            })
        }
        (Some(below), Some(above)) => Ok(below.min(above)),
    }
}
