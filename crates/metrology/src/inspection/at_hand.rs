//! Where a verdict is open: which of the set-ups one owns would decide it.
//!
//! This is `advise` asked again with what the readings have told, so that the advice before a measurement and the one
//! after it cannot differ. What is owned is no input of the measurement: this is for the bench, not for the record.

use super::advice::{Owned, advise_best, what_goes_together};
use super::combinations::{Combination, ROUNDING};
use super::equipment::{Standard, WireSet};
use super::estimate::Estimate;
use super::job::Job;
use super::model::Quantity;
use super::plan::{Pieces, Question, plan};
use super::target::Target;
use super::{Inspection, Way};
use crate::units::{Entered, LengthUnit};

crate::messages! {
    /// Whether what is owned would decide an open verdict; standard uncertainties in millimetres.
    pub enum AtHand "at-hand" {
        /// This set-up would do, if the readings did not scatter or were more.
        Readings "readings" { expected: f64 as Uncertainty },
        /// This set-up would do, if something else took no more than usual.
        Beside "beside" { expected: f64 as Uncertainty, line: Quantity as code },
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
    let target = &result.target;
    let planned = advise_best(&question, &used_alone(job, &job.standard), 1).ok();
    let planned = planned
        .and_then(|advice| advice.set_ups.into_iter().next())
        .map(|used| used.plan.size.standard_uncertainty);
    if let Some(expected) = planned.filter(|expected| *expected <= needed) {
        let largest = result.governing().budget.first().map(|line| line.quantity);
        return Some(match largest {
            Some(line) if !of_readings(line) => AtHand::Beside { expected, line },
            _ => AtHand::Readings { expected },
        });
    }
    let all = with_used(job, owned);
    let better = with_better_standards(job, owned);
    let mut other = together_of(&question, target, &all);
    let on_better = better
        .iter()
        .flat_map(|owned| together_of(&question, target, owned));
    other.extend(on_better.filter(|one| one.pieces.wires.is_some() == job.wires.is_some()));
    other.retain(|one| changes(&one.pieces, job) > 0);
    let Some(best) = least(other.iter()) else {
        return (!is_empty(owned)).then_some(AtHand::Nothing);
    };
    let u = |one: &Combination| {
        let planned = plan(&question, target, &one.pieces).ok()?;
        Some(planned.size.standard_uncertainty)
    };
    // What was used, as it measured or as it was expected to.
    let measured = result.governing().size.standard_uncertainty;
    let used = planned.map_or(measured, |expected| expected.min(measured));
    let gives = u(best)?;
    if gives > WORTH_TAKING * used {
        return Some(AtHand::NoneBetter { needed, used });
    }
    if gives > needed {
        return Some(AtHand::NotGoodEnough {
            needed,
            best: together(&best.pieces),
            gives,
        });
    }
    // The fewest pieces to take from the drawer; of those the best.
    let enough = |one: &&Combination| one.standard_uncertainty() <= needed;
    let fewest = other
        .iter()
        .filter(enough)
        .map(|one| changes(&one.pieces, job))
        .min();
    let easiest = other.iter().filter(enough);
    let easiest = easiest.filter(|one| Some(changes(&one.pieces, job)) == fewest);
    let easiest = least(easiest).unwrap_or(best);
    Some(AtHand::WouldDo {
        set_up: together(&easiest.pieces),
        gives: u(easiest)?,
        needed,
    })
}

/// Whether more readings, or readings that agree, make a line smaller.
const fn of_readings(line: Quantity) -> bool {
    matches!(
        line,
        Quantity::Reading
            | Quantity::Repeatability
            | Quantity::FormSeen
            | Quantity::FormUnseen
            | Quantity::Resolution
    )
}

fn together_of<'a>(
    question: &'a Question,
    target: &'a Target,
    owned: &'a Owned,
) -> Vec<Combination<'a>> {
    what_goes_together(question, target, owned).1.combinations
}

/// That of the least standard uncertainty; of several that give the same, the first by name.
fn least<'a, 'b>(
    all: impl Iterator<Item = &'b Combination<'a>> + Clone,
) -> Option<&'b Combination<'a>>
where
    'a: 'b,
{
    let least = all
        .clone()
        .map(Combination::standard_uncertainty)
        .min_by(f64::total_cmp)?;
    all.filter(|one| one.standard_uncertainty() <= least * (1.0 + ROUNDING))
        .min_by_key(|one| one.name())
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
        temperature: None,
        prior: job.prior.clone(),
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

/// What was used with each standard that is certified better: advice before a measurement takes the nearest.
fn with_better_standards(job: &Job, owned: &Owned) -> Vec<Owned> {
    let used = job.standard.expanded_uncertainty.value();
    owned
        .standards
        .iter()
        .filter(|standard| standard.expanded_uncertainty.value() < used)
        .map(|standard| used_alone(job, standard))
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
fn changes(pieces: &Pieces, job: &Job) -> usize {
    let id = |wires: Option<&WireSet>| wires.map(|wires| wires.id.clone());
    [
        pieces.instrument.id != job.instrument.id,
        pieces.contacts.id != job.contacts.id,
        pieces.standard.id != job.standard.id,
        id(pieces.wires) != id(job.wires.as_ref()),
    ]
    .into_iter()
    .filter(|other| *other)
    .count()
}

fn together(pieces: &Pieces) -> Together {
    let contacts = pieces.contacts.id.clone();
    let instrument = pieces.instrument.id.clone();
    let standard = pieces.standard.id.clone();
    match pieces.wires {
        Some(wires) => Together::Wires {
            wires: wires.id.clone(),
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
