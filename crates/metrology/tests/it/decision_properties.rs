//! What holds for every decision.

#![allow(clippy::unwrap_used, reason = "a helper that fails is a failed test")]

use metrology::decision::{Decision, MeasurementUncertainty, Rule, Verdict, decide};
use metrology::limits::Limits;
use metrology::units::{Length, LengthUnit};
use proptest::prelude::*;
use rust_decimal::Decimal;

fn length(tenth_nanometres: i64) -> Length {
    Length::from_tenth_nanometres(tenth_nanometres)
}

/// u in tenths of a nanometre.
fn uncertainty(u: i64, nu: f64) -> MeasurementUncertainty {
    MeasurementUncertainty::new(Decimal::new(u, 7)).with_degrees_of_freedom(nu)
}

fn decided(y: i64, u: i64, nu: f64, limits: Limits, rule: Rule) -> Decision {
    decide(length(y), &uncertainty(u, nu), limits, rule).unwrap()
}

/// Rules that never give the doubt to the producer.
fn cautious() -> impl Strategy<Value = Rule> {
    prop_oneof![
        Just(("simple", None)),
        Just(("simple", Some(25))),
        Just(("iso14253-1", None)),
        Just(("probability", None)),
        (50_i64..100).prop_map(|p| ("probability", Some(p))),
        (0_i64..300).prop_map(|r| ("guard-band", Some(r))),
        (0_i64..300).prop_map(|r| ("guard-band-four", Some(r))),
        (0_i64..100).prop_map(|h| ("stringent", Some(h))),
        Just(("false-accept-2", None)),
    ]
    .prop_map(|(key, hundredths)| Rule::parse(key, hundredths.map(|h| Decimal::new(h, 2))).unwrap())
}

fn any_rule() -> impl Strategy<Value = Rule> {
    let relaxed = (0_i64..100).prop_map(|h| Rule::Relaxed {
        fraction: Decimal::new(h, 2),
    });
    prop_oneof![4 => cautious(), 1 => relaxed]
}

/// Limits about zero, one or both, up to 0.1 mm away.
fn limits() -> impl Strategy<Value = Limits> {
    (-1_000_000_i64..0, 0_i64..1_000_000, 0..3).prop_map(|(lower, upper, kind)| Limits {
        lower: (kind != 1).then_some(length(lower)),
        upper: (kind != 2).then_some(length(upper)),
    })
}

fn degrees_of_freedom() -> impl Strategy<Value = f64> {
    prop_oneof![Just(f64::INFINITY), 1.0..200.0_f64]
}

proptest! {
    #[test]
    fn more_uncertainty_never_turns_reject_into_accept(
        y in -1_500_000_i64..1_500_000,
        u in 0_i64..500_000,
        more in 0_i64..500_000,
        nu in degrees_of_freedom(),
        limits in limits(),
        rule in cautious(),
    ) {
        let first = decided(y, u, nu, limits, rule).verdict;
        let second = decided(y, u + more, nu, limits, rule).verdict;
        prop_assert!(!(first == Verdict::Reject && second == Verdict::Accept));
    }

    #[test]
    fn mirrored_sizes_get_the_same_verdict(
        y in -1_500_000_i64..1_500_000,
        u in 0_i64..500_000,
        nu in degrees_of_freedom(),
        limits in limits(),
        rule in any_rule(),
    ) {
        let mirror = Limits { lower: limits.upper.map(|l| -l), upper: limits.lower.map(|l| -l) };
        let one = decided(y, u, nu, limits, rule);
        let other = decided(-y, u, nu, mirror, rule);
        prop_assert_eq!(one.verdict, other.verdict);
        prop_assert_eq!(one.guard_band, other.guard_band);
        prop_assert_eq!(one.margin, other.margin);
        prop_assert_eq!(one.conformance_probability, other.conformance_probability);
        prop_assert_eq!(one.acceptance.upper, other.acceptance.lower.map(|bound| -bound));
        prop_assert_eq!(one.rejection.lower, other.rejection.upper.map(|bound| -bound));
    }

    /// The same measurement in inches, ten-thousandths of it, and in millimetres.
    #[test]
    fn the_unit_does_not_matter(
        y in -60_i64..60,
        u in 0_i64..20,
        lower in -40_i64..0,
        upper in 0_i64..40,
        rule in any_rule(),
    ) {
        let inch = |n| Length::from_decimal(Decimal::new(n, 4), LengthUnit::Inch).unwrap();
        let mm = |n| Length::from_decimal(Decimal::new(n * 254, 5), LengthUnit::Millimetre).unwrap();
        let u_inch = MeasurementUncertainty::in_unit(Decimal::new(u, 4), LengthUnit::Inch).unwrap();
        let u_mm = MeasurementUncertainty::new(Decimal::new(u * 254, 5));
        let in_inches = decide(inch(y), &u_inch, Limits::between(inch(lower), inch(upper)), rule);
        let in_mm = decide(mm(y), &u_mm, Limits::between(mm(lower), mm(upper)), rule);
        prop_assert_eq!(in_inches.unwrap(), in_mm.unwrap());
    }

    #[test]
    fn a_size_at_its_bound_is_exact(
        u in 0_i64..300_000,
        lower in prop::option::of(-1_000_000_i64..0),
        upper in 0_i64..1_000_000,
        hundredths in 0_i64..200,
    ) {
        // u is chosen so that the guard band r U is a whole number of tenths of a nanometre.
        let rule = Rule::GuardBand { multiple: Decimal::new(hundredths, 2) };
        let limits = Limits { lower: lower.map(length), upper: Some(length(upper)) };
        let (u, guard) = (u * 50, u * hundredths);
        let bound = upper - guard;
        let inside = lower.is_none_or(|lower| lower + guard <= bound);
        let at = decided(bound, u, f64::INFINITY, limits, rule).verdict;
        prop_assert_eq!(at == Verdict::Accept, inside);
        prop_assert_eq!(decided(bound + 1, u, f64::INFINITY, limits, rule).verdict, Verdict::Reject);
    }

    #[test]
    fn stricter_rules_accept_less(
        y in -1_500_000_i64..1_500_000,
        u in 0_i64..500_000,
        limits in limits(),
    ) {
        let accepts = |rule| decided(y, u, f64::INFINITY, limits, rule).verdict == Verdict::Accept;
        let guard = |hundredths| Rule::GuardBand { multiple: Decimal::new(hundredths, 2) };
        let ladder = [
            accepts(guard(300)),
            accepts(guard(150)),
            accepts(Rule::Stringent { fraction: Decimal::ONE }),
            accepts(Rule::Iso14253_1),
            accepts(Rule::Simple { largest_ratio: None }),
            accepts(Rule::Relaxed { fraction: Decimal::ONE }),
        ];
        prop_assert!(ladder.is_sorted(), "{:?}", ladder);
        // 1.65 u is at least what 95 % asks of one limit.
        if limits.tolerance().is_none() && accepts(Rule::Iso14253_1) {
            prop_assert!(accepts(Rule::parse("probability", None).unwrap()));
        }
    }

    #[test]
    fn more_degrees_of_freedom_never_widen_the_guard_band(
        u in 0_i64..500_000,
        nu in 1.0..2000.0_f64,
        more in 0.0..500.0_f64,
    ) {
        let limits = Limits { lower: None, upper: Some(length(0)) };
        let guard = |nu| decided(0, u, nu, limits, Rule::Iso14253_1).guard_band;
        prop_assert!(guard(nu + more) <= guard(nu));
    }

    /// With any degrees of freedom, what is accepted by one limit conforms with 95 %.
    #[test]
    fn proven_is_proven(
        y in -1_500_000_i64..0,
        u in 1_i64..500_000,
        nu in degrees_of_freedom(),
    ) {
        let limits = Limits { lower: None, upper: Some(length(0)) };
        let decision = decided(y, u, nu, limits, Rule::Iso14253_1);
        let proven = decision.conformance_probability >= 0.95;
        let at_the_bound = (decision.conformance_probability - 0.95).abs() < 6e-4;
        prop_assert!((decision.verdict == Verdict::Accept) == proven || at_the_bound);
        prop_assert!(decision.verdict != Verdict::Accept || decision.conformance_probability > 0.95 - 1e-12);
    }

    #[test]
    fn verdict_and_bounds_agree(
        y in -1_500_000_i64..1_500_000,
        u in 0_i64..500_000,
        nu in degrees_of_freedom(),
        limits in limits(),
        rule in any_rule(),
    ) {
        let decision = decided(y, u, nu, limits, rule);
        let size = length(y).decimal(LengthUnit::Millimetre);
        match decision.verdict {
            Verdict::Accept => {
                prop_assert!(decision.acceptance.contains(size));
                prop_assert!(!decision.acceptance.is_empty());
            }
            Verdict::Reject if !matches!(rule, Rule::Probability { .. }) => {
                prop_assert!(!decision.rejection.contains(size) || decision.acceptance.is_empty());
            }
            Verdict::ConditionalAccept => prop_assert!(!decision.margin.is_negative()),
            Verdict::ConditionalReject => prop_assert!(decision.margin.is_negative()),
            _ => {}
        }
        prop_assert!((0.0..=1.0).contains(&decision.conformance_probability));
    }
}
