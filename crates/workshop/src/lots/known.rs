//! Plans and lots on the record, as they are found there.

use jiff::civil::Date;
use ledger::{Entry, EntryId, Filter, Ledger, Order, Page, Subject};
use metrology::sampling::SamplingError;

use crate::error::Error;
use crate::inspection_plan::{Plan, PlanError};
use crate::kept;
use crate::lot_entry::{LOT, LotBegun, PLAN};
use crate::on_record::each_whole;
use crate::record_kind::RecordKind;

/// So many of the latest lots are compared with a number that none has.
const LOOKED_AT: u32 = 200;
/// So many letters may be missing, too many, wrong or changed about (a proposal, no source).
const WRONG_LETTERS: usize = 2;
/// So many are offered.
const OFFERED: usize = 3;

metrology::messages! {
    /// Why a lot is not begun.
    pub enum LotsError "lots" {
        /// A lot of that number is on the record.
        Begun "begun" { number: String as Text, entry: String as Text },
        /// A lot of a number that differs in nothing but capital letters is on the record.
        BegunAs "begun-as" { number: String as Text, known: String as Text },
        /// Readings of a lot that another lot was begun almost as.
        KnownAs "known-as" { number: String as Text, known: String as Text },
        /// A piece that was measured before its lot came in.
        BeforeReceipt "before-receipt" { number: String as Text, received: Date as Date, measured: Date as Date },
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
        /// A lot that came back already, as another.
        CameBack "came-back" { number: String as Text, by: String as Text },
        /// More pieces than the lot had that comes back.
        MoreThanCameBack "more-than-came-back" { number: String as Text, size: u64 as Count, had: u64 as Count },
        /// A lot that comes back under another than tightened inspection.
        NotTightened "not-tightened" { number: String as Text },
        /// A severity for a plan that has none.
        NoSeverity "no-severity" { plan: String as Text },
        /// A plan that takes pieces by the size of the lot, which is not stated.
        NoSize "no-size" { plan: String as Text },
        /// A lot that came in after today.
        ReceivedAhead "received-ahead" { received: Date as Date, today: Date as Date },
        /// Numbers of acceptance and rejection that say nothing of so few pieces.
        Numbers "numbers" { why: PlanError as said },
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

/// The latest of each plan.
pub fn plans(ledger: &Ledger) -> Result<Vec<PlanKept>, Error> {
    let mut all: Vec<PlanKept> = Vec::new();
    let filter = RecordKind::Plan.standing();
    each_whole(ledger, &filter, Order::NewestFirst, |entry| {
        let plan = read_plan(entry)?;
        if !all.iter().any(|known| known.plan.name() == plan.name()) {
            let entry = entry.id();
            all.push(PlanKept { entry, plan });
        }
        Ok(())
    })?;
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

/// Lots whose numbers somebody may have meant by one that no lot has: the nearest first, letter case counts for nothing.
pub fn nearest(ledger: &Ledger, number: &str) -> Result<Vec<String>, Error> {
    let number = number.trim().to_lowercase();
    let mut found: Vec<(usize, String)> = listed(ledger, LOOKED_AT)?
        .into_iter()
        .map(|(_, begun)| {
            (
                strsim::damerau_levenshtein(&number, &begun.number.to_lowercase()),
                begun.number,
            )
        })
        .filter(|(distance, _)| *distance <= WRONG_LETTERS)
        .collect();
    found.sort_unstable();
    found.truncate(OFFERED);
    Ok(found.into_iter().map(|(_, number)| number).collect())
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
pub(super) fn of_kind(
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
