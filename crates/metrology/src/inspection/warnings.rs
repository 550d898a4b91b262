//! What the person who signs ought to know beside the result.

use super::equipment::{ContactKind, StandardForm};
use super::estimate::Estimate;
use super::job::Job;
use super::of_thread::ThreadDiameter;
use super::own::Decides;
use super::target::Target;
use super::warning::{Unmarked, Wait, Warning, ZeroCheck};
use super::{
    Outcome, ReadingResult, compression, contact_inputs, contradicting, feature_warnings, fitness,
    lookalike, over_wires, overdue, own, struck, thermal,
};
use crate::decision::{LARGE_SHARE, PROVEN, Rule, Verdict};
use crate::designation::Assumed;
use crate::elastic::measuring_force;
use crate::units::{Celsius, Entered, Length};
use crate::{material, soak};

/// How far beyond its range a micrometer is as good as at its end: zero is set there (common practice, no source).
const BESIDE_RANGE: Length = Length::from_micrometres(100);
/// Difference of temperature from which a part is told to lie, kelvins (common practice, no source).
const WARM: f64 = 2.0;
/// To what difference it should come, kelvins (common practice, no source).
const SETTLED: f64 = 0.5;
/// Difference of temperature that no part is signed for at, kelvins (common practice, no source).
const HOT: f64 = 10.0;
/// Zero further from the certified size than this is asked about where nothing is known of it (common practice, no source).
const ZERO_FAR: Length = Length::from_micrometres(10);
/// How many standard uncertainties the zero may stand from where the pair last stood (common practice, no source).
const ZERO_STEP: f64 = 3.0;
/// The share of U from which what nobody stated is worth a word (common practice, no source).
const WORTH_A_WORD: f64 = 0.1;
/// Degrees between two walls beyond which what lies there was not measured (common practice, no source).
const LARGEST_GAP: f64 = 120.5;

/// Of a part that gives by more than a step of the display without a correction.
fn pressed_untold(job: &Job, target: &Target, estimate: &Estimate) -> Option<Warning> {
    let (up_to, untold) = compression::uncorrected(job, target).filter(|_| target.method >= 7)?;
    let force = job.with(target.limits).force?;
    (up_to > estimate.resolution.mm()).then(|| Warning::PressedUntold {
        up_to,
        force,
        material: job.part_material().to_owned(),
        untold,
    })
}

/// Over wires the force presses the wires into the flanks; where none is stated, one is taken that nobody measured.
fn unknown_force(job: &Job, target: &Target) -> Option<Warning> {
    let thread = target.thread.as_ref().filter(|_| job.wires.is_some())?;
    if over_wires::force_is_known(job) {
        return None;
    }
    let advice = measuring_force(thread.pitch.mm())?;
    Some(Warning::ForceAssumed {
        force: advice.force.newtons(),
        confidence: advice.confidence,
    })
}

/// The sizes that a verdict may be about.
pub struct Outcomes<'a> {
    pub mean: &'a Outcome,
    pub worst_place: Option<&'a Outcome>,
}

/// All of them, what matters most first.
pub fn warnings(
    job: &Job,
    target: &Target,
    estimate: &Estimate,
    readings: &[ReadingResult],
    outcomes: &Outcomes,
) -> Vec<Warning> {
    let mean = outcomes.mean;
    let mut all = Vec::new();
    all.extend(flagged(readings));
    if mean.decision.verdict == Verdict::Reject
        && target.diameter == ThreadDiameter::PitchDiameter
        && let Some(thread) = &target.thread
    {
        all.extend(lookalike::warning(thread, &mean.size, target.method));
    }
    all.extend(of_size(target, mean));
    all.extend(proven(mean.decision.rule, mean));
    all.extend(zero(job, estimate));
    all.extend(gap(job, target));
    all.extend(feature_warnings::of(job, target));
    all.extend(fitness::warnings(job));
    all.extend(overdue::defaults(job, mean));
    all.extend(overdue::own(job));
    all.extend(estimate.study_warning.clone());
    all.extend(estimate.contradicted.map(|found| found.warning()));
    let sizes = [Some(mean), outcomes.worst_place];
    all.extend(overdue::own_not_found_at(job, sizes.into_iter().flatten()));
    all.extend(own::exceeded(job, mean));
    all.extend(fraction_of_tolerance(target, estimate, mean));
    all.extend(mean.second_order.map(|second_order| Warning::NotLinear {
        second_order,
        first_order: mean.by_budget().standard_uncertainty,
    }));
    if readings.len() < 3 {
        all.push(Warning::FewReadings { n: readings.len() });
    }
    all.extend(alike(job));
    all.extend(struck_counts(job));
    all.extend(struck::agreeing(
        job,
        target,
        estimate,
        (mean, outcomes.worst_place),
    ));
    if let Some(((from, to), _)) = thermal::room(job) {
        let material = job.part_material().to_owned();
        let apart = thermal::unread(job).value();
        all.push(Warning::NoTemperature {
            from,
            to,
            apart,
            material,
        });
    }
    all.extend(material_assumed(job, target, mean));
    all.extend(heat(job, target, mean));
    all.extend(other_plug(job, target));
    all.extend(unmarked_pair(job, target));
    all.extend(beyond_range(job).filter(|_| target.method >= 6));
    all.extend(finer_than_display(job, estimate));
    all.extend(pressed_untold(job, target, estimate));
    if target.method >= 8 {
        let sizes = sizes.into_iter().flatten();
        let sizes: Vec<f64> = sizes.map(|outcome| outcome.size.value).collect();
        all.extend(contradicting::all(job, target, &sizes));
    }
    all.extend(unknown_force(job, target));
    all.extend(nominal_flanks(job, target, mean));
    all.extend(plane_usual(job, target, mean));
    if target.feature.is_some() && !estimate.repeatability_known() {
        all.push(Warning::RepeatabilityUnknown);
    }
    if job.rule.assumed {
        all.push(Warning::RuleAssumed {
            rule: job.rule.name.clone(),
        });
    }
    all.extend(target.assumed.iter().map(|taken| Warning::CoatingAssumed {
        taken: taken.clone(),
    }));
    if let Some(thread) = &target.thread {
        let since_6 = |taken: &Assumed| matches!(taken, Assumed::AlsoListed { .. });
        let assumed = thread.assumed.iter();
        let assumed = assumed.filter(|taken| target.method >= 6 || !since_6(taken));
        all.extend(assumed.map(|taken| Warning::Assumed {
            taken: taken.clone(),
        }));
        all.extend(thread.disputes.iter().map(|dispute| Warning::Disputed {
            dispute: dispute.clone(),
        }));
    }
    all
}

/// What the feature itself has to say of its mean size.
fn of_size(target: &Target, mean: &Outcome) -> Option<Warning> {
    let feature = target.feature.as_ref()?;
    let warning = feature
        .measurand()
        .warning(target.limits, mean.size.value)?;
    let since_5 = matches!(warning, Warning::OtherDepth { .. });
    (target.method >= 5 || !since_5).then_some(warning)
}

/// A wall is looked for all around; what lies in a gap of more than a third of the turn was not measured.
fn gap(job: &Job, target: &Target) -> Option<Warning> {
    if !target.is_wall_around() {
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
    (widest.0 > LARGEST_GAP).then_some(Warning::NotAllAround {
        from: widest.1,
        to: widest.1 + widest.0,
    })
}

fn flagged(readings: &[ReadingResult]) -> Option<Warning> {
    let flagged = readings.iter().filter(|reading| reading.flag.is_some());
    match flagged.count() {
        0 => None,
        n => Some(Warning::Flagged { n }),
    }
}

fn zero(job: &Job, estimate: &Estimate) -> Vec<Warning> {
    let mut all = Vec::new();
    let limit = estimate.drift_limit;
    match estimate.zero.drift() {
        None => all.push(Warning::ZeroOpen { limit: limit.mm() }),
        Some(drift) if drift.abs() > limit.mm() => all.push(Warning::ZeroMoved {
            by: drift,
            limit: limit.mm(),
        }),
        Some(_) => {}
    }
    all.extend(zero_far(job, estimate));
    for (check, readings) in [
        (ZeroCheck::Before, &job.zero.before),
        (ZeroCheck::After, &job.zero.after),
    ] {
        let values = || readings.iter().map(Entered::value);
        if let (Some(smallest), Some(largest)) = (values().min(), values().max()) {
            let range = largest - smallest;
            let permitted = limit.max(estimate.resolution.times(2));
            if range > permitted {
                all.push(Warning::ZeroRange {
                    check,
                    range: range.mm(),
                    limit: permitted.mm(),
                });
            }
        }
    }
    all
}

/// What is asked of the zero of a job whose other readings may not be taken yet; nothing where it is answered, or where the
/// job cannot be computed.
pub fn zero_in_doubt(job: &Job) -> Option<Warning> {
    let target = Target::of(&job.characteristic).ok()?;
    let estimate = Estimate::of(job, &target).ok()?;
    zero_far(job, &estimate).filter(|_| !job.zero_left_standing())
}

/// A zero that is not where it stood is asked about: what moved it has moved the readings before as well.
fn zero_far(job: &Job, estimate: &Estimate) -> Option<Warning> {
    let found = estimate.zero.value;
    let standard = job.standard.id.clone();
    match &job.zero.last {
        Some(last) => {
            let from = last.value().mm();
            let limit = ZERO_STEP * estimate.zero_uncertainty();
            ((found - from).abs() > limit).then_some(Warning::ZeroStepped {
                by: found - from,
                from,
                limit,
                standard,
            })
        }
        None => (found.abs() > ZERO_FAR.mm()).then_some(Warning::ZeroFar {
            by: found,
            standard,
        }),
    }
}

/// The guard band is there for one limit at a time (ISO 14253-1:2017); near two limits that lie close together the
/// probability of conformity is less than it proves.
fn proven(rule: Rule, outcome: &Outcome) -> Option<Warning> {
    let probability = outcome.decision.conformance_probability;
    (rule == Rule::Iso14253_1
        && outcome.decision.verdict == Verdict::Accept
        && probability < PROVEN)
        .then_some(Warning::NotProven {
            probability,
            degrees_of_freedom: outcome.size.degrees_of_freedom,
        })
}

/// Nothing refuses a pair of which nothing is known.
fn unmarked_pair(job: &Job, target: &Target) -> Option<Warning> {
    let pair = &job.contacts;
    target.thread.as_ref()?;
    if pair.kind != ContactKind::VAndCone {
        return None;
    }
    let unknown = match (pair.included_angle, &pair.pitch_range) {
        (None, None) => Unmarked::AngleAndPitches,
        (None, Some(_)) => Unmarked::Angle,
        (Some(_), None) => Unmarked::Pitches,
        (Some(_), Some(_)) => return None,
    };
    Some(Warning::UnmarkedPair {
        unknown,
        pair: pair.id.clone(),
    })
}

/// The screw turns on beyond the range, and no certificate says how well.
fn beyond_range(job: &Job) -> Option<Warning> {
    let [from, to] = &job.instrument.range;
    let range = from.value() - BESIDE_RANGE..=to.value() + BESIDE_RANGE;
    let readings = job.readings.iter().flat_map(|place| &place.readings);
    let beyond = readings.filter(|reading| !range.contains(&reading.value()));
    let beyond: Vec<&Entered> = beyond.collect();
    Some(Warning::BeyondRange {
        n: beyond.len(),
        reading: (*beyond.first()?).clone(),
        from: from.clone(),
        to: to.clone(),
    })
}

/// A display shows no more than its step: digits beyond were estimated, or belong to another micrometer.
fn finer_than_display(job: &Job, estimate: &Estimate) -> Option<Warning> {
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
    (finer > 0).then(|| Warning::FinerThanDisplay {
        n: finer,
        step: display.clone(),
    })
}

fn fraction_of_tolerance(target: &Target, estimate: &Estimate, mean: &Outcome) -> Vec<Warning> {
    let Some(tolerance) = target
        .limits
        .tolerance()
        .filter(|tolerance| *tolerance > Length::ZERO)
    else {
        return Vec::new();
    };
    let mut all = Vec::new();
    let share = 2.0 * mean.size.expanded_uncertainty / tolerance.mm();
    if share > LARGE_SHARE
        && let Some(first) = mean.budget.first()
    {
        all.push(Warning::LargeUncertainty {
            share,
            tolerance: tolerance.mm(),
            line: first.quantity,
        });
    }
    let step = estimate.resolution.mm() / tolerance.mm();
    if step > 0.1 {
        all.push(Warning::CoarseDisplay { share: step });
    }
    all
}

/// A part that nobody says the material of, in a room that nobody read: what it would be off by if it were of the metal that
/// expands most, where that carries weight. That it is a metal is common practice, no source: plastics are seen.
fn material_assumed(job: &Job, target: &Target, mean: &Outcome) -> Option<Warning> {
    if target.method < 3 || job.material_is_stated() {
        return None;
    }
    let ((from, to), _) = thermal::room(job)?;
    let taken = material::named(job.part_material())?;
    let metals = material::all().iter().filter(|one| one.is_metal());
    let other =
        metals.max_by(|one, other| one.expansion.value().total_cmp(&other.expansion.value()))?;
    let reference = Celsius::REFERENCE.degrees();
    let off = (from - reference).abs().max((to - reference).abs()) + thermal::unread(job).value();
    let expansion = other.expansion.value() - taken.expansion.value();
    let up_to = expansion * off * mean.size.value.abs();
    let matters = up_to > WORTH_A_WORD * mean.size.expanded_uncertainty;
    (matters && !answered_for(mean)).then(|| Warning::MaterialAssumed {
        material: taken.name.clone(),
        other: other.name.clone(),
        up_to,
    })
}

/// A part some kelvins off the standard comes from the hand, the wash or the machine, and is still changing.
fn heat(job: &Job, target: &Target, mean: &Outcome) -> Option<Warning> {
    let within = SETTLED;
    let temperature = job.temperature.as_ref()?;
    let off = (temperature.part - temperature.standard).kelvins();
    if off.abs() < WARM {
        return None;
    }
    let wait = soak::heat(&temperature.part_material)
        .map(|heat| soak::time_constant(soak::Body::Cylinder(mean.size.value), heat))
        .and_then(|tau| soak::soak_time(tau, off, SETTLED))
        .map(|time| match target.method {
            ..3 => Wait::StillAir { time, within },
            _ => Wait::InStillAir { time, within },
        });
    Some(if off.abs() > HOT {
        Warning::PartFar { by: off, wait }
    } else {
        Warning::PartWarm { by: off, wait }
    })
}

/// A thread plug whose size is not near the limits is a plug of another thread: the contacts touch other places of their
/// flanks on it, and their angle errors do not cancel. Its pitch is not stated, so only a size that is off by more than
/// the tolerance tells.
fn other_plug(job: &Job, target: &Target) -> Option<Warning> {
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
    let half_angle = contact_inputs::half_angle_limit(job);
    Some(Warning::OtherPlug {
        standard: job.standard.id.clone(),
        size: job.standard.size.clone(),
        half_angle,
        up_to: contact_inputs::contact_angle_left(thread, half_angle),
    })
}

/// Flank angles that nobody measured, where that carries weight: cone and V, or wires away from the best size.
fn nominal_flanks(job: &Job, target: &Target, mean: &Outcome) -> Option<Warning> {
    let thread = target.thread.as_ref()?;
    let (off, stated) = contact_inputs::flanks_within(job);
    if stated || job.prior.flanks.is_some() {
        return None;
    }
    let change = match &job.wires {
        Some(wires) => over_wires::flank_angle_effect_of(wires, thread, off)?,
        None if job.contacts.kind == ContactKind::VAndCone => {
            contact_inputs::flank_angle_effect(thread, off)
        }
        None => return None,
    };
    let matters = change > WORTH_A_WORD * mean.size.expanded_uncertainty;
    (matters && !answered_for(mean)).then(|| Warning::NominalFlanks {
        off,
        up_to: change,
        made: contact_inputs::made(job),
    })
}

/// Whether the laboratory answers for the uncertainty, in the place of the program's defaults.
fn answered_for(mean: &Outcome) -> bool {
    let own = mean.own.as_ref();
    own.is_some_and(|own| own.decides == Decides::Approved)
}

/// A plane of a taper thread that nobody said how well is known, where that carries weight.
fn plane_usual(job: &Job, target: &Target, mean: &Outcome) -> Option<Warning> {
    let (within, up_to) = over_wires::plane_usual(job, target)?;
    let matters = up_to > WORTH_A_WORD * mean.size.expanded_uncertainty;
    (matters && !answered_for(mean)).then_some(Warning::PlaneUsual { within, up_to })
}

/// A reading that was struck for a reason that somebody typed, and counts all the same. At the bench it is known by its
/// place which reading was taken again.
fn struck_counts(job: &Job) -> Vec<Warning> {
    let counts = |value| {
        let mut readings = job.readings.iter().flat_map(|place| &place.readings);
        readings.any(|reading| reading.value() == value)
    };
    job.struck
        .iter()
        .filter(|struck| struck.was_typed() && counts(struck.reading.value()))
        .map(|struck| Warning::StruckCounts {
            reading: struck.reading.clone(),
        })
        .collect()
}

/// The same digits many times over are rarely a measurement.
fn alike(job: &Job) -> Option<Warning> {
    let readings = || job.readings.iter().flat_map(|place| &place.readings);
    let first = readings().next()?;
    let n = readings().count();
    (n >= 6 && readings().all(|reading| reading.text() == first.text())).then(|| {
        Warning::AllAlike {
            n,
            reading: first.clone(),
        }
    })
}
