//! JCGM 100:2008, annex H.1: calibration of a 50 mm end gauge, step by step.

#![allow(clippy::unwrap_used, reason = "a helper that fails is a failed test")]

use metrology::uncertainty::{Budget, Input};
use metrology::validation::examples::{EndGauge, NM, end_gauge_of_gum};

fn inputs() -> [Input; 10] {
    end_gauge_of_gum().unwrap()
}

fn budget() -> Budget {
    Budget::of_model(&EndGauge, &inputs(), &[]).unwrap()
}

fn near(found: f64, published: f64, tolerance: f64, what: &str) {
    assert!(
        (found - published).abs() <= tolerance,
        "{what}: {found}, published {published}"
    );
}

/// Every row of the published table: estimate, standard uncertainty, degrees of freedom, contribution.
#[test]
fn inputs_as_published() {
    let table = include_str!("fixtures/gum_h1_inputs.csv");
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let budget = budget();
    let inputs = inputs();
    let mut count = 0;
    for (row, (input, line)) in rows.records().zip(inputs.iter().zip(&budget.lines)) {
        let row = row.unwrap();
        let symbol = &row[0];
        assert_eq!(symbol, input.name);
        let unit = if &row[3] == "nm" { NM } else { 1.0 };
        near(
            input.estimate,
            row[2].parse::<f64>().unwrap() * unit,
            1e-15,
            symbol,
        );
        // Standard uncertainties are printed with two digits.
        let (u, unit) = match row[7].strip_suffix(" nm") {
            Some(u) => (u.parse::<f64>().unwrap(), NM),
            None => (row[7].parse().unwrap(), 1.0),
        };
        near(
            input.standard_uncertainty(),
            u * unit,
            0.06 * u * unit,
            symbol,
        );
        let nu = if row[8].is_empty() {
            f64::INFINITY
        } else {
            row[8].parse().unwrap()
        };
        assert!(
            (input.degrees_of_freedom == nu) || (input.degrees_of_freedom - nu).abs() < 1e-9,
            "{symbol}"
        );
        near(
            line.contribution / NM,
            row[10].parse().unwrap(),
            0.06,
            symbol,
        );
        count += 1;
    }
    assert_eq!(count, 9);
}

#[test]
fn difference_of_lengths() {
    // H.1.3.2 and H.1.6: u(d) = 9.7 nm with 25.6 degrees of freedom; 9.663 and 25.62 in full precision.
    let difference: Vec<_> = budget().lines[1..4]
        .iter()
        .map(|line| metrology::uncertainty::Component {
            name: line.name.clone(),
            standard_uncertainty: line.standard_uncertainty,
            sensitivity: line.sensitivity,
            degrees_of_freedom: line.degrees_of_freedom,
        })
        .collect();
    let difference = Budget::of_components(0.0, &difference, &[]).unwrap();
    near(difference.standard_uncertainty / NM, 9.663, 5e-4, "u(d)");
    near(
        difference.degrees_of_freedom,
        25.62,
        0.005,
        "degrees of freedom of d",
    );
}

#[test]
fn contributions() {
    // H.1.4 and H.1.7, Table H.1; the last digits recomputed in full precision.
    let budget = budget();
    let contribution = |name: &str| {
        budget
            .lines
            .iter()
            .find(|line| line.name == name)
            .unwrap()
            .contribution
            / NM
    };
    near(contribution("lS"), 25.0, 1e-9, "lS");
    near(contribution("dalpha"), 2.887, 5e-4, "dalpha");
    near(contribution("dtheta"), 16.599, 5e-4, "dtheta");
    assert_eq!(contribution("alphaS"), 0.0);
    assert_eq!(contribution("thetabar"), 0.0);
    assert_eq!(budget.by_share()[0].name, "lS");
}

#[test]
fn result() {
    let budget = budget();
    near(budget.value, 50.000838, 1e-9, "l (H.1.5)");
    near(
        budget.standard_uncertainty / NM,
        31.658,
        5e-4,
        "u_c, printed 32 nm (H.1.4)",
    );
    near(
        libm::pow(budget.standard_uncertainty / NM, 2.0),
        1002.24,
        0.01,
        "u_c², printed 1002 nm² (H.1.4)",
    );
    near(
        budget.degrees_of_freedom,
        16.74,
        0.005,
        "ν_eff, printed 16.7 (H.1.6)",
    );
}

#[test]
fn expanded() {
    // H.1.6: t_99(16) = 2.92. The document multiplies the rounded 32 nm and prints 93 nm; the unrounded u_c
    // gives 92.47 nm.
    let expanded = budget().expanded(0.99).unwrap();
    assert_eq!(expanded.degrees_of_freedom, 16.0);
    near(expanded.coverage_factor, 2.9208, 5e-5, "t_99(16)");
    near(expanded.expanded_uncertainty / NM, 92.47, 0.005, "U_99");
    near(
        (expanded.coverage_factor * 32.0).round(),
        93.0,
        0.0,
        "U_99 as printed",
    );
    // Recomputed only, not printed: t_95(16) = 2.120.
    near(
        budget().expanded(0.95).unwrap().expanded_uncertainty / NM,
        67.1,
        0.05,
        "U_95",
    );
}

#[test]
fn second_order_terms() {
    // H.1.7: 11.7 nm from δα and θ, 1.7 nm from α_S and δθ; together they take u_c from 32 nm to 34 nm.
    let budget = budget();
    near(
        budget.second_order.unwrap() / NM,
        33.80,
        0.005,
        "u_c with second-order terms",
    );
    assert!(budget.second_order_matters());
    for (left, right, published) in [
        (&["dalpha"][..], &["thetabar", "Delta"][..], 11.726),
        (&["alphaS"], &["dtheta"], 1.667),
    ] {
        let only = inputs().map(|input| {
            let kept = left.contains(&&*input.name) || right.contains(&&*input.name);
            if kept {
                input
            } else {
                Input::normal(input.name, input.estimate, 0.0)
            }
        });
        let part = Budget::of_model(&EndGauge, &only, &[]).unwrap();
        let (first, second) = (part.standard_uncertainty, part.second_order.unwrap());
        let added = second * second - first * first;
        near(added.sqrt() / NM, published, 5e-4, left[0]);
    }
}
