//! A new file with what another store keeps.

use std::path::Path;

use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};

use super::super::copy::Sound;
use super::{append, bench, schema, told};
use crate::{OpenOptions, Result};

/// Puts all that a store keeps into an empty file, in one transaction. Like any copy it is one file without a log.
pub(crate) fn fill(path: &Path, from: &Sound<'_>) -> Result<()> {
    let options = OpenOptions::new();
    let told = |error: rusqlite::Error| told(path, &options, &error);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(path, flags).map_err(told)?;
    connection
        .pragma_update(None, "synchronous", "FULL")
        .map_err(told)?;
    let transaction = connection
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .map_err(told)?;
    schema::create(&transaction).map_err(told)?;
    put_all(&transaction, from, &told)?;
    transaction.commit().map_err(told)?;
    connection.close().map_err(|(_, error)| told(error))
}

fn put_all(
    transaction: &Transaction<'_>,
    from: &Sound<'_>,
    told: &dyn Fn(rusqlite::Error) -> crate::Error,
) -> Result<()> {
    from.check_ends()?;
    // The events come first: entries are made from them.
    for event in from.events() {
        let (id, event) = event?;
        bench::insert(transaction, id, &event).map_err(told)?;
    }
    for entry in from.entries() {
        let (entry, facts) = entry?;
        append::insert(transaction, &entry).map_err(told)?;
        if let Some(facts) = facts {
            append::put_facts(transaction, &entry, facts).map_err(told)?;
        }
    }
    Ok(())
}
