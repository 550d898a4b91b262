//! The examples of JCGM 100:2008, annex H, and of JCGM 101:2008, clause 9.
//!
//! The ends of an interval by trials may be off by the numerical tolerance δ that the supplement states for the example, or
//! by a fiftieth of its width where it states none.

use std::num::NonZeroUsize;

use super::{Comparison, cell, number, rows};
use crate::uncertainty::monte_carlo::{Interval, Settings, Simulation};
use crate::uncertainty::statistics::Sample;
use crate::uncertainty::{
    Budget, Correlation, Distribution, Input, Model, Scalar, coverage_factor, distribution,
};

const NM: f64 = 1e-6;
/// Trials of an example; more would only narrow its scatter.
const TRIALS: usize = 200_000;

/// JCGM 100:2008, H.1: l = l_S + d - l_S (δα θ + α_S δθ), with d = d̄ + d1 + d2 and θ = θ̄ + Δ. JCGM 101:2008, 9.5, has the
/// same for the deviation from a nominal length.
struct EndGauge;

impl Model<10> for EndGauge {
    fn evaluate<S: Scalar>(&self, inputs: [S; 10]) -> S {
        let [
            standard,
            mean,
            random,
            systematic,
            expansion,
            room,
            cycle,
            d_expansion,
            d_temperature,
            nominal,
        ] = inputs;
        let thermal = d_expansion * (room + cycle) + expansion * d_temperature;
        standard + mean + random + systematic - standard * thermal - nominal
    }
}

/// JCGM 100:2008, H.2: resistance, reactance and impedance from voltage, current and phase.
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

/// JCGM 101:2008, 9.2.
struct Sum;

impl Model<4> for Sum {
    fn evaluate<S: Scalar>(&self, [a, b, c, d]: [S; 4]) -> S {
        a + b + c + d
    }
}

/// JCGM 101:2008, 9.3: conventional mass less nominal, mg; densities in kg/m³.
struct Weight;

impl Model<5> for Weight {
    fn evaluate<S: Scalar>(&self, [reference, added, air, weight, standard]: [S; 5]) -> S {
        let one = S::constant(1.0);
        (reference + added) * ((air - 1.2) * (one / weight - one / standard) + 1.0) - 100_000.0
    }
}

/// JCGM 101:2008, 9.4.
struct ComparisonLoss;

impl Model<2> for ComparisonLoss {
    fn evaluate<S: Scalar>(&self, [x1, x2]: [S; 2]) -> S {
        x1 * x1 + x2 * x2
    }
}

/// Values of the GUM, in the units that it prints.
pub(super) fn gum() -> Vec<Comparison> {
    let gauge =
        end_gauge_of_gum().and_then(|inputs| Budget::of_model(&EndGauge, &inputs, &[]).ok());
    let expanded = gauge.as_ref().and_then(|budget| budget.expanded(0.99).ok());
    let circuit = |budget: fn(&[Input; 3], &[Correlation]) -> Option<Budget>| {
        let (inputs, ties) = circuit()?;
        budget(&inputs, &ties)
    };
    let found = |example: &str, quantity: &str| -> Option<f64> {
        let budget = match example {
            "H.1" => gauge.clone()?,
            "H.2 R" => circuit(|inputs, ties| Budget::of_model(&Resistance, inputs, ties).ok())?,
            "H.2 X" => circuit(|inputs, ties| Budget::of_model(&Reactance, inputs, ties).ok())?,
            "H.2 Z" => circuit(|inputs, ties| Budget::of_model(&Impedance, inputs, ties).ok())?,
            _ => return None,
        };
        let unit = if example == "H.1" { NM } else { 1.0 };
        match quantity {
            "value" => Some(budget.value),
            "standard-uncertainty" => Some(budget.standard_uncertainty / unit),
            "degrees-of-freedom" => Some(expanded.as_ref()?.degrees_of_freedom),
            "coverage-factor" => Some(expanded.as_ref()?.coverage_factor),
            "expanded-uncertainty" => Some(expanded.as_ref()?.expanded_uncertainty / unit),
            "second-order" => Some(budget.second_order? / unit),
            _ => None,
        }
    };
    rows(include_str!("cases/gum.csv"))
        .map(|row| {
            let (example, quantity) = (cell(&row, 0), cell(&row, 1));
            Comparison::of_numbers(
                format!("{example} {quantity}"),
                number(&row, 2),
                found(example, quantity),
                number(&row, 3).unwrap_or(0.0),
            )
        })
        .collect()
}

/// H.1.3 and H.1.6: from their published origin, nothing rounded on the way; mm.
fn end_gauge_of_gum() -> Option<[Input; 10]> {
    let normal =
        |name, estimate, u, nu| Input::normal(name, estimate, u).with_degrees_of_freedom(nu);
    let rectangular =
        |name, half_width| Input::new(name, 0.0, Distribution::Rectangular { half_width });
    let t_95 = coverage_factor(0.95, 5.0).ok()?;
    let reliable = distribution::degrees_of_freedom;
    Some([
        normal("lS", 50.000623, distribution::normal(75.0 * NM, 3.0), 18.0),
        normal("dbar", 215.0 * NM, 13.0 * NM / 5f64.sqrt(), 24.0),
        normal("d1", 0.0, distribution::normal(10.0 * NM, t_95), 5.0),
        normal(
            "d2",
            0.0,
            distribution::normal(20.0 * NM, 3.0),
            reliable(0.25),
        ),
        Input::new(
            "alphaS",
            11.5e-6,
            Distribution::Rectangular { half_width: 2e-6 },
        ),
        Input::normal("thetabar", -0.1, 0.2),
        Input::new("Delta", 0.0, Distribution::Arcsine { half_width: 0.5 }),
        rectangular("dalpha", 1e-6).with_degrees_of_freedom(reliable(0.10)),
        rectangular("dtheta", 0.05).with_degrees_of_freedom(reliable(0.50)),
        Input::normal("nominal", 0.0, 0.0),
    ])
}

/// H.2.2: five sets of voltage (V), current (A) and phase (rad), read together: Table H.2.
fn circuit() -> Option<([Input; 3], Vec<Correlation>)> {
    let readings = [
        [5.007, 4.994, 5.005, 4.990, 4.999],
        [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
        [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    ];
    let [voltage, current, phase] = readings.each_ref().map(|series| Sample::of(series));
    let samples = [voltage?, current?, phase?];
    let input = |name, sample: &Sample| {
        Input::normal(name, sample.mean, sample.standard_uncertainty())
            .with_degrees_of_freedom(sample.degrees_of_freedom())
    };
    let [voltage, current, phase] = &samples;
    let inputs = [
        input("V", voltage),
        input("I", current),
        input("phi", phase),
    ];
    let mut ties = Vec::new();
    for (first, second) in [(0, 1), (0, 2), (1, 2)] {
        let (a, b) = (samples.get(first)?, samples.get(second)?);
        let products: f64 = (readings.get(first)?.iter().zip(readings.get(second)?))
            .map(|(x, y)| (x - a.mean) * (y - b.mean))
            .sum();
        ties.push(Correlation {
            first,
            second,
            coefficient: products / (4.0 * a.standard_deviation * b.standard_deviation),
        });
    }
    Some((inputs, ties))
}

/// What an example gives: estimate, standard uncertainty, and the ends of its interval.
type Answer = [f64; 4];

/// Values of the supplement: every row of its tables.
pub(super) fn supplement() -> Vec<Comparison> {
    let mut all = Vec::new();
    for row in rows(include_str!("cases/jcgm101_results.csv")) {
        let [example, case, method] = [0, 1, 2].map(|column| cell(&row, column));
        let found = answer(example, case, method);
        for (index, (name, allowed)) in [
            ("estimate", 13),
            ("standard uncertainty", 14),
            ("low", 15),
            ("high", 15),
        ]
        .into_iter()
        .enumerate()
        {
            all.push(Comparison::of_numbers(
                format!("{example} {case}, {method}: {name}"),
                number(&row, 4 + index),
                found.and_then(|found| found.get(index).copied()),
                number(&row, allowed).unwrap_or(0.0),
            ));
        }
    }
    all
}

fn answer(example: &str, case: &str, method: &str) -> Option<Answer> {
    let means = Means::of(method);
    match example {
        "9.2.2" => {
            let inputs = ["a", "b", "c", "d"].map(|name| Input::normal(name, 0.0, 1.0));
            means.answer(&Sum, &inputs, &[], 0.95, false)
        }
        "9.2.3" => {
            let inputs = ["a", "b", "c", "d"].map(|name| of_deviation(name, 1.0));
            means.answer(&Sum, &inputs, &[], 0.95, false)
        }
        "9.2.4" => {
            let [a, b, c] = ["a", "b", "c"].map(|name| of_deviation(name, 1.0));
            let inputs = [a, b, c, of_deviation("d", 10.0)];
            means.answer(&Sum, &inputs, &[], 0.95, false)
        }
        "9.3" => means.answer(&Weight, &weighing(), &[], 0.95, true),
        "9.4" => {
            let (x1, r) = case.strip_prefix("x1=")?.split_once(" r=")?;
            let inputs = [
                Input::normal("X1", x1.parse().ok()?, 0.005),
                Input::normal("X2", 0.0, 0.005),
            ];
            let tie = Correlation {
                first: 0,
                second: 1,
                coefficient: r.parse().ok()?,
            };
            let ties = if r == "0" { &[][..] } else { &[tie][..] };
            // Printed in millionths.
            means
                .answer(&ComparisonLoss, &inputs, ties, 0.95, true)
                .map(|answer| answer.map(|value| value * 1e6))
        }
        // The budget is that of the GUM, whose inexact limits are degrees of freedom; in millimetres there.
        "9.5" if matches!(means, Means::FirstOrder) => means
            .answer(&EndGauge, &end_gauge_of_gum()?, &[], 0.99, true)
            .map(|[value, u, low, high]| {
                [
                    (value - 50.0) / NM,
                    u / NM,
                    (low - 50.0) / NM,
                    (high - 50.0) / NM,
                ]
            }),
        "9.5" => means.answer(&EndGauge, &gauge_block(), &[], 0.99, true),
        _ => None,
    }
}

/// A rectangular distribution around 0 of this standard deviation.
fn of_deviation(name: &'static str, standard_deviation: f64) -> Input {
    let half_width = standard_deviation * 3f64.sqrt();
    Input::new(name, 0.0, Distribution::Rectangular { half_width })
}

/// 9.3, Table 5.
fn weighing() -> [Input; 5] {
    let around = |name, middle, half_width| {
        Input::new(name, middle, Distribution::Rectangular { half_width })
    };
    [
        Input::normal("m_R", 100_000.0, 0.050),
        Input::normal("delta m_R", 1.234, 0.020),
        around("rho_a", 1.2, 0.1),
        around("rho_W", 8000.0, 1000.0),
        around("rho_R", 8000.0, 50.0),
    ]
}

/// 9.5, Table 10, nm; δα is inexact by 0.1e-6, as only that gives the published interval.
fn gauge_block() -> [Input; 10] {
    let t = |name, estimate, u, nu| Input::normal(name, estimate, u).with_degrees_of_freedom(nu);
    let inexact = |name, half_width, inexactness| {
        let of = Distribution::CurvilinearTrapezoid {
            half_width,
            inexactness,
        };
        Input::new(name, 0.0, of)
    };
    [
        t("L_s", 50_000_623.0, 25.0, 18.0),
        t("D", 215.0, 6.0, 24.0),
        t("d1", 0.0, 4.0, 5.0),
        t("d2", 0.0, 7.0, 8.0),
        Input::new(
            "alpha_s",
            11.5e-6,
            Distribution::Rectangular { half_width: 2e-6 },
        ),
        Input::normal("theta_0", -0.1, 0.2),
        Input::new("Delta", 0.0, Distribution::Arcsine { half_width: 0.5 }),
        inexact("delta alpha", 1e-6, 0.1e-6),
        inexact("delta theta", 0.050, 0.025),
        Input::normal("L_nom", 50_000_000.0, 0.0),
    ]
}

/// How a value is found.
#[derive(Clone, Copy)]
enum Means {
    FirstOrder,
    HigherOrder,
    Trials,
}

impl Means {
    fn of(method: &str) -> Self {
        match method {
            "GUF" | "GUF first order" => Self::FirstOrder,
            "GUF higher order" => Self::HigherOrder,
            _ => Self::Trials,
        }
    }

    fn answer<const N: usize>(
        self,
        model: &(impl Model<N> + Sync),
        inputs: &[Input; N],
        ties: &[Correlation],
        probability: f64,
        shortest: bool,
    ) -> Option<Answer> {
        if let Self::Trials = self {
            let settings = Settings {
                probability,
                seed: 101,
                threads: NonZeroUsize::MIN,
            };
            let outcome = Simulation::new(model, inputs, ties, settings)
                .and_then(|simulation| simulation.run(TRIALS))
                .ok()?;
            let Interval { low, high } = if shortest {
                outcome.shortest
            } else {
                outcome.symmetric
            };
            return Some([outcome.value, outcome.standard_uncertainty, low, high]);
        }
        let budget = Budget::of_model(model, inputs, ties).ok()?;
        let expanded = budget.expanded(probability).ok()?;
        let u = match self {
            Self::HigherOrder => budget.second_order?,
            _ => budget.standard_uncertainty,
        };
        let half = expanded.coverage_factor * u;
        Some([budget.value, u, budget.value - half, budget.value + half])
    }
}
