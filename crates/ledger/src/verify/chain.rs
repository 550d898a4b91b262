//! The chain of entries.

use std::num::NonZeroUsize;
use std::thread::available_parallelism;
use std::time::{Duration, Instant};

use super::{NotRecomputed, Progress, VerifyOptions, VerifyReport};
use crate::work_through::work_through;
use crate::{
    Computed, Entry, Error, Facts, Fault, FaultKind, Hash, Ledger, Mark, NotComputed, Place,
    Recomputed, Remark, Result, StorageFault, encoding, facts::KeptFacts, store::Row,
};

/// How many entries are read at a time; the store gives fewer where they are large.
const AT_A_TIME: u32 = 256;
/// How often progress is told.
const TELL_EVERY: Duration = Duration::from_millis(200);

/// What the threads find of an entry.
struct Found {
    hash: Hash,
    computed: Computed,
}

/// Walks the chain to the end it has now.
pub(super) fn walk(
    ledger: &Ledger,
    options: &VerifyOptions<'_>,
    recompute: &(dyn Fn(&Entry) -> Computed + Sync),
    report: &mut VerifyReport,
) -> Result<()> {
    let mut walk = Walk {
        ledger,
        options,
        report,
        noted_found: false,
        witness_found: None,
        last: 0,
        last_hash: Some(Hash::NONE),
        // A damaged file is told on the way.
        facts_reach: ledger.store.facts_reach().unwrap_or_default(),
        behind: None,
    };
    let of = ledger.store.extent().map_or(0, |extent| extent.issued);
    let threads = options.threads.map_or_else(
        || available_parallelism().map_or(1, NonZeroUsize::get),
        NonZeroUsize::get,
    );
    let find = |row: &Row| {
        let entry = row.entry.as_ref().ok()?;
        Some(Found {
            hash: encoding::hash(entry.sequence, &entry.previous, &entry.content),
            computed: recompute(entry),
        })
    };
    let mut told = Instant::now();
    let mut above = i64::MIN;
    let mut batch = ledger.store.rows(above, AT_A_TIME);
    loop {
        let rows = match batch {
            Ok(rows) if rows.is_empty() => break,
            Ok(rows) => rows,
            Err(error) => return walk.unreadable(error),
        };
        let last = rows.last().map_or(above, |row| row.sequence);
        if !rows.is_sorted_by_key(|row| row.sequence)
            || rows.first().is_some_and(|row| row.sequence <= above)
        {
            // A damaged tree may hand out rows in any order, and the same ones for ever.
            let what = StorageFault::OutOfOrder;
            walk.report.fault(Place::File, FaultKind::Storage { what });
            return Ok(());
        }
        above = last;
        // The next ones are read while these are computed.
        let (found, next) =
            work_through(&rows, threads, find, || ledger.store.rows(above, AT_A_TIME));
        for (row, found) in rows.iter().zip(found) {
            walk.row(row, found)?;
        }
        options.go_on(walk.report)?;
        if let Some(tell) = options.progress.filter(|_| told.elapsed() >= TELL_EVERY) {
            let entries = walk.report.entries;
            tell(Progress {
                entries,
                of: of.max(entries),
            });
            told = Instant::now();
        }
        batch = next;
    }
    walk.end()
}

/// The state between one row and the next.
struct Walk<'a> {
    ledger: &'a Ledger,
    options: &'a VerifyOptions<'a>,
    report: &'a mut VerifyReport,
    noted_found: bool,
    /// The hash at the place of the witness.
    witness_found: Option<Hash>,
    /// The sequence number of the row before.
    last: u64,
    /// Its hash, where it could be read.
    last_hash: Option<Hash>,
    /// Up to which entry facts are made; none where the file has no place for them.
    facts_reach: Option<u64>,
    /// The first and the last entry beyond that should have facts.
    behind: Option<(u64, u64)>,
}

impl Walk<'_> {
    fn fault(&mut self, sequence: u64, kind: FaultKind) {
        self.report.fault(Place::Entry { sequence }, kind);
    }

    fn unreadable(&mut self, error: Error) -> Result<()> {
        self.report.damage(error)?;
        let what = StorageFault::UnreadableAfter {
            sequence: self.last,
        };
        self.report.fault(Place::File, FaultKind::Storage { what });
        Ok(())
    }

    fn row(&mut self, row: &Row, found: Option<Found>) -> Result<()> {
        self.report.entries += 1;
        let sequence = u64::try_from(row.sequence).unwrap_or(0);
        let expected = self.last.saturating_add(1);
        if sequence > expected {
            let (first, last) = (expected, sequence - 1);
            self.fault(sequence, FaultKind::Gap { first, last });
            // What the missing ones hashed to cannot be known.
            self.last_hash = None;
        }
        if let Some(hash) = row.hash {
            let mark = Mark { sequence, hash };
            let noted = self.options.noted.as_ref();
            self.noted_found |= noted.is_some_and(|noted| noted.names(&mark));
            let witness = self.options.witness;
            if witness.is_some_and(|witness| witness.count == sequence) {
                self.witness_found = Some(hash);
            }
            self.report.head = Some(mark);
        }
        match (&row.entry, found) {
            (Ok(entry), Some(found)) => {
                self.hashes(entry, found.hash);
                self.amendment(entry)?;
                self.events(entry)?;
                if !row.search_agrees {
                    self.fault(sequence, FaultKind::SearchDiffers);
                }
                let mut computed = found.computed;
                self.facts(row, entry, computed.facts.take());
                let remarks = std::mem::take(&mut computed.remarks);
                self.report
                    .remarks
                    .extend(remarks.into_iter().map(|kind| Remark {
                        entry: entry.id(),
                        kind,
                    }));
                self.report.remarks.extend(entry.remark());
                self.computed(entry, computed);
            }
            (Err(why), _) => {
                let why = why.clone();
                self.fault(sequence, FaultKind::Unreadable { why });
            }
            (Ok(_), None) => {}
        }
        self.last = sequence;
        self.last_hash = row.hash;
        Ok(())
    }

    /// The entry's own hash, and its link to the one before.
    fn hashes(&mut self, entry: &Entry, computed: Hash) {
        let stored = entry.hash;
        if computed != stored {
            self.fault(entry.sequence, FaultKind::HashMismatch { stored, computed });
        }
        if let Some(expected) = self
            .last_hash
            .filter(|expected| *expected != entry.previous)
        {
            let stored = entry.previous;
            self.fault(entry.sequence, FaultKind::BrokenChain { expected, stored });
        }
    }

    /// What it amends comes before it, under that name, and is amended by it and no other.
    fn amendment(&mut self, entry: &Entry) -> Result<()> {
        let Some(amendment) = &entry.content.amends else {
            return Ok(());
        };
        let amends = amendment.entry;
        let right = match self.ledger.get(&amends.into()) {
            Ok(amended) => {
                amended.sequence < entry.sequence && amended.amended_by == Some(entry.id())
            }
            // Told of on its own where the amended entry itself makes no sense.
            Err(Error::NoSuchEntry { .. } | Error::Damaged { .. }) => false,
            Err(error) => return Err(error),
        };
        if !right {
            self.fault(entry.sequence, FaultKind::WrongAmendment { amends });
        }
        Ok(())
    }

    /// The events it was made from are in the ledger. That these are sound is told with their job.
    fn events(&mut self, entry: &Entry) -> Result<()> {
        let Some(events) = entry.content.events else {
            return Ok(());
        };
        match self.ledger.store.event_hash(events.job, events.count) {
            Ok(found) if found == Some(events.hash) => {}
            Ok(found) => self.fault(entry.sequence, FaultKind::OtherEvents { events, found }),
            Err(error) => self.report.damage(error)?,
        }
        Ok(())
    }

    /// The facts beside an entry against those that follow from it.
    fn facts(&mut self, row: &Row, entry: &Entry, right: Option<Facts>) {
        let (Some(reach), Some(right)) = (self.facts_reach, right) else {
            return;
        };
        let sequence = entry.sequence;
        let right = KeptFacts::of(entry.id().check_digits(), &entry.content, right);
        match &row.facts {
            Some(stored) => {
                let differences = stored.differences(&right);
                if !differences.is_empty() {
                    self.fault(sequence, FaultKind::FactsDiffer { differences });
                }
            }
            None if sequence <= reach => self.fault(sequence, FaultKind::FactsMissing),
            None => {
                let first = self.behind.map_or(sequence, |(first, _)| first);
                self.behind = Some((first, sequence));
            }
        }
    }

    /// What the caller computed against what is stored.
    fn computed(&mut self, entry: &Entry, computed: Computed) {
        let sequence = entry.sequence;
        match computed.results {
            Recomputed::Same => self.report.recomputed += 1,
            Recomputed::Differs(differences) => {
                self.fault(sequence, FaultKind::ResultDiffers { differences });
            }
            Recomputed::NotComputed {
                reason: NotComputed::MethodUnknown { method },
            } => self.report.not_recomputed.push(NotRecomputed {
                entry: entry.id(),
                method,
                accepted: self.options.accepts(method),
            }),
            Recomputed::NotComputed { reason } => {
                self.fault(sequence, FaultKind::NotComputed { reason });
            }
        }
        if let Some(right) = computed.subjects {
            let has = &entry.content.subjects;
            if right != *has {
                let missing = right.difference(has).cloned().collect();
                let extra = has.difference(&right).cloned().collect();
                self.fault(sequence, FaultKind::SubjectsDiffer { missing, extra });
            }
        }
    }

    /// Whether the end of the chain is the end of what was recorded.
    fn end(&mut self) -> Result<()> {
        if let Some((first, last)) = self.behind {
            self.report
                .fault(Place::File, FaultKind::FactsBehind { first, last });
        }
        // Taken after the walk it may be further on, if someone records meanwhile: then the head is too.
        let extent = match self.ledger.store.extent() {
            Ok(extent) => extent,
            Err(error) => return self.report.damage(error),
        };
        let last = extent.head.map_or(0, |head| head.sequence);
        if extent.issued > last {
            let (first, last) = (last.saturating_add(1), extent.issued);
            self.report
                .fault(Place::File, FaultKind::MissingTail { first, last });
        }
        if let Some(noted) = self.options.noted.clone().filter(|_| !self.noted_found) {
            self.report
                .fault(Place::File, FaultKind::NotedMissing { noted });
        }
        let found = self.witness_found;
        if let Some(witness) = self.options.witness.filter(|w| found != Some(w.hash)) {
            let kind = FaultKind::WitnessMissing { witness, found };
            let place = Place::File;
            self.report.faults.push(Fault { place, kind });
        }
        Ok(())
    }
}
