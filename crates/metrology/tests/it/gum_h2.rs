//! JCGM 100:2008, annex H.2: simultaneous resistance and reactance, with correlated inputs.

#![allow(clippy::unwrap_used, reason = "a helper that fails is a failed test")]

use metrology::uncertainty::statistics::Sample;
use metrology::uncertainty::{Budget, Correlation, Input, Model, Scalar};

/// Five simultaneous sets of voltage (V), current (A) and phase (rad): Table H.2.
const VOLTAGE: [f64; 5] = [5.007, 4.994, 5.005, 4.990, 4.999];
const CURRENT: [f64; 5] = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3];
const PHASE: [f64; 5] = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];

struct Resistance;
struct Reactance;
struct Impedance;

impl Model<3> for Resistance {
    fn evaluate<S: Scalar>(&self, [voltage, current, phase]: [S; 3]) -> S {
        voltage / current * phase.cos()
    }
}

impl Model<3> for Reactance {
    fn evaluate<S: Scalar>(&self, [voltage, current, phase]: [S; 3]) -> S {
        voltage / current * phase.sin()
    }
}

impl Model<3> for Impedance {
    fn evaluate<S: Scalar>(&self, [voltage, current, _]: [S; 3]) -> S {
        voltage / current
    }
}

/// r of two series (5.2.3).
fn coefficient(x: &[f64], y: &[f64]) -> f64 {
    let (a, b) = (Sample::of(x).unwrap(), Sample::of(y).unwrap());
    let products: f64 = x
        .iter()
        .zip(y)
        .map(|(x, y)| (x - a.mean) * (y - b.mean))
        .sum();
    products / ((x.len() - 1) as f64 * a.standard_deviation * b.standard_deviation)
}

fn inputs() -> [Input; 3] {
    [("V", VOLTAGE), ("I", CURRENT), ("phi", PHASE)].map(|(name, readings)| {
        let sample = Sample::of(&readings).unwrap();
        Input::normal(name, sample.mean, sample.standard_uncertainty())
            .with_degrees_of_freedom(sample.degrees_of_freedom())
    })
}

fn correlations() -> [Correlation; 3] {
    [
        Correlation {
            first: 0,
            second: 1,
            coefficient: coefficient(&VOLTAGE, &CURRENT),
        },
        Correlation {
            first: 0,
            second: 2,
            coefficient: coefficient(&VOLTAGE, &PHASE),
        },
        Correlation {
            first: 1,
            second: 2,
            coefficient: coefficient(&CURRENT, &PHASE),
        },
    ]
}

fn check(model: &impl Model<3>, value: f64, uncertainty: f64) {
    let budget = Budget::of_model(model, &inputs(), &correlations()).unwrap();
    // Table H.3: 127.732(71), 219.847(295), 254.260(236) ohm.
    assert!((budget.value - value).abs() < 6e-4, "{}", budget.value);
    assert!(
        (budget.standard_uncertainty - uncertainty).abs() < 6e-4,
        "{}",
        budget.standard_uncertainty
    );
    // Read together five times: four degrees of freedom (H.2.3 approach 2).
    assert!((budget.degrees_of_freedom - 4.0).abs() < 1e-9);
    let shares: f64 = budget.lines.iter().map(|line| line.share).sum();
    assert!((shares - 1.0).abs() < 1e-12);
    assert_eq!(budget.second_order, None);
}

#[test]
fn resistance_reactance_impedance() {
    check(&Resistance, 127.732, 0.071);
    check(&Reactance, 219.847, 0.295);
    check(&Impedance, 254.260, 0.236);
}

#[test]
fn results_are_correlated_as_published() {
    // Table H.3: r(R,X) = -0.588, r(R,Z) = -0.485, r(X,Z) = 0.993, from the covariance of the linear forms.
    let (inputs, ties) = (inputs(), correlations());
    let at = inputs.each_ref().map(|input| input.estimate);
    let r = |i: usize, j: usize| {
        let tie = ties
            .iter()
            .find(|t| (t.first, t.second) == (i.min(j), i.max(j)));
        tie.map_or(1.0, |tie| tie.coefficient)
    };
    let u = |sensitivity: [f64; 3], i: usize| sensitivity[i] * inputs[i].standard_uncertainty();
    let covariance = |a: [f64; 3], b: [f64; 3]| {
        let mut sum = 0.0;
        for i in 0..3 {
            for j in 0..3 {
                sum += u(a, i) * u(b, j) * r(i, j);
            }
        }
        sum
    };
    let [rr, xx, zz] = [
        Resistance.sensitivities(at),
        Reactance.sensitivities(at),
        Impedance.sensitivities(at),
    ];
    for (a, b, published) in [(rr, xx, -0.588), (rr, zz, -0.485), (xx, zz, 0.993)] {
        let found = covariance(a, b) / (covariance(a, a) * covariance(b, b)).sqrt();
        assert!((found - published).abs() < 6e-4, "{found} {published}");
    }
}
