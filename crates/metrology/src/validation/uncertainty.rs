//! The examples of JCGM 100:2008, annex H, and of JCGM 101:2008, clause 9.
//!
//! The ends of an interval by trials may be off by the numerical tolerance δ that the supplement states for the example, or
//! by a fiftieth of its width where it states none.

use std::num::NonZeroUsize;

use super::examples::{
    ComparisonLoss, EndGauge, Impedance, NM, Reactance, Resistance, Sum, Weight, circuit,
    end_gauge_of_gum, gauge_block, rectangular, weighing,
};
use super::{Comparison, cell, number, rows};
use crate::uncertainty::monte_carlo::{Interval, Settings, Simulation};
use crate::uncertainty::{Budget, Correlation, Input, Model};

/// Trials of an example; more would only narrow its scatter.
const TRIALS: usize = 200_000;

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
            let inputs = ["a", "b", "c", "d"].map(|name| rectangular(name, 1.0));
            means.answer(&Sum, &inputs, &[], 0.95, false)
        }
        "9.2.4" => {
            let [a, b, c] = ["a", "b", "c"].map(|name| rectangular(name, 1.0));
            let inputs = [a, b, c, rectangular("d", 10.0)];
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
