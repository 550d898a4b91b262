//! Rows of the server, and what belongs to them.

use std::collections::{BTreeMap, BTreeSet};

use postgres::types::{FromSqlOwned, ToSql};

use super::super::Row;
use super::super::row::{Columns, ENTRY_COLUMNS, entry, facts, to_u64};
use super::connection::Connection;
use crate::{Damage, Hash, Mark, Result, Subject, Used};

impl Columns for postgres::Row {
    type Error = postgres::Error;

    fn text_if_any(&self, index: usize) -> std::result::Result<Option<String>, postgres::Error> {
        self.try_get(index)
    }

    fn number_if_any(&self, index: usize) -> std::result::Result<Option<i64>, postgres::Error> {
        self.try_get(index)
    }

    fn real_if_any(&self, index: usize) -> std::result::Result<Option<f64>, postgres::Error> {
        self.try_get(index)
    }

    fn text_in_place(&self, index: usize) -> Option<&str> {
        self.try_get(index).ok().flatten()
    }

    fn text(&self, index: usize) -> std::result::Result<String, postgres::Error> {
        self.try_get(index)
    }
}

/// A column that must be there: what cannot be read so is damage.
pub(super) fn column<T: FromSqlOwned>(
    row: &postgres::Row,
    index: usize,
) -> std::result::Result<T, Damage> {
    row.try_get(index).map_err(unreadable)
}

/// What the engine cannot hand over is damage.
#[expect(clippy::needless_pass_by_value, reason = "it stands behind `map_err`")]
pub(super) fn unreadable(error: postgres::Error) -> Damage {
    Damage::Engine {
        detail: error.to_string(),
    }
}

pub(super) fn number(
    connection: &mut Connection,
    sql: &str,
    values: &[&(dyn ToSql + Sync)],
) -> Result<u64> {
    let row = connection.row(sql, values)?;
    let found: Option<i64> = match row {
        Some(row) => connection.sound(column(&row, 0))?,
        None => None,
    };
    Ok(found.map_or(0, to_u64))
}

/// Reads rows of [`ENTRY`](super::super::row::ENTRY), with facts in the columns after it where they are asked for, and what
/// belongs to them.
pub(super) fn decode(
    connection: &mut Connection,
    rows: &[postgres::Row],
    with_facts: bool,
) -> Result<Vec<Row>> {
    let mut read = Vec::new();
    let mut sequences = Vec::new();
    for row in rows {
        let sequence = connection.sound(column::<i64>(row, 0))?;
        sequences.push(sequence);
        read.push(Row {
            sequence,
            hash: row.try_get::<_, &str>(3).ok().and_then(|h| h.parse().ok()),
            entry: entry(row, sequence),
            search_agrees: true,
            facts: if with_facts {
                facts(row, ENTRY_COLUMNS)
            } else {
                None
            },
        });
    }
    let mut subjects = subjects(connection, &sequences)?;
    let amended = amended(connection, &sequences)?;
    for row in &mut read {
        if let Ok(entry) = &mut row.entry {
            entry.content.subjects = subjects.remove(&row.sequence).unwrap_or_default();
            entry.amended_by = amended.get(&row.sequence).copied().map(Mark::id);
        }
    }
    Ok(read)
}

/// What entries touch.
fn subjects(
    connection: &mut Connection,
    sequences: &[i64],
) -> Result<BTreeMap<i64, BTreeSet<Subject>>> {
    let mut all: BTreeMap<i64, BTreeSet<Subject>> = BTreeMap::new();
    let rows = connection.query(
        "SELECT sequence, role, identity FROM subject WHERE sequence = ANY ($1)",
        &[&sequences],
    )?;
    for row in &rows {
        let sequence = connection.sound(column(row, 0))?;
        let role = connection.sound(column(row, 1))?;
        let identity = connection.sound(column(row, 2))?;
        let of = all.entry(sequence).or_default();
        of.insert(Subject { role, identity });
    }
    Ok(all)
}

/// Adds to the facts of rows what the results were measured with.
pub(super) fn add_used(connection: &mut Connection, rows: &mut [Row]) -> Result<()> {
    let sequences: Vec<i64> = rows.iter().map(|row| row.sequence).collect();
    let found = connection.query(
        "SELECT sequence, role, identity, sensitivity, part_of, at FROM used WHERE sequence = ANY ($1)
         ORDER BY sequence, role, identity, at",
        &[&sequences],
    )?;
    for used in &found {
        let sequence: i64 = connection.sound(column(used, 0))?;
        let piece = Used {
            role: connection.sound(column(used, 1))?,
            identity: connection.sound(column(used, 2))?,
            sensitivity: connection.sound(column(used, 3))?,
            part_of: connection.sound(column(used, 4))?,
        };
        let at: String = connection.sound(column(used, 5))?;
        let row = rows.iter_mut().find(|row| row.sequence == sequence);
        if let Some(kept) = row.and_then(|row| row.facts.as_mut()) {
            kept.found_used(piece, &at);
        }
    }
    Ok(())
}

/// The entries that amend others; the first where there are several.
fn amended(connection: &mut Connection, sequences: &[i64]) -> Result<BTreeMap<i64, Mark>> {
    let rows = connection.query(
        "SELECT amends, sequence, hash FROM entry WHERE amends = ANY ($1) AND sequence > amends
         ORDER BY sequence DESC",
        &[&sequences],
    )?;
    let amending = rows.iter().map(|row| {
        let amended = connection.sound(column(row, 0))?;
        Ok((amended, connection.sound(amending(row))?))
    });
    amending.collect()
}

/// The amending entry in a row that holds its number and hash after another column.
pub(super) fn amending(row: &postgres::Row) -> std::result::Result<Mark, Damage> {
    let hash: String = column(row, 2)?;
    Ok(Mark {
        sequence: to_u64(column(row, 1)?),
        // A hash that makes no sense is told of by verification; the number still leads there.
        hash: hash.parse().unwrap_or(Hash::NONE),
    })
}
