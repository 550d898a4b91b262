//! Where a rule accepts and where it rejects, and the verdict that follows.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::bounds::Bounds;
use super::conformance::{bounds_at, middle, probability_f64};
use super::{DecisionError, MeasurementUncertainty, Rule, Verdict};
use crate::limits::Limits;
use crate::uncertainty::report::shortest_decimal;
use crate::uncertainty::student_quantile;
use crate::units::{Length, LengthUnit};

/// What a rule makes of limits and uncertainty, before any size is looked at.
pub(super) struct Zones {
    pub guard_band: Option<Decimal>,
    pub acceptance: Bounds,
    pub rejection: Bounds,
    /// Why the rule may not be applied.
    pub unusable: Option<Unusable>,
}

/// Why a rule may not be applied.
#[derive(Clone, Copy)]
pub(super) enum Unusable {
    /// It needs a lower and an upper limit.
    OneLimit,
    /// U is too large: 2U/T here.
    Ratio(Option<Decimal>),
}

impl Zones {
    fn unusable(why: Unusable) -> Self {
        Self {
            guard_band: None,
            acceptance: Bounds::default(),
            rejection: Bounds::default(),
            unusable: Some(why),
        }
    }

    /// Accept inside the limits moved in by `guard`, reject outside the limits moved out by `outer`.
    fn guarded(limits: Limits, guard: Decimal, outer: Decimal) -> Result<Self, DecisionError> {
        let limits = Bounds::from(limits);
        // No guard band is none on either side: it has no sign.
        let guard = if guard.is_zero() {
            Decimal::ZERO
        } else {
            guard
        };
        Ok(Self {
            guard_band: Some(guard),
            acceptance: limits.moved_in(guard)?,
            rejection: limits.moved_in(-outer)?,
            unusable: None,
        })
    }

    /// Accept inside the limits moved in by `guard`, reject everything else.
    fn binary(limits: Limits, guard: Decimal) -> Result<Self, DecisionError> {
        Self::guarded(limits, guard, -guard)
    }
}

/// The zones of a rule; `expanded` is U.
pub(super) fn of(
    rule: Rule,
    limits: Limits,
    uncertainty: &MeasurementUncertainty,
    expanded: Decimal,
) -> Result<Zones, DecisionError> {
    let times =
        |factor: Decimal, of: Decimal| factor.checked_mul(of).ok_or(DecisionError::TooLarge);
    match rule {
        Rule::Simple {
            largest_ratio: None,
        } => Zones::binary(limits, Decimal::ZERO),
        Rule::Simple {
            largest_ratio: Some(largest),
        } => simple(limits, expanded, largest),
        Rule::Iso14253_1 => {
            let factor = proving_factor(uncertainty.degrees_of_freedom)?;
            let guard = times(factor, uncertainty.standard)?;
            Zones::guarded(limits, guard, guard)
        }
        Rule::Probability { least } => probability(limits, uncertainty, least),
        Rule::GuardBand { multiple } => Zones::binary(limits, times(multiple, expanded)?),
        Rule::StatedGuardBand { width } => Zones::binary(limits, width),
        Rule::GuardBandFour { multiple } => {
            let guard = times(multiple, expanded)?;
            Zones::guarded(limits, guard, guard)
        }
        Rule::Stringent { fraction } => Zones::binary(limits, times(fraction, expanded)?),
        Rule::Relaxed { fraction } => Zones::binary(limits, -times(fraction, expanded)?),
        Rule::FalseAccept2 => false_accept_2(limits, expanded),
    }
}

/// How many u a size must lie inside a limit for its conformity to be proven with 95 %: the one-sided quantile of
/// Student's t, as the decimal with the fewest digits that names its `f64`; 1.65, as ISO 14253-1:2017 rounds the normal
/// quantile 1.6449 (from memory), where no degrees of freedom are stated.
fn proving_factor(degrees_of_freedom: f64) -> Result<Decimal, DecisionError> {
    if degrees_of_freedom.is_infinite() {
        return Ok(Decimal::new(165, 2));
    }
    // The lower tail: 0.05 is nearer to its f64 than 1 - 0.95.
    shortest_decimal(-student_quantile(0.05, degrees_of_freedom)).ok_or(DecisionError::TooLarge)
}

/// Simple acceptance, where U is small enough: 2U ≤ `largest` · T.
fn simple(limits: Limits, expanded: Decimal, largest: Decimal) -> Result<Zones, DecisionError> {
    let Some(tolerance) = limits.tolerance() else {
        return Ok(Zones::unusable(Unusable::OneLimit));
    };
    let tolerance = tolerance.decimal(LengthUnit::Millimetre);
    let twice = expanded
        .checked_mul(Decimal::TWO)
        .ok_or(DecisionError::TooLarge)?;
    let permitted = tolerance
        .checked_mul(largest)
        .ok_or(DecisionError::TooLarge)?;
    if twice > permitted {
        return Ok(Zones::unusable(Unusable::Ratio(
            twice.checked_div(tolerance),
        )));
    }
    Zones::binary(limits, Decimal::ZERO)
}

/// The bounds at which the conformance probability is `least`, and its complement.
fn probability(
    limits: Limits,
    uncertainty: &MeasurementUncertainty,
    least: Decimal,
) -> Result<Zones, DecisionError> {
    let own = Bounds::from(limits);
    let acceptance = bounds_at(probability_f64(least)?, limits, uncertainty)?;
    let rejection = bounds_at(probability_f64(Decimal::ONE - least)?, limits, uncertainty)?;
    let guard_band = acceptance.and_then(|bounds| {
        let lower = bounds
            .lower
            .zip(own.lower)
            .map(|(bound, limit)| bound - limit);
        lower.or_else(|| {
            bounds
                .upper
                .zip(own.upper)
                .map(|(bound, limit)| limit - bound)
        })
    });
    Ok(Zones {
        guard_band,
        acceptance: acceptance.unwrap_or_default(),
        // Where even the middle of the limits is rejected, everything on both sides of it is.
        rejection: rejection.unwrap_or(Bounds {
            lower: middle(limits),
            upper: middle(limits),
        }),
        unusable: None,
    })
}

/// The managed guard band: A = T/2 - M U, M = 1.04 - exp(0.38 ln TUR - 0.54) but not below 0, TUR = T/(2U).
fn false_accept_2(limits: Limits, expanded: Decimal) -> Result<Zones, DecisionError> {
    let Some(tolerance) = limits.tolerance() else {
        return Ok(Zones::unusable(Unusable::OneLimit));
    };
    let expanded_mm = expanded.to_f64().ok_or(DecisionError::TooLarge)?;
    if expanded_mm == 0.0 {
        return Zones::binary(limits, Decimal::ZERO);
    }
    let multiplier = managed_multiplier(tolerance.mm() / (2.0 * expanded_mm));
    let multiplier = shortest_decimal(multiplier).ok_or(DecisionError::TooLarge)?;
    let guard = multiplier
        .checked_mul(expanded)
        .ok_or(DecisionError::TooLarge)?;
    Zones::binary(limits, guard)
}

/// M of the managed guard band for a test uncertainty ratio (from memory; confirmed by integration in `risk`).
pub(super) fn managed_multiplier(test_uncertainty_ratio: f64) -> f64 {
    (1.04 - libm::exp(0.38 * libm::log(test_uncertainty_ratio) - 0.54)).max(0.0)
}

/// The verdict on a size.
pub(super) fn verdict(
    rule: Rule,
    zones: &Zones,
    size: Decimal,
    margin: Length,
    probability: f64,
) -> Verdict {
    let accepted = zones.acceptance.contains(size);
    let rejected = !zones.rejection.contains(size);
    if zones.unusable.is_some() {
        return Verdict::Unusable;
    }
    match rule {
        Rule::Probability { least } => {
            // The complement is taken in decimal: 1 - 0.95 is 0.05, not a binary neighbour of it.
            let limit = |p: Decimal| p.to_f64().unwrap_or(1.0);
            if probability >= limit(least) {
                Verdict::Accept
            } else if probability <= limit(Decimal::ONE - least) {
                Verdict::Reject
            } else {
                Verdict::Undecided
            }
        }
        _ if accepted => Verdict::Accept,
        _ if rejected => Verdict::Reject,
        Rule::GuardBandFour { .. } if margin.is_negative() => Verdict::ConditionalReject,
        Rule::GuardBandFour { .. } => Verdict::ConditionalAccept,
        Rule::Iso14253_1 => Verdict::Undecided,
        // The other rules know two outcomes: what is not accepted is rejected.
        _ => Verdict::Reject,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_proving_factor_is_that_of_the_table() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, upper critical values of Student's t, 0.05.
        for (degrees_of_freedom, t) in [
            (1.0, "6.314"),
            (2.0, "2.920"),
            (3.0, "2.353"),
            (4.0, "2.132"),
            (5.0, "2.015"),
            (6.0, "1.943"),
            (8.0, "1.860"),
            (10.0, "1.812"),
            (15.0, "1.753"),
            (20.0, "1.725"),
            (30.0, "1.697"),
            (60.0, "1.671"),
            (100.0, "1.660"),
        ] {
            let factor = proving_factor(degrees_of_freedom).unwrap();
            assert_eq!(
                factor.round_dp(3),
                t.parse().unwrap(),
                "{degrees_of_freedom}"
            );
        }
        assert_eq!(proving_factor(f64::INFINITY), Ok(Decimal::new(165, 2)));
    }
}
