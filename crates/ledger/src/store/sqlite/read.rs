//! Reading entries back.

use std::borrow::Cow;

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, params, params_from_iter};

use super::super::row::{self, ENTRY, fact_columns, to_i64, to_u64};
use super::super::{Extent, Row, search};
use super::query::{Columns, Query};
use super::row::{add_used, amending, decode};
use super::{SqliteStore, facts};
use crate::{
    Damage, Entry, EntryId, EntryRef, Error, Filter, Known, KnownListing, Listing, Mark, Order,
    Page, Result, Subject, Unreadable,
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
        .and_then(|mut statement| decode(connection, statement.query([sequence])?, false, false))
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
    let (rows, next) = page_of(store, connection, filter, page, Columns::All)?;
    let entries = rows.into_iter().map(|row| sound(store, row));
    let entries = entries.collect::<Result<Vec<_>>>()?;
    if !in_order(entries.iter(), page) {
        return Err(store.damaged(Damage::OutOfOrder));
    }
    Ok(Listing { entries, next })
}

/// The same without documents.
pub(super) fn known(
    store: &SqliteStore,
    connection: &Connection,
    filter: &Filter,
    page: &Page,
) -> Result<KnownListing> {
    let columns = Columns::Heading {
        facts: store.with_facts,
    };
    let (rows, next) = page_of(store, connection, filter, page, columns)?;
    let mut entries = Vec::new();
    for mut row in rows {
        let facts = row.facts.take().map(|kept| kept.facts);
        let heading = sound(store, row)?;
        entries.push(Known { heading, facts });
    }
    if !in_order(entries.iter().map(|known| &known.heading), page) {
        return Err(store.damaged(Damage::OutOfOrder));
    }
    Ok(KnownListing { entries, next })
}

/// The rows of a page, and the page after it.
fn page_of(
    store: &SqliteStore,
    connection: &Connection,
    filter: &Filter,
    page: &Page,
    columns: Columns,
) -> Result<(Vec<Row>, Option<Page>)> {
    let told = |error: rusqlite::Error| store.told(&error);
    let size = page.size.clamp(1, Page::LARGEST);
    let filter = rarest_first(connection, filter).map_err(told)?;
    let bounds = bounds(store, connection, &filter).map_err(told)?;
    // One more than asked for tells whether there is a next page.
    let query = Query::list(&filter, page, size + 1, columns, bounds)?;
    let with_facts = matches!(columns, Columns::Heading { facts: true });
    let mut rows = connection
        .prepare_cached(&query.sql)
        .and_then(|mut statement| {
            let rows = statement.query(params_from_iter(&query.values))?;
            decode(connection, rows, false, with_facts)
        })
        .map_err(told)?;
    let more = rows.len() > size as usize;
    rows.truncate(size as usize);
    let next = rows.last().filter(|_| more).map(|last| Page {
        beyond: Some(to_u64(last.sequence)),
        ..*page
    });
    Ok((rows, next))
}

/// So many entries that touch a thing are counted to tell which of several is the rarest.
const COUNTED: u32 = 2000;

/// The filter with the rarest thing first, which leads to the entries.
fn rarest_first<'a>(
    connection: &Connection,
    filter: &'a Filter,
) -> rusqlite::Result<Cow<'a, Filter>> {
    if filter.subjects.len() < 2 {
        return Ok(Cow::Borrowed(filter));
    }
    let mut filter = filter.clone();
    let mut counted = Vec::new();
    for subject in filter.subjects.drain(..) {
        let count = facts::some_of(connection, &subject.role, &subject.identity, COUNTED)?;
        counted.push((count, subject));
    }
    counted.sort_by_key(|(count, _)| *count);
    filter.subjects = counted.into_iter().map(|(_, subject)| subject).collect();
    Ok(Cow::Owned(filter))
}

/// From which to which entry those of the days that are asked for can be. All, where no days are asked for or the facts that
/// tell it are not complete.
fn bounds(
    store: &SqliteStore,
    connection: &Connection,
    filter: &Filter,
) -> rusqlite::Result<Option<(i64, i64)>> {
    let Some(days) = row::Days::of(filter).filter(|_| store.with_months) else {
        return Ok(None);
    };
    let last: Option<i64> = connection
        .prepare_cached("SELECT max(sequence) FROM entry")?
        .query_row([], |row| row.get(0))?;
    if facts::reach(connection)? != last.map_or(0, to_u64) {
        return Ok(None);
    }
    days.bounds(|end, column| facts::at_end(connection, end, column))
        .map(Some)
}

/// Whether the entries lie beyond the page's start, each beyond the one before. A damaged tree may hand out
/// the same ones for ever, and whoever follows the pages would never end.
fn in_order<'a>(entries: impl Iterator<Item = &'a Entry>, page: &Page) -> bool {
    let sequences: Vec<u64> = page
        .beyond
        .into_iter()
        .chain(entries.map(|entry| entry.sequence))
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
pub(super) fn rows(
    connection: &Connection,
    above: i64,
    limit: u32,
    with_facts: bool,
) -> rusqlite::Result<Vec<Row>> {
    let (columns, from) = if with_facts {
        let columns = format!("{ENTRY}, {}", fact_columns());
        (
            columns,
            "entry e LEFT JOIN fact f ON f.sequence = e.sequence",
        )
    } else {
        (ENTRY.to_owned(), "entry e")
    };
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {columns} FROM {from} WHERE e.sequence > ?1 ORDER BY e.sequence LIMIT ?2"
    ))?;
    let found = statement.query(params![above, limit])?;
    let mut rows = decode(connection, found, true, with_facts)?;
    if with_facts {
        add_used(connection, &mut rows)?;
    }
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
