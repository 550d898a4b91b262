//! The simulated bench: does the whole way from readings to verdict tell the truth?
//!
//! ```text
//! set_up.rs       ways of measuring, with what is known of each
//! thread.rs       a virtual part with errors of form; its true sizes
//! equipment.rs    a virtual micrometer, contacts, setting standard
//! wires.rs        three virtual wires
//! technician.rs   puts them together, reads, writes a Job
//! trial.rs        the job goes through the same `inspect` as any other; what came out beside the truth
//! tally.rs        coverage of the intervals, false acceptances and rejections of each rule
//! ```
//!
//! The readings come out of the contact physics ([`contacts`](metrology::contacts), [`wires`](metrology::wires),
//! [`elastic`](metrology::elastic)): thermal growth, flank angles and lead under cone, V and wires, the measuring force on
//! wires, errors of the screw, drift, scatter, the steps of the display. The job holds only what a
//! technician would know. Every influence is drawn from what the job states of it, so over many jobs intervals of 95 %
//! hold the true size 95 times in 100 if the budget is right, more often where it is cautious.
//!
//! The mean over all places is held against the true mean of the part, the worst place against the true size at that
//! place. The worst place is chosen by its reading, which is one that chance has moved towards a limit: see
//! [`Scatter`](metrology::inspection) for what the budget does about that.
//!
//! Reproducible: job number `i` under a seed is the same job, whatever else is run and on how many threads.

mod equipment;
mod set_up;
mod tally;
mod technician;
mod thread;
mod trial;
mod wires;

pub use set_up::{Feature, SET_UPS, SetUp, SetUpName, ThreadStandard, Wires};
pub use tally::{Coverage, Results, RuleResult, SetUpResult};
pub use technician::{Aim, VirtualJob};
pub use trial::Count;

use std::fmt::Display;
use std::num::NonZeroUsize;

use rust_decimal::Decimal;

use metrology::decision::Rule;
use metrology::parallel::in_order;
use metrology::uncertainty::monte_carlo::random::Generator;

/// The rules that are put to the test, with the defaults of their parameters.
pub const RULES: [Rule; 8] = [
    Rule::Simple {
        largest_ratio: None,
    },
    Rule::Iso14253_1,
    Rule::Probability {
        least: Decimal::from_parts(95, 0, 0, false, 2),
    },
    Rule::GuardBand {
        multiple: Decimal::ONE,
    },
    Rule::GuardBandFour {
        multiple: Decimal::ONE,
    },
    Rule::Stringent {
        fraction: Decimal::ONE,
    },
    Rule::Relaxed {
        fraction: Decimal::ONE,
    },
    Rule::FalseAccept2,
];

/// The most jobs in one run.
pub const MOST_JOBS: u32 = 10_000_000;

/// What to run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// How many jobs, 1 to [`MOST_JOBS`].
    pub jobs: u32,
    /// Chooses the random numbers; the same seed gives the same jobs.
    pub seed: u64,
    /// Threads to work on; they change the time and nothing else.
    pub threads: NonZeroUsize,
    /// Chance that a job holds a slip: one reading off by a turn of the thimble.
    pub slips: f64,
}

metrology::messages! {
    /// Why a simulation cannot be run.
    pub enum SimulationError "simulation" {
        /// Too few or too many jobs.
        Jobs "jobs" { given: u32 as whole, most: u32 as whole },
        /// A chance that is none.
        Slips "slips" { given: f64 as Given },
        /// No such set-up.
        NoSetUp "no-set-up" { given: usize as count, most: usize as count },
        /// A set-up of the bench itself that cannot be measured: a mistake in this program.
        SetUp "set-up" { error: String as Text },
    }
}

impl SimulationError {
    /// What should not happen with the set-ups that stand here.
    fn of(error: impl Display) -> Self {
        Self::SetUp {
            error: error.to_string(),
        }
    }
}

/// Makes and measures all jobs.
pub fn run(settings: &Settings) -> Result<Results, SimulationError> {
    if !(1..=MOST_JOBS).contains(&settings.jobs) {
        return Err(SimulationError::Jobs {
            given: settings.jobs,
            most: MOST_JOBS,
        });
    }
    if !(0.0..=1.0).contains(&settings.slips) {
        return Err(SimulationError::Slips {
            given: settings.slips,
        });
    }
    let numbers: Vec<u32> = (0..settings.jobs).collect();
    let trials = in_order(settings.threads, &numbers, |index| {
        trial::trial(settings, *index)
    })
    .into_iter()
    .collect::<Result<Vec<_>, _>>()?;
    Ok(tally::results(settings.seed, &trials))
}

/// One virtual job with its truth, for training: the set-up by its place in [`SET_UPS`].
pub fn job(set_up: usize, aim: Aim, slips: f64, seed: u64) -> Result<VirtualJob, SimulationError> {
    let found = SET_UPS.get(set_up).ok_or(SimulationError::NoSetUp {
        given: set_up,
        most: SET_UPS.len() - 1,
    })?;
    technician::virtual_job(found, aim, slips, &mut Generator::new(seed, 0))
}
