//! Reading entries back.

use super::super::row::{
    self, BYTES_AT_A_TIME, ENTRY, ENTRY_COLUMNS, fact_columns, to_i64, to_u64,
};
use super::super::{Extent, Row, search};
use super::connection::Connection;
use super::facts;
use super::query::{Columns, Query};
use super::row::{add_used, amending, column, decode, number};
use crate::{
    Damage, Entry, EntryId, EntryRef, Error, Filter, Known, KnownListing, Listing, Mark, Order,
    Page, Result, Subject, Unreadable,
};

/// How many candidates an ambiguous name is told with.
const CANDIDATES: i64 = 5;
/// How many entries are held against others at a time.
const ALIKE_AT_A_TIME: i64 = 64;

/// The newest entry and the highest number given out.
pub(super) fn extent(connection: &mut Connection) -> Result<Extent> {
    let row = connection.row(
        "SELECT i.entries, e.sequence, e.hash FROM issued i
         LEFT JOIN (SELECT sequence, hash FROM entry ORDER BY sequence DESC LIMIT 1) e ON true",
        &[],
    )?;
    let Some(row) = row else {
        return Ok(Extent::default());
    };
    let issued = connection.sound(column(&row, 0))?;
    let sequence: Option<i64> = connection.sound(column(&row, 1))?;
    let head = match sequence {
        Some(sequence) => {
            let hash: String = connection.sound(column(&row, 2))?;
            Some(connection.sound(mark(sequence, &hash))?)
        }
        None => None,
    };
    Ok(Extent {
        head,
        issued: to_u64(issued),
    })
}

fn mark(sequence: i64, hash: &str) -> std::result::Result<Mark, Damage> {
    let hash = hash.parse().map_err(|_| {
        let why = Unreadable::Hash {
            column: "hash",
            found: hash.to_owned(),
        };
        Damage::Entry { sequence, why }
    })?;
    Ok(Mark {
        sequence: to_u64(sequence),
        hash,
    })
}

/// The first entry above a sequence number that is of a kind, touches something, and whose inputs are the same.
pub(super) fn alike(
    connection: &mut Connection,
    kind: &str,
    among: &Subject,
    above: u64,
    alike: &dyn Fn(&str) -> bool,
) -> Result<Option<EntryId>> {
    let mut above = to_i64(above);
    loop {
        let rows = connection.query(
            "SELECT e.sequence, e.hash, e.inputs FROM subject s JOIN entry e ON e.sequence = s.sequence
             WHERE s.role = $1 AND s.identity = $2 AND s.sequence > $3 AND e.kind = $4
             ORDER BY s.sequence LIMIT $5",
            &[
                &among.role,
                &among.identity,
                &above,
                &kind,
                &ALIKE_AT_A_TIME,
            ],
        )?;
        if rows.is_empty() {
            return Ok(None);
        }
        for row in &rows {
            above = connection.sound(column(row, 0))?;
            let inputs: String = connection.sound(column(row, 2))?;
            if alike(&inputs) {
                let hash: String = connection.sound(column(row, 1))?;
                return Ok(Some(connection.sound(mark(above, &hash))?.id()));
            }
        }
    }
}

/// The entry that amends the one at a sequence number.
pub(super) fn amended_by(connection: &mut Connection, sequence: i64) -> Result<Option<Mark>> {
    let row = connection.row(
        "SELECT amends, sequence, hash FROM entry WHERE amends = $1 AND sequence > $1
         ORDER BY sequence LIMIT 1",
        &[&sequence],
    )?;
    row.map(|row| connection.sound(amending(&row))).transpose()
}

/// The entry of that name.
pub(super) fn get(connection: &mut Connection, name: &EntryRef) -> Result<Entry> {
    let sequence = match name.sequence {
        Some(sequence) => to_i64(sequence),
        None => find_by_hash(connection, name)?,
    };
    let rows = connection.query(
        &format!("SELECT {ENTRY} FROM entry e WHERE e.sequence = $1"),
        &[&sequence],
    )?;
    let Some(row) = decode(connection, &rows, false)?.into_iter().next() else {
        return Err(no_such_entry(connection, name, None));
    };
    let entry = sound(connection, row)?;
    if name.names(&entry.mark()) {
        Ok(entry)
    } else {
        Err(no_such_entry(connection, name, Some(entry.id())))
    }
}

/// The sequence number of the one entry whose hash begins as asked.
fn find_by_hash(connection: &mut Connection, name: &EntryRef) -> Result<i64> {
    // `g` sorts after every hexadecimal digit.
    let rows = connection.query(
        "SELECT sequence, hash FROM entry WHERE hash >= $1 AND hash < $1 || 'g' ORDER BY hash LIMIT $2",
        &[&name.prefix, &CANDIDATES],
    )?;
    match rows.as_slice() {
        [] => Err(no_such_entry(connection, name, None)),
        [row] => connection.sound(column(row, 0)),
        several => {
            let candidates = several.iter().map(|row| {
                let hash: String = column(row, 1)?;
                Ok(mark(column(row, 0)?, &hash)?.id())
            });
            Err(Error::Ambiguous {
                asked: name.clone(),
                candidates: connection.sound(candidates.collect())?,
            })
        }
    }
}

fn no_such_entry(connection: &mut Connection, asked: &EntryRef, nearest: Option<EntryId>) -> Error {
    match extent(connection) {
        Ok(extent) => Error::NoSuchEntry {
            asked: asked.clone(),
            nearest,
            last: extent.head.map(Mark::id),
        },
        Err(error) => error,
    }
}

/// A page of the entries that meet the filter.
pub(super) fn list(connection: &mut Connection, filter: &Filter, page: &Page) -> Result<Listing> {
    let (rows, next) = page_of(connection, filter, page, Columns::All)?;
    let entries = rows.into_iter().map(|row| sound(connection, row));
    let entries = entries.collect::<Result<Vec<_>>>()?;
    Ok(Listing { entries, next })
}

/// The same without documents.
pub(super) fn known(
    connection: &mut Connection,
    filter: &Filter,
    page: &Page,
) -> Result<KnownListing> {
    let (rows, next) = page_of(connection, filter, page, Columns::Heading)?;
    let mut entries = Vec::new();
    for mut row in rows {
        let facts = row.facts.take().map(|kept| kept.facts);
        let heading = sound(connection, row)?;
        entries.push(Known { heading, facts });
    }
    Ok(KnownListing { entries, next })
}

/// The rows of a page, and the page after it.
fn page_of(
    connection: &mut Connection,
    filter: &Filter,
    page: &Page,
    columns: Columns,
) -> Result<(Vec<Row>, Option<Page>)> {
    let size = page.size.clamp(1, Page::LARGEST);
    let bounds = bounds(connection, filter)?;
    // One more than asked for tells whether there is a next page.
    let query = Query::list(filter, page, size + 1, columns, bounds)?;
    let found = connection.query(&query.sql, &query.values())?;
    let mut rows = decode(connection, &found, matches!(columns, Columns::Heading))?;
    let in_order = rows.is_sorted_by(|earlier, later| match page.order {
        Order::OldestFirst => earlier.sequence < later.sequence,
        Order::NewestFirst => earlier.sequence > later.sequence,
    });
    if !in_order {
        return connection.sound(Err(Damage::OutOfOrder));
    }
    let more = rows.len() > size as usize;
    rows.truncate(size as usize);
    let next = rows.last().filter(|_| more).map(|last| Page {
        beyond: Some(to_u64(last.sequence)),
        ..*page
    });
    Ok((rows, next))
}

/// From which to which entry those of the days that are asked for can be. All, where no days are asked for or the facts that
/// tell it are not complete.
fn bounds(connection: &mut Connection, filter: &Filter) -> Result<Option<(i64, i64)>> {
    let Some(days) = row::Days::of(filter) else {
        return Ok(None);
    };
    if facts::reach(connection)? != number(connection, "SELECT max(sequence) FROM entry", &[])? {
        return Ok(None);
    }
    days.bounds(|end, column| facts::at_end(connection, end, column))
        .map(Some)
}

/// How many entries meet the filter.
pub(super) fn count(connection: &mut Connection, filter: &Filter) -> Result<u64> {
    let query = Query::count(filter)?;
    number(connection, &query.sql, &query.values())
}

/// Who recorded the latest entries of a kind.
pub(super) fn people(connection: &mut Connection, kind: &str, count: u32) -> Result<Vec<String>> {
    let rows = connection.query(
        "SELECT DISTINCT actor_name
         FROM (SELECT actor_name FROM entry WHERE kind = $1 ORDER BY sequence DESC LIMIT $2) latest
         ORDER BY actor_name",
        &[&kind, &i64::from(count)],
    )?;
    let names = rows.iter().map(|row| column(row, 0));
    connection.sound(names.collect())
}

/// The rows above a sequence number, whatever they hold, until they are many bytes.
pub(super) fn rows(connection: &mut Connection, above: i64, limit: u32) -> Result<Vec<Row>> {
    // The lengths are known without reading the documents.
    let found = connection.query(
        &format!(
            "SELECT {ENTRY}, {}, e.search
             FROM (SELECT sequence, coalesce(sum(bytes) OVER (ORDER BY sequence ROWS BETWEEN UNBOUNDED PRECEDING
                                                              AND 1 PRECEDING), 0) AS before
                   FROM (SELECT sequence, octet_length(inputs) + octet_length(results) + octet_length(editions)
                                          + octet_length(words) AS bytes
                         FROM entry WHERE sequence > $1 ORDER BY sequence LIMIT $2) next) next
             JOIN entry e USING (sequence) LEFT JOIN fact f ON f.sequence = e.sequence
             WHERE next.before <= $3::bigint ORDER BY e.sequence",
            fact_columns()
        ),
        &[&above, &i64::from(limit), &to_i64(BYTES_AT_A_TIME as u64)],
    )?;
    let mut rows = decode(connection, &found, true)?;
    add_used(connection, &mut rows)?;
    let last = ENTRY_COLUMNS + row::fact_names().len();
    for (row, found) in rows.iter_mut().zip(&found) {
        if let Ok(entry) = &row.entry {
            let indexed: String = connection.sound(column(found, last))?;
            row.search_agrees = indexed == search::text_of(&entry.content);
        }
    }
    Ok(rows)
}

/// A row that must be an entry.
fn sound(connection: &Connection, row: Row) -> Result<Entry> {
    let sequence = row.sequence;
    let entry = row.entry.map_err(|why| Damage::Entry { sequence, why });
    connection.sound(entry)
}
