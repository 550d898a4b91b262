//! Readings that were all given in another unit than they were read in: one mistake, told once.

use super::suspicion::{Suspicion, in_other_unit};
use super::{Inspection, Job, JobError};
use crate::units::{Entered, Length};

/// A micrometer shows no more than its range and a turn of the thimble beyond.
pub const BEYOND_RANGE: Length = Length::from_micrometres(700);

/// Refuses readings that the micrometer cannot show, where it can show all of them in the other unit.
pub fn check(job: &Job) -> Result<(), JobError> {
    let [smallest, largest] = &job.instrument.range;
    let range = smallest.value() - BEYOND_RANGE..=largest.value() + BEYOND_RANGE;
    refuse(job, |reading| {
        !range.contains(&reading.value())
            && in_other_unit(reading).is_some_and(|(_, size)| range.contains(&size))
    })
}

/// Refuses readings that all fit the limits in the other unit, unless somebody looked into one and left it.
pub fn check_fit(job: &Job, found: &Inspection) -> Result<(), JobError> {
    let mut flags = found.readings.iter().map(|reading| &reading.flag);
    let all = flags.all(|flag| matches!(flag, Some(Suspicion::Unit { .. })));
    if all && job.left.is_empty() {
        refuse(job, |_| true)
    } else {
        Ok(())
    }
}

fn refuse(job: &Job, is_other: impl Fn(&Entered) -> bool) -> Result<(), JobError> {
    let readings = || job.readings.iter().flat_map(|place| &place.readings);
    let n = readings().count();
    // One reading is a slip of its own.
    match readings().next() {
        Some(first) if n > 1 && readings().all(is_other) => Err(JobError::OtherUnit {
            n,
            reading: first.clone(),
            unit: first.unit(),
            other: first.unit().other(),
        }),
        _ => Ok(()),
    }
}
