//! What was decided on pieces of a lot, as the record has it.

use std::collections::BTreeMap;

use jiff::Timestamp;
use ledger::{Entry, EntryId, Filter, Ledger, Order, Subject};
use metrology::lot::Standing;

use crate::error::Error;
use crate::kept;
use crate::lot_entry::LOT;
use crate::nonconformance::Decision;
use crate::on_record::each_whole;
use crate::record_kind::RecordKind;

/// A decision, who made it, and when.
#[derive(Clone, Debug)]
pub struct Decided {
    pub decision: Decision,
    pub entry: EntryId,
    pub person: String,
    pub at: Timestamp,
}

impl Decided {
    /// Whether each characteristic that showed the nonconformance was measured after the decision, by entry and standing, and
    /// accepted at last.
    pub(super) fn is_settled(&self, again: &[(String, EntryId, Standing)]) -> bool {
        self.decision.shown_by.iter().all(|shown| {
            let mut after = again.iter().rev();
            let found = after.find(|(characteristic, entry, _)| {
                *characteristic == shown.characteristic && entry.sequence() > self.entry.sequence()
            });
            found.is_some_and(|(_, _, standing)| *standing == Standing::Accept)
        })
    }
}

/// All decisions on pieces of a lot, the oldest first.
pub(super) fn decisions(ledger: &Ledger, lot: &str) -> Result<Vec<Decided>, Error> {
    let filter = Filter {
        subjects: vec![Subject::new(LOT, lot)],
        ..RecordKind::Nonconformance.standing()
    };
    let mut all = Vec::new();
    each_whole(ledger, &filter, Order::OldestFirst, |entry| {
        all.push(decided_in(entry)?);
        Ok(())
    })?;
    Ok(all)
}

/// The decision of an entry.
pub(super) fn decided_in(entry: &Entry) -> Result<Decided, Error> {
    let inputs = &entry.content.inputs;
    Ok(Decided {
        decision: kept::read(kept::NONCONFORMANCE, inputs).map_err(Error::outside)?,
        entry: entry.id(),
        person: entry.content.actor.name.clone(),
        at: entry.content.recorded_at,
    })
}

/// The latest of each piece.
pub(super) fn latest(all: Vec<Decided>) -> BTreeMap<String, Decided> {
    let by_piece = all
        .into_iter()
        .map(|decided| (decided.decision.piece.clone(), decided));
    by_piece.collect()
}

/// The first decision to work on each piece: what is measured later is of the piece as it is then.
pub(super) fn worked_on(all: Vec<Decided>) -> BTreeMap<String, Decided> {
    let is_work = |decided: &Decided| decided.decision.disposition.is_work();
    // Of equal keys the last one stays, so that is the oldest.
    latest(all.into_iter().filter(is_work).rev().collect())
}

/// The entries of all decisions to work on each piece.
pub(super) fn works(all: &[Decided]) -> BTreeMap<String, Vec<u64>> {
    let mut works: BTreeMap<String, Vec<u64>> = BTreeMap::new();
    let is_work = |decided: &&Decided| decided.decision.disposition.is_work();
    for decided in all.iter().filter(is_work) {
        let of_piece = works.entry(decided.decision.piece.clone()).or_default();
        of_piece.push(decided.entry.sequence());
    }
    works
}

/// The pieces that are reworked or repaired and were not measured again on the characteristic that showed it.
pub(super) fn to_measure_after_work(
    latest: BTreeMap<String, Decided>,
    characteristic: &str,
    is_measured: impl Fn(&String) -> bool,
) -> Vec<String> {
    let decided = latest.into_iter().filter(|(piece, decided)| {
        let decision = &decided.decision;
        let mut shown_by = decision.shown_by.iter();
        decision.disposition.is_work()
            && shown_by.any(|shown| shown.characteristic == characteristic)
            && !is_measured(piece)
    });
    decided.map(|(piece, _)| piece).collect()
}
