//! The ledger as the rest of the program sees it.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::Timestamp;

use crate::store::{Store, address, server, sqlite::SqliteStore};
use crate::{
    AddressFault, Amendment, BenchEvent, Derive, Draft, Entry, EntryId, EntryRef, Error, Field,
    Filter, Glance, KnownListing, Listing, Mark, NewBenchEvent, Occupied, OpenOptions, Order, Page,
    Result, Subject, Touched, Touching, Witness, text,
};

impl OpenOptions {
    /// Opens the SQLite file at a path, or the ledger on a server at an address
    /// (`postgres://USER@HOST:PORT,HOST:PORT/DATABASE?KEY=VALUE`), where the program has the feature `shop`.
    pub fn open(&self, path: impl AsRef<Path>) -> Result<Ledger> {
        let path = path.as_ref();
        if let Some(url) = address::url(path) {
            return Ok(Ledger {
                path: address::shown(url),
                derive: self.derive,
                store: server::open(url, self)?,
            });
        }
        Ok(Ledger {
            path: path.to_owned(),
            derive: self.derive,
            store: Arc::new(SqliteStore::open(path, self)?),
        })
    }
}

/// Open books.
///
/// May be shared between threads: who records takes turns, readers do not wait for anyone. Any number of programs may
/// have the same ledger open and append to it.
pub struct Ledger {
    pub(crate) path: PathBuf,
    pub(crate) derive: Option<Derive>,
    pub(crate) store: Arc<dyn Store>,
}

impl std::fmt::Debug for Ledger {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Ledger")
            .field("path", &self.path)
            .finish_non_exhaustive()
    }
}

impl Ledger {
    /// Opens a ledger to record and read; makes it, and the folders above it, where there is none.
    pub fn open(path: impl AsRef<Path>) -> Result<Self> {
        OpenOptions::new().create(true).open(path)
    }

    /// Opens a ledger that must exist, to record and read.
    pub fn open_existing(path: impl AsRef<Path>) -> Result<Self> {
        OpenOptions::new().open(path)
    }

    /// Opens a ledger that must exist, to read only; works in a folder that cannot be written.
    pub fn open_read_only(path: impl AsRef<Path>) -> Result<Self> {
        OpenOptions::new().read_only(true).open(path)
    }

    /// Makes the tables of a ledger on a server, or brings them up to date, and lets `roles` record in them: add and read,
    /// and never change, delete or empty. To be run by the owner of the database.
    pub fn prepare_server(address: impl AsRef<Path>, roles: &[String]) -> Result<()> {
        let path = address.as_ref();
        match address::url(path) {
            Some(url) => server::prepare(url, roles),
            None => Err(Error::Address {
                path: path.to_owned(),
                why: AddressFault::Form,
            }),
        }
    }

    /// Whether a path is the address of a ledger on a server.
    pub fn is_address(path: &Path) -> bool {
        address::url(path).is_some()
    }

    /// A path as it may be shown: of an address without the password.
    pub fn shown(path: &Path) -> PathBuf {
        address::url(path).map_or_else(|| path.to_owned(), address::shown)
    }

    /// Where it is; of an address without the password.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Records a draft. When this returns an entry, the entry is on the disk; when it returns an error,
    /// nothing was recorded. (After [`Error::Disk`] look at the latest entry first: a disk that fails in the
    /// very act of keeping it may have kept it.)
    pub fn append(&self, draft: &Draft) -> Result<Entry> {
        self.store.append(draft)
    }

    /// Records drafts, all or none, where nothing was recorded since `head` was the newest entry; otherwise the error is
    /// [`Error::WentOn`].
    pub fn append_all(&self, drafts: &[Draft], head: Option<Mark>) -> Result<Vec<Entry>> {
        self.store.append_all(drafts, head)
    }

    /// Records a draft unless the same is there: an entry of its kind that touches `among`, and whose inputs are the same
    /// by `alike`. Of two programs that try so at once only one records. Otherwise the error is
    /// [`Error::AlreadyThere`].
    pub fn append_once(
        &self,
        draft: &Draft,
        among: &Subject,
        alike: impl Fn(&str) -> bool,
    ) -> Result<Entry> {
        self.store.append_once(draft, among, &alike)
    }

    /// The first entry of a kind that touches `among` and whose inputs are the same by `alike`.
    pub fn find_alike(
        &self,
        kind: &str,
        among: &Subject,
        alike: impl Fn(&str) -> bool,
    ) -> Result<Option<EntryId>> {
        self.store.find_alike(kind, among, &alike)
    }

    /// Records a draft in the place of an earlier entry, which stays as it is; the person and time of the
    /// draft say who and when, `reason` says why.
    ///
    /// An entry is amended once. To put it right again, amend its latest amendment: so there is always one
    /// answer to what stands. Otherwise [`Error::AlreadyAmended`] names the one to amend.
    pub fn amend(&self, name: &EntryRef, reason: &str, draft: Draft) -> Result<Entry> {
        let entry = self.store.get(name)?.id();
        self.store.append(&Draft {
            amends: Some(Amendment {
                entry,
                reason: reason.to_owned(),
            }),
            ..draft
        })
    }

    /// Whether the ledger that is open to record in is still the file at its path, and whole.
    pub fn in_place(&self) -> Result<()> {
        self.store.in_place()
    }

    /// The entry of that name.
    pub fn get(&self, name: &EntryRef) -> Result<Entry> {
        self.store.get(name)
    }

    /// An entry with all it amends and all that amend it, oldest first. The last one stands.
    pub fn history(&self, name: &EntryRef) -> Result<Vec<Entry>> {
        let mut line = vec![self.store.get(name)?];
        // Amendments point back in time only, so both walks end, also in a ledger someone tampered with.
        while let Some(earlier) = line.last().and_then(Entry::amends) {
            line.push(self.store.get(&earlier.into())?);
        }
        line.reverse();
        while let Some(later) = line.last().and_then(Entry::is_amended_by) {
            line.push(self.store.get(&later.into())?);
        }
        Ok(line)
    }

    /// The entries that amend an entry, directly or by amending its amendment, oldest first.
    pub fn amendments_of(&self, name: &EntryRef) -> Result<Vec<Entry>> {
        let sequence = self.store.get(name)?.sequence;
        let mut line = self.history(&sequence.into())?;
        line.retain(|entry| entry.sequence > sequence);
        Ok(line)
    }

    /// A page of the entries that meet a filter.
    pub fn list(&self, filter: &Filter, page: &Page) -> Result<Listing> {
        self.store.list(filter, page)
    }

    /// The same without documents, with the facts of each entry: a page of a million entries is read at once.
    pub fn known(&self, filter: &Filter, page: &Page) -> Result<KnownListing> {
        self.store.known(filter, page)
    }

    /// The results that a piece of equipment touched, in the order of time of measurement; as far as facts are made
    /// ([`facts_are_made`](Self::facts_are_made)).
    pub fn touched(&self, asked: &Touching) -> Result<Vec<Touched>> {
        self.store.touched(asked)
    }

    /// Hands over each of the results that a piece of equipment touched, in the order of time of measurement, until `take` says
    /// false: its facts lie in the row of the question. The order, the size and where a page begins are not looked at.
    pub fn each_touched(
        &self,
        asked: &Touching,
        mut take: impl FnMut(Touched<&dyn Glance>) -> bool + Send,
    ) -> Result<()> {
        self.store.each_touched(asked, &mut take)
    }

    /// The latest entries, newest first.
    pub fn latest(&self, count: u32) -> Result<Vec<Entry>> {
        let page = Page::first(Order::NewestFirst, count);
        Ok(self.store.list(&Filter::default(), &page)?.entries)
    }

    /// How many entries meet a filter.
    pub fn count(&self, filter: &Filter) -> Result<u64> {
        self.store.count(filter)
    }

    /// Who recorded the latest `count` entries of a kind, by name. Reads no more than these: a ledger of a million entries
    /// answers as quickly as a new one.
    pub fn people(&self, kind: &str, count: u32) -> Result<Vec<String>> {
        self.store.people(kind, count)
    }

    /// The newest entry's place in the chain; none in an empty ledger.
    pub fn head(&self) -> Result<Option<Mark>> {
        Ok(self.store.extent()?.head)
    }

    /// The state of the ledger, to be kept outside it; none in an empty ledger.
    pub fn witness(&self) -> Result<Option<Witness>> {
        let Some(head) = self.head()? else {
            return Ok(None);
        };
        let last = self.get(&head.into())?;
        Ok(Some(Witness {
            count: last.sequence,
            hash: last.hash,
            at: last.content.recorded_at,
        }))
    }

    /// Begins a job at the bench with its first events, and returns its number. On the disk when this returns.
    pub fn begin_job(&self, at: Timestamp, events: &[NewBenchEvent]) -> Result<u64> {
        check_events(events)?;
        self.store.add_bench_events(None, 0, at, events)
    }

    /// Adds events to a job, all or none. `after` is the number of the event they are to follow: when another came
    /// in between, or the job has ended, nothing is added and the error is [`Error::JobWentOn`]. On the disk when
    /// this returns.
    pub fn add_to_job(
        &self,
        job: u64,
        after: u64,
        at: Timestamp,
        events: &[NewBenchEvent],
    ) -> Result<()> {
        check_events(events)?;
        self.store
            .add_bench_events(Some(job), after, at, events)
            .map(|_| ())
    }

    /// Everything that happened in a job, in order; nothing if there is no such job.
    pub fn job_events(&self, job: u64) -> Result<Vec<BenchEvent>> {
        self.store.bench_events(job, 0)
    }

    /// What happened in a job after one of its events, in order.
    pub fn job_events_after(&self, job: u64, after: u64) -> Result<Vec<BenchEvent>> {
        self.store.bench_events(job, after)
    }

    /// The latest job.
    pub fn latest_job(&self) -> Result<Option<u64>> {
        self.store.latest_bench_job()
    }

    /// The last event of each of these jobs, in the order of the jobs; nothing of one that is not there.
    pub fn last_events(&self, jobs: &[u64]) -> Result<Vec<BenchEvent>> {
        self.store.last_bench_events(jobs)
    }

    /// Keeps a station for one bench, until the guard is dropped or the program is gone, however it ends. While another
    /// keeps it, in this program or in any other, the error is [`Error::StationTaken`](crate::Error::StationTaken).
    ///
    /// The stations of an SQLite file are all on the computer that has the file.
    pub fn occupy(&self, station: &str) -> Result<Occupied> {
        text::name(Field::Station, station)?;
        self.store.occupy(station)
    }

    /// Jobs that have not ended, the latest first.
    pub fn open_jobs(&self, limit: u32) -> Result<Vec<u64>> {
        self.store.open_bench_jobs(limit)
    }
}

fn check_events(events: &[NewBenchEvent]) -> Result<()> {
    Ok(events.iter().try_for_each(NewBenchEvent::check)?)
}
