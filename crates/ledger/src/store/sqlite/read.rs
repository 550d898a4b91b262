//! Reading entries back.

use std::collections::BTreeSet;

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, params, params_from_iter};

use super::super::{Extent, Row};
use super::SqliteStore;
use super::query::Query;
use crate::{
    Amendment, Draft, Entry, EntryHash, EntryId, EntryRef, Error, Filter, Listing, Mark, Order,
    Page, Result, Subject, encoding,
};

/// The columns of an entry `e`, in the order [`decode`] reads them.
pub(super) const COLUMNS: &str = "e.sequence, e.encoding, e.previous, e.hash, e.recorded_at, e.kind, \
     e.person, e.program, e.inputs, e.results, e.editions, e.amends, e.amends_check, e.reason";

/// How many candidates an ambiguous name is told with.
const CANDIDATES: i64 = 5;

/// SQLite counts in `i64`. Beyond its range there is no entry, and none is found.
pub(super) fn to_i64(sequence: u64) -> i64 {
    i64::try_from(sequence).unwrap_or(i64::MAX)
}

pub(super) fn to_u64(sequence: i64) -> u64 {
    u64::try_from(sequence).unwrap_or(0)
}

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
    let hash = hash
        .parse()
        .map_err(|error| damaged(store, sequence, &error))?;
    Ok(Mark {
        sequence: to_u64(sequence),
        hash,
    })
}

fn damaged(store: &SqliteStore, sequence: i64, what: &dyn std::fmt::Display) -> Error {
    Error::Damaged {
        path: store.path.clone(),
        detail: format!("entry {sequence} makes no sense: {what}"),
    }
}

/// The entry that amends the one at a sequence number.
pub(super) fn amended_by(connection: &Connection, sequence: i64) -> rusqlite::Result<Option<Mark>> {
    connection
        .prepare_cached(
            "SELECT sequence, hash FROM entry WHERE amends = ?1 AND sequence > ?1 ORDER BY sequence LIMIT 1",
        )?
        .query_row([sequence], |row| {
            let hash: String = row.get(1)?;
            Ok(Mark {
                sequence: to_u64(row.get(0)?),
                // A hash that makes no sense is told of by verification; the number still leads there.
                hash: hash.parse().unwrap_or(EntryHash::NONE),
            })
        })
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
            "SELECT {COLUMNS} FROM entry e WHERE e.sequence = ?1"
        ))
        .and_then(|mut statement| {
            statement
                .query_row([sequence], |row| decode(connection, row))
                .optional()
        })
        .map_err(told)?;
    let Some(row) = row else {
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
    let query = Query::list(filter, page, size + 1);
    let rows = connection
        .prepare_cached(&query.sql)
        .and_then(|mut statement| {
            statement
                .query_map(params_from_iter(&query.values), |row| {
                    decode(connection, row)
                })?
                .collect::<rusqlite::Result<Vec<_>>>()
        })
        .map_err(|error| store.told(&error))?;
    let more = rows.len() > size as usize;
    let entries = rows
        .into_iter()
        .take(size as usize)
        .map(|row| sound(store, row))
        .collect::<Result<Vec<_>>>()?;
    if !in_order(&entries, page) {
        return Err(Error::Damaged {
            path: store.path.clone(),
            detail: "its entries are out of order".to_owned(),
        });
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
pub(super) fn count(connection: &Connection, filter: &Filter) -> rusqlite::Result<u64> {
    let query = Query::count(filter);
    connection
        .prepare_cached(&query.sql)?
        .query_row(params_from_iter(&query.values), |row| {
            row.get(0).map(to_u64)
        })
}

/// Who recorded the latest entries of a kind.
pub(super) fn people(
    connection: &Connection,
    kind: &str,
    count: u32,
) -> rusqlite::Result<Vec<String>> {
    connection
        .prepare_cached(
            "SELECT DISTINCT person FROM (SELECT person FROM entry WHERE kind = ?1 ORDER BY sequence DESC LIMIT ?2)
             ORDER BY person",
        )?
        .query_map(params![kind, count], |row| row.get(0))?
        .collect()
}

/// The rows above a sequence number, whatever they hold.
pub(super) fn rows(connection: &Connection, above: i64, limit: u32) -> rusqlite::Result<Vec<Row>> {
    connection
        .prepare_cached(&format!(
            "SELECT {COLUMNS} FROM entry e WHERE e.sequence > ?1 ORDER BY e.sequence LIMIT ?2"
        ))?
        .query_map(params![above, limit], |row| decode(connection, row))?
        .collect()
}

/// A row that must be an entry.
fn sound(store: &SqliteStore, row: Row) -> Result<Entry> {
    row.entry
        .map_err(|what| damaged(store, row.sequence, &what))
}

/// Reads a row of [`COLUMNS`], and the subjects that belong to it.
///
/// What the engine cannot read is an error; what it can but makes no entry is told in the [`Row`].
fn decode(connection: &Connection, row: &rusqlite::Row<'_>) -> rusqlite::Result<Row> {
    let sequence: i64 = row.get(0)?;
    let hash = row
        .get::<_, String>(3)
        .ok()
        .and_then(|hash| hash.parse().ok());
    let subjects = connection
        .prepare_cached("SELECT role, identity FROM subject WHERE sequence = ?1")?
        .query_map([sequence], |row| {
            Ok(row
                .get(0)
                .and_then(|role| row.get(1).map(|identity| Subject { role, identity })))
        })?
        .collect::<rusqlite::Result<rusqlite::Result<BTreeSet<_>>>>()?;
    let amended_by = amended_by(connection, sequence)?.map(Mark::id);
    let entry = subjects
        .map_err(|error| format!("a subject cannot be read ({error})"))
        .and_then(|subjects| read_entry(row, sequence, subjects))
        .map(|entry| Entry {
            amended_by,
            ..entry
        });
    Ok(Row {
        sequence,
        hash,
        entry,
    })
}

/// Reads the columns strictly: each has exactly one way to be written, so that a change cannot hide.
fn read_entry(
    row: &rusqlite::Row<'_>,
    sequence: i64,
    subjects: BTreeSet<Subject>,
) -> std::result::Result<Entry, String> {
    let text = |column: usize, name: &str| {
        row.get::<_, String>(column)
            .map_err(|error| format!("{name} cannot be read ({error})"))
    };
    let hash = |column: usize, name: &str| {
        text(column, name)?
            .parse::<EntryHash>()
            .map_err(|error| format!("{name}: {error}"))
    };
    let rule = text(1, "encoding")?;
    if rule != encoding::RULE {
        return Err(format!(
            "encoding `{rule}` is not known; this program knows {}",
            encoding::RULE
        ));
    }
    Ok(Entry {
        sequence: u64::try_from(sequence)
            .map_err(|_| "its sequence number is below zero".to_owned())?,
        previous: hash(2, "previous")?,
        hash: hash(3, "hash")?,
        content: Draft {
            recorded_at: read_time(&text(4, "recorded_at")?)?,
            kind: text(5, "kind")?,
            person: text(6, "person")?,
            program: text(7, "program")?,
            inputs: text(8, "inputs")?,
            results: text(9, "results")?,
            editions: text(10, "editions")?,
            amends: read_amendment(row)?,
            subjects,
        },
        amended_by: None,
    })
}

fn read_time(written: &str) -> std::result::Result<Timestamp, String> {
    written
        .parse()
        .ok()
        .filter(|time| encoding::time(*time) == written)
        .ok_or_else(|| format!("recorded_at `{written}` is not a UTC time with nine decimals"))
}

fn read_amendment(row: &rusqlite::Row<'_>) -> std::result::Result<Option<Amendment>, String> {
    let unreadable = |error: rusqlite::Error| format!("the amendment cannot be read ({error})");
    let sequence: Option<i64> = row.get(11).map_err(unreadable)?;
    let check: Option<String> = row.get(12).map_err(unreadable)?;
    let reason: Option<String> = row.get(13).map_err(unreadable)?;
    match (sequence, check, reason) {
        (None, None, None) => Ok(None),
        (Some(sequence), Some(check), Some(reason)) => u64::try_from(sequence)
            .ok()
            .and_then(|sequence| EntryId::from_parts(sequence, &check))
            .map(|entry| Some(Amendment { entry, reason }))
            .ok_or_else(|| {
                format!("`{sequence}-{check}`, which it amends, is not the name of an entry")
            }),
        _ => Err("the amendment is not complete".to_owned()),
    }
}
