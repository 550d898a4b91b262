//! What the person who signs ought to know beside the result.

use super::estimate::Estimate;
use super::feature::{Feature, KeyseatConvention};
use super::job::{ContactKind, Job, StandardForm, ThreadDiameter};
use super::settle::PROVEN;
use super::target::Target;
use super::{Outcome, ReadingResult, contact_inputs, fitness, lookalike, over_wires};
use crate::decision::Verdict;
use crate::elastic::measuring_force;
use crate::features::keyseat::chord_height;
use crate::soak;
use crate::units::{Entered, Length, LengthUnit};

/// How the warnings begin that stand beside the verdict until the work is done again.
pub const ZERO_MOVED: &str = "zero moved";
/// No closing check yet.
pub const ZERO_OPEN: &str = "zero was not checked again";
/// The closures on the standard lie too far apart.
pub const ZERO_SPREADS: &str = "the zero readings";
/// Part of the way around was not measured.
pub const NOT_ALL_AROUND: &str = "the readings leave";

/// Accepted by a guard band that counts on more readings than there are.
pub const NOT_PROVEN: &str = "conformity is proven to";
/// The part was not at the temperature of the standard by far.
pub const NOT_SETTLED: &str = "the part is far from the temperature of the standard";
/// How the warning begins that the setting standard is a plug of another thread.
pub const OTHER_PLUG: &str = "not a plug of this thread";

/// The share of the tolerance that 2U may take before it is worth a word: one half (common practice, no source).
const LARGE_SHARE: f64 = 0.5;

/// Difference of temperature from which a part is told to lie, kelvins (common practice, no source).
const WARM: f64 = 2.0;
/// To what difference it should come, kelvins (common practice, no source).
const SETTLED: f64 = 0.5;
/// Difference of temperature that no part is signed for at, kelvins (common practice, no source).
const HOT: f64 = 10.0;
/// Zero further from the certified size than this is worth a word, micrometres (common practice, no source).
const ZERO_FAR: i32 = 50;
/// Error of the half angles of a part that what it would change is told for, minutes of arc (common practice, no source).
const FLANKS_OFF: f64 = 10.0;
/// The share of U from which that is worth a word (common practice, no source).
const FLANKS_MATTER: f64 = 0.1;
/// Degrees between two walls beyond which what lies there was not measured (common practice, no source).
const LARGEST_GAP: f64 = 120.5;

/// Over wires the force presses the wires into the flanks; where none is stated, one is taken that nobody measured.
fn unknown_force(job: &Job, target: &Target) -> Option<String> {
    let thread = target.thread.as_ref().filter(|_| job.wires.is_some())?;
    if job.contacts.force.or(job.instrument.force).is_some() {
        return None;
    }
    let advice = measuring_force(thread.pitch.mm())?;
    Some(format!(
        "measuring force not stated: the deformation over the wires is reckoned for {:.1} N, customary for this pitch \
         ({}); state `force`, in newtons, of the micrometer or its contacts",
        advice.force.newtons(),
        advice.confidence.words()
    ))
}

/// All of them, what matters most first.
pub fn warnings(
    job: &Job,
    target: &Target,
    estimate: &Estimate,
    readings: &[ReadingResult],
    mean: &Outcome,
) -> Vec<String> {
    let mut all = Vec::new();
    all.extend(flagged(readings));
    if mean.decision.verdict == Verdict::Reject
        && target.diameter == ThreadDiameter::PitchDiameter
        && let Some(thread) = &target.thread
    {
        all.extend(lookalike::sentence(thread, &mean.size));
    }
    all.extend(other_convention(target, mean));
    all.extend(proven(job, mean));
    all.extend(zero(job, target, estimate));
    all.extend(gap(job, target));
    all.extend(fitness::warnings(job));
    all.extend(share_of_tolerance(target, estimate, mean));
    all.extend(mean.second_order.map(|second| {
        format!(
            "the measurement model bends over the uncertainty of its inputs: with second-order terms the standard \
             uncertainty is {} in place of {}; find the size by Monte Carlo",
            difference(second, target.unit),
            difference(mean.size.standard_uncertainty, target.unit)
        )
    }));
    if readings.len() < 3 {
        all.push(format!(
            "only {} taken; three or more around and along the part show its form",
            count(readings.len(), "reading")
        ));
    }
    all.extend(alike(job));
    if job.temperature.is_none() {
        all.push("no temperatures stated: no temperature correction made, 1 K between part and standard allowed for".into());
    }
    all.extend(heat(job, mean));
    all.extend(other_plug(job, target));
    all.extend(unmarked_pair(job, target));
    all.extend(finer_than_display(job, estimate));
    all.extend(unknown_force(job, target));
    all.extend(nominal_flanks(job, target, mean));
    if target.feature.is_some() && !estimate.repeatability_known() {
        all.push(
            "repeatability is not known: what is said of ovality, run-out and the like reckons with the display alone; read \
             one place twice, or state `repeatability` under [prior] of a job file"
                .into(),
        );
    }
    if job.rule.assumed {
        all.push(format!(
            "no decision rule was named; {} was taken",
            job.rule.name
        ));
    }
    if let Some(thread) = &target.thread {
        all.extend(
            thread
                .assumed
                .iter()
                .map(|taken| format!("the designation leaves it open: {taken}")),
        );
        all.extend(
            thread
                .disputes
                .iter()
                .map(|dispute| format!("disputed limit: {dispute}")),
        );
    }
    all
}

/// A keyseat that is outside its limits as they were stated and inside as the other depth.
fn other_convention(target: &Target, mean: &Outcome) -> Option<String> {
    let Some(Feature::Keyseat(seat)) = &target.feature else {
        return None;
    };
    let height = chord_height(seat.shaft_diameter.value().mm(), seat.width.value().mm())?;
    let (other, change) = match seat.convention {
        KeyseatConvention::DepthFromEdge => (KeyseatConvention::DepthFromCrown, height),
        KeyseatConvention::DepthFromCrown => (KeyseatConvention::DepthFromEdge, -height),
        KeyseatConvention::BottomToOppositeSide => return None,
    };
    let within = |size: f64| {
        target.limits.lower.is_none_or(|lower| size >= lower.mm())
            && target.limits.upper.is_none_or(|upper| size <= upper.mm())
    };
    let size = mean.size.value;
    (!within(size) && within(size + change)).then(|| {
        format!(
            "outside the limits as {}, within them as {} ({}): does the drawing state the depth that way?",
            seat.convention.key(),
            other.key(),
            in_unit(size + change, target.unit)
        )
    })
}

/// So many millimetres in a unit, to a thousandth or a ten-thousandth of an inch.
fn in_unit(millimetres: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => format!("{:.4} in", millimetres / 25.4),
        LengthUnit::Millimetre | LengthUnit::Micrometre => format!("{millimetres:.3} mm"),
    }
}

/// A wall is looked for all around; what lies in a gap of more than a third of the turn was not measured.
fn gap(job: &Job, target: &Target) -> Option<String> {
    if !matches!(
        target.feature,
        Some(Feature::TubeWall(_) | Feature::InsideDiameter(_))
    ) {
        return None;
    }
    let mut angles: Vec<f64> = job
        .readings
        .iter()
        .filter_map(|place| place.angle)
        .map(|angle| angle.rem_euclid(360.0))
        .collect();
    angles.sort_by(f64::total_cmp);
    let next = angles
        .iter()
        .skip(1)
        .copied()
        .chain(angles.first().map(|first| first + 360.0));
    let widest = angles
        .iter()
        .zip(next)
        .map(|(one, next)| (next - one, *one))
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    (widest.0 > LARGEST_GAP).then(|| {
        format!(
            "{NOT_ALL_AROUND} {:.0}° unmeasured, from {:.0}° on: the least wall may lie there; measure all around",
            widest.0, widest.1
        )
    })
}

fn flagged(readings: &[ReadingResult]) -> Option<String> {
    match readings
        .iter()
        .filter(|reading| reading.flag.is_some())
        .count()
    {
        0 => None,
        1 => {
            Some("1 reading looks like a mistake; it counts as read until it is taken again".into())
        }
        n => Some(format!(
            "{n} readings look like mistakes; they count as read until they are taken again"
        )),
    }
}

fn zero(job: &Job, target: &Target, estimate: &Estimate) -> Vec<String> {
    let mut all = Vec::new();
    let limit = estimate.drift_limit;
    match estimate.zero.drift() {
        None => all.push(format!(
            "{ZERO_OPEN} after the job; {} of drift is allowed for",
            difference(limit.mm(), target.unit)
        )),
        Some(drift) if drift.abs() > limit.mm() => all.push(format!(
            "{ZERO_MOVED} by {} during the job, more than {}: clean the contacts, set zero and measure again",
            difference(drift, target.unit),
            difference(limit.mm(), target.unit)
        )),
        Some(_) => {}
    }
    if estimate.zero.value.abs() > Length::from_micrometres(ZERO_FAR).mm() {
        all.push(format!(
            "zero stands {} from the certified size of {}: is it the right standard, and the thimble on its line? Set the micrometer, \
             and measure again",
            difference(estimate.zero.value, target.unit),
            job.standard.id
        ));
    }
    for (when, check) in [("before", &job.zero.before), ("after", &job.zero.after)] {
        let readings = || check.iter().map(Entered::value);
        if let (Some(smallest), Some(largest)) = (readings().min(), readings().max()) {
            let spread = largest - smallest;
            if spread > limit.max(estimate.resolution.times(2)) {
                all.push(format!(
                    "{ZERO_SPREADS} {when} the job spread over {}: clean the contacts and close again",
                    difference(spread.mm(), target.unit)
                ));
            }
        }
    }
    all
}

/// The guard band of 1.65 u is that of many readings (ISO 14253-1:2017, normal distribution); the probability of
/// conformity counts with those there are.
fn proven(job: &Job, outcome: &Outcome) -> Option<String> {
    let probability = outcome.decision.conformance_probability;
    (job.rule.name == "iso14253-1"
        && outcome.decision.verdict == Verdict::Accept
        && probability < PROVEN)
        .then(|| {
            format!(
                "{NOT_PROVEN} {:.1} % and not to 95 %: the guard band counts on more than {:.0} degrees of freedom; take more \
                 readings, or state `repeatability` under [prior] of a job file",
                probability * 100.0,
                outcome.size.degrees_of_freedom
            )
        })
}

/// Nothing refuses a pair of which nothing is known.
fn unmarked_pair(job: &Job, target: &Target) -> Option<String> {
    let pair = &job.contacts;
    target.thread.as_ref()?;
    if pair.kind != ContactKind::VAndCone {
        return None;
    }
    let unknown = match (pair.included_angle, &pair.pitch_range) {
        (None, None) => "angle and pitches",
        (None, Some(_)) => "angle",
        (Some(_), None) => "pitches",
        (Some(_), Some(_)) => return None,
    };
    Some(format!(
        "nothing is stated of the {unknown} of {}: whether it sits on the flanks of this thread was not checked",
        pair.id
    ))
}

/// A display shows no more than its step: digits beyond were estimated, or belong to another micrometer.
fn finer_than_display(job: &Job, estimate: &Estimate) -> Option<String> {
    let display = job.instrument.resolution.as_ref()?;
    let step = estimate.resolution;
    if step <= Length::ZERO {
        return None;
    }
    let finer = job
        .zero
        .before
        .iter()
        .chain(&job.zero.after)
        .chain(job.readings.iter().flat_map(|place| &place.readings))
        .filter(|reading| reading.value().tenth_nanometres() % step.tenth_nanometres() != 0)
        .count();
    (finer > 0).then(|| {
        format!(
            "{} not a whole number of steps of the display ({}): was it estimated, or is the step another?",
            match finer {
                1 => "1 reading is".to_owned(),
                n => format!("{n} readings are"),
            },
            display.text()
        )
    })
}

fn share_of_tolerance(target: &Target, estimate: &Estimate, mean: &Outcome) -> Vec<String> {
    let Some(tolerance) = target
        .limits
        .tolerance()
        .filter(|tolerance| *tolerance > Length::ZERO)
    else {
        return Vec::new();
    };
    let mut all = Vec::new();
    let share = 2.0 * mean.size.expanded_uncertainty / tolerance.mm();
    if share > LARGE_SHARE {
        all.push(format!(
            "the uncertainty takes {:.0} % of the tolerance (2U / {}); {} is the line to improve first",
            share * 100.0,
            difference(tolerance.mm(), target.unit),
            mean.budget.first().map_or("nothing", |first| first.line.name.as_str())
        ));
    }
    let step = estimate.resolution.mm() / tolerance.mm();
    if step > 0.1 {
        all.push(format!(
            "one step of the display is {:.0} % of the tolerance; a finer instrument would do better",
            step * 100.0
        ));
    }
    all
}

/// A part some kelvins off the standard comes from the hand, the wash or the machine, and is still changing.
fn heat(job: &Job, mean: &Outcome) -> Option<String> {
    let temperature = job.temperature.as_ref()?;
    let off = (temperature.part - temperature.standard).kelvins();
    if off.abs() < WARM {
        return None;
    }
    let lie = soak::heat(&temperature.part_material)
        .map(|heat| soak::time_constant(soak::Body::Cylinder(mean.size.value), heat))
        .and_then(|tau| soak::soak_time(tau, off, SETTLED))
        .map_or_else(String::new, |seconds| {
            format!(
                "; lying in still air for about {:.0} min brings it within {SETTLED} K",
                seconds / 60.0
            )
        });
    if off.abs() > HOT {
        return Some(format!("{NOT_SETTLED}, {off:+.1} K{lie}"));
    }
    Some(format!(
        "the part is {off:+.1} K from the standard and still changing (hands are at 30 to 34 °C){lie}"
    ))
}

/// A thread plug whose size is not near the limits is a plug of another thread: the contacts touch other places of their
/// flanks on it, and their angle errors do not cancel. Its pitch is not stated, so only a size that is off by more than
/// the tolerance tells.
fn other_plug(job: &Job, target: &Target) -> Option<String> {
    let thread = target.thread.as_ref()?;
    if job.standard.form != StandardForm::ThreadPlug || job.contacts.kind != ContactKind::VAndCone {
        return None;
    }
    let (lower, upper) = (target.limits.lower?, target.limits.upper?);
    let size = job.standard.size.value();
    let tolerance = upper - lower;
    if (lower - tolerance..=upper + tolerance).contains(&size) {
        return None;
    }
    let minutes = contact_inputs::half_angle_limit(job);
    Some(format!(
        "{OTHER_PLUG}: {} ({}); what half angles of the contacts {minutes}\u{2032} off add does not cancel on \
         it, up to {}, and is not in the budget; set zero on a plug of this thread",
        job.standard.id,
        job.standard.size.text(),
        difference(
            contact_inputs::contact_angle_left(thread, minutes),
            target.unit
        )
    ))
}

/// Flank angles taken as nominal, where that carries weight: cone and V, or wires away from the best size.
fn nominal_flanks(job: &Job, target: &Target, mean: &Outcome) -> Option<String> {
    let thread = target.thread.as_ref()?;
    if job.prior.flank_angle.is_some() {
        return None;
    }
    let change = match &job.wires {
        Some(wires) => over_wires::flank_angle_effect_of(wires, thread, FLANKS_OFF)?,
        None if job.contacts.kind == ContactKind::VAndCone => {
            contact_inputs::flank_angle_effect(thread, FLANKS_OFF)
        }
        None => return None,
    };
    (change > FLANKS_MATTER * mean.size.expanded_uncertainty).then(|| {
        format!(
            "flank angles of the part taken as nominal: half angles {FLANKS_OFF}\u{2032} off would change the size by up to \
             {}; state `flank_angle` under [prior] of a job file to allow for it",
            difference(change, target.unit)
        )
    })
}

/// The same digits many times over are rarely a measurement.
fn alike(job: &Job) -> Option<String> {
    let readings: Vec<&str> = job
        .readings
        .iter()
        .flat_map(|place| &place.readings)
        .map(Entered::text)
        .collect();
    let first = readings.first()?;
    (readings.len() >= 6 && readings.iter().all(|reading| reading == first)).then(|| {
        format!(
            "all {} readings are {first} to the last digit: was the display held?",
            readings.len()
        )
    })
}

fn count(n: usize, noun: &str) -> String {
    if n == 1 {
        format!("{n} {noun}")
    } else {
        format!("{n} {noun}s")
    }
}

/// A small difference as one reads it at the bench: tenths of a micrometre, or hundred-thousandths of an inch.
pub fn difference(millimetres: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => format!("{:.5} in", millimetres / 25.4),
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            format!("{:.1} µm", millimetres * 1000.0)
        }
    }
}
