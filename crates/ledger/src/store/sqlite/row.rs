//! Rows of the file, and what belongs to them.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::Connection;

use super::super::Row;
use super::super::row::{
    BYTES_AT_A_TIME, Columns, ENTRY_COLUMNS, Read, entry, facts, size, text, to_u64,
};
use crate::{Hash, Mark, Subject, Used};

impl Columns for rusqlite::Row<'_> {
    type Error = rusqlite::Error;

    fn text_if_any(&self, index: usize) -> rusqlite::Result<Option<String>> {
        self.get(index)
    }

    fn number_if_any(&self, index: usize) -> rusqlite::Result<Option<i64>> {
        self.get(index)
    }

    fn real_if_any(&self, index: usize) -> rusqlite::Result<Option<f64>> {
        self.get(index)
    }

    fn text_in_place(&self, index: usize) -> Option<&str> {
        self.get_ref(index).ok()?.as_str().ok()
    }

    fn text(&self, index: usize) -> rusqlite::Result<String> {
        self.get(index)
    }
}

/// Reads rows of [`ENTRY`](super::super::row::ENTRY), with facts in the columns after it where there are any, and what belongs
/// to them, until they are many bytes.
///
/// What the engine cannot read is an error; what it can but makes no entry is told in the [`Row`].
pub(super) fn decode(
    connection: &Connection,
    mut rows: rusqlite::Rows<'_>,
    limit_bytes: bool,
    with_facts: bool,
) -> rusqlite::Result<Vec<Row>> {
    let mut read = Vec::new();
    let mut bytes = 0;
    while let Some(row) = rows.next()? {
        let sequence: i64 = row.get(0)?;
        let hash = row.get::<_, String>(3).ok();
        let entry = entry(row, sequence);
        bytes += entry.as_ref().map_or(0, |entry| size(&entry.content));
        read.push(Row {
            sequence,
            hash: hash.and_then(|hash| hash.parse().ok()),
            entry,
            search_agrees: true,
            facts: if with_facts {
                facts(row, ENTRY_COLUMNS)
            } else {
                None
            },
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

/// Adds to the facts of rows what the results were measured with.
pub(super) fn add_used(connection: &Connection, rows: &mut [Row]) -> rusqlite::Result<()> {
    let mut statement = connection.prepare_cached(
        "SELECT role, identity, sensitivity, part_of, at FROM used WHERE sequence = ?1 ORDER BY role, identity, at",
    )?;
    for row in rows {
        let sequence = row.sequence;
        let Some(kept) = &mut row.facts else { continue };
        let mut used = statement.query([sequence])?;
        while let Some(found) = used.next()? {
            let piece = Used {
                role: found.get(0)?,
                identity: found.get(1)?,
                sensitivity: found.get(2)?,
                part_of: found.get(3)?,
            };
            kept.found_used(piece, &found.get::<_, String>(4)?);
        }
    }
    Ok(())
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
