//! Where a verdict is open: which of the set-ups one owns would decide it.
//!
//! This is `advise` asked again with what the readings have told, so that the advice before a measurement and the one
//! after it cannot differ. What is owned is no input of the measurement: the sentence is for the bench, not for the
//! record.

use super::advice::{Owned, SetUp, advise};
use super::estimate::Estimate;
use super::job::{Job, Standard};
use super::plan::Question;
use super::warnings::difference;
use super::{Inspection, Way};
use crate::units::{Entered, LengthUnit};

/// With which of what is owned the standard uncertainty gets small enough for a verdict, in one sentence, or that
/// nothing owned gives that.
///
/// `None` where the verdict is not open, where readings are to be taken again first, or where nothing is owned but
/// what was used.
pub fn at_hand(job: &Job, result: &Inspection, owned: &Owned) -> Option<String> {
    let settle = result.settle.as_ref()?;
    if matches!(settle.way, Way::TakeAgain(_)) || settle.needed <= 0.0 {
        return None;
    }
    let question = question(job, result)?;
    let unit = result.target.unit;
    let u = |set_up: &SetUp| set_up.plan.size.standard_uncertainty;
    let used = advise(&question, &used_alone(job, &job.standard)).ok();
    if let Some(used) = used.and_then(|advice| advice.set_ups.into_iter().next())
        && u(&used) <= settle.needed
    {
        return Some(format!(
            "this set-up was expected to give {}: it is the readings that scatter or are too few, and other equipment does not \
             mend that",
            difference(u(&used), unit)
        ));
    }
    let mut other = advise(&question, &with_used(job, owned)).ok()?.set_ups;
    other.extend(on_other_standards(&question, job, owned));
    other.retain(|set_up| changes(set_up, job) > 0);
    other.sort_by(|a, b| u(a).total_cmp(&u(b)));
    let Some(best) = other.first() else {
        return (!is_empty(owned)).then(|| "no other set-up at hand measures this".to_owned());
    };
    let needed = difference(settle.needed, unit);
    if u(best) > settle.needed {
        return Some(format!(
            "no other set-up at hand gives the {needed}: the best, {}, would give a standard uncertainty of {}",
            words(best),
            difference(u(best), unit)
        ));
    }
    // The fewest pieces to take from the drawer; of those the best.
    let easiest = other
        .iter()
        .filter(|set_up| u(set_up) <= settle.needed)
        .min_by_key(|set_up| changes(set_up, job))
        .unwrap_or(best);
    Some(format!(
        "at hand: {} would do, with an expected standard uncertainty of {} where {needed} is needed",
        words(easiest),
        difference(u(easiest), unit)
    ))
}

/// The job as a question, with the scatter it has shown.
fn question(job: &Job, result: &Inspection) -> Option<Question> {
    let estimate = Estimate::of(job, &result.target).ok()?;
    let repeatability = if estimate.repeatability_known() {
        let text = format!("{:.7}mm", estimate.one_reading().0);
        Some(Entered::parse(&text, Some(LengthUnit::Millimetre)).ok()?)
    } else {
        None
    };
    Some(Question {
        characteristic: job.characteristic.clone(),
        at: job.measured_at,
        repeatability,
        material: job
            .temperature
            .as_ref()
            .map(|temperature| temperature.part_material.clone()),
        flank_angle: job.prior.flank_angle,
    })
}

/// What is owned, with what was used: a job may describe a piece that is in no register.
fn with_used(job: &Job, owned: &Owned) -> Owned {
    let mut all = owned.clone();
    if all
        .instruments
        .iter()
        .all(|piece| piece.id != job.instrument.id)
    {
        all.instruments.push(job.instrument.clone());
    }
    if all.contacts.iter().all(|piece| piece.id != job.contacts.id) {
        all.contacts.push(job.contacts.clone());
    }
    if all
        .standards
        .iter()
        .all(|piece| piece.id != job.standard.id)
    {
        all.standards.push(job.standard.clone());
    }
    if let Some(wires) = &job.wires
        && all.wires.iter().all(|piece| piece.id != wires.id)
    {
        all.wires.push(wires.clone());
    }
    all
}

/// Nothing but what was used, zeroed on this standard.
fn used_alone(job: &Job, standard: &Standard) -> Owned {
    Owned {
        instruments: vec![job.instrument.clone()],
        contacts: vec![job.contacts.clone()],
        standards: vec![standard.clone()],
        wires: job.wires.iter().cloned().collect(),
    }
}

/// What was used, zeroed on each standard that is certified better: advice before a measurement takes the nearest.
fn on_other_standards(question: &Question, job: &Job, owned: &Owned) -> Vec<SetUp> {
    let used = job.standard.expanded_uncertainty.value();
    owned
        .standards
        .iter()
        .filter(|standard| standard.expanded_uncertainty.value() < used)
        .filter_map(|standard| advise(question, &used_alone(job, standard)).ok())
        .flat_map(|advice| advice.set_ups)
        .filter(|set_up| set_up.wires.is_some() == job.wires.is_some())
        .collect()
}

fn is_empty(owned: &Owned) -> bool {
    let Owned {
        instruments,
        contacts,
        standards,
        wires,
    } = owned;
    instruments.is_empty() && contacts.is_empty() && standards.is_empty() && wires.is_empty()
}

/// How many pieces of a set-up are others than those used.
fn changes(set_up: &SetUp, job: &Job) -> usize {
    let wires = job.wires.as_ref().map(|wires| wires.id.as_str());
    [
        set_up.instrument != job.instrument.id,
        set_up.contacts != job.contacts.id,
        set_up.standard != job.standard.id,
        set_up.wires.as_deref() != wires,
    ]
    .into_iter()
    .filter(|other| *other)
    .count()
}

fn words(set_up: &SetUp) -> String {
    let SetUp {
        contacts,
        instrument,
        standard,
        ..
    } = set_up;
    let wires = set_up
        .wires
        .as_ref()
        .map_or_else(String::new, |wires| format!("wires {wires} between "));
    format!("{wires}{contacts} in {instrument}, zero on {standard}")
}
