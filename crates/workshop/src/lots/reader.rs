//! The record of the lots that were asked for last, read once and kept. A ledger is only ever added to: what came since is
//! added, and a lot of thousands of results is not read again at every zero check.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, PoisonError};

use ledger::{EntryId, Filter, Ledger, Order, Page};

use super::known::{Lot, find};
use super::matrix::{Added, Gathered, Matrix, OpenRun, of_others};
use super::nonconforming::{Nonconforming, lots_with_some, nonconforming_in};
use crate::bench::State;
use crate::bench::run::OfOthers;
use crate::error::Error;
use crate::lot_entry::LOT;
use crate::on_record;
use crate::record_kind::RecordKind;

/// So many lots are kept: one at the bench, and those whose pages are open.
const KEPT: usize = 4;

/// The record of a lot as far as an entry.
struct Read {
    lot: EntryId,
    /// The newest entry when it was read.
    as_far_as: u64,
    found: Gathered,
}

/// What was read, the latest last.
#[derive(Default)]
pub struct LotsRead {
    kept: Mutex<Vec<Read>>,
    nonconforming: Mutex<Option<AllNonconforming>>,
}

/// The nonconforming pieces of all lots as far as an entry.
struct AllNonconforming {
    as_far_as: u64,
    /// By the number of the lot: the entry that began it, and its pieces.
    lots: BTreeMap<String, (EntryId, Vec<Nonconforming>)>,
}

impl LotsRead {
    /// What is known of a lot, with what is under way.
    pub fn matrix(&self, ledger: &Ledger, lot: &Lot, open: &[OpenRun]) -> Result<Matrix, Error> {
        Ok(self.of(ledger, lot, Gathered::clone)?.matrix(open))
    }

    /// What a run has to know of its lot beside itself, with how many pieces are proposed between two checks.
    pub fn of_others(&self, ledger: &Ledger, state: &State) -> Result<OfOthers, Error> {
        let lot = state.run().map(|run| find(ledger, &run.of.lot));
        match lot.transpose()?.flatten() {
            Some(lot) => self.of(ledger, &lot, |found| of_others(ledger, &lot, found, state))?,
            None => Ok(OfOthers::default()),
        }
    }

    /// The nonconforming pieces of a lot, in the order of its pieces.
    pub fn nonconforming(&self, ledger: &Ledger, lot: &Lot) -> Result<Vec<Nonconforming>, Error> {
        nonconforming_in(ledger, lot, &self.matrix(ledger, lot, &[])?)
    }

    /// All nonconforming pieces of all lots, the latest lot first. Of lots of which nothing was added that could touch a
    /// nonconforming piece, nothing is read.
    pub fn all_nonconforming(&self, ledger: &Ledger) -> Result<Vec<Nonconforming>, Error> {
        let kept = self.nonconforming.lock();
        let mut kept = kept.unwrap_or_else(PoisonError::into_inner);
        let as_far_as = ledger.head()?.map_or(0, |head| head.sequence);
        // Nothing is kept of what could not be read to its end.
        let mut all = match kept.take() {
            Some(all) => {
                let touched = touched_beyond(ledger, all.as_far_as, &all.lots)?;
                let lots = all.lots;
                self.read_again(ledger, lots, &touched)?
            }
            None => self.read_again(ledger, BTreeMap::new(), &lots_with_some(ledger)?)?,
        };
        all.as_far_as = as_far_as;
        let mut found: Vec<&(EntryId, Vec<Nonconforming>)> = all.lots.values().collect();
        found.sort_by_key(|(entry, _)| std::cmp::Reverse(entry.sequence()));
        let pieces = found.into_iter().flat_map(|(_, pieces)| pieces.clone());
        let pieces = pieces.collect();
        *kept = Some(all);
        Ok(pieces)
    }

    fn read_again(
        &self,
        ledger: &Ledger,
        mut lots: BTreeMap<String, (EntryId, Vec<Nonconforming>)>,
        touched: &BTreeSet<String>,
    ) -> Result<AllNonconforming, Error> {
        for number in touched {
            lots.remove(number);
            // What was measured with a lot typed beside it may be of none that was begun.
            if let Some(lot) = find(ledger, number)? {
                let pieces = self.nonconforming(ledger, &lot)?;
                if !pieces.is_empty() {
                    lots.insert(number.clone(), (lot.entry, pieces));
                }
            }
        }
        Ok(AllNonconforming { as_far_as: 0, lots })
    }

    /// Does something with the record of a lot as it is now.
    fn of<T>(
        &self,
        ledger: &Ledger,
        lot: &Lot,
        with: impl FnOnce(&Gathered) -> T,
    ) -> Result<T, Error> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let before = kept.iter().position(|read| read.lot == lot.entry);
        let before = before.map(|index| kept.remove(index));
        // Taken first: what is recorded in between is read twice rather than not at all.
        let as_far_as = ledger.head()?.map_or(0, |head| head.sequence);
        let read = match before {
            Some(read) if read.as_far_as == as_far_as => read,
            Some(mut read) => match read.found.add_beyond(ledger, read.as_far_as)? {
                Added::Yes => Read { as_far_as, ..read },
                Added::ReadAgain => Self::read(ledger, lot, as_far_as)?,
            },
            None => Self::read(ledger, lot, as_far_as)?,
        };
        let done = with(&read.found);
        kept.push(read);
        if kept.len() > KEPT {
            kept.remove(0);
        }
        Ok(done)
    }

    fn read(ledger: &Ledger, lot: &Lot, as_far_as: u64) -> Result<Read, Error> {
        Ok(Read {
            lot: lot.entry,
            as_far_as,
            found: Gathered::of(ledger, lot)?,
        })
    }
}

/// The lots of which something was added beyond an entry that may touch a nonconforming piece: a rejected result, a decision, an
/// amendment, the start of a lot, or anything of a lot that has such pieces.
fn touched_beyond<T>(
    ledger: &Ledger,
    sequence: u64,
    known: &BTreeMap<String, T>,
) -> Result<BTreeSet<String>, Error> {
    let mut touched = BTreeSet::new();
    let mut next = Some(Page {
        beyond: Some(sequence),
        ..Page::first(Order::OldestFirst, Page::LARGEST)
    });
    while let Some(asked) = next {
        let listing = on_record::page(ledger, &Filter::default(), &asked)?;
        for added in &listing.entries {
            let entry = &added.heading;
            let amends = entry.content.amends.as_ref();
            let tells = amends.is_some()
                || entry.content.subject("verdict") == Some("reject")
                || RecordKind::Nonconformance.is_of(entry)
                || RecordKind::Lot.is_of(entry);
            let lot = entry.content.subject(LOT);
            touched.extend(
                lot.filter(|lot| tells || known.contains_key(*lot))
                    .map(str::to_owned),
            );
            if let Some(amends) = amends {
                // What withdraws an entry need not name its lot.
                let before = ledger.get(&amends.entry.into())?;
                touched.extend(before.content.subject(LOT).map(str::to_owned));
            }
        }
        next = listing.next;
    }
    Ok(touched)
}
