//! Connections that only read, so that no search holds up who records.

use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

use rusqlite::Connection;

use super::{SqliteStore, guard, open};
use crate::{Filter, Result};

/// How many connections are kept for the next reader.
const KEPT: usize = 4;
/// How many searches by words run at once; others wait for them. Each may keep a core busy.
const SEARCHES: usize = 2;

/// The connections that nobody uses now, and the searches under way.
#[derive(Default)]
pub(super) struct Readers {
    idle: Mutex<Vec<Connection>>,
    searches: Mutex<usize>,
    search_ended: Condvar,
}

/// The right to search, until it is dropped.
pub(super) struct Turn<'a>(&'a Readers);

impl Readers {
    /// With one connection to begin with.
    pub fn with(first: Connection) -> Self {
        let readers = Self::default();
        readers.give_back(first);
        readers
    }

    /// A connection that nobody else uses.
    pub fn take(&self, store: &SqliteStore) -> Result<Connection> {
        let kept = held(&self.idle).pop();
        if let Some(connection) = kept {
            return Ok(connection);
        }
        let options = store.options.clone().read_only(true);
        // Before: a file that is gone is told as gone. After: it may have been replaced meanwhile.
        guard::in_place(store, 0)?;
        let connection = open::connect(&store.path, &options)?;
        guard::in_place(store, 0)?;
        Ok(connection)
    }

    /// Keeps it for the next reader.
    pub fn give_back(&self, connection: Connection) {
        let mut idle = held(&self.idle);
        if idle.len() < KEPT {
            idle.push(connection);
        }
    }

    /// Closes those that nobody uses.
    pub fn close(&self) {
        held(&self.idle).clear();
    }

    /// Waits until a search by words may run; for any other question there is no waiting.
    pub fn turn_to_search(&self, filter: &Filter) -> Option<Turn<'_>> {
        filter.text.as_ref()?;
        let mut running = self
            .search_ended
            .wait_while(held(&self.searches), |running| *running >= SEARCHES)
            .unwrap_or_else(PoisonError::into_inner);
        *running += 1;
        Some(Turn(self))
    }
}

impl Drop for Turn<'_> {
    fn drop(&mut self) {
        *held(&self.0.searches) -= 1;
        self.0.search_ended.notify_one();
    }
}

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
