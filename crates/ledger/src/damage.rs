//! What may be wrong with what is stored.

use std::fmt;

/// Why a stored row is no entry or no event.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Unreadable {
    /// A column cannot be read as what it should hold.
    Column {
        column: &'static str,
        /// What the storage engine said.
        detail: String,
    },
    /// It is hashed by a rule this program does not know.
    Encoding { found: String },
    /// A number below zero, or one that is missing.
    Number {
        column: &'static str,
        /// The number, if there is one.
        found: Option<i64>,
    },
    /// Text that is no hash.
    Hash { column: &'static str, found: String },
    /// Text that is no UTC time with nine decimals.
    Time { column: &'static str, found: String },
    /// A way to identify a person that this program does not know.
    Identified { found: String },
    /// The entry it amends has no name that can be read.
    Amendment {
        sequence: i64,
        /// The digits after it.
        check: String,
    },
    /// Of several columns that go together some are missing.
    Incomplete {
        /// The first of them.
        column: &'static str,
    },
}

impl Unreadable {
    /// A stable name for machines.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Column { .. } => "column",
            Self::Encoding { .. } => "encoding",
            Self::Number { .. } => "number",
            Self::Hash { .. } => "hash",
            Self::Time { .. } => "time",
            Self::Identified { .. } => "identified",
            Self::Amendment { .. } => "amendment",
            Self::Incomplete { .. } => "incomplete",
        }
    }
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Column { column, detail } => write!(f, "{column} cannot be read ({detail})"),
            Self::Encoding { found } => write!(f, "encoding `{found}` is not known"),
            Self::Number { column, found } => write!(f, "{column} is {found:?}"),
            Self::Hash { column, found } => write!(f, "{column} `{found}` is not a hash"),
            Self::Time { column, found } => {
                write!(f, "{column} `{found}` is not a UTC time with nine decimals")
            }
            Self::Identified { found } => write!(f, "a person identified by `{found}`"),
            Self::Amendment { sequence, check } => {
                write!(f, "`{sequence}-{check}` is not the name of an entry")
            }
            Self::Incomplete { column } => write!(f, "{column} is not complete"),
        }
    }
}

/// What is damaged about a file.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Damage {
    /// The storage engine cannot read it.
    Engine {
        /// What it said.
        detail: String,
    },
    /// The end of the file is missing.
    CutShort {
        /// Its length in bytes.
        length: u64,
        /// The least length it must have: a whole number of pages, all that it says it has.
        needed: u64,
    },
    /// A row is no entry.
    Entry { sequence: i64, why: Unreadable },
    /// The words by which a search finds an entry are not its own.
    SearchDiffers { sequence: i64 },
    /// Entries come in the wrong order out of the file.
    OutOfOrder,
    /// Entries at the end are missing.
    TailMissing {
        /// The last entry there is.
        last: u64,
        /// The last that was recorded.
        issued: u64,
    },
    /// A row is no event of a job.
    Event {
        job: u64,
        number: i64,
        why: Unreadable,
    },
    /// An event is not what was hashed when it was kept, or does not follow the one before it.
    EventAltered { job: u64, number: u64 },
    /// An event is missing before another.
    EventMissing {
        job: u64,
        /// The first missing.
        number: u64,
    },
    /// Events of jobs are missing at the end of all.
    EventTailMissing {
        /// How many there are up to the last.
        last: u64,
        /// How many were kept.
        issued: u64,
    },
}

impl Damage {
    /// A stable name for machines.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Engine { .. } => "engine",
            Self::CutShort { .. } => "cut-short",
            Self::Entry { .. } => "entry-unreadable",
            Self::SearchDiffers { .. } => "search-differs",
            Self::OutOfOrder => "out-of-order",
            Self::TailMissing { .. } => "tail-missing",
            Self::Event { .. } => "event-unreadable",
            Self::EventAltered { .. } => "event-altered",
            Self::EventMissing { .. } => "event-missing",
            Self::EventTailMissing { .. } => "event-tail-missing",
        }
    }
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Engine { detail } => f.write_str(detail),
            Self::CutShort { length, needed } => {
                write!(f, "it has {length} bytes of at least {needed}")
            }
            Self::Entry { sequence, why } => write!(f, "entry {sequence}: {why}"),
            Self::SearchDiffers { sequence } => {
                write!(
                    f,
                    "entry {sequence} is indexed by words that are not its own"
                )
            }
            Self::OutOfOrder => f.write_str("its entries are out of order"),
            Self::TailMissing { last, issued } => {
                write!(
                    f,
                    "its last entry is {last}, but {issued} have been recorded"
                )
            }
            Self::Event { job, number, why } => write!(f, "event {number} of job {job}: {why}"),
            Self::EventAltered { job, number } => {
                write!(f, "event {number} of job {job} was altered")
            }
            Self::EventMissing { job, number } => {
                write!(f, "event {number} of job {job} is missing")
            }
            Self::EventTailMissing { last, issued } => {
                write!(f, "{last} events of {issued} that were kept")
            }
        }
    }
}
