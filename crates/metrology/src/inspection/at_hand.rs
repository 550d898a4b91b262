//! Where a verdict is open: which of the set-ups one owns would decide it.
//!
//! This is `advise` asked again with what the readings have told, so that the advice before a measurement and the one
//! after it cannot differ. What is owned is no input of the measurement: this is for the bench, not for the record.

use super::advice::{Owned, SetUp, advise};
use super::estimate::Estimate;
use super::job::{Job, Standard};
use super::plan::Question;
use super::{Inspection, Way};
use crate::units::{Entered, LengthUnit};

crate::messages! {
    /// Whether what is owned would decide an open verdict; standard uncertainties in millimetres.
    pub enum AtHand "at-hand" {
        /// This set-up would do, if the readings did not scatter or were more.
        Readings "readings" { expected: f64 as Uncertainty },
        /// Nothing else measures it.
        Nothing "nothing",
        /// Nothing else is better than what was used.
        NoneBetter "none-better" { needed: f64 as Uncertainty, used: f64 as Uncertainty },
        /// Nothing else is good enough.
        NotGoodEnough "not-good-enough" { needed: f64 as Uncertainty, best: Together as said, gives: f64 as Uncertainty },
        /// Another set-up would do.
        WouldDo "would-do" { set_up: Together as said, gives: f64 as Uncertainty, needed: f64 as Uncertainty },
    }
}

crate::messages! {
    /// Pieces put together for a measurement.
    pub enum Together "together" {
        /// Contacts in a micrometer.
        Contacts "contacts" { contacts: String as Text, instrument: String as Text, standard: String as Text },
        /// The same, with wires between them.
        Wires "wires" {
            wires: String as Text, contacts: String as Text, instrument: String as Text, standard: String as Text,
        },
    }
}

/// Another set-up is named where it gives at most so much of the uncertainty of the one that was used (common practice, no
/// source).
const WORTH_TAKING: f64 = 0.9;

/// With which of what is owned the standard uncertainty gets small enough for a verdict, or that nothing owned gives
/// that.
///
/// `None` where the verdict is not open, where readings are to be taken again first, or where nothing is owned but
/// what was used.
pub fn at_hand(job: &Job, result: &Inspection, owned: &Owned) -> Option<AtHand> {
    let settle = result.settle.as_ref()?;
    if matches!(settle.way, Way::TakeAgain(_)) || settle.needed <= 0.0 {
        return None;
    }
    let question = question(job, result)?;
    let needed = settle.needed;
    let u = |set_up: &SetUp| set_up.plan.size.standard_uncertainty;
    let planned = advise(&question, &used_alone(job, &job.standard)).ok();
    let planned = planned
        .and_then(|advice| advice.set_ups.into_iter().next())
        .map(|used| u(&used));
    if let Some(expected) = planned.filter(|expected| *expected <= needed) {
        return Some(AtHand::Readings { expected });
    }
    let mut other = advise(&question, &with_used(job, owned)).ok()?.set_ups;
    other.extend(on_other_standards(&question, job, owned));
    other.retain(|set_up| changes(set_up, job) > 0);
    other.sort_by(|a, b| u(a).total_cmp(&u(b)));
    let Some(best) = other.first() else {
        return (!is_empty(owned)).then_some(AtHand::Nothing);
    };
    // What was used, as it measured or as it was expected to.
    let measured = result.governing().size.standard_uncertainty;
    let used = planned.map_or(measured, |expected| expected.min(measured));
    if u(best) > WORTH_TAKING * used {
        return Some(AtHand::NoneBetter { needed, used });
    }
    if u(best) > needed {
        return Some(AtHand::NotGoodEnough {
            needed,
            best: together(best),
            gives: u(best),
        });
    }
    // The fewest pieces to take from the drawer; of those the best.
    let easiest = other
        .iter()
        .filter(|set_up| u(set_up) <= needed)
        .min_by_key(|set_up| changes(set_up, job))
        .unwrap_or(best);
    Some(AtHand::WouldDo {
        set_up: together(easiest),
        gives: u(easiest),
        needed,
    })
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
        approved: job.approved.clone(),
        characteristic: job.characteristic.clone(),
        at: job.measured_at,
        on: job.measured_on,
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

fn together(set_up: &SetUp) -> Together {
    let SetUp {
        contacts,
        instrument,
        standard,
        wires,
        ..
    } = set_up.clone();
    match wires {
        Some(wires) => Together::Wires {
            wires,
            contacts,
            instrument,
            standard,
        },
        None => Together::Contacts {
            contacts,
            instrument,
            standard,
        },
    }
}
