//! The place that the verdict on the part may hang on.

use super::estimate::{Estimate, Of};
use super::job::Job;
use super::local::least_governs;
use super::target::Target;
use super::{JobError, Outcome, strictness};
use crate::decision::Rule;
use crate::limits::Limits;
use crate::units::Length;

/// The place, or the two opposite places, that the verdict on the part may hang on: the one with the least room to a
/// limit, or where the least size governs, the least one unless another is judged more strictly.
pub fn worst(
    job: &Job,
    target: &Target,
    estimate: &Estimate,
    rule: Rule,
) -> Result<Option<Outcome>, JobError> {
    let nearest = |limits| {
        let place = estimate.worst_place(limits)?;
        place
            .map(|place| estimate.outcome(Of::Place(place), target, rule))
            .transpose()
    };
    let worst = nearest(target.limits)?;
    if !least_governs(job, target) {
        return Ok(worst);
    }
    let least = nearest(Limits::at_least(Length::ZERO))?;
    let strict = |outcome: &Outcome| strictness(outcome.decision.verdict);
    Ok(worst.zip(least).map(|(worst, least)| {
        if strict(&worst) > strict(&least) {
            worst
        } else {
            least
        }
    }))
}
