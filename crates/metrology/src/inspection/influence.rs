//! How a result hangs on the equipment that it was measured with: the slope of the size over the error of each piece.
//!
//! A piece that was found to be out changes what was measured with it by `−c e`: `e` is its error, `c` the slope of the size
//! over that error, from the measurement model at the values of the job. The error is
//!
//! - of a setting standard and of wires: certified less found;
//! - of a micrometer, and of a pair of contacts or one of it: indicated less true, what is left of it at the size of the
//!   part after zero was set on the standard.
//!
//! So `c` is +1 (but for temperature) of a standard and of a micrometer that read the size directly, σ times that where the
//! size is reckoned from the reading ([`Comparison`](super::model::Comparison)), and about −3 of wires in a thread of 60°.

use super::JobError;
use super::estimate::Estimate;
use super::job::Job;
use super::local;
use super::target::{NEWEST, Target};

/// What the size of a job owes to its equipment, dimensionless: the slope of the size over the error of each piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Influence {
    /// Of the micrometer, of its contacts, and of each one of a pair.
    pub instrument: f64,
    /// Of the setting standard. Where no zero was set on it, it only matters by its temperature.
    pub standard: f64,
    /// Of the wires, all three alike; none where there are none.
    pub wires: Option<f64>,
    /// Whether the least place decides, where mean and place are judged alike: not a slope, but what a new decision needs.
    pub least_governs: bool,
}

/// The influence of the equipment of a job on its size, on the mean and on each place alike.
///
/// Errors: as [`compute`](super::compute).
pub fn influence(job: &Job) -> Result<Influence, JobError> {
    influence_by(job, NEWEST)
}

/// The same by the method of a number.
pub fn influence_by(job: &Job, method: u32) -> Result<Influence, JobError> {
    let target = Target {
        method,
        ..Target::recorded(&job.characteristic)?
    };
    let estimate = Estimate::of(job, &target)?;
    let (standard, instrument) = estimate.slopes()?;
    let wires = job.wires.as_ref();
    let over = estimate.difference_shown();
    Ok(Influence {
        instrument,
        standard,
        wires: wires
            .map(|wires| super::over_wires::slope_over_wires(wires, &target, over))
            .transpose()?,
        least_governs: local::least_governs(job, &target),
    })
}
