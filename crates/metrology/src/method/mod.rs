//! The methods by which a result is computed from a job, each with its number.
//!
//! A record says by which method its result was computed, and is computed again by that one. Every change of a number
//! that a job gives is a new method: its number is one higher, its line in the CHANGELOG says what changed, and the
//! method before it stays in this folder for the records that were made with it. Before the first release there are no
//! such records, and a method is replaced by the next.

use crate::inspection::{
    Influence, Inspection, Job, JobError, NEWEST, compute, compute_by, influence, influence_by,
};

/// The number of the method that new results are computed by.
pub const CURRENT: u32 = NEWEST;

/// A way from a job to its result. It checks nothing that a person may have mistyped: it computes what it is given.
pub type Method = fn(&Job) -> Result<Inspection, JobError>;

/// How the result of a method hangs on the equipment of the job.
pub type Influences = fn(&Job) -> Result<Influence, JobError>;

/// Every method of this build, by its number.
///
/// 3: a part of which nobody says what it is made of, see `material_assumed`; single walls of an inside diameter are held
/// against each other for exchanged digits, and not against its limits; how near a part comes to the room has no sign; the drift
/// of wires and approved studies, which no earlier job states.
///
/// 4: a repeatability stated from earlier series, which the readings of the job contradict, is not taken.
///
/// 5: a reading with fewer decimals than the stated step of the display shows is flagged; struck readings that agree, and a
/// depth of a groove that land and floor do not give, are told.
///
/// 6: struck readings are judged group by group, and at places that differ too; what the measuring force takes from a diameter
/// between faces, edges or blades, from the floor of a groove and from a keyseat is added; readings beyond the range of the
/// micrometer are told; an approved uncertainty that is smaller than what one certificate of the equipment gives does not hold.
///
/// 7: what the measuring force takes from a size whose correction nobody can state (faces that are not stated, a plain size, crests
/// of a thread) is bounded, and withholds a verdict with less margin.
///
/// 8: no verdict stands over wires that the crests may carry or keep off the flanks, and no acceptance where the measured flank angles
/// make the functional size of a thread, the thinnest coating its bare size, or the lobing of a shaft its two-point size, one beyond
/// its limit.
const METHODS: &[(u32, Method, Influences)] = &[
    (2, |job| compute_by(job, 2), |job| influence_by(job, 2)),
    (3, |job| compute_by(job, 3), |job| influence_by(job, 3)),
    (4, |job| compute_by(job, 4), |job| influence_by(job, 4)),
    (5, |job| compute_by(job, 5), |job| influence_by(job, 5)),
    (6, |job| compute_by(job, 6), |job| influence_by(job, 6)),
    (7, |job| compute_by(job, 7), |job| influence_by(job, 7)),
    (CURRENT, compute, influence),
];

/// The method of a number; none where this build does not have it.
pub fn of(number: u32) -> Option<Method> {
    let found = METHODS.iter().find(|(known, ..)| *known == number);
    found.map(|(_, method, _)| *method)
}

/// How the results of a method hang on the equipment; none where this build does not have it.
pub fn influence_of(number: u32) -> Option<Influences> {
    let found = METHODS.iter().find(|(known, ..)| *known == number);
    found.map(|(_, _, influence)| *influence)
}

/// The numbers of the methods of this build.
pub fn numbers() -> impl Iterator<Item = u32> {
    METHODS.iter().map(|(number, ..)| *number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_rise_and_end_with_the_current_one() {
        let numbers: Vec<u32> = numbers().collect();
        assert!(numbers.is_sorted_by(|one, next| one < next), "{numbers:?}");
        assert_eq!(numbers.last(), Some(&CURRENT));
        assert!(of(CURRENT + 1).is_none());
    }
}
