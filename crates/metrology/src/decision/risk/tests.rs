//! Risks against published examples, closed forms and sums by brute force.

use super::super::zones::managed_multiplier;
use super::*;

fn at_most(upper: f64) -> Interval {
    Interval {
        lower: None,
        upper: Some(upper),
    }
}

fn within(half: f64) -> Interval {
    Interval {
        lower: Some(-half),
        upper: Some(half),
    }
}

#[test]
fn bearing_error_motion() {
    // JCGM 106:2012, 9.5.4 (second-hand quotation): gamma prior a = 4, b = 4 per µm, T_U = 2 µm, u = 0.25 µm:
    // 4.2 % nonconforming, R_C = 0.8 %. Full precision recomputed: 0.04238, 0.00802, R_P 0.01744.
    let process = Process::gamma(4.0, 4.0).unwrap();
    let simple = process
        .global_risk(at_most(2.0), at_most(2.0), 0.25)
        .unwrap();
    assert!((simple.nonconforming - 0.04238).abs() < 5e-6, "{simple:?}");
    assert!((simple.consumer - 0.00802).abs() < 5e-6, "{simple:?}");
    assert!((simple.producer - 0.01744).abs() < 5e-6, "{simple:?}");
    // A guard band that brings R_C to 0.1 % ends at 1.67 µm; recomputed A = 1.6718, R_P = 0.0755.
    let guarded = process
        .global_risk(at_most(2.0), at_most(1.6718), 0.25)
        .unwrap();
    assert!((guarded.consumer - 0.001).abs() < 1e-6, "{guarded:?}");
    assert!((guarded.producer - 0.0755).abs() < 5e-5, "{guarded:?}");
    let guard = process
        .guard_band(at_most(2.0), 0.25, 0.001)
        .unwrap()
        .unwrap();
    assert!((2.0 - guard - 1.6718).abs() < 5e-5, "{guard}");
    assert_eq!(process.guard_band(at_most(2.0), 0.25, 0.01), Ok(Some(0.0)));
    assert_eq!(process.guard_band(at_most(2.0), 0.25, -1.0), Ok(None));
}

fn between(lower: Option<f64>, upper: f64) -> Interval {
    Interval {
        lower,
        upper: Some(upper),
    }
}

/// Shape, rate, tolerance, acceptance, u; consumer's and producer's risk and what does not conform, computed with 30
/// digits (mpmath). The first two are the bearing of JCGM 106:2012, 9.5.4.
#[test]
fn gamma_processes_to_ten_digits() {
    let half_open = |upper| between(None, upper);
    for (shape, rate, tolerance, acceptance, u, wanted) in [
        (
            (4.0, 4.0, half_open(2.0), half_open(2.0), 0.25),
            [0.0080191118842872, 0.017444569229784, 0.042380111991684],
        ),
        (
            (4.0, 4.0, half_open(2.0), half_open(1.67), 0.25),
            [0.00098495364005995, 0.075983481025263, 0.042380111991684],
        ),
        (
            (0.5, 2.0, half_open(1.0), half_open(0.9), 0.1),
            [0.00080795076549044, 0.014904514183038, 0.045500263896358],
        ),
        (
            (
                1.0,
                3.0,
                between(Some(0.05), 0.9),
                between(Some(0.1), 0.85),
                0.02,
            ),
            [0.00011332391587584, 0.12968523608739, 0.20649753631469],
        ),
        (
            (
                900.0,
                90.0,
                between(Some(9.5), 10.6),
                between(Some(9.6), 10.5),
                0.06,
            ),
            [0.00067456415136958, 0.087346803998928, 0.10278172907822],
        ),
        (
            (0.02, 0.5, half_open(0.3), half_open(0.25), 0.04),
            [0.00010654000364588, 0.0034486001291728, 0.029128682387857],
        ),
    ]
    .map(|((a, b, t, acceptance, u), wanted)| (a, b, t, acceptance, u, wanted))
    {
        let process = Process::gamma(shape, rate).unwrap();
        let risk = process.global_risk(tolerance, acceptance, u).unwrap();
        let found = [risk.consumer, risk.producer, risk.nonconforming];
        for (found, wanted) in found.into_iter().zip(wanted) {
            assert!((found - wanted).abs() < 1e-10, "{shape}: {found} {wanted}");
        }
    }
}

/// Another way to the same numbers: sums over two million sizes, one by one, where (a - 1)! needs no special function.
#[test]
fn gamma_process_by_brute_force() {
    let (rate, upper, accepted, u) = (4.0, 2.0, 1.67, 0.25);
    let step = 1e-5;
    let (mut consumer, mut producer) = (0.0, 0.0);
    for n in 0..2_000_000 {
        let x = (f64::from(n) + 0.5) * step;
        let y = rate * x;
        let mass = rate * y * y * y / 6.0 * libm::exp(-y) * step;
        let chance = normal_cdf((accepted - x) / u);
        if x > upper {
            consumer += mass * chance;
        } else {
            producer += mass * (1.0 - chance);
        }
    }
    let process = Process::gamma(4.0, rate).unwrap();
    let risk = process
        .global_risk(at_most(upper), at_most(accepted), u)
        .unwrap();
    assert!(
        (risk.consumer - consumer).abs() < 1e-9,
        "{risk:?} {consumer}"
    );
    assert!(
        (risk.producer - producer).abs() < 1e-9,
        "{risk:?} {producer}"
    );
}

/// Shape 1 is the exponential distribution: with T the limit, A the acceptance limit and b the rate,
/// R_C = e^(-bT) Φ((A - T)/u) - e^(b²u²/2 - bA) Φ((A - T)/u - bu), by parts.
#[test]
fn exponential_process_in_closed_form() {
    for (b, limit, accepted, u) in [(1.0, 3.0, 2.8, 0.2), (50.0, 0.1, 0.12, 0.01)] {
        let z = (accepted - limit) / u;
        let beyond = (b * u) * (b * u) / 2.0 - b * accepted;
        let wanted =
            libm::exp(-b * limit) * normal_cdf(z) - libm::exp(beyond) * normal_cdf(z - b * u);
        let risk = Process::gamma(1.0, b)
            .unwrap()
            .global_risk(at_most(limit), at_most(accepted), u)
            .unwrap();
        assert!((risk.consumer - wanted).abs() < 1e-12, "{risk:?} {wanted}");
    }
}

#[test]
fn a_gamma_process_of_large_shape_is_normal() {
    // Shape 1e9 about 10: standard deviation 10/√1e9, skewness 2/√1e9.
    let (gamma, sd) = (Process::gamma(1e9, 1e8).unwrap(), 10.0 / 1e9_f64.sqrt());
    let normal = Process::normal(10.0, sd).unwrap();
    let (limit, u) = (10.0 + sd, sd / 3.0);
    let of = |process: &Process| {
        let risk = process.global_risk(at_most(limit), at_most(limit), u);
        risk.unwrap()
    };
    let (one, other) = (of(&gamma), of(&normal));
    assert!(
        (one.consumer - other.consumer).abs() < 1e-5,
        "{one:?} {other:?}"
    );
    assert!(
        (one.producer - other.producer).abs() < 1e-5,
        "{one:?} {other:?}"
    );
}

#[test]
fn one_item_of_a_gamma_process() {
    // Computed with 30 digits over the sizes themselves (mpmath).
    for ((shape, rate), tolerance, (value, u), wanted) in [
        ((4.0, 4.0), at_most(2.0), (1.9, 0.25), 0.84013475711848),
        ((4.0, 4.0), at_most(2.0), (2.5, 0.25), 0.088560559923927),
        (
            (0.5, 2.0),
            between(Some(0.1), 1.0),
            (-0.2, 0.3),
            0.27517430179989,
        ),
        ((4.0, 4.0), at_most(2.0), (30.0, 0.5), 0.0),
        (
            (900.0, 90.0),
            between(Some(9.5), 10.6),
            (10.5, 0.06),
            0.97439976431669,
        ),
    ] {
        let process = Process::gamma(shape, rate).unwrap();
        let found = process.conformance(value, u, tolerance).unwrap();
        assert!((found - wanted).abs() < 1e-10, "{value}: {found} {wanted}");
    }
    let process = Process::gamma(4.0, 4.0).unwrap();
    assert_eq!(process.conformance(2.0, 0.0, at_most(2.0)), Some(1.0));
    assert_eq!(process.conformance(2.1, 0.0, at_most(2.0)), Some(0.0));
}

/// Ten sizes, one of them out by u and one of them in by u: Φ(-1) = 0.158 655 of each goes wrong, and Φ(-5) or less of
/// the rest.
#[test]
fn sizes_as_they_were_recorded() {
    let mut sizes = vec![9.0; 8];
    sizes.extend([9.9, 10.1]);
    let process = Process::empirical(sizes).unwrap();
    let risk = process
        .global_risk(at_most(10.0), at_most(10.0), 0.1)
        .unwrap();
    assert!((risk.consumer - 0.015_865_5).abs() < 1e-7, "{risk:?}");
    assert!((risk.producer - 0.015_865_5).abs() < 1e-7, "{risk:?}");
    assert!((risk.nonconforming - 0.1).abs() < 1e-15);
    assert_eq!(process.conformance(9.9, 0.1, at_most(10.0)), None);
    assert!((process.moments().0 - 9.2).abs() < 1e-12);
}

/// The largest global consumer's risk over all centred normal processes, T = 2 and U95 = 1/TUR with k = 2.
fn worst(test_uncertainty_ratio: f64, multiplier: f64) -> f64 {
    let expanded = 1.0 / test_uncertainty_ratio;
    let u = expanded / 2.0;
    (1..400)
        .map(|i| {
            let process = Process::normal(0.0, 0.01 * f64::from(i)).unwrap();
            process
                .global_risk(within(1.0), within(1.0 - multiplier * expanded), u)
                .unwrap()
                .consumer
        })
        .fold(0.0, f64::max)
}

#[test]
fn managed_guard_band_keeps_two_percent() {
    // ANSI/NCSL Z540.3-2006, 5.3 b: worst global risk of false acceptance, with the managed guard band and
    // without any; recomputed by an independent integration.
    for (ratio, managed, none) in [
        (1.5, 0.0191, 0.053),
        (2.0, 0.0192, 0.042),
        (3.0, 0.0193, 0.029),
        (4.0, 0.0196, 0.022),
        (4.6, 0.0196, 0.0196),
    ] {
        let found = worst(ratio, managed_multiplier(ratio));
        assert!((found - managed).abs() < 1e-4, "{ratio}: {found}");
        assert!(found < 0.02);
        let found = worst(ratio, 0.0);
        assert!((found - none).abs() < 6e-4, "{ratio}: {found}");
    }
}

#[test]
fn chances_sum() {
    // Certain measurement: no risk; and what is nonconforming is the tail.
    let process = Process::normal(0.3, 0.5).unwrap();
    let risk = process.global_risk(within(1.0), within(1.0), 0.0).unwrap();
    assert!(risk.consumer.abs() < 1e-14 && risk.producer.abs() < 1e-14);
    let tails = normal_cdf(-1.4) + normal_cdf(-2.6);
    assert!((risk.nonconforming - tails).abs() < 1e-12);
}

#[test]
fn the_managed_guard_band_needs_a_centred_process() {
    // A narrow process just outside the upper limit: the 2 % rule does not hold 2 %.
    let (ratio, expanded) = (4.0, 0.25);
    let acceptance = within(1.0 - managed_multiplier(ratio) * expanded);
    let risk =
        Process::normal(1.02, 0.01)
            .unwrap()
            .global_risk(within(1.0), acceptance, expanded / 2.0);
    assert!(risk.unwrap().consumer > 0.2);
}

#[test]
fn wrong_questions_are_refused() {
    assert!(Process::normal(0.0, 0.0).is_err());
    assert!(Process::normal(f64::NAN, 1.0).is_err());
    for (shape, rate) in [
        (-1.0, 1.0),
        (4.0, 0.0),
        (f64::NAN, 1.0),
        (4.0, f64::INFINITY),
    ] {
        assert!(matches!(
            Process::gamma(shape, rate),
            Err(RiskError::Process { .. })
        ));
    }
    for shape in [1e-4, 1e10] {
        assert!(matches!(
            Process::gamma(shape, 1.0),
            Err(RiskError::Shape { .. })
        ));
    }
    // A mean beyond all numbers.
    assert!(Process::gamma(4.0, 1e-320).is_err());
    assert_eq!(Process::empirical(Vec::new()), Err(RiskError::NoSizes));
    assert!(Process::empirical(vec![1.0, f64::NAN]).is_err());
    let process = Process::normal(0.0, 1.0).unwrap();
    assert!(process.global_risk(within(1.0), within(1.0), -0.1).is_err());
    assert!(
        process
            .global_risk(within(f64::INFINITY), within(1.0), 0.1)
            .is_err()
    );
}
