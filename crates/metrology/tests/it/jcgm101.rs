//! JCGM 101:2008, clause 9: the published examples, read from a copy of their tables.

#![allow(clippy::unwrap_used, reason = "a helper that fails is a failed test")]

use std::num::NonZeroUsize;

use metrology::uncertainty::monte_carlo::{
    Interval, Kind, MonteCarloError, Outcome, Precision, Settings, Simulation, numerical_tolerance,
    validate,
};
use metrology::uncertainty::{Budget, Correlation, Input, Model, Scalar, coverage_factor};
use metrology::validation::examples::{
    ComparisonLoss, EndGauge, Sum, Weight, gauge_block, rectangular, weighing,
};

/// One row of the published tables.
struct Published {
    estimate: f64,
    standard_uncertainty: f64,
    low: f64,
    high: f64,
}

/// The row of an example, case and method.
fn published(example: &str, case: &str, method: &str) -> Published {
    let table = include_str!("../../src/validation/cases/jcgm101_results.csv");
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let row = rows
        .records()
        .map(Result::unwrap)
        .find(|row| (&row[0], &row[1], &row[2]) == (example, case, method))
        .unwrap();
    let number = |column: usize| row[column].parse().unwrap();
    Published {
        estimate: number(4),
        standard_uncertainty: number(5),
        low: number(6),
        high: number(7),
    }
}

fn settings(probability: f64, threads: usize) -> Settings {
    Settings {
        probability,
        seed: 101,
        threads: NonZeroUsize::new(threads).unwrap(),
    }
}

fn trials<const N: usize>(
    model: &(impl Model<N> + Sync),
    inputs: &[Input; N],
    ties: &[Correlation],
    probability: f64,
    count: usize,
) -> Outcome {
    Simulation::new(model, inputs, ties, settings(probability, 2))
        .unwrap()
        .run(count)
        .unwrap()
}

impl Published {
    fn check(&self, value: f64, u: f64, interval: Interval, tolerance: [f64; 3]) {
        let [of_value, of_u, of_ends] = tolerance;
        assert!(
            (value - self.estimate).abs() <= of_value,
            "estimate {value}, published {}",
            self.estimate
        );
        assert!(
            (u - self.standard_uncertainty).abs() <= of_u,
            "u {u}, published {}",
            self.standard_uncertainty
        );
        assert!(
            (interval.low - self.low).abs() <= of_ends,
            "low {}, published {}",
            interval.low,
            self.low
        );
        assert!(
            (interval.high - self.high).abs() <= of_ends,
            "high {}, published {}",
            interval.high,
            self.high
        );
    }
}

#[test]
fn sum_of_normals() {
    let inputs = ["a", "b", "c", "d"].map(|name| Input::normal(name, 0.0, 1.0));
    let outcome = trials(&Sum, &inputs, &[], 0.95, 200_000);
    published("9.2.2", "4 x N(0,1)", "adaptive MCM").check(
        outcome.value,
        outcome.standard_uncertainty,
        outcome.symmetric,
        [0.01, 0.01, 0.05],
    );
    let budget = Budget::of_model(&Sum, &inputs, &[]).unwrap();
    let half = budget.expanded(0.95).unwrap().expanded_uncertainty;
    published("9.2.2", "4 x N(0,1)", "GUF").check(
        budget.value,
        budget.standard_uncertainty,
        Interval {
            low: -half,
            high: half,
        },
        [1e-12, 1e-12, 0.005],
    );
    // Validated with δ = 0.05 (9.2.2.5).
    let tolerance = numerical_tolerance(outcome.standard_uncertainty, 2);
    assert_eq!(tolerance, 0.05);
    assert!(validate(budget.value, half, outcome.symmetric, tolerance).valid);
}

#[test]
fn sum_of_rectangulars() {
    let inputs = ["a", "b", "c", "d"].map(|name| rectangular(name, 1.0));
    let outcome = trials(&Sum, &inputs, &[], 0.95, 200_000);
    published("9.2.3", "4 x rectangular sd 1", "analytical").check(
        outcome.value,
        outcome.standard_uncertainty,
        outcome.symmetric,
        [0.01, 0.01, 0.02],
    );
    // The exact end of the interval, 2√3 (2 - (3/5)^¼) (9.2.3.3 and annex E).
    let exact = 2.0 * 3.0_f64.sqrt() * (2.0 - libm::pow(0.6, 0.25));
    assert!((outcome.symmetric.high - exact).abs() < 0.02);
}

#[test]
fn one_dominant_rectangular() {
    let mut inputs = ["a", "b", "c", "d"].map(|name| rectangular(name, 1.0));
    inputs[3] = rectangular("d", 10.0);
    let outcome = trials(&Sum, &inputs, &[], 0.95, 200_000);
    published("9.2.4", "fourth sd 10", "MCM").check(
        outcome.value,
        outcome.standard_uncertainty,
        outcome.symmetric,
        [0.05, 0.1, 0.1],
    );
    let budget = Budget::of_model(&Sum, &inputs, &[]).unwrap();
    let half = budget.expanded(0.95).unwrap().expanded_uncertainty;
    published("9.2.4", "fourth sd 10", "GUF").check(
        budget.value,
        budget.standard_uncertainty,
        Interval {
            low: -half,
            high: half,
        },
        [1e-12, 0.05, 0.05],
    );
    // Not validated, with δ = 0.5 (9.2.4.5).
    let tolerance = numerical_tolerance(outcome.standard_uncertainty, 2);
    assert_eq!(tolerance, 0.5);
    assert!(!validate(budget.value, half, outcome.symmetric, tolerance).valid);
}

#[test]
fn mass_calibration() {
    let inputs = weighing();
    let outcome = trials(&Weight, &inputs, &[], 0.95, 200_000);
    // The ends of the shortest interval scatter by 1 % of its width.
    published("9.3", "mass", "adaptive MCM").check(
        outcome.value,
        outcome.standard_uncertainty,
        outcome.shortest,
        [0.0005, 0.0003, 0.003],
    );
    let budget = Budget::of_model(&Weight, &inputs, &[]).unwrap();
    let k = coverage_factor(0.95, f64::INFINITY).unwrap();
    let about = |u: f64| Interval {
        low: budget.value - k * u,
        high: budget.value + k * u,
    };
    let first = budget.standard_uncertainty;
    published("9.3", "mass", "GUF first order").check(
        budget.value,
        first,
        about(first),
        [1e-4, 6e-5, 1e-4],
    );
    assert!(budget.second_order_matters());
    let second = budget.second_order.unwrap();
    published("9.3", "mass", "GUF higher order").check(
        budget.value,
        second,
        about(second),
        [1e-4, 6e-5, 1e-4],
    );
    // 9.3.2.4: with δ = 0.005 the first order fails, the higher order is validated.
    let valid = |u: f64| validate(budget.value, k * u, outcome.shortest, 0.005).valid;
    assert!(!valid(first) && valid(second));
}

#[test]
fn comparison_loss() {
    let inputs = |x1: f64| {
        [
            Input::normal("X1", x1, 0.005),
            Input::normal("X2", 0.0, 0.005),
        ]
    };
    for (case, x1, r) in [
        ("x1=0 r=0", 0.0, 0.0),
        ("x1=0.010 r=0", 0.010, 0.0),
        ("x1=0.050 r=0", 0.050, 0.0),
        ("x1=0 r=0.9", 0.0, 0.9),
        ("x1=0.010 r=0.9", 0.010, 0.9),
        ("x1=0.050 r=0.9", 0.050, 0.9),
    ] {
        let tie = Correlation {
            first: 0,
            second: 1,
            coefficient: r,
        };
        let ties = if r == 0.0 { &[][..] } else { &[tie][..] };
        let outcome = trials(&ComparisonLoss, &inputs(x1), ties, 0.95, 1_000_000);
        let Interval { low, high } = outcome.shortest;
        let row = published("9.4", case, "MCM");
        let scatter = (0.01 * (row.high - row.low)).max(1.0);
        let interval = Interval {
            low: low * 1e6,
            high: high * 1e6,
        };
        // The correlation of the published table shows in u as well: 67 in place of 50.
        row.check(
            outcome.value * 1e6,
            outcome.standard_uncertainty * 1e6,
            interval,
            [2.0, 2.0, scatter],
        );
    }
    for (case, x1) in [("x1=0.010 r=0", 0.010), ("x1=0.050 r=0", 0.050)] {
        let budget = Budget::of_model(&ComparisonLoss, &inputs(x1), &[]).unwrap();
        let (y, u) = (budget.value * 1e6, budget.standard_uncertainty * 1e6);
        let half = coverage_factor(0.95, f64::INFINITY).unwrap() * u;
        let interval = Interval {
            low: y - half,
            high: y + half,
        };
        published("9.4", case, "GUF first order").check(y, u, interval, [1e-6, 1e-6, 0.5]);
    }
}

#[test]
fn gauge_block_by_trials() {
    let outcome = trials(&EndGauge, &gauge_block(), &[], 0.99, 400_000);
    published("9.5", "gauge block", "adaptive MCM").check(
        outcome.value,
        outcome.standard_uncertainty,
        outcome.shortest,
        [0.5, 0.5, 2.0],
    );
}

#[test]
fn adaptive_stops_at_the_digits_asked_for() {
    let inputs = ["a", "b", "c", "d"].map(|name| rectangular(name, 1.0));
    let precision = Precision {
        digits: 2,
        validating: true,
        kind: Kind::Symmetric,
        most_trials: 4_000_000,
    };
    let run = |precision, threads| {
        let simulation = Simulation::new(&Sum, &inputs, &[], settings(0.95, threads)).unwrap();
        simulation.run_adaptive(precision).unwrap()
    };
    let outcome = run(precision, 2);
    assert!(outcome.stabilized);
    // A fifth of δ = 0.05 stands still; published after 1.02e6 trials, which is a matter of chance.
    assert!(
        (200_000..4_000_000).contains(&outcome.trials),
        "{outcome:?}"
    );
    published("9.2.3", "4 x rectangular sd 1", "adaptive MCM").check(
        outcome.value,
        outcome.standard_uncertainty,
        outcome.symmetric,
        [0.01, 0.01, 0.02],
    );
    // The same digits with any number of threads.
    let quick = Precision {
        validating: false,
        ..precision
    };
    assert_eq!(run(quick, 1), run(quick, 3));
    let too_few = Precision {
        digits: 3,
        most_trials: 40_000,
        ..precision
    };
    let outcome = Simulation::new(&Sum, &inputs, &[], settings(0.95, 2))
        .unwrap()
        .run_adaptive(too_few)
        .unwrap();
    assert!(!outcome.stabilized);
    assert_eq!(outcome.trials, 40_000);
}

#[test]
fn the_seed_decides_the_digits() {
    let inputs = ["a", "b", "c", "d"].map(|name| Input::normal(name, 0.0, 1.0));
    let run = |seed, threads| {
        let settings = Settings {
            seed,
            ..settings(0.95, threads)
        };
        Simulation::new(&Sum, &inputs, &[], settings)
            .unwrap()
            .run(25_000)
            .unwrap()
    };
    assert_eq!(run(1, 1), run(1, 4));
    assert_ne!(run(1, 1), run(2, 1));
}

/// A model with no value for half of its input.
struct Root;

impl Model<1> for Root {
    fn evaluate<S: Scalar>(&self, [x]: [S; 1]) -> S {
        x.sqrt()
    }
}

#[test]
fn wrong_questions_are_refused() {
    let input = [Input::normal("x", 0.0, 1.0)];
    let ask = |probability, count| {
        Simulation::new(&Root, &input, &[], settings(probability, 1))
            .and_then(|simulation| simulation.run(count))
    };
    assert!(matches!(
        ask(0.95, 10_000),
        Err(MonteCarloError::Model { .. })
    ));
    assert!(matches!(
        ask(95.0, 10_000),
        Err(MonteCarloError::Probability { .. })
    ));
    assert!(matches!(
        ask(0.95, 10),
        Err(MonteCarloError::Trials { least: 200, .. })
    ));
    assert!(matches!(
        ask(0.95, usize::MAX),
        Err(MonteCarloError::Trials { .. })
    ));
}
