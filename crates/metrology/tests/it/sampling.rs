//! Sampling plans against published plans and operating characteristics.

use metrology::sampling::{
    Acceptance, Aql, Level, SamplingError, Severity, single_plan, zero_acceptance,
};
use rust_decimal::Decimal;

use crate::rows::near;

fn decimal(text: &str) -> Decimal {
    text.parse().unwrap()
}

/// NIST/SEMATECH e-Handbook, 6.2.3.2: the plan (52, 3) for 1 to 10 %; from memory, where 4 and 5 % differ by 0.001.
#[test]
fn operating_characteristic_of_the_handbook() {
    let plan = Acceptance::new(52, 3, None).unwrap();
    let published = [
        0.998, 0.980, 0.930, 0.845, 0.739, 0.620, 0.502, 0.394, 0.300, 0.223,
    ];
    for (percent, expected) in (1..).zip(published) {
        let point = plan.at_fraction(Decimal::new(percent, 2)).unwrap();
        near(point.probability_of_acceptance, expected, 0.0011);
        let outgoing = point.probability_of_acceptance * point.fraction;
        near(point.average_outgoing_quality, outgoing, 1e-15);
    }
}

/// Tabulated values of MIL-STD-105E, Table X-J (chart for code letter J): quality of lots accepted with probability 0.95 and
/// 0.10 under the plan 80, Ac 2; from memory: 1.03 and 6.52 % (binomial).
#[test]
fn tabulated_quality_of_letter_j() {
    let plan = Acceptance::new(80, 2, None).unwrap();
    near(plan.accepted_with(0.95) * 100.0, 1.03, 0.006);
    near(plan.accepted_with(0.10) * 100.0, 6.52, 0.006);
}

/// Fractions of a lot are whole pieces, and the outgoing quality leaves out what was inspected.
#[test]
fn lots_are_counted_in_pieces() {
    let plan = Acceptance::new(80, 2, Some(1000)).unwrap();
    // 0.07 · 1000 is no whole number in doubles.
    let point = plan.at_fraction(decimal("0.07")).unwrap();
    assert_eq!(point.nonconforming, Some(70));
    let expected = point.probability_of_acceptance * 0.07 * 0.92;
    near(point.average_outgoing_quality, expected, 1e-15);
    assert_eq!(
        plan.at_nonconforming(0).unwrap().probability_of_acceptance,
        1.0
    );
    assert_eq!(
        plan.at_nonconforming(1000)
            .unwrap()
            .probability_of_acceptance,
        0.0
    );
    assert!(plan.at_nonconforming(1001).is_err());
    assert!(plan.at_fraction(decimal("1.01")).is_err());
    // A large lot neither overflows nor loses the binomial it is near to.
    let large = Acceptance::new(1250, 10, Some(1_000_000_000)).unwrap();
    let endless = Acceptance::new(1250, 10, None).unwrap();
    let of = |plan: Acceptance| {
        plan.at_fraction(decimal("0.01"))
            .unwrap()
            .probability_of_acceptance
    };
    near(of(large), of(endless), 1e-6);
}

/// C(N − D, n)/C(N, n) by whole numbers: the least n.
#[test]
fn zero_acceptance_plans() {
    for (lot, limiting, risk, n) in [
        (1000, "0.01", 0.05, 258),
        (100, "0.05", 0.05, 45),
        (50, "0.02", 0.10, 45),
        (50, "0.001", 0.10, 45),
        (1, "0.5", 0.05, 1),
        (100, "1", 0.05, 1),
    ] {
        assert_eq!(
            zero_acceptance(lot, decimal(limiting), risk),
            Ok(n),
            "{lot} {limiting}"
        );
    }
    assert!(zero_acceptance(0, decimal("0.01"), 0.05).is_err());
    assert!(zero_acceptance(10, decimal("0"), 0.05).is_err());
    assert!(zero_acceptance(10, decimal("0.1"), f64::NAN).is_err());
}

/// MIL-STD-105E: lot, level, AQL, severity; letter, n, Ac, Re.
#[test]
fn single_plans() {
    use Severity::{Normal, Reduced, Tightened};
    for (lot, level, aql, severity, letter, n, c, r) in [
        // A public copy of Tables I and II-A.
        (1000, "II", "1.0", Normal, "J", 80, 2, 3),
        (1000, "II", "0.65", Normal, "J", 80, 1, 2),
        (1000, "II", "2.5", Normal, "J", 80, 5, 6),
        (1000, "II", "0.40", Normal, "K", 125, 1, 2),
        (1000, "II", "0.25", Normal, "H", 50, 0, 1),
        (2, "II", "6.5", Normal, "A", 2, 0, 1),
        (1_000_000, "III", "0.010", Normal, "Q", 1250, 0, 1),
        // A public guide with the columns 0.65 to 15 of Table II-B.
        (1000, "II", "1", Tightened, "J", 80, 1, 2),
        (2000, "II", "0.65", Tightened, "K", 125, 1, 2),
        (200, "II", "0.65", Tightened, "G", 32, 0, 1),
        (200, "II", "6.5", Tightened, "G", 32, 3, 4),
        (1000, "II", "15", Tightened, "J", 80, 18, 19),
        (400, "II", "1.0", Tightened, "J", 80, 1, 2),
        // A public reprint of Tables II-B and II-C.
        (1_000_000, "II", "0.025", Tightened, "S", 3150, 1, 2),
        (1000, "II", "1.0", Reduced, "J", 32, 1, 3),
        (1000, "S-4", "2.5", Reduced, "F", 8, 0, 2),
        (1000, "II", "0.25", Reduced, "H", 20, 0, 1),
    ] {
        let plan = single_plan(
            lot,
            Level::parse(level).unwrap(),
            Aql::parse(aql).unwrap(),
            severity,
        )
        .unwrap();
        let found = (&*plan.code_letter, plan.sample_size, plan.c, plan.r);
        assert_eq!(found, (letter, n, c, r), "{lot} {level} {aql}");
    }
}

/// Every cell of every table leads to a plan, and a lot that is not larger than the sample is inspected whole.
#[test]
fn every_arrow_leads_somewhere() {
    let lots = [
        2, 9, 16, 26, 51, 91, 151, 281, 501, 1201, 3201, 10_001, 35_001, 150_001, 500_001,
    ];
    for lot in lots {
        for level in Level::EVERY {
            for severity in Severity::EVERY {
                for aql in Aql::all() {
                    let plan = single_plan(lot, *level, aql, *severity).unwrap();
                    assert!(plan.c < plan.r && plan.n <= lot && plan.n >= 2.min(lot));
                    assert_eq!(plan.every_piece, plan.sample_size >= lot);
                }
            }
        }
    }
    let none = single_plan(1, Level::Two, Aql::parse("1").unwrap(), Severity::Normal);
    assert_eq!(none, Err(SamplingError::LotOfOne));
    for one in ["1", "1.0", "1,0", "1%", "1.0 %"] {
        assert_eq!(Aql::parse(one).unwrap().text(), "1.0", "{one}");
    }
    assert!(Aql::parse("0.7").is_err() && Level::parse("IV").is_err());
}
