//! Flagged readings of a job that were kept for a reason.

use metrology::inspection::{Job, Left, on_standard};
use metrology::units::Entered;

/// Flagged readings that were looked into and kept. A check of the zero that was accepted in doubt names one of its readings too,
/// flagged or not: that it was accepted is told as that.
pub fn kept(job: &Job) -> impl Iterator<Item = &Left> {
    let certified = job.standard.size.value();
    let step = job.instrument.resolution.as_ref();
    let checks = [&job.zero.before, &job.zero.after];
    let flagged: Vec<(&Entered, bool)> = checks
        .into_iter()
        .flat_map(|check| {
            let flags = on_standard(check, certified, step).into_iter();
            check.iter().zip(flags.map(|flag| flag.is_some()))
        })
        .collect();
    let on_part = |reading: &Entered| {
        job.readings
            .iter()
            .any(|place| place.readings.contains(reading))
    };
    job.left.iter().filter(move |left| {
        let mut of_check = flagged
            .iter()
            .filter(|(reading, _)| **reading == left.reading)
            .peekable();
        on_part(&left.reading) || of_check.peek().is_none() || of_check.any(|(_, flagged)| *flagged)
    })
}
