//! What a place that keeps the books must be able to do, in the words of the ledger.

use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;

use crate::{
    BenchEvent, Draft, Entry, EntryId, EntryRef, Filter, Glance, Hash, KnownListing, Listing, Mark,
    NewBenchEvent, Occupied, Page, Result, StorageFault, Subject, Touched, Touching, Unreadable,
    facts::KeptFacts,
};

pub(crate) mod address;
pub(crate) mod copy;
mod in_row;
mod jobs;
#[cfg(feature = "shop")]
pub(crate) mod postgres;
mod row;
mod search;
pub(crate) mod server;
pub(crate) mod sqlite;

/// Takes a result; whether it takes more.
pub(crate) type Take<'a> = dyn FnMut(Touched<&dyn Glance>) -> bool + Send + 'a;

/// A place that keeps the books. No SQL, and no type of a database, passes this line.
pub(crate) trait Store: Send + Sync {
    /// Checks the draft, chains it to the newest entry and keeps it; returns once it is on the disk.
    fn append(&self, draft: &Draft) -> Result<Entry>;

    /// The same of several, all or none, where `head` is still the newest entry
    /// ([`Error::WentOn`](crate::Error::WentOn)).
    fn append_all(&self, drafts: &[Draft], head: Option<Mark>) -> Result<Vec<Entry>>;

    /// The same of one, where no entry touches `among` whose inputs are the same by `alike`; otherwise nothing is kept
    /// ([`Error::AlreadyThere`](crate::Error::AlreadyThere)).
    fn append_once(
        &self,
        draft: &Draft,
        among: &Subject,
        alike: &dyn Fn(&str) -> bool,
    ) -> Result<Entry>;

    /// The first entry of a kind that touches `among` and whose inputs are the same by `alike`.
    fn find_alike(
        &self,
        kind: &str,
        among: &Subject,
        alike: &dyn Fn(&str) -> bool,
    ) -> Result<Option<EntryId>>;

    /// Whether the open file is the one at its path, and whole.
    fn in_place(&self) -> Result<()>;

    /// The one entry of that name.
    fn get(&self, name: &EntryRef) -> Result<Entry>;

    /// A page of the entries that meet the filter.
    fn list(&self, filter: &Filter, page: &Page) -> Result<Listing>;

    /// The same without documents.
    fn known(&self, filter: &Filter, page: &Page) -> Result<KnownListing>;

    /// The results that a piece of equipment touched, as far as facts are made.
    fn touched(&self, asked: &Touching) -> Result<Vec<Touched>>;

    /// Each of them, in the order of time of measurement, until nobody takes more.
    fn each_touched(&self, asked: &Touching, take: &mut Take<'_>) -> Result<()>;

    /// Up to which entry facts are made; none where the store has no place for them.
    fn facts_reach(&self) -> Result<Option<u64>>;

    /// Keeps the facts of the entries that follow one, where no others were made meanwhile; otherwise none of them.
    fn add_facts(&self, after: u64, facts: &[(u64, KeptFacts)]) -> Result<()>;

    /// Drops all facts.
    fn clear_facts(&self) -> Result<()>;

    /// How many entries meet the filter.
    fn count(&self, filter: &Filter) -> Result<u64>;

    /// Who recorded the latest `count` entries of a kind, by name.
    fn people(&self, kind: &str, count: u32) -> Result<Vec<String>>;

    /// The newest entry, and the highest sequence number ever given out.
    fn extent(&self) -> Result<Extent>;

    /// Up to `limit` rows above a sequence number, in order, for verification: no row is left out because
    /// it makes no sense. Fewer where they are large; none only at the end.
    fn rows(&self, above: i64, limit: u32) -> Result<Vec<Row>>;

    /// What the storage engine finds wrong with its own files and the schema.
    fn check(&self) -> Result<Vec<StorageFault>>;

    /// Adds events to a job after a given one, all or none, and returns the job; without a job begins the next.
    fn add_bench_events(
        &self,
        job: Option<u64>,
        after: u64,
        at: Timestamp,
        events: &[NewBenchEvent],
    ) -> Result<u64>;

    /// The events of a job, in order, each followed from the one before; none if there is no such job.
    fn bench_events(&self, job: u64, after: u64) -> Result<Vec<BenchEvent>>;

    /// The latest job.
    fn latest_bench_job(&self) -> Result<Option<u64>>;

    /// The jobs that have no end yet, the latest first.
    fn open_bench_jobs(&self, limit: u32) -> Result<Vec<u64>>;

    /// The last event of each of these jobs, in the order of the jobs; nothing of one that is not there.
    fn last_bench_events(&self, jobs: &[u64]) -> Result<Vec<BenchEvent>>;

    /// Keeps a station until the guard is dropped or the program is gone; otherwise it is kept by another
    /// ([`Error::StationTaken`](crate::Error::StationTaken)).
    fn occupy(&self, station: &str) -> Result<Occupied>;

    /// The stored hash of an event; none if there is no such event, or no hash that can be read.
    fn event_hash(&self, job: u64, number: u64) -> Result<Option<Hash>>;

    /// Up to `limit` events after one (job and number), in order, for verification. Fewer where they are large; none only
    /// at the end.
    fn event_rows(&self, after: (i64, i64), limit: u32) -> Result<Vec<EventRow>>;

    /// Up to `limit` events above a number among all, each with its own, in the order in which they were kept.
    fn kept_events(&self, above: i64, limit: u32) -> Result<Vec<(i64, EventRow)>>;

    /// How many events there are.
    fn event_extent(&self) -> Result<EventExtent>;

    /// Whether a copy may get this name: not where something lies beside it that would be taken for a part of the copy.
    fn may_be_named(&self, path: &Path) -> Result<()>;

    /// Copies the books as they stand at one moment to a new SQLite file, on the disk when this returns.
    fn copy_to(&self, path: &Path) -> Result<()>;
}

/// Books that were taken in and can be read and verified, but are not committed yet.
pub(crate) trait Moving {
    /// Where to read them.
    fn store(&self) -> Arc<dyn Store>;

    /// Keeps them. They are gone where this is not done.
    fn commit(&self) -> Result<()>;
}

/// How far the books go.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Extent {
    /// The newest entry.
    pub head: Option<Mark>,
    /// The highest sequence number ever given out: above the head's only if the tail is missing.
    pub issued: u64,
}

/// How many events there are of all jobs.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct EventExtent {
    /// How many there are.
    pub found: u64,
    /// How many have been kept: more only if some are missing.
    pub issued: u64,
}

/// What is stored at one place of the chain, sound or not.
pub(crate) struct Row {
    pub sequence: i64,
    /// The stored hash, where it can be read as one.
    pub hash: Option<Hash>,
    /// The entry, or why it cannot be read as one.
    pub entry: std::result::Result<Entry, Unreadable>,
    /// Whether the words by which a search finds it are its own. Looked at for verification only.
    pub search_agrees: bool,
    /// The facts that stand beside it. Looked at for verification only.
    pub facts: Option<KeptFacts>,
}

/// What is stored at one place in the events of a job, sound or not.
pub(crate) struct EventRow {
    pub job: i64,
    pub number: i64,
    /// The stored hash, where it can be read as one.
    pub hash: Option<Hash>,
    /// The event, or why it cannot be read as one.
    pub event: std::result::Result<BenchEvent, Unreadable>,
}
