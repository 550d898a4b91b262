//! The size by Monte Carlo: the same model and inputs as the budget's, and a check of it.
//!
//! Source: [JCGM 101:2008](crate::source::Source::Jcgm101), adaptive procedure (7.9), shortest coverage interval (5.3.4),
//! validation of the budget (clause 8).

use std::num::NonZeroUsize;
use std::thread;

use super::JobError;
use super::job::MonteCarlo;
use super::model::{Comparison, INPUTS};
use super::size::Size;
use crate::uncertainty::monte_carlo::{
    Interval, Kind, Precision, Settings, Simulation, Validation, numerical_tolerance, validate,
};
use crate::uncertainty::{COVERAGE, Input};
use crate::units::LengthUnit;

/// Trials where the adaptive procedure cannot stop: 10⁶ give 95 % to one or two digits (JCGM 101:2008, 7.2.2).
const FIXED_TRIALS: usize = 1_000_000;

/// What the trials gave, millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Propagation {
    /// The seed they came from.
    pub seed: u64,
    /// How many trials.
    pub trials: usize,
    pub value: f64,
    /// Their standard deviation; `None` where an input is known with two degrees of freedom or fewer: the variance
    /// of Student's t does not exist there (JCGM 101:2008, 6.4.9.4).
    pub standard_uncertainty: Option<f64>,
    /// The shortest interval that covers 95 %.
    pub interval: Interval,
    /// Whether the digits stood still before the most trials permitted were made.
    pub stabilized: bool,
    /// Whether the budget's interval agrees with that of the trials.
    pub validation: Validation,
}

/// Propagates the inputs of one size through its model and holds its budget against the result, stated in `unit`.
pub fn propagate(
    model: Comparison,
    inputs: &[Input; INPUTS],
    size: &Size,
    how: MonteCarlo,
    unit: LengthUnit,
) -> Result<Propagation, JobError> {
    // Threads change the time and nothing else.
    let threads = thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let simulation = Simulation::new(
        &model,
        inputs,
        &[],
        Settings {
            probability: COVERAGE,
            seed: how.seed,
            threads,
        },
    )?;
    let most_trials = usize::try_from(how.most_trials).unwrap_or(usize::MAX);
    let has_variance = inputs
        .iter()
        .all(|input| input.standard_uncertainty() == 0.0 || input.degrees_of_freedom > 2.0);
    let outcome = if has_variance {
        simulation.run_adaptive(Precision {
            digits: how.digits,
            validating: true,
            kind: Kind::Shortest,
            most_trials,
        })
    } else {
        simulation.run(most_trials.min(FIXED_TRIALS))
    }?;
    // The digits are those of the unit in which the result is stated.
    let per_unit = unit.tenth_nanometres() as f64 / 1e7;
    let tolerance = numerical_tolerance(size.standard_uncertainty / per_unit, how.digits);
    Ok(Propagation {
        seed: how.seed,
        trials: outcome.trials,
        value: outcome.value,
        standard_uncertainty: has_variance.then_some(outcome.standard_uncertainty),
        interval: outcome.shortest,
        stabilized: outcome.stabilized,
        validation: validate(
            size.value,
            size.expanded_uncertainty,
            outcome.shortest,
            tolerance * per_unit,
        ),
    })
}
