//! The books in one SQLite file.
//!
//! Write-ahead log with `synchronous=FULL`: a committed append survives a power cut, readers never wait for
//! a writer, and many programs may append at once. Rows are read here and nowhere else.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use rusqlite::{Connection, ErrorCode};

use jiff::Timestamp;

use super::{Extent, Row, Store};
use crate::{
    BenchEvent, Draft, Entry, EntryRef, Error, Filter, Listing, NewBenchEvent, OpenOptions, Page,
    Result,
};

mod append;
mod bench;
mod check;
mod open;
mod query;
mod read;
mod schema;
#[cfg(test)]
mod tests;

/// An open file.
pub(crate) struct SqliteStore {
    path: PathBuf,
    options: OpenOptions,
    connection: Mutex<Connection>,
}

impl SqliteStore {
    /// Opens the file, and makes it a ledger first where that is asked for and it is new.
    pub fn open(path: &Path, options: &OpenOptions) -> Result<Self> {
        Ok(Self {
            path: path.to_owned(),
            options: options.clone(),
            connection: Mutex::new(open::connect(path, options)?),
        })
    }

    /// The connection. A thread that failed while holding it left no transaction open: dropping one rolls
    /// it back.
    fn connection(&self) -> MutexGuard<'_, Connection> {
        self.connection
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
    }

    /// Tells what an SQLite error means for this file.
    fn told(&self, error: &rusqlite::Error) -> Error {
        told(&self.path, &self.options, error)
    }
}

impl Store for SqliteStore {
    fn append(&self, draft: &Draft) -> Result<Entry> {
        draft.check()?;
        if self.options.read_only {
            return Err(Error::ReadOnly(self.path.clone()));
        }
        append::append(self, &mut self.connection(), draft)
    }

    fn get(&self, name: &EntryRef) -> Result<Entry> {
        read::get(self, &self.connection(), name)
    }

    fn list(&self, filter: &Filter, page: &Page) -> Result<Listing> {
        read::list(self, &self.connection(), filter, page)
    }

    fn count(&self, filter: &Filter) -> Result<u64> {
        read::count(&self.connection(), filter).map_err(|error| self.told(&error))
    }

    fn people(&self, kind: &str, count: u32) -> Result<Vec<String>> {
        read::people(&self.connection(), kind, count).map_err(|error| self.told(&error))
    }

    fn extent(&self) -> Result<Extent> {
        read::extent(self, &self.connection())
    }

    fn rows(&self, above: i64, limit: u32) -> Result<Vec<Row>> {
        read::rows(&self.connection(), above, limit).map_err(|error| self.told(&error))
    }

    fn check(&self) -> Result<Vec<String>> {
        check::check(&self.connection()).map_err(|error| self.told(&error))
    }

    fn add_bench_events(
        &self,
        job: Option<u64>,
        after: u64,
        at: Timestamp,
        events: &[NewBenchEvent],
    ) -> Result<u64> {
        if self.options.read_only {
            return Err(Error::ReadOnly(self.path.clone()));
        }
        bench::add(self, &mut self.connection(), job, after, at, events)
    }

    fn bench_events(&self, job: u64, after: u64) -> Result<Vec<BenchEvent>> {
        bench::events(self, &self.connection(), job, after)
    }

    fn latest_bench_job(&self) -> Result<Option<u64>> {
        bench::latest(&self.connection()).map_err(|error| self.told(&error))
    }

    fn open_bench_jobs(&self, limit: u32) -> Result<Vec<u64>> {
        bench::open(&self.connection(), limit).map_err(|error| self.told(&error))
    }

    fn copy_to(&self, path: &Path) -> Result<()> {
        // A connection of its own, so that the copy does not hold up those who record.
        let options = self.options.clone().read_only(true);
        let source = open::connect(&self.path, &options)?;
        open::copy(&source, path).map_err(|error| match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => self.told(&error),
            _ => told(path, &self.options, &error),
        })
    }
}

/// Tells what an SQLite error means for the one who asked.
fn told(path: &Path, options: &OpenOptions, error: &rusqlite::Error) -> Error {
    let path = path.to_owned();
    let detail = error.to_string();
    match error.sqlite_error_code() {
        Some(ErrorCode::NotADatabase) => Error::NotALedger {
            path,
            why: "it is not an SQLite database".to_owned(),
        },
        Some(ErrorCode::DatabaseCorrupt) => Error::Damaged { path, detail },
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Error::Locked {
            path,
            waited: options.patience,
        },
        Some(ErrorCode::DiskFull) => Error::DiskFull(path),
        Some(ErrorCode::CannotOpen | ErrorCode::PermissionDenied) if options.read_only => {
            Error::Unreadable { path, why: detail }
        }
        Some(ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => {
            Error::Unwritable { path, why: detail }
        }
        // The file shared between readers and writers could not grow: its disk is full.
        Some(ErrorCode::SystemIoFailure)
            if error.sqlite_extended_error_code() == Some(rusqlite::ffi::SQLITE_IOERR_SHMSIZE) =>
        {
            Error::DiskFull(path)
        }
        Some(ErrorCode::SystemIoFailure) => Error::Disk { path, detail },
        _ => Error::Storage { path, detail },
    }
}
