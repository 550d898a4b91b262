//! Jobs under way at a bench: events that are added one by one and never changed.
//!
//! A reading must not be lost because a tab was closed or a plug pulled before the job was recorded. So
//! everything that happens in a job is kept here the moment it happens; the job is what its events add up to. When
//! the job is done an [`Entry`](crate::Entry) is made of it.
//!
//! The events of a job are a chain of their own: each carries a hash over what it says and over the hash of the
//! event before it ([`encoding`](crate::encoding)). The entry names the job, the number of events it was made from
//! and the hash of the last of them ([`JobEvents`]), and so vouches for every reading as it came in.
//!
//! Two windows may work on one job. Who adds says after which event: if another one came in between, nothing is
//! added, and they look again.

use jiff::Timestamp;

use crate::{Actor, DraftError, Field, Hash, text};

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
    /// Who did it.
    pub actor: Actor,
    /// At which bench or computer.
    pub station: String,
    /// The hash of all the fields above and of the event before.
    pub hash: Hash,
}

/// An event to be added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewBenchEvent {
    /// What happened: a JSON text.
    pub event: String,
    /// Whether it ends the job.
    pub ends: bool,
    /// Who did it; the name may be empty where nobody has said yet who they are.
    pub actor: Actor,
    /// At which bench or computer.
    pub station: String,
}

/// The events of a job that an entry was made from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct JobEvents {
    pub job: u64,
    /// How many of its events, from the first on; at least one.
    pub count: u64,
    /// The hash of the last of them.
    pub hash: Hash,
}

impl From<&BenchEvent> for JobEvents {
    /// The events of a job up to this one.
    fn from(last: &BenchEvent) -> Self {
        Self {
            job: last.job,
            count: last.number,
            hash: last.hash,
        }
    }
}

/// The longest event taken, in bytes: 64 KiB.
pub const LONGEST_EVENT: usize = 64 << 10;

impl NewBenchEvent {
    /// Whether it can be kept.
    pub fn check(&self) -> Result<(), DraftError> {
        text::document(Field::Event, &self.event, LONGEST_EVENT)?;
        text::name_or_nothing(Field::ActorId, &self.actor.id)?;
        text::name_or_nothing(Field::ActorName, &self.actor.name)?;
        text::name(Field::Station, &self.station)
    }
}
