//! Making facts of entries that have none: of an old ledger, or all again.

use std::num::NonZeroUsize;
use std::thread::available_parallelism;

use crate::facts::KeptFacts;
use crate::work_through::work_through;
use crate::{Facts, Ledger, Progress, Result, store::Row};

/// How many entries are read at a time; the store gives fewer where they are large.
const AT_A_TIME: u32 = 500;

impl Ledger {
    /// Whether every entry has its facts beside it.
    pub fn facts_are_made(&self) -> Result<bool> {
        Ok(self.entries_without_facts()? == 0)
    }

    /// How many entries have no facts beside them yet.
    pub fn entries_without_facts(&self) -> Result<u64> {
        let last = self.head()?.map_or(0, |head| head.sequence);
        let made = self.store.facts_reach()?.unwrap_or(0);
        Ok(last.saturating_sub(made))
    }

    /// Makes the facts of entries that have none, by the function that the ledger was opened with
    /// ([`OpenOptions::facts`](crate::OpenOptions::facts)); of all, where they are to be made `again`. Others may record
    /// meanwhile. Returns how many were made.
    ///
    /// What is stored in parts is whole at any moment: where this is interrupted, the next call goes on.
    pub fn make_facts(&self, again: bool, progress: &dyn Fn(Progress)) -> Result<u64> {
        let Some(derive) = self.derive else {
            return Ok(0);
        };
        if again {
            self.store.clear_facts()?;
        }
        let threads = available_parallelism().map_or(1, NonZeroUsize::get);
        let make = |row: &Row| -> KeptFacts {
            match &row.entry {
                Ok(entry) => {
                    let check = entry.id().check_digits();
                    KeptFacts::of(check, &entry.content, derive(&entry.content))
                }
                // What is no entry has none, and is told by verification.
                Err(_) => KeptFacts {
                    check: String::new(),
                    recorded_on: String::new(),
                    facts: Facts::default(),
                },
            }
        };
        let begun = self.store.facts_reach()?.unwrap_or(0);
        loop {
            let made = self.store.facts_reach()?.unwrap_or(0);
            let above = i64::try_from(made).unwrap_or(i64::MAX);
            let rows = self.store.rows(above, AT_A_TIME)?;
            if rows.is_empty() {
                return Ok(made.saturating_sub(begun));
            }
            let (facts, ()) = work_through(&rows, threads, make, || ());
            let numbered = rows
                .iter()
                .map(|row| u64::try_from(row.sequence).unwrap_or(0));
            let facts: Vec<(u64, KeptFacts)> = numbered.zip(facts).collect();
            self.store.add_facts(made, &facts)?;
            progress(Progress {
                entries: made + facts.len() as u64,
                of: self.head()?.map_or(0, |head| head.sequence),
            });
        }
    }
}
