//! What the zero gives to the model: its readings, its drift, or an allowance where none was set.

use super::approval::{DefaultName, Usual};
use super::inputs::USUAL_DEGREES_OF_FREEDOM;
use super::job::Job;
use super::model::Quantity;
use super::note::{Named, Note};
use super::scatter::Scatter;
use super::{JobError, ZeroError};
use crate::uncertainty::Distribution;
use crate::uncertainty::statistics::Pooled;
use crate::units::Length;

/// The mean reading on the standard. With checks of `n1` and `n2` readings the mean of both means has
/// `u = s √(1/n1 + 1/n2) / 2`.
pub fn zero_reading(
    zero: &ZeroError,
    standard: Length,
    prior: Option<Pooled>,
    (part, usual): (&Scatter, &Usual),
    (before, after): (usize, usize),
) -> Named {
    // Zero readings that agree by luck prove nothing: the larger counts of what they show and what is usual.
    let by_luck = prior.is_none()
        && zero
            .scatter
            .is_some_and(|shown| shown.standard_deviation < usual.value());
    let pooled = match (prior, zero.scatter) {
        (Some(prior), shown) => {
            let groups: Vec<Pooled> = shown.into_iter().chain([prior]).collect();
            Pooled::of(&groups)
        }
        (None, Some(_)) if by_luck => Some(Pooled {
            standard_deviation: usual.value(),
            degrees_of_freedom: USUAL_DEGREES_OF_FREEDOM,
        }),
        (None, Some(shown)) => Some(shown),
        // A single reading on the standard scatters at least as a single reading on the part.
        (None, None) => part.repeatability.or(part.between_places),
    };
    let weight = match after {
        0 => (1.0 / before as f64).sqrt(),
        after => (1.0 / before as f64 + 1.0 / after as f64).sqrt() / 2.0,
    };
    let (u, dof) = pooled.map_or((0.0, f64::INFINITY), |pooled| {
        (
            pooled.standard_deviation * weight,
            pooled.degrees_of_freedom,
        )
    });
    let named = Named::normal(Quantity::ZeroReading, standard.mm() + zero.value, u)
        .with_degrees_of_freedom(dof);
    if by_luck {
        named.by(usual, Note::RepeatabilityUsual)
    } else {
        named.noted(Note::ZeroReadings)
    }
}

/// No zero was set, for a reason that is given: nothing is corrected, and what it may be off by is allowed for.
pub fn unset_zero(job: &Job) -> Result<ZeroError, JobError> {
    if job.overrides.zero.is_none() || !job.zero.after.is_empty() {
        return Err(JobError::NoZero {
            standard: job.standard.id.clone(),
        });
    }
    Ok(ZeroError {
        value: 0.0,
        n: 0,
        before: 0.0,
        after: None,
        scatter: None,
    })
}

pub fn zero_allowance(job: &Job, standard: Length) -> Result<Named, JobError> {
    let allowance = job.zero.allowance.as_ref().ok_or(JobError::ZeroAllowance)?;
    let half_width = allowance.value().mm();
    let within = Distribution::Rectangular { half_width };
    Ok(Named::new(Quantity::ZeroReading, standard.mm(), within).noted(Note::ZeroAllowance))
}

/// How far the zero may have been from its mean while the part was read: half of what it moved, or, where it was not
/// checked again, the drift that is put up with.
pub fn drift(zero: &ZeroError, limit: Length, job: &Job) -> Named {
    let usual = job.usual(DefaultName::DriftLimit);
    let within = |half_width: f64| {
        let spread = Distribution::Rectangular { half_width };
        Named::new(Quantity::Drift, 0.0, spread)
    };
    match zero.drift() {
        Some(drift) => within(drift.abs() / 2.0).noted(Note::HalfTheChange),
        None if job.prior.drift_limit.is_some() => within(limit.mm()).noted(Note::DriftLimit),
        None => within(limit.mm()).by(&usual, Note::DriftLimitUsual),
    }
}
