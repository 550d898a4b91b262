//! The books of a shop on a PostgreSQL server.
//!
//! A committed append survives a power cut of the server; any number of programs may append at once, and readers wait
//! for nobody. Those who record in one process go in together ([`queue`]). Each reader has a connection of its own.

use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::Instant;

use jiff::Timestamp;

use super::copy::Sound;
use super::{EventExtent, EventRow, Extent, Row, Store, Take, address, sqlite};
use crate::{
    BenchEvent, Draft, Entry, EntryId, EntryRef, Error, Filter, Glance, Hash, KnownListing,
    Listing, Mark, NewBenchEvent, Occupied, OpenOptions, Page, Result, Server, StorageFault,
    Subject, Touched, Touching, facts::KeptFacts,
};

mod append;
mod bench;
mod check;
mod connection;
mod done;
mod facts;
mod insertion;
mod moving;
mod occupy;
mod password;
mod place;
mod query;
mod queue;
mod read;
mod row;
pub(crate) mod schema;
mod settings;
mod tls;

use append::{Answer, Asked, When};
use connection::{Connection, may_pass};
use insertion::Insertion;
pub(crate) use moving::begin as begin_move;
use place::Place;
use queue::{Queue, Request};
use settings::Settings;

/// How many connections are kept for the next reader.
const KEPT: usize = 4;

/// An open ledger on a server.
pub(crate) struct PostgresStore {
    place: Place,
    settings: Arc<Settings>,
    readers: Readers,
    /// Begun when first something is recorded.
    queue: OnceLock<Queue>,
}

/// Connections to read by.
enum Readers {
    /// Those that nobody uses now.
    Idle(Mutex<Vec<Connection>>),
    /// One in a transaction, in which everything is read.
    One(Box<Mutex<Connection>>),
}

impl PostgresStore {
    /// Connects to the ledger, and makes its tables first where that is asked for and there are none.
    pub fn open(url: &str, options: &OpenOptions) -> Result<Self> {
        let place = place(url, options);
        let settings = Settings::read(url, &place)?;
        let mut first = connect(&settings, &place)?;
        if options.begin_new {
            schema::migrate(&mut first, &[])?;
        }
        schema::admit(&mut first)?;
        Ok(Self {
            place,
            settings: Arc::new(settings),
            readers: Readers::Idle(Mutex::new(vec![first])),
            queue: OnceLock::new(),
        })
    }

    /// What is to be seen within the transaction of a connection.
    fn within(connection: Connection, place: Place, settings: Settings) -> Self {
        Self {
            place,
            settings: Arc::new(settings),
            readers: Readers::One(Box::new(Mutex::new(connection))),
            queue: OnceLock::new(),
        }
    }

    /// The ledger as it stands at one moment.
    fn snapshot(&self) -> Result<Self> {
        let mut place = self.place.clone();
        place.options.read_only = true;
        let mut connection = connect(&self.settings, &place)?;
        connection.run("BEGIN ISOLATION LEVEL REPEATABLE READ, READ ONLY")?;
        Ok(Self {
            place,
            settings: Arc::clone(&self.settings),
            readers: Readers::One(Box::new(Mutex::new(connection))),
            queue: OnceLock::new(),
        })
    }

    /// Asks something of a connection that only reads; of another, where that was lost meanwhile.
    fn read<T>(&self, mut ask: impl FnMut(&mut Connection) -> Result<T>) -> Result<T> {
        let idle = match &self.readers {
            Readers::Idle(idle) => idle,
            Readers::One(connection) => return ask(&mut held(connection)),
        };
        let until = Instant::now() + self.place.options.patience;
        loop {
            let kept = held(idle).pop();
            let mut connection = match kept {
                Some(connection) => connection,
                None => Connection::open_patiently(&self.settings, &self.place, until)?,
            };
            match ask(&mut connection) {
                // The others were lost with it.
                Err(error) if may_pass(&error) && Instant::now() < until => held(idle).clear(),
                answer => {
                    let mut idle = held(idle);
                    if idle.len() < KEPT {
                        idle.push(connection);
                    }
                    return answer;
                }
            }
        }
    }

    /// The queue of those who record.
    fn queue(&self) -> Result<&Queue> {
        if self.place.options.read_only {
            return Err(Error::ReadOnly(self.place.path.clone()));
        }
        let start = || Queue::start(Arc::clone(&self.settings), self.place.clone());
        Ok(self.queue.get_or_init(start))
    }

    fn record(&self, drafts: Vec<Draft>, when: When) -> Result<Answer> {
        for draft in &drafts {
            draft.check()?;
        }
        // By the thread that asks, before anybody else is kept waiting.
        let derive = self.place.options.derive;
        let facts = drafts
            .iter()
            .map(|draft| derive.map(|derive| derive(draft)));
        let asked = Asked {
            facts: facts.collect(),
            drafts,
            when,
        };
        self.queue()?
            .ask(&self.place, |sender| Request::Entries(asked, sender))
    }

    /// Changes facts while nobody records.
    fn change(&self, change: impl FnOnce(&mut Connection) -> Result<()>) -> Result<()> {
        if self.place.options.read_only {
            return Err(Error::ReadOnly(self.place.path.clone()));
        }
        // A connection of its own: what is not committed is gone with it.
        let mut connection = connect(&self.settings, &self.place)?;
        connection.run(&format!(
            "BEGIN ISOLATION LEVEL READ COMMITTED; {}",
            append::LOCK
        ))?;
        change(&mut connection)?;
        connection.run("COMMIT")
    }

    /// The entries of an answer that there is nothing to look at for.
    fn recorded(&self, answer: Answer) -> Result<Vec<Entry>> {
        match answer {
            Answer::Recorded(entries) => Ok(entries),
            Answer::LookAgain => Err(Error::AnswerLost(self.place.path.clone())),
        }
    }

    fn one(&self, answer: Answer) -> Result<Entry> {
        let entry = self.recorded(answer)?.into_iter().next();
        entry.ok_or_else(|| Error::AnswerLost(self.place.path.clone()))
    }
}

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Makes the tables of a ledger or brings them up to date, as their owner, and lets the roles record.
pub(crate) fn prepare(url: &str, roles: &[String]) -> Result<()> {
    let place = place(url, &OpenOptions::new());
    let settings = Settings::read(url, &place)?;
    schema::migrate(&mut connect(&settings, &place)?, roles)
}

fn place(url: &str, options: &OpenOptions) -> Place {
    Place {
        path: address::shown(url),
        options: options.clone(),
    }
}

fn connect(settings: &Settings, place: &Place) -> Result<Connection> {
    Connection::open(settings, place)
}

impl Store for PostgresStore {
    fn append(&self, draft: &Draft) -> Result<Entry> {
        let answer = self.record(vec![draft.clone()], When::Always)?;
        self.one(answer)
    }

    fn append_all(&self, drafts: &[Draft], head: Option<Mark>) -> Result<Vec<Entry>> {
        let answer = self.record(drafts.to_vec(), When::HeadIs(head))?;
        self.recorded(answer)
    }

    fn append_once(
        &self,
        draft: &Draft,
        among: &Subject,
        alike: &dyn Fn(&str) -> bool,
    ) -> Result<Entry> {
        draft.check()?;
        let mut seen = 0;
        loop {
            // All is looked through before anybody is kept waiting; where something came in meanwhile, that too.
            let last = self.extent()?.head.map_or(0, |head| head.sequence);
            let found =
                self.read(|connection| read::alike(connection, &draft.kind, among, seen, alike))?;
            if let Some(entry) = found {
                return Err(Error::AlreadyThere { entry });
            }
            seen = last;
            let among = among.clone();
            let when = When::NothingSince { among, seen };
            match self.record(vec![draft.clone()], when)? {
                Answer::LookAgain => {}
                recorded @ Answer::Recorded(_) => return self.one(recorded),
            }
        }
    }

    fn find_alike(
        &self,
        kind: &str,
        among: &Subject,
        alike: &dyn Fn(&str) -> bool,
    ) -> Result<Option<EntryId>> {
        self.read(|connection| read::alike(connection, kind, among, 0, alike))
    }

    fn in_place(&self) -> Result<()> {
        self.read(schema::admit)
    }

    fn get(&self, name: &EntryRef) -> Result<Entry> {
        self.read(|connection| read::get(connection, name))
    }

    fn list(&self, filter: &Filter, page: &Page) -> Result<Listing> {
        self.read(|connection| read::list(connection, filter, page))
    }

    fn known(&self, filter: &Filter, page: &Page) -> Result<KnownListing> {
        self.read(|connection| read::known(connection, filter, page))
    }

    fn touched(&self, asked: &Touching) -> Result<Vec<Touched>> {
        self.read(|connection| facts::touched(connection, asked))
    }

    fn each_touched(&self, asked: &Touching, take: &mut Take<'_>) -> Result<()> {
        let mut begun = false;
        let done = self.read(|connection| {
            // What was taken before a connection was lost is not taken again.
            if begun {
                return Ok(None);
            }
            let mut take = |one: Touched<&dyn Glance>| {
                begun = true;
                take(one)
            };
            facts::each_touched(connection, asked, &mut take).map(Some)
        })?;
        done.ok_or_else(|| self.place.server(Server::ConnectionLost))
    }

    fn facts_reach(&self) -> Result<Option<u64>> {
        self.read(facts::reach).map(Some)
    }

    fn add_facts(&self, after: u64, made: &[(u64, KeptFacts)]) -> Result<()> {
        self.change(|connection| {
            if facts::reach(connection)? == after {
                let mut insertion = Insertion::default();
                facts::put(&mut insertion, made);
                insertion.put(connection)?;
            }
            Ok(())
        })
    }

    fn clear_facts(&self) -> Result<()> {
        self.change(facts::clear)
    }

    fn count(&self, filter: &Filter) -> Result<u64> {
        self.read(|connection| read::count(connection, filter))
    }

    fn people(&self, kind: &str, count: u32) -> Result<Vec<String>> {
        self.read(|connection| read::people(connection, kind, count))
    }

    fn extent(&self) -> Result<Extent> {
        self.read(read::extent)
    }

    fn rows(&self, above: i64, limit: u32) -> Result<Vec<Row>> {
        self.read(|connection| read::rows(connection, above, limit))
    }

    fn check(&self) -> Result<Vec<StorageFault>> {
        self.read(check::check)
    }

    fn add_bench_events(
        &self,
        job: Option<u64>,
        after: u64,
        at: Timestamp,
        events: &[NewBenchEvent],
    ) -> Result<u64> {
        let asked = bench::Asked {
            job,
            after,
            at,
            events: events.to_vec(),
        };
        self.queue()?
            .ask(&self.place, |sender| Request::Events(asked, sender))
    }

    fn bench_events(&self, job: u64, after: u64) -> Result<Vec<BenchEvent>> {
        self.read(|connection| bench::events(connection, job, after))
    }

    fn latest_bench_job(&self) -> Result<Option<u64>> {
        self.read(bench::latest)
    }

    fn open_bench_jobs(&self, limit: u32) -> Result<Vec<u64>> {
        self.read(|connection| bench::open(connection, limit))
    }

    fn last_bench_events(&self, jobs: &[u64]) -> Result<Vec<BenchEvent>> {
        self.read(|connection| bench::last_of_each(connection, jobs))
    }

    fn occupy(&self, station: &str) -> Result<Occupied> {
        let connection = connect(&self.settings, &self.place)?;
        occupy::occupy(connection, station)
    }

    fn event_hash(&self, job: u64, number: u64) -> Result<Option<Hash>> {
        self.read(|connection| bench::hash(connection, job, number))
    }

    fn event_rows(&self, after: (i64, i64), limit: u32) -> Result<Vec<EventRow>> {
        self.read(|connection| bench::rows(connection, after, limit))
    }

    fn kept_events(&self, above: i64, limit: u32) -> Result<Vec<(i64, EventRow)>> {
        self.read(|connection| bench::kept(connection, above, limit))
    }

    fn event_extent(&self) -> Result<EventExtent> {
        self.read(bench::extent)
    }

    fn may_be_named(&self, path: &Path) -> Result<()> {
        sqlite::may_be_named(path)
    }

    fn copy_to(&self, path: &Path) -> Result<()> {
        let from = Sound {
            store: &self.snapshot()?,
            path: &self.place.path,
            derive: self.place.options.derive,
        };
        sqlite::fill(path, &from)
    }
}
