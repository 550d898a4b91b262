//! Repeatability and differences between operators as a study of the set-up found them, which a laboratory approved.
//!
//! They take the place of what is usual for such a set-up, as values stated from earlier series do. Where the readings of a job
//! scatter by more than the study allows for, the study does not hold for it: the larger counts, and a warning says so.

use super::approval::StudyPrior;
use super::job::Job;
use super::model::Quantity;
use super::note::{Named, Note};
use super::scatter::{beyond, repeats};
use super::warning::Warning;
use crate::uncertainty::statistics::Pooled;

/// Readings that scatter so much more than the study would do so by chance in fewer than one of twenty jobs (common practice, no
/// source).
const BY_CHANCE: f64 = 0.05;

/// The study of a job, where its approval counts on the day of the measurement.
fn counting(job: &Job) -> Option<&StudyPrior> {
    let study = job.prior.study.as_ref()?;
    study.approval.counts(job.measured_on).then_some(study)
}

/// The study that a job takes its repeatability from: one that counts, where nothing else was stated and the readings do not
/// contradict it.
pub fn repeatability<'a>(
    job: &'a Job,
    places: &[Vec<f64>],
    zero: Option<Pooled>,
) -> Option<&'a StudyPrior> {
    let unstated = job.prior.repeatability.is_none();
    let study = counting(job).filter(|_| unstated)?;
    exceeding(study, places, zero).is_none().then_some(study)
}

/// What operators add to a reading, by a study that counts; also where its repeatability was not taken, for that makes them no
/// more alike.
pub fn operator(job: &Job) -> Option<Named> {
    let study = counting(job)?;
    let (reproducibility, degrees_of_freedom) = study.reproducibility.as_ref()?;
    let u = reproducibility.value().mm();
    let line = Named::normal(Quantity::Operator, 0.0, u);
    let line = line.with_degrees_of_freedom(*degrees_of_freedom);
    Some(line.noted(study.note()))
}

impl StudyPrior {
    /// Standard deviation of one reading, millimetres.
    pub fn pooled(&self) -> Pooled {
        Pooled {
            standard_deviation: self.repeatability.value().mm(),
            degrees_of_freedom: self.degrees_of_freedom,
        }
    }

    /// What the line of repeatability says.
    pub fn note(&self) -> Note {
        Note::Study {
            study: self.study.clone(),
            person: self.approval.person.clone(),
            on: self.approval.on,
            due: self.approval.review_due,
        }
    }
}

/// The scatter of this job, millimetres, where it is more than the study allows for: of repeats at one place, or of the zero.
fn exceeding(study: &StudyPrior, places: &[Vec<f64>], zero: Option<Pooled>) -> Option<f64> {
    let repeats = repeats(places.iter().map(Vec::as_slice));
    beyond(
        study.pooled(),
        [repeats, zero].into_iter().flatten(),
        BY_CHANCE,
    )
}

/// Why the study of a job was not taken: its review is overdue, this job scatters by more, or it was approved for
/// something else or for other sizes.
pub fn warning(job: &Job, places: &[Vec<f64>], zero: Option<Pooled>) -> Option<Warning> {
    if let (None, Some(other)) = (&job.prior.repeatability, &job.prior.study_of_other) {
        let study = other.study.clone();
        return Some(match other.sizes.clone() {
            Some([from, to]) => Warning::StudyOfOtherSizes { study, from, to },
            None => Warning::StudyOfOther {
                study,
                measured: other.measured.clone(),
            },
        });
    }
    let study = job.prior.study.as_ref()?;
    let stated = job.prior.repeatability.is_some();
    let used = job.measured_on;
    if study.approval.is_overdue(used) {
        let wanted = !stated || study.reproducibility.is_some();
        return wanted.then(|| Warning::StudyOverdue {
            study: study.study.clone(),
            person: study.approval.person.clone(),
            due: study.approval.review_due,
            used,
        });
    }
    let study = counting(job).filter(|_| !stated)?;
    Some(Warning::StudyExceeded {
        study: study.study.clone(),
        shown: exceeding(study, places, zero)?,
        approved: study.pooled().standard_deviation,
    })
}
