//! Repeatability and differences between operators as a study of the set-up found them, which a laboratory approved.
//!
//! They take the place of what is usual for such a set-up, as values stated from earlier series do. Where the readings of a job
//! scatter by more than the study allows for, the study does not hold for it: the larger counts, and a warning says so.

use super::approval::StudyPrior;
use super::job::Job;
use super::model::Quantity;
use super::note::{Named, Note};
use super::warning::Warning;
use crate::probability::f_upper_tail;
use crate::uncertainty::statistics::{Pooled, Sample};

/// Readings that scatter so much more than the study would do so by chance in fewer than one of twenty jobs (common practice, no
/// source).
const BY_CHANCE: f64 = 0.05;

/// The study of a job, where it counts on its day and nothing else was stated.
fn counting(job: &Job) -> Option<&StudyPrior> {
    let study = job.prior.study.as_ref()?;
    let stated = job.prior.repeatability.is_some();
    (!stated && study.approval.counts(job.measured_on)).then_some(study)
}

/// The study that a job takes its repeatability from: one that counts, and that its readings do not contradict.
pub fn taken<'a>(
    job: &'a Job,
    places: &[Vec<f64>],
    zero: Option<Pooled>,
) -> Option<&'a StudyPrior> {
    let study = counting(job)?;
    exceeding(study, places, zero).is_none().then_some(study)
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

    /// What operators add to a reading; nothing where one operator read, or none differed.
    pub fn operator(&self) -> Named {
        let (u, degrees_of_freedom) = match &self.reproducibility {
            Some((reproducibility, freedom)) => (reproducibility.value().mm(), *freedom),
            None => (0.0, f64::INFINITY),
        };
        Named::normal(Quantity::Operator, 0.0, u)
            .with_degrees_of_freedom(degrees_of_freedom)
            .noted(self.note())
    }
}

/// The scatter of this job, millimetres, where it is more than the study allows for: of repeats at one place, or of the zero.
fn exceeding(study: &StudyPrior, places: &[Vec<f64>], zero: Option<Pooled>) -> Option<f64> {
    let allowed = study.pooled();
    let repeats = places.iter().filter_map(|place| Sample::of(place));
    let repeats: Vec<Pooled> = repeats.map(Pooled::from).collect();
    let shown = [Pooled::of(&repeats), zero];
    let beyond = shown.into_iter().flatten().filter(|shown| {
        let ratio = shown.standard_deviation / allowed.standard_deviation;
        let chance = f_upper_tail(
            ratio * ratio,
            shown.degrees_of_freedom,
            allowed.degrees_of_freedom,
        );
        ratio > 1.0 && chance < BY_CHANCE
    });
    beyond
        .map(|shown| shown.standard_deviation)
        .max_by(f64::total_cmp)
}

/// Why the study of a job was not taken: its review is overdue, or this job scatters by more.
pub fn warning(job: &Job, places: &[Vec<f64>], zero: Option<Pooled>) -> Option<Warning> {
    let study = job.prior.study.as_ref()?;
    if job.prior.repeatability.is_some() {
        return None;
    }
    let used = job.measured_on;
    if study.approval.is_overdue(used) {
        return Some(Warning::StudyOverdue {
            study: study.study.clone(),
            person: study.approval.person.clone(),
            due: study.approval.review_due,
            used,
        });
    }
    let shown = exceeding(counting(job)?, places, zero)?;
    Some(Warning::StudyExceeded {
        study: study.study.clone(),
        shown,
        approved: study.pooled().standard_deviation,
    })
}
