//! Readings that were struck out, and by themselves would not have been accepted.
//!
//! Struck readings that agree with each other, or would each be rejected, are rarely slips: either they are what the part is, or
//! one cause that may still be there put them off. They are told, and where those that count do not outnumber them nothing is
//! accepted (common practice, no source).

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

/// How many standard deviations apart readings of one size lie at most (common practice, no source). Between the critical range
/// factors f(n) of ISO 5725-6:1994, table 1, for 5 and 6 readings, 3.9 and 4.0 (from memory): exceeded in one case of twenty.
const APART: f64 = 4.0;
/// The fewest steps of the display that count as apart (common practice, no source).
const STEPS: i32 = 3;
/// With so many of the readings that count a struck one is compared to tell its slip (common practice, no source).
const BESIDE: usize = 100;
/// A reading so near to the certified size of the standard can be one of the standard (common practice, no source).
const ON_STANDARD: Length = Length::from_micrometres(50);

/// What is said of struck readings that would be judged more strictly than those that count.
pub fn agreeing(
    job: &Job,
    target: &Target,
    estimate: &Estimate,
    (by_mean, by_place): (&Outcome, Option<&Outcome>),
) -> Option<Warning> {
    let at_one_plane = estimate.carried.iter().all(|carried| *carried == 0.0);
    if target.method < 5 || job.struck.len() < 2 || !at_one_plane {
        return None;
    }
    // Where places differ, or each is another piece, readings that agree need not be of one place.
    let alike =
        estimate.conversion.by_place && !target.form().is_measured() && !target.is_sampled();
    if target.method == 5 && !alike {
        return None;
    }
    let standing = standing(job);
    let counted = [Some(by_mean), by_place].into_iter().flatten();
    let strictest = counted.map(|one| strictness(one.decision.verdict)).max()?;
    let judge = Judge {
        target,
        estimate,
        by_mean,
        strictest,
    };
    let struck = no_slips(job, target, estimate, &standing)?;
    let apart = allowed(estimate, &standing);
    if target.method == 5 {
        return judge.group(&largest_group(&struck, apart), standing.len());
    }
    let agree = groups(&struck, apart).into_iter().filter(|_| alike);
    let agree = agree.filter_map(|group| judge.group(&group, standing.len()));
    let agree = agree.max_by_key(weight);
    let beyond = judge.each_beyond(&struck, &standing);
    [agree, beyond].into_iter().flatten().max_by_key(weight)
}

/// Whether a warning keeps a part from being accepted, how strict its verdict is, of how many readings, and whether they agree.
fn weight(warning: &Warning) -> (bool, u8, usize, bool) {
    let blocks = warning.blocks_signature();
    match warning {
        Warning::StruckAgree { n, verdict, .. } | Warning::StruckOutweigh { n, verdict, .. } => {
            (blocks, strictness(*verdict), *n, true)
        }
        Warning::StruckBeyond { n, .. } | Warning::StruckBeyondOutweigh { n, .. } => {
            (blocks, strictness(Verdict::Reject), *n, false)
        }
        _ => (blocks, 0, 0, false),
    }
}

/// Judges struck readings as if they counted.
struct Judge<'a> {
    target: &'a Target,
    estimate: &'a Estimate,
    by_mean: &'a Outcome,
    /// How strictly the readings that count are judged.
    strictest: u8,
}

impl Judge<'_> {
    /// The size that a reading gives, and the verdict on it.
    fn verdict(&self, reading: f64) -> Option<(f64, Verdict)> {
        let size = Size {
            value: self.estimate.size_of_reading(reading).ok()?,
            ..self.by_mean.size
        };
        let decision = size.decide(self.target, self.by_mean.decision.rule).ok()?;
        Some((size.value, decision.verdict))
    }

    /// What is said of readings that agree, in order of size, beside so many that count.
    fn group(&self, together: &[Entered], standing: usize) -> Option<Warning> {
        let [least, .., most] = together else {
            return None;
        };
        let (n, least, most) = (together.len(), least.clone(), most.clone());
        let values: Vec<f64> = together.iter().map(|one| one.value().mm()).collect();
        let (size, verdict) = self.verdict(mean(&values)?)?;
        let stricter = strictness(verdict) > self.strictest;
        if !stricter || matches!(verdict, Verdict::ConditionalAccept | Verdict::Unusable) {
            return None;
        }
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

    /// What is said of readings that would each be rejected beyond one limit, however they scatter. Where one of those that count
    /// lies there too, as the walls of an eccentric tube do, it is form and no verdict on the size.
    fn each_beyond(&self, struck: &[Entered], standing: &[Entered]) -> Option<Warning> {
        if self.strictest >= strictness(Verdict::ConditionalReject) {
            return None;
        }
        // Below or above: from the size that those which count give.
        let side = |reading: &Entered| {
            let (size, verdict) = self.verdict(reading.value().mm())?;
            let rejected = matches!(verdict, Verdict::ConditionalReject | Verdict::Reject);
            rejected.then_some(size < self.by_mean.size.value)
        };
        let counted: Vec<bool> = standing.iter().filter_map(side).collect();
        let struck: Vec<(&Entered, bool)> = struck
            .iter()
            .filter_map(|one| Some((one, side(one)?)))
            .collect();
        let sides = [true, false].into_iter();
        let mut beyond = sides
            .filter(|below| !counted.contains(below))
            .map(|below| {
                let there = struck.iter().filter(|(_, side)| *side == below);
                let mut there: Vec<Entered> = there.map(|(one, _)| (*one).clone()).collect();
                there.sort_by_key(Entered::value);
                there
            })
            .collect::<Vec<_>>();
        beyond.sort_by_key(Vec::len);
        let beyond = beyond.pop()?;
        let [least, .., most] = beyond.as_slice() else {
            return None;
        };
        let (n, least, most) = (beyond.len(), least.clone(), most.clone());
        let standing = standing.len();
        Some(if n < standing {
            Warning::StruckBeyond { n, least, most }
        } else {
            Warning::StruckBeyondOutweigh {
                n,
                least,
                most,
                standing,
            }
        })
    }
}

/// The readings that count.
fn standing(job: &Job) -> Vec<Entered> {
    let all = job.readings.iter().flat_map(|place| &place.readings);
    all.cloned().collect()
}

/// Struck readings that nothing explains: no turn or numeral of the thimble, no other unit, no lost digit, no reading of the standard, and none that counts all the same.
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
        slip.is_some_and(|slip| match slip.kind() {
            SuspicionKind::ThimbleTurn
            | SuspicionKind::Numeral
            | SuspicionKind::Unit
            | SuspicionKind::DecimalPoint => true,
            // A turn or a unit is misread time and again; digits are not exchanged in one reading after the other.
            SuspicionKind::SwappedDigits => target.method == 5,
            _ => false,
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

/// How far apart readings that agree may lie, millimetres: the largest of the range of those that count, [`APART`] standard deviations
/// of scatter and usual form together, and [`STEPS`] of the display.
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

/// The readings, in order of size, that lie no further apart than this from each least one, millimetres: all that are part of no
/// larger group.
fn groups(readings: &[Entered], apart: f64) -> Vec<Vec<Entered>> {
    let mut readings = readings.to_vec();
    readings.sort_by_key(Entered::value);
    let mut groups: Vec<Vec<Entered>> = Vec::new();
    let mut reached = 0;
    for (first, least) in readings.iter().enumerate() {
        let rest = readings.get(first..).unwrap_or_default();
        let near = rest.partition_point(|one| (one.value() - least.value()).mm() <= apart);
        if first + near > reached {
            reached = first + near;
            groups.extend(rest.get(..near).map(<[Entered]>::to_vec));
        }
    }
    groups
}

/// The largest of them.
fn largest_group(readings: &[Entered], apart: f64) -> Vec<Entered> {
    let groups = groups(readings, apart).into_iter().rev();
    groups.max_by_key(Vec::len).unwrap_or_default()
}
