//! JCGM 100:2008, annex H.2: simultaneous resistance and reactance, with correlated inputs.

#![allow(clippy::unwrap_used, reason = "a helper that fails is a failed test")]

use metrology::uncertainty::{Budget, Model};
use metrology::validation::examples::{Impedance, Reactance, Resistance, circuit};

fn check(model: &impl Model<3>, value: f64, uncertainty: f64) {
    let (inputs, ties) = circuit().unwrap();
    let budget = Budget::of_model(model, &inputs, &ties).unwrap();
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
    let (inputs, ties) = circuit().unwrap();
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
