//! The record of the lots that were asked for last, read once and kept. A ledger is only ever added to: what came since is
//! added, and a lot of thousands of results is not read again at every zero check.

use std::sync::{Mutex, PoisonError};

use ledger::{EntryId, Ledger};

use super::known::{Lot, find};
use super::matrix::{Added, Gathered, Matrix, OpenRun, of_others};
use super::nonconforming::{Nonconforming, nonconforming_in};
use crate::bench::State;
use crate::bench::run::OfOthers;
use crate::error::Error;

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
