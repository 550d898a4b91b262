//! What a verification finds.

use std::collections::BTreeSet;
use std::fmt;

use crate::{
    Difference, EntryId, EntryRef, Hash, JobEvents, NotComputed, Subject, Unreadable, Witness,
};

/// Something that is not as it was recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    pub place: Place,
    /// What is wrong.
    pub kind: FaultKind,
}

/// Where a fault is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    Entry {
        /// Its sequence number; 0 where the file has a number below zero.
        sequence: u64,
    },
    /// An event of a job.
    Event { job: u64, number: u64 },
    /// The file as a whole.
    File,
}

/// What is wrong. All but the last few are said of an entry or of an event of a job alike.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum FaultKind {
    /// The stored row is no entry, or no event.
    Unreadable { why: Unreadable },
    /// The content is not what was hashed when it was recorded.
    HashMismatch {
        /// The hash in the ledger.
        stored: Hash,
        /// The hash of the content as it is now.
        computed: Hash,
    },
    /// It does not follow the entry before it.
    BrokenChain {
        /// The hash of the entry before.
        expected: Hash,
        /// The hash it says the entry before has.
        stored: Hash,
    },
    /// Others are missing before it.
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
    /// The ledger is not the one a witness tells of, or not all of it.
    WitnessMissing {
        witness: Witness,
        /// The hash of the entry of that number, if there is one.
        found: Option<Hash>,
    },
    /// It amends an entry that does not come before it, goes by another name, or is amended already.
    WrongAmendment {
        /// The entry it says it amends.
        amends: EntryId,
    },
    /// Other results, or another kind, person or time, follow from its inputs.
    ResultDiffers {
        /// Which, with both values.
        differences: Vec<Difference>,
    },
    /// It touches other things than follow from its documents.
    SubjectsDiffer {
        /// What it should touch and does not.
        missing: BTreeSet<Subject>,
        /// What it touches and should not.
        extra: BTreeSet<Subject>,
    },
    /// Its results could not be computed again, though this program knows the method.
    NotComputed { reason: NotComputed },
    /// Its words in the index for searches are not its own.
    SearchDiffers,
    /// The facts that stand beside it are not those that follow from it.
    FactsDiffer {
        /// Which, with both values.
        differences: Vec<Difference>,
    },
    /// It has no facts beside it, though later entries have.
    FactsMissing,
    /// The facts of the last entries are missing.
    FactsBehind {
        /// The first without.
        first: u64,
        last: u64,
    },
    /// The events it was made from are not in the ledger.
    OtherEvents {
        /// The events it names.
        events: JobEvents,
        /// The hash of the event of that number, if there is one.
        found: Option<Hash>,
    },
    /// It follows an event that ends the job.
    AfterTheEnd {
        /// The event that ends it.
        end: u64,
    },
    /// Events of jobs are missing.
    EventsMissing {
        /// How many there are.
        found: u64,
        /// How many were kept.
        issued: u64,
    },
    /// The file or its schema.
    Storage {
        /// What is wrong with it.
        what: StorageFault,
    },
}

/// What is wrong with the file.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum StorageFault {
    /// The storage engine found it.
    Engine {
        /// What it said.
        detail: String,
    },
    /// The entries after one cannot be read.
    UnreadableAfter {
        /// The last that could be read.
        sequence: u64,
    },
    /// The events after one cannot be read.
    EventsUnreadableAfter {
        job: u64,
        /// The last event that could be read.
        number: u64,
    },
    /// Entries or events come in the wrong order out of the file.
    OutOfOrder,
    /// A subject belongs to an entry that is not there.
    SubjectAlone {
        role: String,
        identity: String,
        sequence: i64,
    },
    /// Words in the index for searches belong to an entry that is not there.
    SearchAlone { sequence: i64 },
    /// Facts belong to an entry that is not there, or equipment to facts that are not.
    FactsAlone { sequence: i64 },
    /// A table, index or guard does not belong to a ledger.
    SchemaUnknown {
        /// Its type and name.
        object: String,
    },
    /// A table, index or guard was altered.
    SchemaAltered {
        /// Its type and name.
        object: String,
    },
    /// A table, index or guard is missing.
    SchemaMissing {
        /// Its type and name.
        object: String,
    },
}

impl FaultKind {
    /// A stable name for machines.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Unreadable { .. } => "unreadable",
            Self::HashMismatch { .. } => "hash-mismatch",
            Self::BrokenChain { .. } => "broken-chain",
            Self::Gap { .. } => "gap",
            Self::MissingTail { .. } => "missing-tail",
            Self::NotedMissing { .. } => "noted-missing",
            Self::WitnessMissing { .. } => "witness-missing",
            Self::WrongAmendment { .. } => "wrong-amendment",
            Self::ResultDiffers { .. } => "result-differs",
            Self::SubjectsDiffer { .. } => "subjects-differ",
            Self::NotComputed { .. } => "not-computed",
            Self::SearchDiffers => "search-differs",
            Self::FactsDiffer { .. } => "facts-differ",
            Self::FactsMissing => "facts-missing",
            Self::FactsBehind { .. } => "facts-behind",
            Self::OtherEvents { .. } => "other-events",
            Self::AfterTheEnd { .. } => "after-the-end",
            Self::EventsMissing { .. } => "events-missing",
            Self::Storage { .. } => "storage",
        }
    }
}

impl StorageFault {
    /// A stable name for machines.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Engine { .. } => "engine",
            Self::UnreadableAfter { .. } => "unreadable-after",
            Self::EventsUnreadableAfter { .. } => "events-unreadable-after",
            Self::OutOfOrder => "out-of-order",
            Self::SubjectAlone { .. } => "subject-alone",
            Self::SearchAlone { .. } => "search-alone",
            Self::FactsAlone { .. } => "facts-alone",
            Self::SchemaUnknown { .. } => "schema-unknown",
            Self::SchemaAltered { .. } => "schema-altered",
            Self::SchemaMissing { .. } => "schema-missing",
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.place, self.kind.code())
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Entry { sequence } => write!(f, "entry {sequence}"),
            Self::Event { job, number } => write!(f, "event {number} of job {job}"),
            Self::File => f.write_str("file"),
        }
    }
}
