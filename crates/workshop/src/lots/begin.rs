//! Plans that are kept, and lots that are begun under them.

use jiff::civil::Date;
use ledger::{Draft, EntryId, Ledger, Subject};
use metrology::lot::LotVerdict;
use metrology::sampling::Severity;

use super::alike::begun_almost_as;
use super::known::{Lot, LotsError, find, lot_of, of_kind, plan_named};
use super::matrix::matrix;

use crate::clock;
use crate::error::Error;
use crate::event::{OfLot, Spot};
use crate::inspection_plan::{By, Pieces, Plan, Planned, Take};
use crate::kept;
use crate::lot_entry::{LOT, LotBegun, PLAN, RESUBMITS};
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;
use crate::station;

/// What is said of a lot that is begun.
#[derive(Clone, Debug, Default)]
pub struct Begin {
    pub number: String,
    /// The plan by name.
    pub plan: String,
    pub size: Option<u64>,
    /// Another severity than the plan's, where it is one of MIL-STD-105E and no lot that comes back.
    pub severity: Option<Severity>,
    pub customer: Option<String>,
    pub order: Option<String>,
    /// The rejected lot that comes back as this one; under a plan of MIL-STD-105E it is inspected under tightened inspection.
    pub resubmits: Option<String>,
    /// The day on which it came in, and how it was then.
    pub received: Option<Date>,
    pub condition: Option<String>,
}

/// Keeps a plan, unless the latest of its name says the same. The entry, and whether it is new.
pub fn keep_plan(
    ledger: &Ledger,
    plan: &Plan,
    recorder: &Recorder,
) -> Result<(EntryId, bool), Error> {
    let inputs = kept::write(kept::PLAN, plan).map_err(Error::outside)?;
    let name = plan.name();
    let same = of_kind(ledger, RecordKind::Plan, PLAN, &name, 1)?;
    if let Some(known) = same.first().filter(|known| known.content.inputs == inputs) {
        return Ok((known.id(), false));
    }
    let draft = Draft {
        inputs,
        subjects: plan.subjects(),
        ..recorder.blank(RecordKind::Plan)?
    };
    Ok((ledger.append(&draft)?.id(), true))
}

/// Begins a lot under the plan as it stands now.
pub fn begin(ledger: &Ledger, asked: &Begin, recorder: &Recorder) -> Result<Lot, Error> {
    let number = asked.number.trim().to_owned();
    if number.is_empty() {
        return Err(Error::input(LotsError::NoNumber));
    }
    if let Some(known) = of_kind(ledger, RecordKind::Lot, LOT, &number, 1)?.first() {
        let entry = known.id().to_string();
        return Err(Error::input(LotsError::Begun { number, entry }));
    }
    if let Some(known) = begun_almost_as(ledger, &number)? {
        return Err(Error::input(LotsError::BegunAs { number, known }));
    }
    let today = station::day(clock::now()?);
    if let Some(received) = asked.received.filter(|received| *received > today) {
        return Err(Error::input(LotsError::ReceivedAhead { received, today }));
    }
    let kept = plan_named(ledger, asked.plan.trim())?;
    let resubmits = resubmitted(ledger, asked)?;
    let begun = LotBegun {
        pieces: pieces(&kept.plan, asked)?,
        number,
        plan: kept.plan.name(),
        plan_entry: kept.entry.to_string(),
        part: kept.plan.part.clone(),
        drawing: kept.plan.drawing(),
        customer: asked.customer.clone(),
        order: asked.order.clone(),
        resubmits,
        received: asked.received,
        condition: asked.condition.clone(),
    };
    let draft = Draft {
        inputs: kept::write(kept::LOT, &begun).map_err(Error::outside)?,
        subjects: begun.subjects(),
        ..recorder.blank(RecordKind::Lot)?
    };
    // Of two that begin it at once only one does.
    let same = Subject::new(LOT, &begun.number);
    let entry = ledger.append_once(&draft, &same, |_| true)?;
    if entry.content.inputs != draft.inputs {
        let (number, entry) = (begun.number, entry.id().to_string());
        return Err(Error::input(LotsError::Begun { number, entry }));
    }
    lot_of(ledger, &entry)
}

/// The lot that comes back, which must be a rejected one.
fn resubmitted(ledger: &Ledger, asked: &Begin) -> Result<Option<String>, Error> {
    let Some(number) = asked
        .resubmits
        .as_deref()
        .map(|text| text.trim().to_owned())
    else {
        return Ok(None);
    };
    let Some(lot) = find(ledger, &number)? else {
        return Err(Error::input(LotsError::NoLot { number }));
    };
    let (verdict, _) = matrix(ledger, &lot, &[])?
        .tally(|_| String::new())
        .verdict();
    if verdict != LotVerdict::Reject {
        return Err(Error::input(LotsError::NotRejected { number }));
    }
    if let Some(by) = of_kind(ledger, RecordKind::Lot, RESUBMITS, &number, 1)?.first() {
        let by = lot_of(ledger, by)?.begun.number;
        return Err(Error::input(LotsError::CameBack { number, by }));
    }
    if let (Some(size), Some(had)) = (asked.size, lot.begun.pieces.lot_size)
        && size > had
    {
        return Err(Error::input(LotsError::MoreThanCameBack {
            number,
            size,
            had,
        }));
    }
    Ok(Some(number))
}

fn pieces(plan: &Plan, asked: &Begin) -> Result<Pieces, Error> {
    let refused = |why| Error::input(LotsError::Size { why });
    let mut pieces = plan.pieces.clone();
    let comes_back = asked.resubmits.is_some() && pieces.by.take() == Take::MilStd105E;
    if let (true, Some(number), Some(_)) = (
        comes_back,
        &asked.resubmits,
        asked.severity.filter(|given| *given != Severity::Tightened),
    ) {
        let number = number.trim().to_owned();
        return Err(Error::input(LotsError::NotTightened { number }));
    }
    if let Some(given) = asked.severity.or(comes_back.then_some(Severity::Tightened)) {
        let By::MilStd105E { severity, .. } = &mut pieces.by else {
            return Err(Error::input(LotsError::NoSeverity { plan: plan.name() }));
        };
        given.key().clone_into(severity);
    }
    let pieces = match asked.size.or(pieces.lot_size) {
        Some(size) => pieces.of_lot(size).map_err(refused)?,
        None if pieces.n.is_some() && pieces == plan.pieces => pieces,
        None => return Err(Error::input(LotsError::NoSize { plan: plan.name() })),
    };
    match pieces.say_nothing() {
        Some(why) => Err(Error::input(LotsError::Numbers { why })),
        None => Ok(pieces),
    }
}

/// What a run of a characteristic of a lot keeps of the plan.
pub fn run_of(lot: &Lot, planned: &Planned) -> OfLot {
    OfLot {
        lot: lot.begun.number.clone(),
        lot_entry: lot.entry.to_string(),
        plan: lot.begun.plan.clone(),
        plan_entry: lot.begun.plan_entry.clone(),
        part: lot.plan.part.clone(),
        drawing: lot.plan.drawing(),
        order: lot.begun.order.clone(),
        number: planned.number.clone(),
        way: planned.way,
        measured: planned.measured.clone(),
        thread: planned.gauged_thread(),
        gauge: planned.gauge,
        says: planned.says.clone(),
        scope: planned.scope,
        rule: planned.rule.clone(),
        agreed: planned.agreed.clone(),
        spots: planned
            .places
            .iter()
            .map(|place| Spot::named(place))
            .collect(),
        n: lot.begun.pieces.n,
    }
}
