//! The conformance probability, and the sizes at which it takes a given value.
//!
//! Source: JCGM 106:2012, clause 7, for a normal distribution about the measured size (no other knowledge of
//! the process); Student's t in its place when degrees of freedom are given is common practice.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::bounds::Bounds;
use super::{DecisionError, MeasurementUncertainty};
use crate::limits::Limits;
use crate::uncertainty::report::shortest_decimal;
use crate::uncertainty::{student_cdf, student_quantile};
use crate::units::{Length, LengthUnit};

/// Decimals of a millimetre kept of a computed bound: a thousandth of what a length resolves.
const DECIMALS: u32 = 10;

/// Probability that the true size lies within the limits, given the measured one.
///
/// p_c = F((T_U - y)/u) - F((T_L - y)/u); a missing limit drops its term; with u = 0 it is 1 inside the limits
/// (included) and 0 outside.
pub fn conformance_probability(
    value: Length,
    uncertainty: &MeasurementUncertainty,
    limits: Limits,
) -> Result<f64, DecisionError> {
    let u = uncertainty.mm()?;
    // Differences are exact; what goes into the distribution is their nearest f64.
    let below = limits.lower.map(|lower| (value - lower).mm());
    let above = limits.upper.map(|upper| (upper - value).mm());
    Ok(inside(below, above, u, uncertainty.degrees_of_freedom))
}

/// The probability with the limits this far below and above, in millimetres.
fn inside(below: Option<f64>, above: Option<f64>, u: f64, degrees_of_freedom: f64) -> f64 {
    let beyond = |distance: Option<f64>| match distance {
        Some(distance) if u > 0.0 => student_cdf(-distance / u, degrees_of_freedom),
        Some(distance) if distance < 0.0 => 1.0,
        _ => 0.0,
    };
    (1.0 - (beyond(below) + beyond(above))).clamp(0.0, 1.0)
}

/// The bounds between which the conformance probability is at least `probability`, in millimetres; `None` where
/// no size reaches it.
pub(super) fn bounds_at(
    probability: f64,
    limits: Limits,
    uncertainty: &MeasurementUncertainty,
) -> Result<Option<Bounds>, DecisionError> {
    let guard = match limits.tolerance() {
        Some(tolerance) => two_sided(probability, tolerance.mm() / 2.0, uncertainty)?,
        None => {
            Some(student_quantile(probability, uncertainty.degrees_of_freedom) * uncertainty.mm()?)
        }
    };
    let Some(guard) = guard else {
        return Ok(None);
    };
    let guard = bound_decimal(guard)?;
    Bounds::from(limits).moved_in(guard).map(Some)
}

/// A computed bound in millimetres as a decimal.
fn bound_decimal(millimetres: f64) -> Result<Decimal, DecisionError> {
    if millimetres.abs() < 1e-15 {
        return Ok(Decimal::ZERO);
    }
    shortest_decimal(millimetres)
        .map(|bound| bound.round_dp(DECIMALS))
        .ok_or(DecisionError::TooLarge)
}

/// How far inside limits ± `half` the probability falls to `probability`; the two sides are alike.
fn two_sided(
    probability: f64,
    half: f64,
    uncertainty: &MeasurementUncertainty,
) -> Result<Option<f64>, DecisionError> {
    let (u, nu) = (uncertainty.mm()?, uncertainty.degrees_of_freedom);
    let at = |offset: f64| inside(Some(half + offset), Some(half - offset), u, nu);
    if u == 0.0 {
        return Ok(Some(0.0));
    }
    if at(0.0) < probability {
        return Ok(None);
    }
    // The probability falls steadily from the middle outwards: bracket, then halve.
    let (mut near, mut far) = (0.0, half + u);
    while at(far) >= probability {
        near = far;
        far *= 2.0;
    }
    for _ in 0..100 {
        let middle = f64::midpoint(near, far);
        if at(middle) >= probability {
            near = middle;
        } else {
            far = middle;
        }
    }
    Ok(Some(half - near))
}

/// The middle of the limits, in millimetres.
pub(super) fn middle(limits: Limits) -> Option<Decimal> {
    let mm = LengthUnit::Millimetre;
    Some((limits.lower?.decimal(mm) + limits.upper?.decimal(mm)) / Decimal::TWO)
}

/// A decimal probability as `f64`.
pub(super) fn probability_f64(probability: Decimal) -> Result<f64, DecisionError> {
    probability.to_f64().ok_or(DecisionError::TooLarge)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn probability(y: i32, u: &str, lower: Option<i32>, upper: Option<i32>) -> f64 {
        let limits = Limits {
            lower: lower.map(Length::from_micrometres),
            upper: upper.map(Length::from_micrometres),
        };
        let uncertainty = MeasurementUncertainty::new(u.parse().unwrap());
        conformance_probability(Length::from_micrometres(y), &uncertainty, limits).unwrap()
    }

    #[test]
    fn published_examples() {
        // JCGM 106:2012, clause 7 (quoted from memory; numbers recomputed). One unit here is 1 mm.
        // Breakdown voltage: y = -5.47, u = 0.05, T_U = -5.40: 0.92.
        assert!((probability(-5470, "0.05", None, Some(-5400)) - 0.9192).abs() < 5e-5);
        // Viscosity: y = 13.6, u = 1.8, limits 12.5 to 16.3: 0.66.
        assert!((probability(13_600, "1.8", Some(12_500), Some(16_300)) - 0.6626).abs() < 5e-5);
    }

    #[test]
    fn certain_sizes() {
        assert_eq!(probability(8994, "0", None, Some(8994)), 1.0);
        assert_eq!(probability(8995, "0", None, Some(8994)), 0.0);
        assert_eq!(probability(8994, "0.002", None, Some(8994)), 0.5);
    }

    #[test]
    fn bounds_have_the_probability_asked_for() {
        let limits = Limits::between(Length::from_micrometres(0), Length::from_micrometres(20));
        for nu in [3.0, 40.0, f64::INFINITY] {
            let uncertainty =
                MeasurementUncertainty::new("0.002".parse().unwrap()).with_degrees_of_freedom(nu);
            for p in [0.95, 0.05] {
                let bounds = bounds_at(p, limits, &uncertainty).unwrap().unwrap();
                let y = bounds.upper.unwrap().to_f64().unwrap();
                let found = inside(Some(y), Some(0.02 - y), 0.002, nu);
                assert!((found - p).abs() < 1e-6, "{nu} {p}: {found}");
                assert_eq!(
                    bounds.lower.unwrap() + bounds.upper.unwrap(),
                    "0.02".parse().unwrap()
                );
            }
        }
        let wide = MeasurementUncertainty::new("0.02".parse().unwrap());
        assert_eq!(bounds_at(0.95, limits, &wide).unwrap(), None);
    }
}
