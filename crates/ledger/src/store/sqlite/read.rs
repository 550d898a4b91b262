//! Reading entries back.

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, params, params_from_iter};

use super::super::row::{self, ENTRY, to_i64, to_u64};
use super::super::{Extent, Row, search};
use super::SqliteStore;
use super::query::Query;
use super::row::{amending, decode};
use crate::{
    Damage, Entry, EntryId, EntryRef, Error, Filter, Listing, Mark, Order, Page, Result, Subject,
    Unreadable,
};

/// How many candidates an ambiguous name is told with.
const CANDIDATES: i64 = 5;

/// The newest entry and the highest number given out.
pub(super) fn extent(store: &SqliteStore, connection: &Connection) -> Result<Extent> {
    let told = |error: rusqlite::Error| store.told(&error);
    // One statement, so that both are of the same moment.
    let (last, issued) = connection
        .prepare_cached(
            "SELECT (SELECT max(sequence) FROM entry),
                    (SELECT max(seq) FROM sqlite_sequence WHERE name = 'entry')",
        )
        .and_then(|mut statement| {
            statement.query_row([], |row| {
                Ok((row.get::<_, Option<i64>>(0)?, row.get::<_, Option<i64>>(1)?))
            })
        })
        .map_err(told)?;
    let head = match last {
        Some(sequence) => mark_at(store, connection, sequence)?,
        None => None,
    };
    Ok(Extent {
        head,
        issued: issued.map_or(0, to_u64),
    })
}

/// The first entry above a sequence number that is of a kind, touches something, and whose inputs are the same.
pub(super) fn alike(
    store: &SqliteStore,
    connection: &Connection,
    kind: &str,
    among: &Subject,
    above: u64,
    alike: &dyn Fn(&str) -> bool,
) -> Result<Option<EntryId>> {
    let found = || -> rusqlite::Result<Option<i64>> {
        // CROSS JOIN: from the thing to its entries, in order.
        let mut statement = connection.prepare_cached(
            "SELECT e.sequence, e.inputs FROM subject s CROSS JOIN entry e ON e.sequence = s.sequence
             WHERE s.role = ?1 AND s.identity = ?2 AND s.sequence > ?3 AND e.kind = ?4 ORDER BY s.sequence",
        )?;
        let mut rows = statement.query(params![among.role, among.identity, to_i64(above), kind])?;
        while let Some(row) = rows.next()? {
            // What is no text, in a ledger someone tampered with, is the same as nothing.
            if row.get_ref(1)?.as_str().is_ok_and(alike) {
                return Ok(Some(row.get(0)?));
            }
        }
        Ok(None)
    };
    match found().map_err(|error| store.told(&error))? {
        Some(sequence) => Ok(mark_at(store, connection, sequence)?.map(Mark::id)),
        None => Ok(None),
    }
}

/// The entry at a sequence number, without its content.
fn mark_at(store: &SqliteStore, connection: &Connection, sequence: i64) -> Result<Option<Mark>> {
    let hash = connection
        .prepare_cached("SELECT hash FROM entry WHERE sequence = ?1")
        .and_then(|mut statement| {
            statement
                .query_row([sequence], |row| row.get::<_, String>(0))
                .optional()
        })
        .map_err(|error| store.told(&error))?;
    hash.map(|hash| mark(store, sequence, &hash)).transpose()
}

fn mark(store: &SqliteStore, sequence: i64, hash: &str) -> Result<Mark> {
    let Ok(parsed) = hash.parse() else {
        let why = Unreadable::Hash {
            column: "hash",
            found: hash.to_owned(),
        };
        return Err(store.damaged(Damage::Entry { sequence, why }));
    };
    Ok(Mark {
        sequence: to_u64(sequence),
        hash: parsed,
    })
}

/// When an entry was recorded, without the rest of it.
pub(super) fn time_of(
    store: &SqliteStore,
    connection: &Connection,
    sequence: u64,
) -> Result<Timestamp> {
    let sequence = to_i64(sequence);
    connection
        .prepare_cached("SELECT recorded_at FROM entry WHERE sequence = ?1")
        .and_then(|mut statement| {
            statement.query_row([sequence], |row| Ok(row::time(row, 0, "recorded_at")))
        })
        .map_err(|error| store.told(&error))?
        .map_err(|why| store.damaged(Damage::Entry { sequence, why }))
}

/// The entry that amends the one at a sequence number.
pub(super) fn amended_by(connection: &Connection, sequence: i64) -> rusqlite::Result<Option<Mark>> {
    connection
        .prepare_cached(
            "SELECT amends, sequence, hash FROM entry WHERE amends = ?1 AND sequence > ?1 ORDER BY sequence LIMIT 1",
        )?
        .query_row([sequence], amending)
        .optional()
}

/// The entry of that name.
pub(super) fn get(store: &SqliteStore, connection: &Connection, name: &EntryRef) -> Result<Entry> {
    let told = |error: rusqlite::Error| store.told(&error);
    let sequence = match name.sequence {
        Some(sequence) => to_i64(sequence),
        None => find_by_hash(store, connection, name)?,
    };
    let row = connection
        .prepare_cached(&format!(
            "SELECT {ENTRY} FROM entry e WHERE e.sequence = ?1"
        ))
        .and_then(|mut statement| decode(connection, statement.query([sequence])?, false))
        .map_err(told)?;
    let Some(row) = row.into_iter().next() else {
        return Err(no_such_entry(store, connection, name, None));
    };
    let entry = sound(store, row)?;
    if name.names(&entry.mark()) {
        Ok(entry)
    } else {
        Err(no_such_entry(store, connection, name, Some(entry.id())))
    }
}

/// The sequence number of the one entry whose hash begins as asked.
fn find_by_hash(store: &SqliteStore, connection: &Connection, name: &EntryRef) -> Result<i64> {
    let found = connection
        // `g` sorts after every hexadecimal digit.
        .prepare_cached(
            "SELECT sequence, hash FROM entry WHERE hash >= ?1 AND hash < ?1 || 'g' ORDER BY hash LIMIT ?2",
        )
        .and_then(|mut statement| {
            statement
                .query_map(params![name.prefix, CANDIDATES], |row| {
                    Ok((row.get::<_, i64>(0)?, row.get::<_, String>(1)?))
                })?
                .collect::<rusqlite::Result<Vec<_>>>()
        })
        .map_err(|error| store.told(&error))?;
    match found.as_slice() {
        [] => Err(no_such_entry(store, connection, name, None)),
        [(sequence, _)] => Ok(*sequence),
        several => Err(Error::Ambiguous {
            asked: name.clone(),
            candidates: several
                .iter()
                .map(|(sequence, hash)| mark(store, *sequence, hash).map(Mark::id))
                .collect::<Result<_>>()?,
        }),
    }
}

fn no_such_entry(
    store: &SqliteStore,
    connection: &Connection,
    asked: &EntryRef,
    nearest: Option<EntryId>,
) -> Error {
    match extent(store, connection) {
        Ok(extent) => Error::NoSuchEntry {
            asked: asked.clone(),
            nearest,
            last: extent.head.map(Mark::id),
        },
        Err(error) => error,
    }
}

/// A page of the entries that meet the filter.
pub(super) fn list(
    store: &SqliteStore,
    connection: &Connection,
    filter: &Filter,
    page: &Page,
) -> Result<Listing> {
    let size = page.size.clamp(1, Page::LARGEST);
    // One more than asked for tells whether there is a next page.
    let query = Query::list(filter, page, size + 1)?;
    let rows = connection
        .prepare_cached(&query.sql)
        .and_then(|mut statement| {
            let rows = statement.query(params_from_iter(&query.values))?;
            decode(connection, rows, false)
        })
        .map_err(|error| store.told(&error))?;
    let more = rows.len() > size as usize;
    let entries = rows
        .into_iter()
        .take(size as usize)
        .map(|row| sound(store, row))
        .collect::<Result<Vec<_>>>()?;
    if !in_order(&entries, page) {
        return Err(store.damaged(Damage::OutOfOrder));
    }
    let next = entries.last().filter(|_| more).map(|last| Page {
        beyond: Some(last.sequence),
        ..*page
    });
    Ok(Listing { entries, next })
}

/// Whether the entries lie beyond the page's start, each beyond the one before. A damaged tree may hand out
/// the same ones for ever, and whoever follows the pages would never end.
fn in_order(entries: &[Entry], page: &Page) -> bool {
    let sequences: Vec<u64> = page
        .beyond
        .into_iter()
        .chain(entries.iter().map(|entry| entry.sequence))
        .collect();
    sequences.is_sorted_by(|earlier, later| match page.order {
        Order::OldestFirst => earlier < later,
        Order::NewestFirst => earlier > later,
    })
}

/// How many entries meet the filter.
pub(super) fn count(store: &SqliteStore, connection: &Connection, filter: &Filter) -> Result<u64> {
    let query = Query::count(filter)?;
    connection
        .prepare_cached(&query.sql)
        .and_then(|mut statement| {
            statement.query_row(params_from_iter(&query.values), |row| {
                row.get(0).map(to_u64)
            })
        })
        .map_err(|error| store.told(&error))
}

/// Who recorded the latest entries of a kind.
pub(super) fn people(
    connection: &Connection,
    kind: &str,
    count: u32,
) -> rusqlite::Result<Vec<String>> {
    connection
        .prepare_cached(
            "SELECT DISTINCT actor_name
             FROM (SELECT actor_name FROM entry WHERE kind = ?1 ORDER BY sequence DESC LIMIT ?2)
             ORDER BY actor_name",
        )?
        .query_map(params![kind, count], |row| row.get(0))?
        .collect()
}

/// The rows above a sequence number, whatever they hold.
pub(super) fn rows(connection: &Connection, above: i64, limit: u32) -> rusqlite::Result<Vec<Row>> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {ENTRY} FROM entry e WHERE e.sequence > ?1 ORDER BY e.sequence LIMIT ?2"
    ))?;
    let mut rows = decode(connection, statement.query(params![above, limit])?, true)?;
    let mut words = connection.prepare_cached("SELECT text FROM search WHERE rowid = ?1")?;
    for row in &mut rows {
        if let Ok(entry) = &row.entry {
            let indexed = words
                .query_row([row.sequence], |row| Ok(row.get::<_, String>(0).ok()))
                .optional()?;
            row.search_agrees = indexed.flatten() == Some(search::text_of(&entry.content));
        }
    }
    Ok(rows)
}

/// A row that must be an entry.
fn sound(store: &SqliteStore, row: Row) -> Result<Entry> {
    let sequence = row.sequence;
    row.entry
        .map_err(|why| store.damaged(Damage::Entry { sequence, why }))
}
