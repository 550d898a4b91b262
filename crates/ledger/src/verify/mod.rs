//! Verification: reading the whole ledger again and telling every fault.

use std::num::NonZeroUsize;
use std::ops::RangeInclusive;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::{
    Computed, Damage, Entry, EntryId, EntryRef, Error, Fault, FaultKind, Ledger, Mark, Place,
    Remark, Result, StorageFault, Witness,
};

mod chain;
mod jobs;

/// What a verification is to be held against, and how it is run. The default: nothing, and on every core.
#[derive(Clone, Default)]
pub struct VerifyOptions<'a> {
    /// The name of an entry written down outside the ledger, best the full hash printed on a report: if it is in the
    /// chain, then so is everything that was recorded before it, unchanged.
    pub noted: Option<EntryRef>,
    /// The state of the ledger written down outside it: the chain must go on from there.
    pub witness: Option<Witness>,
    /// Methods that the program need not know. Entries computed by them are listed and leave the ledger sound.
    pub accept_methods: Option<RangeInclusive<u32>>,
    /// Is told how far the verification is, a few times a second.
    pub progress: Option<&'a (dyn Fn(Progress) + Sync)>,
    /// Ends the verification with [`Error::Stopped`] soon after it is set.
    pub stop: Option<&'a AtomicBool>,
    /// How many threads compute; as many as there are cores if not set.
    pub threads: Option<NonZeroUsize>,
}

/// How far a verification is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// How many entries have been read and computed again.
    pub entries: u64,
    /// How many there are.
    pub of: u64,
}

/// An entry whose results could not be computed again because the program does not know the method.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotRecomputed {
    pub entry: EntryId,
    pub method: u32,
    /// Whether the caller accepts entries by this method.
    pub accepted: bool,
}

/// What a verification found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct VerifyReport {
    /// How many entries were read.
    pub entries: u64,
    /// How many of them gave the same results again.
    pub recomputed: u64,
    /// How many events of jobs were read.
    pub events: u64,
    /// The newest entry read: the mark to note outside the ledger.
    pub head: Option<Mark>,
    /// Every fault: those of entries in their order, then those of the file, then those of the events of jobs.
    pub faults: Vec<Fault>,
    /// Entries by a method the program does not know, in their order.
    pub not_recomputed: Vec<NotRecomputed>,
    /// What is no fault, in the order of the entries.
    pub remarks: Vec<Remark>,
}

impl VerifyReport {
    /// Whether there is no fault, and every entry was computed again but for those by an accepted method.
    pub fn is_sound(&self) -> bool {
        self.faults.is_empty() && self.not_recomputed.iter().all(|entry| entry.accepted)
    }

    /// Refuses the copy at a path where there is a fault in it.
    pub(crate) fn refuse_copy(&self, path: &Path) -> Result<()> {
        match self.faults.as_slice() {
            [] => Ok(()),
            [first, others @ ..] => Err(Error::BackupFaulty {
                path: path.to_owned(),
                first: Box::new(first.clone()),
                more: others.len(),
            }),
        }
    }

    fn fault(&mut self, place: Place, kind: FaultKind) {
        self.faults.push(Fault { place, kind });
    }

    /// Damage to the file is a fault to report; any other error ends the verification.
    fn damage(&mut self, error: Error) -> Result<()> {
        let detail = match error {
            Error::Damaged {
                what: Damage::Engine { detail },
                ..
            }
            | Error::Storage { detail, .. } => detail,
            Error::Damaged { what, .. } => what.to_string(),
            error => return Err(error),
        };
        let what = StorageFault::Engine { detail };
        self.fault(Place::File, FaultKind::Storage { what });
        Ok(())
    }
}

/// Reads the whole ledger again: every hash, every link, every result, everything indexed, the events of every job,
/// finished or not, and the file itself.
///
/// `recompute` gets every entry, from several threads and in no order, and says what follows from its documents: a
/// [`Recomputed`](crate::Recomputed) alone, or a [`Computed`] with subjects and facts. The ledger compares; what hangs on nothing that is hashed
/// cannot be told right from wrong. It may use the ledger.
///
/// A fault in the books is in the report; an error means that the ledger could not be read to the end (locked, disk
/// failed, told to stop). Entries recorded meanwhile are not waited for. Memory does not grow with the ledger, only
/// with the faults.
pub fn verify<C: Into<Computed>>(
    ledger: &Ledger,
    options: &VerifyOptions<'_>,
    recompute: impl Fn(&Entry) -> C + Sync,
) -> Result<VerifyReport> {
    let mut report = VerifyReport::default();
    chain::walk(
        ledger,
        options,
        &|entry| recompute(entry).into(),
        &mut report,
    )?;
    match ledger.store.check() {
        Ok(found) => {
            for what in found {
                report.fault(Place::File, FaultKind::Storage { what });
            }
        }
        Err(error) => report.damage(error)?,
    }
    jobs::walk(ledger, options, &mut report)?;
    Ok(report)
}

impl VerifyOptions<'_> {
    /// Whether to go on.
    fn go_on(&self, report: &VerifyReport) -> Result<()> {
        if self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed)) {
            return Err(Error::Stopped {
                entries: report.entries,
            });
        }
        Ok(())
    }

    fn accepts(&self, method: u32) -> bool {
        self.accept_methods
            .as_ref()
            .is_some_and(|methods| methods.contains(&method))
    }
}
