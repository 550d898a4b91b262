//! Each decision rule at and around its bounds.

#![allow(clippy::unwrap_used, reason = "a helper that fails is a failed test")]

use metrology::decision::{
    Decision, DecisionError, MeasurementUncertainty, NoneAccepted, Range, Reason, Rule, Told,
    Verdict, decide,
};
use metrology::limits::Limits;
use metrology::units::{Length, LengthUnit};
use rust_decimal::Decimal;

fn number(text: &str) -> Decimal {
    text.parse().unwrap()
}

fn mm(text: &str) -> Length {
    Length::from_decimal(number(text), LengthUnit::Millimetre).unwrap()
}

fn limits(lower: &str, upper: &str) -> Limits {
    let limit = |text: &str| (!text.is_empty()).then(|| mm(text));
    Limits {
        lower: limit(lower),
        upper: limit(upper),
    }
}

fn rule(text: &str) -> Rule {
    let (key, parameter) = text
        .split_once(' ')
        .map_or((text, None), |(key, p)| (key, Some(number(p))));
    Rule::parse(key, parameter).unwrap()
}

fn decided(y: &str, u: &str, lower: &str, upper: &str, under: &str) -> Decision {
    let uncertainty = MeasurementUncertainty::new(number(u));
    decide(mm(y), &uncertainty, limits(lower, upper), rule(under)).unwrap()
}

/// Each bound is met exactly and missed by the smallest length; the rows are worked by hand.
#[test]
fn verdicts_at_the_bounds() {
    let table = include_str!("../../src/validation/cases/decision_bounds.csv");
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let mut count = 0;
    for row in rows.records() {
        let row = row.unwrap();
        let parameter = (!row[5].is_empty()).then(|| number(&row[5]));
        let rule = Rule::parse(&row[4], parameter).unwrap();
        let uncertainty = MeasurementUncertainty::new(number(&row[1]));
        let decision = decide(mm(&row[0]), &uncertainty, limits(&row[2], &row[3]), rule).unwrap();
        assert_eq!(
            decision.verdict.key(),
            &row[6],
            "{row:?}: {}",
            decision.reason
        );
        count += 1;
    }
    assert_eq!(count, 42);
}

#[test]
fn managed_guard_band() {
    // TUR = 2: M = 1.04 - exp(0.38 ln 2 - 0.54) = 0.28165 (by hand); T = 0.1, U = 0.025.
    let decision = decided("10", "0.0125", "9.95", "10.05", "false-accept-2");
    let guard: f64 = decision.guard_band.unwrap().to_string().parse().unwrap();
    assert!((guard - 0.28165 * 0.025).abs() < 1e-6, "{guard}");
    assert_eq!(
        decision.acceptance.upper,
        Some(number("10.05") - decision.guard_band.unwrap())
    );
    assert_eq!(decision.rejection, decision.acceptance);
}

#[test]
fn bounds_are_exact() {
    let decision = decided("8.9", "0.0020", "8.862", "8.994", "iso14253-1");
    assert_eq!(decision.guard_band, Some(number("0.0033")));
    assert_eq!(decision.acceptance.lower, Some(number("8.8653")));
    assert_eq!(decision.acceptance.upper, Some(number("8.9907")));
    assert_eq!(decision.rejection.lower, Some(number("8.8587")));
    assert_eq!(decision.rejection.upper, Some(number("8.9973")));
    assert_eq!(decision.margin, mm("0.038"));
    assert_eq!(
        decided("9", "0.002", "8.862", "8.994", "simple").margin,
        mm("-0.006")
    );
}

#[test]
fn few_degrees_of_freedom_weigh() {
    // t_95(4) = 2.132 one-sided (JCGM 100:2008, Table G.2 at 90 % two-sided: 2.13).
    let uncertainty = MeasurementUncertainty::new(number("0.0020")).with_degrees_of_freedom(4.0);
    let with = |y| {
        decide(
            mm(y),
            &uncertainty,
            limits("", "8.994"),
            rule("probability"),
        )
        .unwrap()
    };
    let guard: f64 = with("8.9").guard_band.unwrap().to_string().parse().unwrap();
    assert!((guard / 0.002 - 2.132).abs() < 5e-4);
    assert_eq!(with("8.9905").verdict, Verdict::Undecided);
    assert_eq!(with("8.9897").verdict, Verdict::Accept);
}

/// One degree of freedom: 7.5 µm of room are 1.8 u, and t is 6.314.
#[test]
fn few_degrees_of_freedom_widen_the_guard_band() {
    let at = |y: &str, degrees_of_freedom: f64| {
        let uncertainty = MeasurementUncertainty::new(number("0.00417"))
            .with_degrees_of_freedom(degrees_of_freedom);
        decide(
            mm(y),
            &uncertainty,
            limits("11.9", "12.010"),
            rule("iso14253-1"),
        )
        .unwrap()
    };
    let few = at("12.0025", 1.0);
    assert_eq!(few.verdict, Verdict::Undecided);
    assert_eq!(
        few.guard_band.unwrap().round_dp(9),
        number("0.026328344") // 6.313751514675 x 0.00417
    );
    assert_eq!(at("12.0025", f64::INFINITY).verdict, Verdict::Accept);
    // The bounds are as exact as they are with 1.65 u.
    let bound = few.acceptance.upper.unwrap();
    assert_eq!(bound, number("12.010") - few.guard_band.unwrap());
    assert_eq!(at("11.9836716", 1.0).verdict, Verdict::Accept);
    assert_eq!(at("11.9836717", 1.0).verdict, Verdict::Undecided);
    assert_eq!(at("12.0363283", 1.0).verdict, Verdict::Undecided);
    assert_eq!(at("12.0363284", 1.0).verdict, Verdict::Reject);
}

#[test]
fn speed_limit() {
    // JCGM 106:2012, 8.3 (from memory), one km/h as 1 mm: limit 100, u = 2 % of the speed, excess proven with
    // 99.9 %: 107; 106.59 in full precision.
    let decision = decided("106.59", "2.1318", "", "100", "probability 0.999");
    let bound: f64 = decision
        .rejection
        .upper
        .unwrap()
        .to_string()
        .parse()
        .unwrap();
    assert!((bound - 106.588).abs() < 5e-4, "{bound}");
    assert_eq!(decision.verdict, Verdict::Reject);
}

#[test]
fn worst_risks_of_guard_bands() {
    // ILAC-G8:09/2019, table of decision rules (from memory; risks recomputed for U = 2u): the worst accepted size
    // lies right at the bound. Limit 8.994 mm, u = 0.001 mm.
    for (multiple, bound, risk) in [
        ("3", "8.988", 1e-9),
        ("1.5", "8.991", 0.00135),
        ("1", "8.992", 0.0228),
        ("0.83", "8.99234", 0.0485),
        ("0", "8.994", 0.5),
    ] {
        let decision = decided(
            bound,
            "0.001",
            "",
            "8.994",
            &format!("guard-band {multiple}"),
        );
        assert_eq!(decision.verdict, Verdict::Accept);
        let found = 1.0 - decision.conformance_probability;
        assert!((found / risk - 1.0).abs() < 0.02, "{multiple}: {found}");
    }
    // Uncritical, r = -1: a false rejection below 2.5 %.
    let decision = decided("8.9960001", "0.001", "", "8.994", "guard-band -1");
    assert_eq!(decision.verdict, Verdict::Reject);
    assert!((decision.conformance_probability - 0.02275).abs() < 2e-5);
}

#[test]
fn reasons_hold_the_numbers_that_decide() {
    let of = |text: &str| Length::from_decimal(number(text), LengthUnit::Inch).unwrap();
    let exact = |text: &str| number(text) * number("25.4");
    let uncertainty = MeasurementUncertainty::in_unit(number("0.0001"), LengthUnit::Inch).unwrap();
    let expanded = exact("0.0002");
    // 1/4-20 UNC-2A.
    let set = Limits::between(of("0.2127"), of("0.2164"));
    let between = |lower, upper| Range::Between {
        lower: exact(lower),
        upper: exact(upper),
    };
    let limits = || between("0.2127", "0.2164");
    let decided = |y: &str, under: &str| {
        let decision = decide(of(y), &uncertainty, set, rule(under)).unwrap();
        let bounds = [set.into(), decision.acceptance, decision.rejection];
        let size = Told::size(exact(y), expanded, &bounds);
        (size, decision.reason)
    };
    let by = |distance| Told::distance(exact(distance), expanded);

    let (size, reason) = decided("0.2164", "simple");
    assert_eq!(
        reason,
        Reason::Within {
            size,
            limits: limits()
        }
    );
    let (size, reason) = decided("0.2166", "simple");
    let expected = Reason::Above {
        size,
        by: by("0.0002"),
        limits: limits(),
        none: None,
    };
    assert_eq!(reason, expected);
    let (size, reason) = decided("0.2150", "iso14253-1");
    let expected = Reason::WithinGuard {
        size,
        zone: between("0.212865", "0.216235"),
        guard: exact("0.000165"),
    };
    assert_eq!(reason, expected);
    let (size, reason) = decided("0.2163", "iso14253-1");
    let expected = Reason::Unproven {
        size,
        limits: limits(),
        guard: exact("0.000165"),
        none: None,
    };
    assert_eq!(reason, expected);
    let (size, reason) = decided("0.2163", "guard-band");
    let expected = Reason::WithinLimitsOnly {
        size,
        limits: limits(),
        zone: between("0.2129", "0.2162"),
        guard: exact("0.0002"),
        none: None,
    };
    assert_eq!(reason, expected);
    let (size, reason) = decided("0.2165", "guard-band -1");
    let expected = Reason::WithinWider {
        size,
        zone: between("0.2125", "0.2166"),
        guard: exact("0.0002"),
    };
    assert_eq!(reason, expected);
    let (size, reason) = decided("0.2125", "guard-band-four");
    let expected = Reason::JustBelow {
        size,
        by: by("0.0002"),
        limits: limits(),
        guard: exact("0.0002"),
        none: None,
    };
    assert_eq!(reason, expected);
    let (_, reason) = decided("0.2150", "simple 0.1");
    let expected = Reason::TooUncertain {
        rule: rule("simple 0.1"),
        ratio: number("0.108"),
        permitted: number("0.1"),
    };
    assert_eq!(reason, expected);
    let decision = decide(of("0.2163"), &uncertainty, set, rule("probability")).unwrap();
    let Reason::Between {
        probability,
        complement,
        asked,
        ..
    } = decision.reason
    else {
        panic!("{decision:?}");
    };
    assert!((probability - 0.8413).abs() < 1e-4);
    assert_eq!((complement, asked), (number("5"), number("95")));
}

/// The bearing of JCGM 106:2012, 9.5.4: T_U = 2 µm, and a guard band that ends at 1.67 µm.
#[test]
fn a_stated_guard_band() {
    let rule = Rule::StatedGuardBand {
        width: number("0.00033"),
    };
    let uncertainty = MeasurementUncertainty::new(number("0.00025"));
    let at = |y: &str| decide(mm(y), &uncertainty, limits("", "0.002"), rule).unwrap();
    let decision = at("0.00167");
    assert_eq!(decision.verdict, Verdict::Accept);
    assert_eq!(decision.acceptance.upper, Some(number("0.00167")));
    assert_eq!(decision.zone_margin, Some(Decimal::ZERO));
    assert_eq!(at("0.0016701").verdict, Verdict::Reject);
}

#[test]
fn no_guard_band_has_no_sign() {
    for under in ["relaxed 0", "guard-band 0", "simple"] {
        let decision = decided("10", "0.06", "0", "10.05", under);
        assert!(!decision.guard_band.unwrap().is_sign_negative(), "{under}");
    }
}

#[test]
fn guard_bands_that_meet_are_said() {
    for under in ["guard-band", "iso14253-1", "stringent", "guard-band-four"] {
        let decision = decided("10", "0.06", "9.95", "10.05", under);
        let (Reason::WithinLimitsOnly { none, .. }
        | Reason::Unproven { none, .. }
        | Reason::NearLimit { none, .. }) = decision.reason
        else {
            panic!("{decision:?}");
        };
        assert_eq!(none, Some(NoneAccepted::GuardBandsMeet), "{under}");
        assert_ne!(decision.verdict, Verdict::Accept);
    }
    let decision = decided("10", "0.06", "9.95", "10.05", "probability");
    assert_eq!(decision.guard_band, None);
    assert!(
        matches!(
            decision.reason,
            Reason::Between {
                none: Some(NoneAccepted::Improbable),
                ..
            }
        ),
        "{decision:?}"
    );
}

#[test]
fn wrong_questions_are_refused() {
    let ask = |u: &str, lower: &str, upper: &str| {
        let uncertainty = MeasurementUncertainty::new(number(u));
        decide(mm("1"), &uncertainty, limits(lower, upper), rule("simple"))
    };
    assert_eq!(ask("0.1", "", ""), Err(DecisionError::NoLimits));
    assert!(matches!(
        ask("0.1", "2", "1"),
        Err(DecisionError::LimitsCrossed { .. })
    ));
    assert!(matches!(
        ask("-0.1", "1", "2"),
        Err(DecisionError::StandardUncertainty { .. })
    ));
    assert!(matches!(
        ask("79228162514264337593543950335", "1", "2"),
        Err(DecisionError::StandardUncertainty { .. })
    ));
    let unchecked = Rule::GuardBand {
        multiple: Decimal::MAX,
    };
    let uncertainty = MeasurementUncertainty::new(Decimal::ONE);
    let answer = decide(mm("1"), &uncertainty, limits("1", "2"), unchecked);
    assert!(matches!(answer, Err(DecisionError::Parameter { .. })));
    let nearly_certain = Rule::Probability {
        least: number("0.9999999999999999999999"),
    };
    let answer = decide(mm("1"), &uncertainty, limits("1", ""), nearly_certain);
    assert_eq!(answer, Err(DecisionError::TooLarge));
}
