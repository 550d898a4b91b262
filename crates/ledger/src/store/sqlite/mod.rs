//! The books in one SQLite file.
//!
//! Write-ahead log with `synchronous=FULL`: a committed append survives a power cut, readers never wait for
//! a writer, and many programs may append at once. The log is copied into the file after each entry and each event, so
//! that the file alone holds the books, and nothing waits in a log that would be taken for a part of another file put in
//! its place. One connection writes; readers have their own. Rows are read here and nowhere else.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::Timestamp;
use rusqlite::{Connection, ErrorCode, Transaction, TransactionBehavior, ffi};

use super::{EventExtent, EventRow, Extent, Row, Store, Take};
use crate::disk::FileId;
use crate::{
    BenchEvent, Damage, Draft, Entry, EntryId, EntryRef, Error, Facts, Filter, Hash, KnownListing,
    Listing, Mark, NewBenchEvent, NotALedger, Obstacle, Occupied, OpenOptions, Page, Result,
    StorageFault, Subject, Touched, Touching, facts::KeptFacts,
};

mod append;
mod bench;
mod check;
mod facts;
#[cfg(feature = "shop")]
mod fill;
mod guard;
mod occupy;
mod open;
mod query;
mod read;
mod readers;
mod row;
pub(crate) mod schema;
#[cfg(test)]
mod tests;

#[cfg(feature = "shop")]
pub(crate) use fill::fill;
use readers::Readers;

/// An open file.
pub(crate) struct SqliteStore {
    path: PathBuf,
    options: OpenOptions,
    /// Which file it is, whatever is at the path by now.
    file: FileId,
    /// Whether it has the tables of facts: an old one that is only read has not.
    with_facts: bool,
    /// Whether those are indexed by months.
    with_months: bool,
    /// None where it is only read.
    writer: Option<Mutex<Connection>>,
    readers: Readers,
}

impl SqliteStore {
    /// Opens the file, and makes it a ledger first where that is asked for and it is new.
    pub fn open(path: &Path, options: &OpenOptions) -> Result<Self> {
        let first = open::connect(path, options)?;
        let found = fs::metadata(path).map_err(|_| Error::Replaced(path.to_owned()))?;
        let file = FileId::of(&found);
        let version = schema::version(&first).map_err(|error| told(path, options, &error))?;
        let store = |writer, readers| Self {
            path: path.to_owned(),
            options: options.clone(),
            file,
            with_facts: version >= schema::WITH_FACTS,
            with_months: version >= schema::WITH_MONTHS,
            writer,
            readers,
        };
        guard::whole(path, &first)?;
        Ok(if options.read_only {
            store(None, Readers::with(first))
        } else {
            store(Some(Mutex::new(first)), Readers::default())
        })
    }

    /// The connection that writes. A thread that failed while holding it left no transaction open: dropping one rolls
    /// it back.
    fn writer(&self) -> Result<MutexGuard<'_, Connection>> {
        let Some(writer) = &self.writer else {
            return Err(Error::ReadOnly(self.path.clone()));
        };
        Ok(writer.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Adds something to the file at the path, all of it or nothing; it is on the disk when this returns.
    fn write<T>(&self, add: impl FnOnce(&Transaction<'_>) -> Result<T>) -> Result<T> {
        let told = |error: rusqlite::Error| self.told(&error);
        let mut writer = self.writer()?;
        let needed = guard::whole(&self.path, &writer)?;
        // IMMEDIATE takes the right to write at once: nobody else adds between a look and an insert.
        let transaction = writer
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(told)?;
        let added = add(&transaction)?;
        guard::in_place(self, needed)?;
        transaction.commit().map_err(told)?;
        guard::in_place(self, needed)?;
        open::copy_log(&writer);
        Ok(added)
    }

    /// Asks something of a connection that only reads.
    fn read<T>(&self, ask: impl FnOnce(&Connection) -> Result<T>) -> Result<T> {
        let connection = self.readers.take(self)?;
        let answer = ask(&connection);
        self.readers.give_back(connection);
        answer
    }

    /// The same, where all that can go wrong is the engine's.
    fn ask<T>(&self, ask: impl FnOnce(&Connection) -> rusqlite::Result<T>) -> Result<T> {
        self.read(|connection| ask(connection).map_err(|error| self.told(&error)))
    }

    /// Tells what an SQLite error means for this file.
    fn told(&self, error: &rusqlite::Error) -> Error {
        told(&self.path, &self.options, error)
    }

    /// The facts of a draft, where it is known how they are made.
    fn derive(&self, draft: &Draft) -> Option<Facts> {
        self.options.derive.map(|derive| derive(draft))
    }

    fn damaged(&self, what: Damage) -> Error {
        Error::Damaged {
            path: self.path.clone(),
            what,
        }
    }
}

impl Store for SqliteStore {
    fn append(&self, draft: &Draft) -> Result<Entry> {
        draft.check()?;
        // Before anybody is kept waiting.
        let facts = self.derive(draft);
        self.write(|transaction| append::append(self, transaction, draft, facts, &mut None))
    }

    fn append_all(&self, drafts: &[Draft], head: Option<Mark>) -> Result<Vec<Entry>> {
        for draft in drafts {
            draft.check()?;
        }
        let facts: Vec<_> = drafts.iter().map(|draft| self.derive(draft)).collect();
        self.write(|transaction| {
            let found = read::extent(self, transaction)?.head;
            if found != head {
                let last = found.map_or(0, |found| found.sequence);
                return Err(Error::WentOn { last });
            }
            let mut looked_at = None;
            let append =
                |(draft, facts)| append::append(self, transaction, draft, facts, &mut looked_at);
            drafts.iter().zip(facts).map(append).collect()
        })
    }

    fn append_once(
        &self,
        draft: &Draft,
        among: &Subject,
        alike: &dyn Fn(&str) -> bool,
    ) -> Result<Entry> {
        draft.check()?;
        let found = |connection: &Connection, above| match read::alike(
            self,
            connection,
            &draft.kind,
            among,
            above,
            alike,
        )? {
            Some(entry) => Err(Error::AlreadyThere { entry }),
            None => Ok(()),
        };
        // Most is looked through before anybody is kept waiting; then what came in the meantime.
        let seen = self.read(|connection| {
            let last = read::extent(self, connection)?.head;
            found(connection, 0)?;
            Ok(last.map_or(0, |last| last.sequence))
        })?;
        let facts = self.derive(draft);
        self.write(|transaction| {
            found(transaction, seen)?;
            append::append(self, transaction, draft, facts, &mut None)
        })
    }

    fn find_alike(
        &self,
        kind: &str,
        among: &Subject,
        alike: &dyn Fn(&str) -> bool,
    ) -> Result<Option<EntryId>> {
        self.read(|connection| read::alike(self, connection, kind, among, 0, alike))
    }

    fn in_place(&self) -> Result<()> {
        let needed = guard::whole(&self.path, &*self.writer()?)?;
        guard::in_place(self, needed)
    }

    fn get(&self, name: &EntryRef) -> Result<Entry> {
        self.read(|connection| read::get(self, connection, name))
    }

    fn list(&self, filter: &Filter, page: &Page) -> Result<Listing> {
        let _turn = self.readers.turn_to_search(filter);
        self.read(|connection| read::list(self, connection, filter, page))
    }

    fn known(&self, filter: &Filter, page: &Page) -> Result<KnownListing> {
        let _turn = self.readers.turn_to_search(filter);
        self.read(|connection| read::known(self, connection, filter, page))
    }

    fn touched(&self, asked: &Touching) -> Result<Vec<Touched>> {
        if !self.with_facts {
            return Ok(Vec::new());
        }
        self.ask(|connection| facts::touched(connection, asked))
    }

    fn each_touched(&self, asked: &Touching, take: &mut Take<'_>) -> Result<()> {
        if !self.with_facts {
            return Ok(());
        }
        self.ask(|connection| facts::each_touched(connection, asked, take))
    }

    fn facts_reach(&self) -> Result<Option<u64>> {
        if !self.with_facts {
            return Ok(None);
        }
        self.ask(facts::reach).map(Some)
    }

    fn add_facts(&self, after: u64, facts: &[(u64, KeptFacts)]) -> Result<()> {
        self.write(|transaction| {
            let told = |error: rusqlite::Error| self.told(&error);
            if facts::reach(transaction).map_err(told)? != after {
                return Ok(());
            }
            for (sequence, kept) in facts {
                facts::insert(transaction, *sequence, kept).map_err(told)?;
            }
            Ok(())
        })
    }

    fn clear_facts(&self) -> Result<()> {
        self.write(|transaction| facts::clear(transaction).map_err(|error| self.told(&error)))
    }

    fn count(&self, filter: &Filter) -> Result<u64> {
        let _turn = self.readers.turn_to_search(filter);
        self.read(|connection| read::count(self, connection, filter))
    }

    fn people(&self, kind: &str, count: u32) -> Result<Vec<String>> {
        self.ask(|connection| read::people(connection, kind, count))
    }

    fn extent(&self) -> Result<Extent> {
        self.read(|connection| read::extent(self, connection))
    }

    fn rows(&self, above: i64, limit: u32) -> Result<Vec<Row>> {
        self.ask(|connection| read::rows(connection, above, limit, self.with_facts))
    }

    fn check(&self) -> Result<Vec<StorageFault>> {
        self.ask(check::check)
    }

    fn add_bench_events(
        &self,
        job: Option<u64>,
        after: u64,
        at: Timestamp,
        events: &[NewBenchEvent],
    ) -> Result<u64> {
        self.write(|transaction| bench::add(self, transaction, job, after, at, events))
    }

    fn bench_events(&self, job: u64, after: u64) -> Result<Vec<BenchEvent>> {
        self.read(|connection| bench::events(self, connection, job, after))
    }

    fn latest_bench_job(&self) -> Result<Option<u64>> {
        self.ask(bench::latest)
    }

    fn open_bench_jobs(&self, limit: u32) -> Result<Vec<u64>> {
        self.ask(|connection| bench::open(connection, limit))
    }

    fn last_bench_events(&self, jobs: &[u64]) -> Result<Vec<BenchEvent>> {
        self.read(|connection| {
            let last = |job: &u64| bench::last_of(self, connection, *job).transpose();
            jobs.iter().filter_map(last).collect()
        })
    }

    fn occupy(&self, station: &str) -> Result<Occupied> {
        occupy::occupy(&self.path, station)
    }

    fn event_hash(&self, job: u64, number: u64) -> Result<Option<Hash>> {
        self.ask(|connection| bench::hash(connection, job, number))
    }

    fn event_rows(&self, after: (i64, i64), limit: u32) -> Result<Vec<EventRow>> {
        self.ask(|connection| bench::rows(connection, after, limit))
    }

    fn kept_events(&self, above: i64, limit: u32) -> Result<Vec<(i64, EventRow)>> {
        self.ask(|connection| bench::kept(connection, above, limit))
    }

    fn event_extent(&self) -> Result<EventExtent> {
        self.ask(bench::extent)
    }

    fn may_be_named(&self, path: &Path) -> Result<()> {
        may_be_named(path)
    }

    fn copy_to(&self, path: &Path) -> Result<()> {
        self.read(|source| {
            open::copy(source, path).map_err(|error| match error.sqlite_error_code() {
                Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => self.told(&error),
                _ => told(path, &self.options, &error),
            })
        })
    }
}

impl Drop for SqliteStore {
    /// Leaves all in the one file, also where another program has it open still.
    fn drop(&mut self) {
        self.readers.close();
        if let Ok(writer) = self.writer() {
            open::empty_log(&writer, &self.options);
        }
    }
}

/// Whether a copy may get this name: not where a log lies beside it that belongs to another file.
pub(crate) fn may_be_named(path: &Path) -> Result<()> {
    open::no_stray_log(path)
}

/// Tells what an SQLite error means for the one who asked.
fn told(path: &Path, options: &OpenOptions, error: &rusqlite::Error) -> Error {
    let path = path.to_owned();
    let detail = error.to_string();
    let extended = error.sqlite_extended_error_code();
    match error.sqlite_error_code() {
        Some(ErrorCode::NotADatabase) => Error::NotALedger {
            path,
            why: NotALedger::NotSqlite,
        },
        Some(ErrorCode::DatabaseCorrupt) => Error::Damaged {
            path,
            what: Damage::Engine { detail },
        },
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Error::Locked {
            path,
            waited: options.patience,
        },
        Some(ErrorCode::DiskFull) => Error::DiskFull(path),
        Some(ErrorCode::ReadOnly) if extended == Some(ffi::SQLITE_READONLY_DBMOVED) => {
            Error::Replaced(path)
        }
        Some(ErrorCode::CannotOpen | ErrorCode::PermissionDenied) if options.read_only => {
            Error::Unreadable {
                path,
                why: Obstacle::Engine { detail },
            }
        }
        Some(ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => {
            Error::Unwritable {
                path,
                why: Obstacle::Engine { detail },
            }
        }
        // The file shared between readers and writers could not grow: its disk is full.
        Some(ErrorCode::SystemIoFailure) if extended == Some(ffi::SQLITE_IOERR_SHMSIZE) => {
            Error::DiskFull(path)
        }
        Some(ErrorCode::SystemIoFailure) => Error::Disk { path, detail },
        _ => Error::Storage { path, detail },
    }
}
