//! Any number at all may come in: an answer or a clear error comes out, never a panic.

use metrology::decision::{Drawing, MeasurementUncertainty, Rule, decide, in_unit, risk};
use metrology::limits::Limits;
use metrology::message::Say;
use metrology::uncertainty::{
    Budget, Component, Correlation, coverage_factor, normal_quantile, report, statistics,
    student_cdf, student_quantile,
};
use metrology::units::{Length, LengthUnit};
use proptest::prelude::*;
use rust_decimal::Decimal;

fn any_f64() -> impl Strategy<Value = f64> {
    any::<u64>().prop_map(f64::from_bits)
}

fn any_decimal() -> impl Strategy<Value = Decimal> {
    let whole = (any::<i128>(), 0_u32..=28)
        .prop_map(|(digits, scale)| Decimal::from_i128_with_scale(digits >> 33, scale));
    let small =
        (-2000_i64..2000, 0_u32..=4).prop_map(|(digits, scale)| Decimal::new(digits, scale));
    prop_oneof![1 => whole, 3 => small]
}

fn any_length() -> impl Strategy<Value = Length> {
    let most = Length::MAX.tenth_nanometres();
    prop_oneof![-most..=most, -1000..1000_i64].prop_map(Length::from_tenth_nanometres)
}

proptest! {
    #[test]
    fn decisions(
        value in any_length(),
        lower in prop::option::of(any_length()),
        upper in prop::option::of(any_length()),
        standard in any_decimal(),
        coverage_factor in prop_oneof![Just(Decimal::TWO), any_decimal()],
        degrees_of_freedom in prop_oneof![Just(f64::INFINITY), 1.0..1e9_f64, any_f64()],
        key in prop::sample::select(Rule::KEYS),
        parameter in prop::option::of(any_decimal()),
        decimals in any::<u32>(),
        inch in any::<bool>(),
    ) {
        let unit = if inch { LengthUnit::Inch } else { LengthUnit::Millimetre };
        let uncertainty = MeasurementUncertainty { standard, coverage_factor, degrees_of_freedom };
        if let Ok(rule) = Rule::parse(key, parameter)
            && let Ok(decision) = decide(value, &uncertainty, Limits { lower, upper }, rule)
        {
            prop_assert!((0.0..=1.0).contains(&decision.conformance_probability));
            // Whatever was computed can be written with any number of decimals.
            let drawing = Drawing { unit, decimals };
            let _ = (decision.reason.message(), drawing.text(decision.guard_band.unwrap_or_default()));
        }
        let _ = (in_unit(standard, unit), MeasurementUncertainty::in_unit(standard, unit));
    }

    #[test]
    fn rounding(value in any_f64(), uncertainty in any_f64(), exact in any_decimal(), other in any_decimal()) {
        let _ = report::round_f64(value, uncertainty).map(|r| (r.plus_minus(), r.concise()));
        if let Ok(rounded) = report::round(exact, other) {
            let _ = (rounded.plus_minus(), rounded.concise());
            // Two digits are within 5 % of what they stand for.
            prop_assert!((rounded.uncertainty - other).abs() <= other * Decimal::new(5, 2));
        }
    }

    #[test]
    fn statistics_and_budgets(
        readings in prop::collection::vec(any_f64(), 0..6),
        numbers in prop::collection::vec((any_f64(), any_f64(), any_f64()), 0..5),
        tie in (0_usize..5, 0_usize..5, -1.1..1.1_f64),
    ) {
        let _ = statistics::Sample::of(&readings);
        let components: Vec<Component> = numbers
            .into_iter()
            .map(|(standard_uncertainty, sensitivity, degrees_of_freedom)| Component {
                name: "x".into(),
                standard_uncertainty: standard_uncertainty.abs(),
                sensitivity,
                degrees_of_freedom: degrees_of_freedom.abs(),
            })
            .collect();
        let ties = [Correlation { first: tie.0, second: tie.1, coefficient: tie.2 }];
        for ties in [&[][..], &ties[..]] {
            if let Ok(budget) = Budget::of_components(0.0, &components, ties) {
                prop_assert!(budget.standard_uncertainty.is_finite());
                prop_assert!(budget.degrees_of_freedom >= 0.0);
                let _ = (budget.expanded(0.95), budget.by_share());
            }
        }
    }

    #[test]
    fn quantiles(p in any_f64(), unit in 0.0..=1.0_f64, nu in any_f64(), t in any_f64()) {
        for p in [p, unit] {
            let _ = (normal_quantile(p), student_quantile(p, nu), coverage_factor(p, nu));
        }
        if nu >= 1.0 && !t.is_nan() {
            let probability = student_cdf(t, nu);
            prop_assert!((0.0..=1.0).contains(&probability), "{} {}: {}", t, nu, probability);
        }
    }

    #[test]
    fn risks(a in any_f64(), b in any_f64(), limit in any_f64(), u in any_f64()) {
        let interval = risk::Interval { lower: None, upper: Some(limit) };
        for process in [risk::Process::normal(a, b), risk::Process::gamma(a, b)].into_iter().flatten() {
            let _ = (process.global_risk(interval, interval, u), process.guard_band(interval, u, 0.01));
        }
    }
}
