//! Control charts: limits from what a process did, and what its values say against them.

mod constants;
mod individuals;
mod means;
mod run_length;

pub use constants::{ChartConstants, LARGEST_SUBGROUP};
pub use individuals::{
    FEWEST, Individuals, Series, Signal, THREE_SIGMA_OF_RANGE, moving_ranges, series, signals,
};
pub use means::{Charted, LARGEST_WITH_RANGE, Limits, Means, Spread, range};
pub use run_length::{RunRules, average_run_length, average_run_length_beside};
