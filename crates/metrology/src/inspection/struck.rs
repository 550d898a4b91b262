//! Readings that were struck out and agree with each other.
//!
//! A slip stands alone. Readings that were all struck, agree with each other and would not have been accepted are more likely
//! what the part is, or are off for one cause that may still be there: that is said, and where those that count do not outnumber
//! them nothing is accepted (common practice, no source).

use super::estimate::Estimate;
use super::job::Job;
use super::size::Size;
use super::suspicion::{SuspicionKind, are_plausible, examine, fewer_decimals};
use super::target::Target;
use super::warning::Warning;
use super::{Outcome, Plausible, strictness};
use crate::decision::Verdict;
use crate::uncertainty::statistics::mean;
use crate::units::{Entered, Length};

/// How many standard deviations readings of one size lie apart at most: what three or four of them exceed in one case of
/// twenty (critical range of ISO 5725-6:1994, table 1: 3.3 and 3.6; from memory).
const APART: f64 = 4.0;
/// The fewest steps of the display that count as apart (common practice, no source).
const STEPS: i32 = 3;
/// So many of the readings that count tell what a slip of a struck one is (common practice, no source).
const BESIDE: usize = 100;
/// How near to the certified size a reading is one on the standard (common practice, no source).
const ON_STANDARD: Length = Length::from_micrometres(50);

/// What is said of struck readings that agree and by themselves would not be accepted, while those that count would.
pub fn agreeing(
    job: &Job,
    target: &Target,
    estimate: &Estimate,
    (by_mean, by_place): (&Outcome, Option<&Outcome>),
) -> Option<Warning> {
    // Where places differ, or each is another piece, nobody knows which of them a struck reading was of.
    let alike = estimate.conversion.by_place
        && !target.form().is_measured()
        && !target.is_sampled()
        && estimate.carried.iter().all(|carried| *carried == 0.0);
    if target.method < 5 || job.struck.len() < 2 || !alike {
        return None;
    }
    let standing = standing(job);
    let struck = no_slips(job, target, estimate, &standing)?;
    let together = largest_group(struck, allowed(estimate, &standing));
    let (n, least, most) = match together.as_slice() {
        [least, .., most] => (together.len(), least.clone(), most.clone()),
        _ => return None,
    };
    let values: Vec<f64> = together.iter().map(|one| one.value().mm()).collect();
    let size = Size {
        value: estimate.size_of_reading(mean(&values)?).ok()?,
        ..by_mean.size
    };
    let decision = size.decide(target, by_mean.decision.rule).ok()?;
    let counted = [Some(by_mean), by_place];
    let counted = counted.into_iter().flatten();
    let strictest = counted.map(|one| strictness(one.decision.verdict)).max()?;
    let verdict = decision.verdict;
    let stricter = strictness(verdict) > strictest;
    if !stricter || matches!(verdict, Verdict::ConditionalAccept | Verdict::Unusable) {
        return None;
    }
    let (size, standing) = (size.value, standing.len());
    Some(if n < standing {
        Warning::StruckAgree {
            n,
            least,
            most,
            size,
            verdict,
        }
    } else {
        Warning::StruckOutweigh {
            n,
            least,
            most,
            size,
            verdict,
            standing,
        }
    })
}

/// The readings that count.
fn standing(job: &Job) -> Vec<Entered> {
    let all = job.readings.iter().flat_map(|place| &place.readings);
    all.cloned().collect()
}

/// Struck readings that nothing explains: no turn or numeral of the thimble, no other unit, no lost or exchanged digit, no reading
/// of the standard, and none that counts all the same.
fn no_slips(
    job: &Job,
    target: &Target,
    estimate: &Estimate,
    standing: &[Entered],
) -> Option<Vec<Entered>> {
    let unit = standing.first()?.unit();
    let step = job.instrument.resolution.as_ref();
    let zero = Length::nearest_mm(estimate.zero.value).ok()?;
    let plausible = estimate.plausible(target, 0.0).ok()?;
    let explained = |reading: &Entered| {
        let beside = standing.iter().take(BESIDE).chain([reading]);
        let beside: Vec<Entered> = beside.cloned().collect();
        let slip = examine(&beside, plausible, None, zero).pop().flatten();
        slip.is_some_and(|slip| {
            matches!(
                slip.kind(),
                SuspicionKind::ThimbleTurn
                    | SuspicionKind::Numeral
                    | SuspicionKind::Unit
                    | SuspicionKind::DecimalPoint
                    | SuspicionKind::SwappedDigits
            )
        })
    };
    let struck = job.struck.iter().map(|struck| &struck.reading);
    let left = struck.filter(|reading| {
        let value = reading.value();
        reading.unit() == unit
            && !standing.iter().any(|one| one.value() == value)
            && !is_on_standard(value, estimate, plausible)
            && fewer_decimals(reading, step).is_none()
            && !explained(reading)
    });
    Some(left.cloned().collect())
}

/// A reading of the standard that stands among those of a part of another size.
fn is_on_standard(value: Length, estimate: &Estimate, plausible: Plausible) -> bool {
    let of_part = are_plausible(&[value], estimate.resolution, plausible, None);
    !of_part && (value - estimate.standard).abs() <= ON_STANDARD
}

/// How far apart readings of one part lie that agree: as far as those that count, as their scatter and usual form have it, or
/// some steps of the display.
fn allowed(estimate: &Estimate, standing: &[Entered]) -> f64 {
    let values = || standing.iter().map(Entered::value);
    let counted = values().max().zip(values().min());
    let counted = counted.map_or(0.0, |(most, least)| (most - least).mm());
    let (scatter, _) = estimate.one_reading();
    let form = estimate
        .usual_form
        .map_or(0.0, |form| form.standard_deviation);
    let steps = estimate.resolution.times(STEPS).mm();
    counted.max(APART * libm::hypot(scatter, form)).max(steps)
}

/// The most readings that lie no further apart than this, millimetres, in order of size.
fn largest_group(mut readings: Vec<Entered>, apart: f64) -> Vec<Entered> {
    readings.sort_by_key(Entered::value);
    let group_from = |first: usize| {
        let rest = readings.get(first..).unwrap_or_default();
        let least = rest.first().map(Entered::value).unwrap_or_default();
        let near = rest.partition_point(|one| (one.value() - least).mm() <= apart);
        first..first + near
    };
    let groups = (0..readings.len()).map(group_from);
    let largest = groups.max_by_key(|group| (group.len(), usize::MAX - group.start));
    let group = largest.and_then(|group| readings.get(group));
    group.unwrap_or_default().to_vec()
}
