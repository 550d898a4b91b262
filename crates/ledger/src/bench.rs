//! Jobs under way at a bench: events that are added one by one and never changed.
//!
//! A reading must not be lost because a tab was closed or a plug pulled before the job was recorded. So
//! everything that happens in a job is kept here the moment it happens; the job is what its events add up to. When
//! the job is done an [`Entry`](crate::Entry) is made of it. Events are not part of the chain: they are notes, and
//! the entry is the record.
//!
//! Two windows may work on one job. Who adds says after which event: if another one came in between, nothing is
//! added, and they look again.

use jiff::Timestamp;

/// One thing that happened in a job. The ledger keeps its text to the byte and does not look into it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BenchEvent {
    /// Which job: 1 for the first in this ledger.
    pub job: u64,
    /// Its place in the job: 1 for the first, without gaps.
    pub number: u64,
    /// When it was kept, by the caller's clock.
    pub at: Timestamp,
    /// What happened: a JSON text.
    pub event: String,
    /// Whether it ends the job: nothing follows it.
    pub ends: bool,
}

/// An event to be added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewBenchEvent {
    /// What happened: a JSON text.
    pub event: String,
    /// Whether it ends the job.
    pub ends: bool,
}

/// The longest event taken, in bytes: 64 KiB.
pub const LONGEST_EVENT: usize = 64 << 10;
