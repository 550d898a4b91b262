//! Plans that are kept, and lots that are begun under them.

use ledger::{Draft, Entry, EntryId, Filter, Ledger, Order, Page, Subject};
use metrology::lot::LotVerdict;
use metrology::sampling::{SamplingError, Severity};

use super::matrix::matrix;

use crate::error::Error;
use crate::event::{OfLot, Spot};
use crate::inspection_plan::{By, Pieces, Plan, Planned, Take};
use crate::kept;
use crate::lot_entry::{LOT, LotBegun, PLAN};
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;

metrology::messages! {
    /// Why a lot is not begun.
    pub enum LotsError "lots" {
        /// A lot of that number is on the record.
        Begun "begun" { number: String as Text, entry: String as Text },
        /// A lot without a number.
        NoNumber "no-number",
        /// No plan of that name.
        NoPlan "no-plan" { name: String as Text, known: Vec<String> as one_of },
        /// No plan at all.
        NoPlans "no-plans",
        /// A lot that is not on the record.
        NoLot "no-lot" { number: String as Text },
        /// A lot that comes back and was not rejected.
        NotRejected "not-rejected" { number: String as Text },
        /// A severity for a plan that has none.
        NoSeverity "no-severity" { plan: String as Text },
        /// A plan that takes pieces by the size of the lot, which is not stated.
        NoSize "no-size" { plan: String as Text },
        /// A size of which no sample can be taken.
        Size "size" { why: SamplingError as said },
    }
}

/// A plan on the record.
#[derive(Clone, Debug)]
pub struct PlanKept {
    pub entry: EntryId,
    pub plan: Plan,
}

/// A lot on the record, with the plan that it was begun under. How many pieces are taken is as the lot has it.
#[derive(Clone, Debug)]
pub struct Lot {
    pub entry: EntryId,
    pub person: String,
    pub begun: LotBegun,
    pub plan: Plan,
}

/// What is said of a lot that is begun.
#[derive(Clone, Debug, Default)]
pub struct Begin {
    pub number: String,
    /// The plan by name.
    pub plan: String,
    pub size: Option<u64>,
    /// Another severity than the plan's, where it is one of MIL-STD-105E.
    pub severity: Option<Severity>,
    pub customer: Option<String>,
    pub order: Option<String>,
    /// The rejected lot that comes back as this one; under a plan of MIL-STD-105E it is inspected under tightened inspection
    /// unless another severity is stated.
    pub resubmits: Option<String>,
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

/// The latest of each plan.
pub fn plans(ledger: &Ledger) -> Result<Vec<PlanKept>, Error> {
    let mut all: Vec<PlanKept> = Vec::new();
    let filter = RecordKind::Plan.standing();
    let mut page = Some(Page::first(Order::NewestFirst, Page::LARGEST));
    while let Some(asked) = page {
        let listing = ledger.list(&filter, &asked)?;
        for entry in &listing.entries {
            let plan = read_plan(entry)?;
            if !all.iter().any(|known| known.plan.name() == plan.name()) {
                let entry = entry.id();
                all.push(PlanKept { entry, plan });
            }
        }
        page = listing.next;
    }
    Ok(all)
}

/// The latest plan of a name; without a name the only one there is.
pub fn plan_named(ledger: &Ledger, name: &str) -> Result<PlanKept, Error> {
    if !name.is_empty()
        && let Some(entry) = of_kind(ledger, RecordKind::Plan, PLAN, name, 1)?.first()
    {
        let (entry, plan) = (entry.id(), read_plan(entry)?);
        return Ok(PlanKept { entry, plan });
    }
    let mut all = plans(ledger)?;
    match (all.pop(), all.is_empty()) {
        (None, _) => Err(Error::input(LotsError::NoPlans)),
        (Some(only), true) if name.is_empty() => Ok(only),
        (Some(last), _) => {
            let known = all.iter().chain([&last]).map(|one| one.plan.name());
            Err(Error::input(LotsError::NoPlan {
                name: name.to_owned(),
                known: known.collect(),
            }))
        }
    }
}

fn read_plan(entry: &Entry) -> Result<Plan, Error> {
    kept::read(kept::PLAN, &entry.content.inputs).map_err(Error::outside)
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
    };
    let draft = Draft {
        inputs: kept::write(kept::LOT, &begun).map_err(Error::outside)?,
        subjects: begun.subjects(),
        ..recorder.blank(RecordKind::Lot)?
    };
    // Of two that begin it at once only one does.
    let same = Subject::new(LOT, &begun.number);
    let entry = ledger.append_once(&draft, &same, |_| true)?;
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
    Ok(Some(number))
}

fn pieces(plan: &Plan, asked: &Begin) -> Result<Pieces, Error> {
    let refused = |why| Error::input(LotsError::Size { why });
    let mut pieces = plan.pieces.clone();
    let comes_back = asked.resubmits.is_some() && pieces.by.take() == Take::MilStd105E;
    if let Some(given) = asked.severity.or(comes_back.then_some(Severity::Tightened)) {
        let By::MilStd105E { severity, .. } = &mut pieces.by else {
            return Err(Error::input(LotsError::NoSeverity { plan: plan.name() }));
        };
        given.key().clone_into(severity);
    }
    match asked.size.or(pieces.lot_size) {
        Some(size) => pieces.of_lot(size).map_err(refused),
        None if pieces.n.is_some() && pieces == plan.pieces => Ok(pieces),
        None => Err(Error::input(LotsError::NoSize { plan: plan.name() })),
    }
}

/// A lot by its number; none where none was begun.
pub fn find(ledger: &Ledger, number: &str) -> Result<Option<Lot>, Error> {
    let found = of_kind(ledger, RecordKind::Lot, LOT, number.trim(), 1)?;
    found.first().map(|entry| lot_of(ledger, entry)).transpose()
}

/// The latest lots.
pub fn listed(ledger: &Ledger, count: u32) -> Result<Vec<(Entry, LotBegun)>, Error> {
    let page = Page::first(Order::NewestFirst, count);
    let listing = ledger.list(&RecordKind::Lot.standing(), &page)?;
    let read = |entry: Entry| {
        let begun = kept::read(kept::LOT, &entry.content.inputs).map_err(Error::outside)?;
        Ok((entry, begun))
    };
    listing.entries.into_iter().map(read).collect()
}

pub(super) fn lot_of(ledger: &Ledger, entry: &Entry) -> Result<Lot, Error> {
    let begun: LotBegun = kept::read(kept::LOT, &entry.content.inputs).map_err(Error::outside)?;
    let id: ledger::EntryRef = begun
        .plan_entry
        .parse()
        .map_err(|error| Error::Ledger(ledger::Error::NotAnEntryRef(error)))?;
    let plan = read_plan(&ledger.get(&id)?)?;
    Ok(Lot {
        entry: entry.id(),
        person: entry.content.actor.name.clone(),
        plan: Plan {
            pieces: begun.pieces.clone(),
            ..plan
        },
        begun,
    })
}

/// The latest standing entries of a kind that touch a thing.
fn of_kind(
    ledger: &Ledger,
    kind: RecordKind,
    role: &str,
    identity: &str,
    count: u32,
) -> Result<Vec<Entry>, Error> {
    if identity.is_empty() {
        return Ok(Vec::new());
    }
    let filter = Filter {
        subjects: vec![Subject::new(role, identity)],
        ..kind.standing()
    };
    Ok(ledger
        .list(&filter, &Page::first(Order::NewestFirst, count))?
        .entries)
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
        measured: planned
            .measured
            .clone()
            .filter(|_| planned.way.is_measured()),
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
