//! Verification: reading the whole chain again and telling every fault.

use std::fmt;

use crate::{
    Entry, EntryHash, EntryId, EntryRef, Error, Ledger, Mark, Result, encoding, store::Row,
};

/// How many entries are in memory at a time.
const AT_A_TIME: u32 = 64;

/// What the caller finds when it computes the results of an entry again from its inputs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Recomputed {
    /// The same results, or an entry without results to compute.
    Same,
    /// Other results.
    Differs {
        /// Which, with both values.
        what: String,
    },
    /// It cannot be done by this program; a remark, not a fault.
    CannotRecompute {
        /// Why.
        why: String,
    },
}

/// Something that is not as it was recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The entry, by its sequence number; none where the fault is in the file as a whole.
    pub sequence: Option<u64>,
    /// What is wrong.
    pub kind: FaultKind,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum FaultKind {
    /// The stored row is no entry.
    Unreadable {
        /// Why.
        why: String,
    },
    /// The content is not what was hashed when it was recorded.
    HashMismatch {
        /// The hash in the ledger.
        stored: EntryHash,
        /// The hash of the content as it is now.
        computed: EntryHash,
    },
    /// It does not follow the entry before it.
    BrokenChain {
        /// The hash of the entry before.
        expected: EntryHash,
        /// The hash it says the entry before has.
        stored: EntryHash,
    },
    /// Entries are missing before it.
    Gap {
        /// The first missing.
        first: u64,
        /// The last missing.
        last: u64,
    },
    /// Entries are missing at the end.
    MissingTail {
        /// The first missing.
        first: u64,
        /// The last that was recorded.
        last: u64,
    },
    /// The entry noted outside the ledger is not in it.
    NotedMissing {
        /// What was noted.
        noted: EntryRef,
    },
    /// It amends an entry that does not come before it, goes by another name, or is amended already.
    WrongAmendment {
        /// The entry it says it amends.
        amends: EntryId,
    },
    /// The results are not those its inputs give.
    ResultDiffers {
        /// Which, with both values.
        what: String,
    },
    /// The file or its schema.
    Storage {
        /// What the storage engine said.
        what: String,
    },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(sequence) = self.sequence {
            write!(f, "entry {sequence}: ")?;
        }
        match &self.kind {
            FaultKind::Unreadable { why } => write!(f, "makes no sense: {why}"),
            FaultKind::HashMismatch { stored, computed } => write!(
                f,
                "was changed after it was recorded (its content or what it touches): its hash is {stored}, \
                 its content now gives {computed}"
            ),
            FaultKind::BrokenChain { expected, stored } => write!(
                f,
                "does not follow the entry before it: that has the hash {expected}, this one says {stored}"
            ),
            FaultKind::Gap { first, last } if first == last => {
                write!(f, "entry {first} before it is missing")
            }
            FaultKind::Gap { first, last } => {
                write!(f, "entries {first} to {last} before it are missing")
            }
            FaultKind::MissingTail { first, last } if first == last => {
                write!(f, "entry {first} was recorded and is missing at the end")
            }
            FaultKind::MissingTail { first, last } => {
                write!(
                    f,
                    "entries {first} to {last} were recorded and are missing at the end"
                )
            }
            FaultKind::NotedMissing { noted } => {
                write!(f, "the entry {noted}, noted outside, is not in this ledger")
            }
            FaultKind::WrongAmendment { amends } => write!(
                f,
                "says it amends {amends}, which is not there under that name or is amended by another"
            ),
            FaultKind::ResultDiffers { what } => write!(f, "its inputs give other results: {what}"),
            FaultKind::Storage { what } => write!(f, "the file: {what}"),
        }
    }
}

/// What a verification found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct VerifyReport {
    /// How many entries were read.
    pub entries: u64,
    /// How many of them gave the same results again.
    pub recomputed: u64,
    /// The newest entry read: the mark to note outside the ledger.
    pub head: Option<Mark>,
    /// Every fault, in the order of the entries; those of the file as a whole come last.
    pub faults: Vec<Fault>,
    /// Entries whose results could not be computed again, and why.
    pub not_recomputed: Vec<(EntryId, String)>,
}

impl VerifyReport {
    /// Whether no fault was found.
    pub fn is_sound(&self) -> bool {
        self.faults.is_empty()
    }
}

/// Reads the whole ledger again: every hash, every link, every result, and the file itself.
///
/// `noted` is the name of an entry written down outside the ledger, best the full hash printed on a report:
/// if it is in the chain, then so is everything that was recorded before it, unchanged. `recompute` gets each
/// entry in order and may use the ledger.
///
/// A fault in the books is in the report; an error means that the ledger could not be read to the end (locked,
/// disk failed). Entries recorded meanwhile are not waited for. Memory does not grow with the ledger, only
/// with the faults.
pub fn verify(
    ledger: &Ledger,
    noted: Option<&EntryRef>,
    recompute: &mut dyn FnMut(&Entry) -> Recomputed,
) -> Result<VerifyReport> {
    let mut walk = Walk {
        noted,
        ..Walk::default()
    };
    walk.chain(ledger, &mut |entry, report| match recompute(entry) {
        Recomputed::Same => report.recomputed += 1,
        Recomputed::Differs { what } => report.faults.push(Fault {
            sequence: Some(entry.sequence),
            kind: FaultKind::ResultDiffers { what },
        }),
        Recomputed::CannotRecompute { why } => report.not_recomputed.push((entry.id(), why)),
    })?;
    match ledger.store.check() {
        Ok(found) => {
            for what in found {
                walk.fault(None, FaultKind::Storage { what });
            }
        }
        Err(error) => walk.damage(error)?,
    }
    Ok(walk.report)
}

/// The first fault of the chain, without results or the file itself.
pub(crate) fn first_fault(ledger: &Ledger) -> Result<Option<Fault>> {
    let mut walk = Walk::default();
    walk.chain(ledger, &mut |_, _| {})?;
    Ok(walk.report.faults.into_iter().next())
}

/// The state between one row and the next.
#[derive(Default)]
struct Walk<'a> {
    report: VerifyReport,
    noted: Option<&'a EntryRef>,
    noted_found: bool,
    /// The sequence number of the row before.
    last: u64,
    /// Its hash, where it could be read.
    last_hash: Option<EntryHash>,
}

impl Walk<'_> {
    fn fault(&mut self, sequence: Option<u64>, kind: FaultKind) {
        self.report.faults.push(Fault { sequence, kind });
    }

    /// Damage to the file is a fault to report; any other error ends the verification.
    fn damage(&mut self, error: Error) -> Result<()> {
        match error {
            Error::Damaged { detail, .. } | Error::Storage { detail, .. } => {
                self.fault(None, FaultKind::Storage { what: detail });
                Ok(())
            }
            error => Err(error),
        }
    }

    /// Walks the chain to the end it has now.
    fn chain(
        &mut self,
        ledger: &Ledger,
        each: &mut dyn FnMut(&Entry, &mut VerifyReport),
    ) -> Result<()> {
        self.last_hash = Some(EntryHash::NONE);
        let mut above = i64::MIN;
        loop {
            let rows = match ledger.store.rows(above, AT_A_TIME) {
                Ok(rows) => rows,
                Err(error) => {
                    self.damage(error)?;
                    let why = format!("the entries after {} cannot be read", self.last);
                    self.fault(None, FaultKind::Storage { what: why });
                    return Ok(());
                }
            };
            if rows.is_empty() {
                break;
            }
            for row in &rows {
                // A damaged tree may hand out rows in any order, and the same ones for ever.
                if row.sequence <= above && self.report.entries > 0 {
                    let what = format!("the entries after {above} are out of order");
                    self.fault(None, FaultKind::Storage { what });
                    return Ok(());
                }
                above = row.sequence;
                self.row(ledger, row, each)?;
            }
        }
        self.end(ledger)
    }

    fn row(
        &mut self,
        ledger: &Ledger,
        row: &Row,
        each: &mut dyn FnMut(&Entry, &mut VerifyReport),
    ) -> Result<()> {
        self.report.entries += 1;
        let sequence = u64::try_from(row.sequence).unwrap_or(0);
        let expected = self.last.saturating_add(1);
        if sequence > expected {
            let (first, last) = (expected, sequence - 1);
            self.fault(Some(sequence), FaultKind::Gap { first, last });
            // What the missing ones hashed to cannot be known.
            self.last_hash = None;
        }
        if let Some(hash) = row.hash {
            let mark = Mark { sequence, hash };
            self.noted_found |= self.noted.is_some_and(|noted| noted.names(&mark));
            self.report.head = Some(mark);
        }
        match &row.entry {
            Err(why) => {
                let why = why.clone();
                self.fault(Some(sequence), FaultKind::Unreadable { why });
            }
            Ok(entry) => {
                self.hashes(entry);
                self.amendment(ledger, entry)?;
                each(entry, &mut self.report);
            }
        }
        self.last = sequence;
        self.last_hash = row.hash;
        Ok(())
    }

    /// The entry's own hash, and its link to the one before.
    fn hashes(&mut self, entry: &Entry) {
        let sequence = Some(entry.sequence);
        let stored = entry.hash;
        let computed = encoding::hash(entry.sequence, &entry.previous, &entry.content);
        if computed != stored {
            self.fault(sequence, FaultKind::HashMismatch { stored, computed });
        }
        if let Some(expected) = self
            .last_hash
            .filter(|expected| *expected != entry.previous)
        {
            let stored = entry.previous;
            self.fault(sequence, FaultKind::BrokenChain { expected, stored });
        }
    }

    /// What it amends comes before it, under that name, and is amended by it and no other.
    fn amendment(&mut self, ledger: &Ledger, entry: &Entry) -> Result<()> {
        let Some(amendment) = &entry.content.amends else {
            return Ok(());
        };
        let amends = amendment.entry;
        let right = match ledger.get(&amends.into()) {
            Ok(amended) => {
                amended.sequence < entry.sequence && amended.amended_by == Some(entry.id())
            }
            // Told of on its own where the amended entry itself makes no sense.
            Err(Error::NoSuchEntry { .. } | Error::Damaged { .. }) => false,
            Err(error) => return Err(error),
        };
        if !right {
            self.fault(Some(entry.sequence), FaultKind::WrongAmendment { amends });
        }
        Ok(())
    }

    /// Whether the end of the chain is the end of what was recorded.
    fn end(&mut self, ledger: &Ledger) -> Result<()> {
        // Taken after the walk it may be further on, if someone records meanwhile: then the head is too.
        let extent = match ledger.store.extent() {
            Ok(extent) => extent,
            Err(error) => return self.damage(error),
        };
        let last = extent.head.map_or(0, |head| head.sequence);
        if extent.issued > last {
            let (first, last) = (last.saturating_add(1), extent.issued);
            self.fault(None, FaultKind::MissingTail { first, last });
        }
        if let Some(noted) = self.noted.filter(|_| !self.noted_found) {
            let noted = noted.clone();
            self.fault(None, FaultKind::NotedMissing { noted });
        }
        Ok(())
    }
}
