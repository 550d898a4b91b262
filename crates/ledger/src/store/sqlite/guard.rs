//! What must hold before anything is added: it is the file that was opened, and all of it is there.

use std::fs;
use std::path::Path;

use rusqlite::Connection;

use super::super::row::to_u64;
use super::{SqliteStore, open};
use crate::disk::FileId;
use crate::{Damage, Error, Result};

/// Whether what is written goes into the file at the path, and that is as long as it must be. It does not go there where
/// the file was deleted, moved or replaced.
pub(super) fn in_place(store: &SqliteStore, needed: u64) -> Result<()> {
    let replaced = |_| Error::Replaced(store.path.clone());
    let found = fs::metadata(&store.path).map_err(replaced)?;
    if FileId::of(&found) != store.file {
        return Err(Error::Replaced(store.path.clone()));
    }
    long_enough(&store.path, found.len(), needed)
}

/// Whether the end of the file is there; gives the length that the file must have from now on. The engine itself fills a
/// page cut short with zeros and goes on, and writes past pages that are gone.
///
/// A ledger only ever grows, so the order of the looks is enough, whoever records meanwhile: first how many pages there
/// are, then whether the log that held them was copied into the file, then the length of the file. Asked outside a
/// transaction: within one the engine does not say how much of the log was copied.
pub(super) fn whole(path: &Path, connection: &Connection) -> Result<u64> {
    let number = |sql| connection.query_row(sql, [], |row| row.get(0).map(to_u64));
    let pages =
        number("PRAGMA page_size").and_then(|size| Ok((size, number("PRAGMA page_count")?)));
    // What the engine cannot say of a damaged file it says where it is used.
    let Ok((size, count)) = pages else {
        return Ok(0);
    };
    let copied = !open::has_waiting_log(path) || is_copied(connection);
    let Ok(length) = fs::metadata(path).map(|found| found.len()) else {
        return Err(Error::Replaced(path.to_owned()));
    };
    let needed = if copied {
        size.saturating_mul(count)
    } else {
        // Pages that wait in the log may lie beyond the end of the file.
        length.next_multiple_of(size.max(1))
    };
    long_enough(path, length, needed)?;
    Ok(needed)
}

fn long_enough(path: &Path, length: u64, needed: u64) -> Result<()> {
    if length < needed {
        return Err(Error::Damaged {
            path: path.to_owned(),
            what: Damage::CutShort { length, needed },
        });
    }
    Ok(())
}

/// Whether all of the log is in the file as well. NOOP tells how much is, and copies nothing; a connection that only
/// reads is not told.
fn is_copied(connection: &Connection) -> bool {
    let told = connection.query_row("PRAGMA wal_checkpoint(NOOP)", [], |row| {
        Ok((row.get::<_, i64>(1)?, row.get::<_, i64>(2)?))
    });
    told.is_ok_and(|(frames, copied)| frames == copied)
}
