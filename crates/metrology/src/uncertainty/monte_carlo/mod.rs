//! Propagation of distributions by the Monte Carlo method.
//!
//! The same [`Model`] and [`Input`]s as the budget's, and an independent check of it: no sensitivities, no
//! effective degrees of freedom, no assumption about the shape of the result.
//!
//! A result is reproducible to the last digit from its seed, on any machine and with any number of threads:
//! trials come in batches, each with a random stream of its own.
//!
//! Source: [JCGM 101:2008](crate::source::Source::Jcgm101).

mod adaptive;
mod bits;
mod interval;
mod joint;
pub mod random;
mod validation;
mod ziggurat;

pub use adaptive::Precision;
pub use interval::{Interval, Kind};
pub use validation::{Validation, numerical_tolerance, validate};

use std::borrow::Cow;
use std::num::NonZeroUsize;

use super::statistics::Sample;
use super::{CorrelationError, Input, Model};
use interval::intervals;
use joint::Joint;
use random::Generator;

use crate::parallel::in_order;

/// Trials in a batch, which has one random stream (JCGM 101:2008, 7.9.4: at least 10⁴).
const BATCH: usize = 10_000;

/// Trials drawn at a time: their inputs stay in the nearest cache.
const BLOCK: usize = 200;

/// The smallest number of trials, whatever the probability.
const LEAST_TRIALS: usize = 20;

/// The largest number of trials: their results take 800 MB.
const MOST_TRIALS: usize = 100_000_000;

/// How to run, whatever is run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Coverage probability of the intervals, 0.95 for 95 %.
    pub probability: f64,
    /// Chooses the random numbers; the same seed gives the same digits.
    pub seed: u64,
    /// Threads to work on; they change the time and nothing else.
    pub threads: NonZeroUsize,
}

/// What the trials gave, in the unit of the result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// How many trials.
    pub trials: usize,
    /// Their mean, the estimate of the result.
    pub value: f64,
    /// Their standard deviation, the standard uncertainty of the result.
    pub standard_uncertainty: f64,
    /// The probabilistically symmetric coverage interval.
    pub symmetric: Interval,
    /// The shortest coverage interval.
    pub shortest: Interval,
    /// Whether the adaptive procedure reached its precision; `true` for a fixed number of trials.
    pub stabilized: bool,
}

crate::codes! {
    /// What is wrong with an input that cannot be drawn.
    pub enum Undrawable "undrawable" {
        /// The estimate is no finite number.
        Estimate "estimate",
        /// The standard uncertainty is no number from 0 up.
        StandardUncertainty "standard-uncertainty",
        /// Less than one degree of freedom.
        DegreesOfFreedom "degrees-of-freedom",
        /// The top of a trapezoid wider than its base, or below nothing.
        TrapezoidTop "trapezoid-top",
        /// The inexactness of limits beyond their half-width.
        Inexactness "inexactness",
        /// A half-width below zero.
        HalfWidth "half-width",
    }
}

crate::messages! {
    /// Why no trials can be made. Inputs are named by symbol or code.
    pub enum MonteCarloError "monte-carlo-error" {
        /// A level of confidence outside (0, 1).
        Probability "probability" { given: f64 as Given },
        /// Too few or too many trials.
        Trials "trials" {
            /// As given.
            given: usize as count,
            /// Enough for the tails to hold ten trials (JCGM 101:2008, 7.2 asks for a thousand times more).
            least: usize as count,
            /// As many as there is memory for.
            most: usize as count,
        },
        /// Digits out of range.
        Digits "digits" { given: u32 as whole },
        /// An input that cannot be drawn.
        Input "input" { name: Cow<'static, str> as Code, what: Undrawable as code },
        /// Correlation is only known for normal inputs.
        CorrelatedNotNormal "correlated-not-normal" { name: Cow<'static, str> as Code },
        /// Correlations that cannot be.
        Correlation "correlation" { error: CorrelationError as said },
        /// The model has no value somewhere within reach of its inputs.
        Model "model" { given: f64 as Given },
    }
}

impl From<CorrelationError> for MonteCarloError {
    fn from(error: CorrelationError) -> Self {
        Self::Correlation { error }
    }
}

/// A model with its inputs, ready to be tried.
pub struct Simulation<'a, M, const N: usize> {
    model: &'a M,
    joint: Joint<N>,
    settings: Settings,
}

impl<'a, M: Model<N> + Sync, const N: usize> Simulation<'a, M, N> {
    /// Checks everything that can be wrong before the first trial.
    pub fn new(
        model: &'a M,
        inputs: &[Input; N],
        correlations: &[super::Correlation],
        settings: Settings,
    ) -> Result<Self, MonteCarloError> {
        if !(settings.probability > 0.0 && settings.probability < 1.0) {
            return Err(MonteCarloError::Probability {
                given: settings.probability,
            });
        }
        Ok(Self {
            model,
            joint: Joint::new(inputs, correlations)?,
            settings,
        })
    }

    /// Runs a fixed number of trials (JCGM 101:2008, 7.2 to 7.7).
    pub fn run(&self, trials: usize) -> Result<Outcome, MonteCarloError> {
        self.check_trials(trials)?;
        let sizes: Vec<(usize, usize)> = (0..trials)
            .step_by(BATCH)
            .map(|start| BATCH.min(trials - start))
            .enumerate()
            .collect();
        let batches = in_order(self.settings.threads, &sizes, |(index, size)| {
            self.batch(*index, *size)
        });
        let values: Result<Vec<Vec<f64>>, _> = batches.into_iter().collect();
        self.outcome(values?.concat(), true)
    }

    /// Draws all inputs of so many trials on one thread and does nothing with them: what the drawing alone costs.
    #[doc(hidden)]
    pub fn draw_only(&self, trials: usize) -> f64 {
        let mut generator = Generator::new(self.settings.seed, 0);
        let mut sum = 0.0;
        let mut columns = [[0.0; BLOCK]; N];
        for _ in 0..trials / BLOCK {
            self.joint.draw(&mut generator, &mut columns, BLOCK);
            sum += columns.iter().flatten().sum::<f64>();
        }
        sum
    }

    fn check_trials(&self, given: usize) -> Result<(), MonteCarloError> {
        // Ten trials in what lies outside the interval.
        let least = (10.0 / (1.0 - self.settings.probability))
            .ceil()
            .max(LEAST_TRIALS as f64);
        if (given as f64) < least || given > MOST_TRIALS {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "for the message; saturates"
            )]
            return Err(MonteCarloError::Trials {
                given,
                least: least as usize,
                most: MOST_TRIALS,
            });
        }
        Ok(())
    }

    /// The results of one batch of trials.
    fn batch(&self, index: usize, trials: usize) -> Result<Vec<f64>, MonteCarloError> {
        let mut generator = Generator::new(self.settings.seed, index as u64);
        let mut values = Vec::with_capacity(trials);
        let mut columns = [[0.0; BLOCK]; N];
        while values.len() < trials {
            let rows = BLOCK.min(trials - values.len());
            self.joint.draw(&mut generator, &mut columns, rows);
            let row = |trial: usize| {
                columns
                    .each_ref()
                    .map(|column| column.get(trial).copied().unwrap_or_default())
            };
            values.extend((0..rows).map(|trial| self.model.evaluate(row(trial))));
        }
        match values.iter().find(|value| !value.is_finite()) {
            Some(value) => Err(MonteCarloError::Model { given: *value }),
            None => Ok(values),
        }
    }

    fn outcome(&self, mut values: Vec<f64>, stabilized: bool) -> Result<Outcome, MonteCarloError> {
        let sample = Sample::of(&values).ok_or(MonteCarloError::Trials {
            given: values.len(),
            least: LEAST_TRIALS,
            most: MOST_TRIALS,
        })?;
        let (symmetric, shortest) = intervals(&mut values, self.settings.probability);
        Ok(Outcome {
            trials: values.len(),
            value: sample.mean,
            standard_uncertainty: sample.standard_deviation,
            symmetric,
            shortest,
            stabilized,
        })
    }
}
