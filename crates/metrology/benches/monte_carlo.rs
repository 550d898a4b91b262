//! Monte Carlo of a model with ten inputs: prints `name seconds`, the best of several runs.
//!
//! `benches/monte-carlo.sh` runs it beside its peer, on the same model and inputs.

#![allow(clippy::unwrap_used, reason = "a measurement, not the program")]

use std::hint::black_box;
use std::num::NonZeroUsize;
use std::time::Instant;

use metrology::uncertainty::monte_carlo::{Settings, Simulation};
use metrology::uncertainty::{Distribution, Input, Model, Scalar};

const TRIALS: usize = 1_000_000;
const RUNS: usize = 7;

/// A comparison of lengths, as at the bench: `(a + b − c)(1 + d e)/(1 + f g) + h − i − j`.
struct TenInputs;

impl Model<10> for TenInputs {
    fn evaluate<S: Scalar>(&self, [a, b, c, d, e, f, g, h, i, j]: [S; 10]) -> S {
        (a + b - c) * (d * e + 1.0) / (f * g + 1.0) + h - i - j
    }
}

fn inputs() -> [Input; 10] {
    let normal = |estimate, u| Input::normal("", estimate, u);
    let rectangular =
        |estimate, half_width| Input::new("", estimate, Distribution::Rectangular { half_width });
    [
        normal(10.0, 0.000_4),
        normal(8.93, 0.000_8),
        normal(10.0, 0.000_3),
        rectangular(11.5e-6, 1.15e-6),
        normal(1.2, 0.3),
        rectangular(20.5e-6, 2.05e-6),
        normal(1.4, 0.3),
        rectangular(0.0, 0.000_5),
        rectangular(0.0, 0.000_5),
        rectangular(0.0, 0.001),
    ]
}

fn best(mut job: impl FnMut()) -> f64 {
    (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            job();
            start.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min)
}

fn main() {
    let cores = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let inputs = inputs();
    for (name, threads) in [("one_thread", NonZeroUsize::MIN), ("all_cores", cores)] {
        let settings = Settings {
            probability: 0.95,
            seed: 1,
            threads,
        };
        let simulation = Simulation::new(&TenInputs, &inputs, &[], settings).unwrap();
        let seconds = best(|| {
            black_box(simulation.run(TRIALS).unwrap());
        });
        println!("{name} {seconds:.6}");
        if threads == NonZeroUsize::MIN {
            let outcome = simulation.run(TRIALS).unwrap();
            let drawing = best(|| {
                black_box(simulation.draw_only(TRIALS));
            });
            println!("drawing_only {drawing:.6}");
            println!("standard_uncertainty {:.9}", outcome.standard_uncertainty);
        }
    }
}
