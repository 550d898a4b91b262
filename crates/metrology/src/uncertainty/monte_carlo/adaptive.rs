//! The adaptive procedure: trials until the digits asked for stand still (JCGM 101:2008, 7.9).
//!
//! As the supplement has it, the procedure may stop after two batches that agree by chance, and then be off by
//! somewhat more than δ. Where that would matter, run with [`validating`](Precision::validating), or a fixed 10⁶
//! trials.

use super::interval::{Kind, intervals};
use super::validation::numerical_tolerance;
use super::{BATCH, MOST_TRIALS, MonteCarloError, Outcome, Simulation};
use crate::parallel::in_order;
use crate::uncertainty::Model;
use crate::uncertainty::statistics::{Pooled, Sample, mean, standard_deviation};

/// When to stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Precision {
    /// Significant digits of the standard uncertainty that must stand still, 1 or 2 as a rule.
    pub digits: u32,
    /// Whether to work to a fifth of the numerical tolerance δ, as the validation of a budget asks for (8.2).
    pub validating: bool,
    /// Whose ends must stand still.
    pub kind: Kind,
    /// Trials not to be exceeded (but two batches are always made); the outcome then says that it did not
    /// stabilize.
    pub most_trials: usize,
}

/// One batch of trials with what it says about the result.
struct Batch {
    values: Vec<f64>,
    sample: Sample,
    low: f64,
    high: f64,
}

impl<M: Model<N> + Sync, const N: usize> Simulation<'_, M, N> {
    /// Runs batches until twice the standard deviation of the mean of each of the four results (estimate,
    /// standard uncertainty, both ends) is within δ.
    pub fn run_adaptive(&self, precision: Precision) -> Result<Outcome, MonteCarloError> {
        if !(1..=3).contains(&precision.digits) {
            return Err(MonteCarloError::Digits {
                given: precision.digits,
            });
        }
        // M = max(J, 10⁴), J the integer from 100/(1 - p) up.
        let tails = (100.0 / (1.0 - self.settings.probability))
            .ceil()
            .min(MOST_TRIALS as f64);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "range cut above"
        )]
        let size = BATCH.max(tails as usize);
        self.check_trials(precision.most_trials.min(size))?;
        let most = (precision.most_trials.min(MOST_TRIALS) / size).max(2);
        let mut batches: Vec<Batch> = Vec::new();
        let mut stabilized = false;
        while !stabilized && batches.len() < most {
            // A wave of batches for all threads; those beyond the stop are thrown away, so that the number of
            // threads does not show.
            let each = if size > BATCH { 1 } else { 4 };
            let wave = (each * self.settings.threads.get()).min(most - batches.len());
            let start = batches.len();
            let numbers: Vec<usize> = (start..start + wave).collect();
            for batch in in_order(self.settings.threads, &numbers, |number| {
                self.summarized(*number, size, precision.kind)
            }) {
                batches.push(batch?);
                if stands_still(&batches, precision) {
                    stabilized = true;
                    break;
                }
            }
        }
        let values: Vec<f64> = batches.into_iter().flat_map(|batch| batch.values).collect();
        self.outcome(values, stabilized)
    }

    fn summarized(&self, index: usize, size: usize, kind: Kind) -> Result<Batch, MonteCarloError> {
        let mut values = self.batch(index, size)?;
        let sample = Sample::of(&values).ok_or(MonteCarloError::Trials {
            given: size,
            least: BATCH,
            most: super::MOST_TRIALS,
        })?;
        let (symmetric, shortest) = intervals(&mut values, self.settings.probability);
        let interval = match kind {
            Kind::Symmetric => symmetric,
            Kind::Shortest => shortest,
        };
        Ok(Batch {
            values,
            sample,
            low: interval.low,
            high: interval.high,
        })
    }
}

/// 7.9.4 e to j.
fn stands_still(batches: &[Batch], precision: Precision) -> bool {
    let u = overall(batches);
    let divisor = if precision.validating { 5.0 } else { 1.0 };
    let tolerance = numerical_tolerance(u, precision.digits) / divisor;
    let spread = |result: fn(&Batch) -> f64| {
        let results: Vec<f64> = batches.iter().map(result).collect();
        // 2 s_z, with s_z the standard deviation of the mean over the batches.
        standard_deviation(&results).map(|s| 2.0 * s / (results.len() as f64).sqrt())
    };
    [
        spread(|batch| batch.sample.mean),
        spread(|batch| batch.sample.standard_deviation),
        spread(|batch| batch.low),
        spread(|batch| batch.high),
    ]
    .iter()
    .all(|spread| spread.is_some_and(|spread| spread <= tolerance))
}

/// The standard deviation of all values, from those within the batches and between their means.
fn overall(batches: &[Batch]) -> f64 {
    let within: Vec<Pooled> = batches.iter().map(|batch| batch.sample.into()).collect();
    let means: Vec<f64> = batches.iter().map(|batch| batch.sample.mean).collect();
    let (Some(within), Some(middle)) = (Pooled::of(&within), mean(&means)) else {
        return 0.0;
    };
    let inside = within.standard_deviation * within.standard_deviation * within.degrees_of_freedom;
    let between: f64 = batches
        .iter()
        .map(|batch| {
            batch.sample.count as f64 * (batch.sample.mean - middle) * (batch.sample.mean - middle)
        })
        .sum();
    let count: f64 = batches.iter().map(|batch| batch.sample.count as f64).sum();
    ((inside + between) / (count - 1.0)).sqrt()
}
