//! Rows of the file as entries, read strictly: each column has exactly one way to be written, so that a change cannot
//! hide.

use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;
use rusqlite::Connection;

use super::super::Row;
use crate::{
    Actor, Amendment, Draft, Entry, EntryId, Hash, Identified, JobEvents, Mark, Subject,
    Unreadable, encoding, time,
};

/// The columns of an entry `e`, in the order [`read_entry`] reads them.
pub(super) const COLUMNS: &str = "e.sequence, e.encoding, e.previous, e.hash, e.recorded_at, e.zone, e.kind, \
     e.actor_id, e.actor_name, e.actor_how, e.station, e.program, e.amends, e.amends_check, e.reason, e.job, \
     e.job_events, e.job_hash, e.inputs, e.results, e.editions, e.words, \
     (SELECT b.recorded_at FROM entry b WHERE b.sequence = e.sequence - 1)";

/// How many bytes of entries or events are read at one go; at least one of them is.
pub(super) const BYTES_AT_A_TIME: usize = 8 << 20;

type Read<T> = std::result::Result<T, Unreadable>;

/// Reads rows of [`COLUMNS`], and what belongs to them, until they are many bytes.
///
/// What the engine cannot read is an error; what it can but makes no entry is told in the [`Row`].
pub(super) fn decode(
    connection: &Connection,
    mut rows: rusqlite::Rows<'_>,
    limit_bytes: bool,
) -> rusqlite::Result<Vec<Row>> {
    let mut read = Vec::new();
    let mut bytes = 0;
    while let Some(row) = rows.next()? {
        let sequence: i64 = row.get(0)?;
        let hash = row.get::<_, String>(3).ok();
        let entry = read_entry(row, sequence);
        bytes += entry.as_ref().map_or(0, |entry| size(&entry.content));
        read.push(Row {
            sequence,
            hash: hash.and_then(|hash| hash.parse().ok()),
            entry,
            search_agrees: true,
        });
        if limit_bytes && bytes > BYTES_AT_A_TIME {
            break;
        }
    }
    drop(rows);
    let sequences: Vec<String> = read.iter().map(|row| row.sequence.to_string()).collect();
    let list = format!("[{}]", sequences.join(","));
    let mut subjects = subjects(connection, &list)?;
    let amended = amended(connection, &list)?;
    for row in &mut read {
        if let Some(subjects) = subjects.remove(&row.sequence) {
            match (&mut row.entry, subjects) {
                (Ok(entry), Ok(subjects)) => entry.content.subjects = subjects,
                (Ok(_), Err(why)) => row.entry = Err(why),
                (Err(_), _) => {}
            }
        }
        if let Ok(entry) = &mut row.entry {
            entry.amended_by = amended.get(&row.sequence).copied().map(Mark::id);
        }
    }
    Ok(read)
}

fn size(content: &Draft) -> usize {
    content.inputs.len() + content.results.len() + content.editions.len() + content.words.len()
}

/// What the entries of a list (JSON) touch.
fn subjects(
    connection: &Connection,
    list: &str,
) -> rusqlite::Result<BTreeMap<i64, Read<BTreeSet<Subject>>>> {
    let mut all = BTreeMap::new();
    let mut statement = connection.prepare_cached(
        "SELECT s.sequence, s.role, s.identity FROM json_each(?1) j CROSS JOIN subject s ON s.sequence = j.value",
    )?;
    let mut rows = statement.query([list])?;
    while let Some(row) = rows.next()? {
        let of = all
            .entry(row.get(0)?)
            .or_insert_with(|| Ok(BTreeSet::new()));
        let subject = text(row, 1, "role")
            .and_then(|role| Ok((role, text(row, 2, "identity")?)))
            .map(|(role, identity)| Subject { role, identity });
        match (of.as_mut(), subject) {
            (Ok(subjects), Ok(subject)) => _ = subjects.insert(subject),
            (Ok(_), Err(why)) => *of = Err(why),
            (Err(_), _) => {}
        }
    }
    Ok(all)
}

/// The entries that amend those of a list (JSON); the first where there are several.
fn amended(connection: &Connection, list: &str) -> rusqlite::Result<BTreeMap<i64, Mark>> {
    let mut all = BTreeMap::new();
    let mut statement = connection.prepare_cached(
        "SELECT a.amends, a.sequence, a.hash FROM json_each(?1) j
         CROSS JOIN entry a ON a.amends = j.value AND a.sequence > j.value",
    )?;
    let mut rows = statement.query([list])?;
    while let Some(row) = rows.next()? {
        let mark = amending(row)?;
        let first = all.entry(row.get(0)?).or_insert(mark);
        if mark.sequence < first.sequence {
            *first = mark;
        }
    }
    Ok(all)
}

/// The amending entry in a row that holds its number and hash after another column.
pub(super) fn amending(row: &rusqlite::Row<'_>) -> rusqlite::Result<Mark> {
    Ok(Mark {
        sequence: to_u64(row.get(1)?),
        // A hash that makes no sense is told of by verification; the number still leads there.
        hash: row.get::<_, String>(2)?.parse().unwrap_or(Hash::NONE),
    })
}

fn read_entry(row: &rusqlite::Row<'_>, sequence: i64) -> Read<Entry> {
    let rule = text(row, 1, "encoding")?;
    if rule != encoding::RULE {
        return Err(Unreadable::Encoding { found: rule });
    }
    let recorded_at = time(row, 4, "recorded_at")?;
    Ok(Entry {
        sequence: u64::try_from(sequence).map_err(|_| Unreadable::Number {
            column: "sequence",
            found: Some(sequence),
        })?,
        previous: hash(row, 2, "previous")?,
        hash: hash(row, 3, "hash")?,
        content: Draft {
            recorded_at,
            zone: text(row, 5, "zone")?,
            kind: text(row, 6, "kind")?,
            actor: actor(row, 7)?,
            station: text(row, 10, "station")?,
            program: text(row, 11, "program")?,
            amends: amendment(row)?,
            events: events(row)?,
            inputs: text(row, 18, "inputs")?,
            results: text(row, 19, "results")?,
            editions: text(row, 20, "editions")?,
            words: text(row, 21, "words")?,
            subjects: BTreeSet::new(),
        },
        amended_by: None,
        // A time that cannot be read is told at its own entry.
        went_back: time(row, 22, "recorded_at")
            .ok()
            .filter(|before| *before > recorded_at),
    })
}

pub(super) fn text(row: &rusqlite::Row<'_>, index: usize, column: &'static str) -> Read<String> {
    row.get(index).map_err(|error| Unreadable::Column {
        column,
        detail: error.to_string(),
    })
}

pub(super) fn hash(row: &rusqlite::Row<'_>, index: usize, column: &'static str) -> Read<Hash> {
    let found = text(row, index, column)?;
    found
        .parse()
        .map_err(|_| Unreadable::Hash { column, found })
}

pub(super) fn time(row: &rusqlite::Row<'_>, index: usize, column: &'static str) -> Read<Timestamp> {
    let found = text(row, index, column)?;
    found
        .parse()
        .ok()
        .filter(|time| time::written(*time) == found)
        .ok_or(Unreadable::Time { column, found })
}

/// An actor in three columns.
pub(super) fn actor(row: &rusqlite::Row<'_>, first: usize) -> Read<Actor> {
    let how = text(row, first + 2, "actor_how")?;
    Ok(Actor {
        id: text(row, first, "actor_id")?,
        name: text(row, first + 1, "actor_name")?,
        how: Identified::from_code(&how).ok_or(Unreadable::Identified { found: how })?,
    })
}

fn amendment(row: &rusqlite::Row<'_>) -> Read<Option<Amendment>> {
    let column = "amends";
    let unreadable = |error: rusqlite::Error| Unreadable::Column {
        column,
        detail: error.to_string(),
    };
    let sequence: Option<i64> = row.get(12).map_err(unreadable)?;
    let check: Option<String> = row.get(13).map_err(unreadable)?;
    let reason: Option<String> = row.get(14).map_err(unreadable)?;
    match (sequence, check, reason) {
        (None, None, None) => Ok(None),
        (Some(sequence), Some(check), Some(reason)) => u64::try_from(sequence)
            .ok()
            .and_then(|sequence| EntryId::from_parts(sequence, &check))
            .map(|entry| Some(Amendment { entry, reason }))
            .ok_or(Unreadable::Amendment { sequence, check }),
        _ => Err(Unreadable::Incomplete { column }),
    }
}

fn events(row: &rusqlite::Row<'_>) -> Read<Option<JobEvents>> {
    let column = "job";
    let number = |index: usize, column| {
        let found: Option<i64> = row.get(index).map_err(|error| Unreadable::Column {
            column,
            detail: error.to_string(),
        })?;
        match found.map(u64::try_from) {
            None => Ok(None),
            Some(Ok(number)) => Ok(Some(number)),
            Some(Err(_)) => Err(Unreadable::Number { column, found }),
        }
    };
    let has_hash = row
        .get_ref(17)
        .is_ok_and(|value| value != rusqlite::types::ValueRef::Null);
    match (number(15, column)?, number(16, "job_events")?, has_hash) {
        (None, None, false) => Ok(None),
        (Some(job), Some(count), true) => Ok(Some(JobEvents {
            job,
            count,
            hash: hash(row, 17, "job_hash")?,
        })),
        _ => Err(Unreadable::Incomplete { column }),
    }
}

/// SQLite counts in `i64`. Beyond its range there is no entry, and none is found.
pub(super) fn to_i64(sequence: u64) -> i64 {
    i64::try_from(sequence).unwrap_or(i64::MAX)
}

pub(super) fn to_u64(sequence: i64) -> u64 {
    u64::try_from(sequence).unwrap_or(0)
}
