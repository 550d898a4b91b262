//! The tables of facts.

use std::fmt::Write as _;
use std::sync::OnceLock;

use rusqlite::types::Value;
use rusqlite::{Connection, OptionalExtension, Transaction, params, params_from_iter};

use super::super::Take;
use super::super::in_row::{Places, one_touched};
use super::super::row::{Column, End, columns_of, fact_names, to_i64, to_u64};
use crate::facts::KeptFacts;
use crate::{Number, Order, Page, Text, Touched, Touching, time};

/// Up to which entry facts are made.
pub(super) fn reach(connection: &Connection) -> rusqlite::Result<u64> {
    connection
        .prepare_cached("SELECT max(sequence) FROM fact")?
        .query_row([], |row| row.get::<_, Option<i64>>(0))
        .map(|last| last.map_or(0, to_u64))
}

/// Keeps the facts of an entry.
pub(super) fn insert(
    transaction: &Transaction<'_>,
    sequence: u64,
    kept: &KeptFacts,
) -> rusqlite::Result<()> {
    let sequence = to_i64(sequence);
    let facts = &kept.facts;
    let text = |text: Option<&str>| text.map_or(Value::Null, |text| text.to_owned().into());
    let at = facts.at.map(time::written);
    let first = [
        Value::from(sequence),
        kept.check.clone().into(),
        kept.recorded_on.clone().into(),
        text(at.as_deref()),
    ];
    let values = first
        .into_iter()
        .chain(Number::ALL.map(|number| facts.number(number).map_or(Value::Null, Value::Real)))
        .chain(Text::ALL.map(|of| text(facts.text(of))));
    transaction
        .prepare_cached(insertion())?
        .execute(params_from_iter(values))?;
    let Some(at) = at else {
        return Ok(());
    };
    let mut used = transaction.prepare_cached(
        "INSERT INTO used (role, identity, at, sequence, sensitivity, part_of) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?;
    for piece in &facts.used {
        used.execute(params![
            piece.role,
            piece.identity,
            at,
            sequence,
            piece.sensitivity,
            piece.part_of
        ])?;
    }
    Ok(())
}

fn insertion() -> &'static str {
    static SQL: OnceLock<String> = OnceLock::new();
    SQL.get_or_init(|| {
        let names = fact_names();
        let places = vec!["?"; names.len()].join(", ");
        format!("INSERT INTO fact ({}) VALUES ({places})", names.join(", "))
    })
}

/// Drops them all.
pub(super) fn clear(transaction: &Transaction<'_>) -> rusqlite::Result<()> {
    transaction.execute_batch("DELETE FROM used; DELETE FROM fact;")
}

/// The first or last entry of the days in a column.
pub(super) fn at_end(
    connection: &Connection,
    end: End,
    days: &Column,
) -> rusqlite::Result<Option<i64>> {
    connection
        .prepare_cached(&end_of(end, days.name))?
        .query_row([&days.first, &days.last], |row| row.get(0))
}

/// From one month to the next that there is, and of each the entry at this end: no more is read of the index.
pub(super) fn end_of(end: End, day: &str) -> String {
    // One bound at this end: of two, the engine would take either to search by.
    let (next, beyond, far, order) = match end {
        End::First => ("min", ">", "<= substr(?2, 1, 7)", "ASC"),
        End::Last => ("max", "<", ">= substr(?1, 1, 7)", "DESC"),
    };
    format!(
        "WITH RECURSIVE month (m) AS (
             SELECT {next}(substr({day}, 1, 7)) FROM fact
             WHERE substr({day}, 1, 7) BETWEEN substr(?1, 1, 7) AND substr(?2, 1, 7)
             UNION ALL
             SELECT (SELECT {next}(substr({day}, 1, 7)) FROM fact
                     WHERE substr({day}, 1, 7) {beyond} m AND substr({day}, 1, 7) {far})
             FROM month WHERE m IS NOT NULL)
         SELECT {next}((SELECT sequence FROM fact WHERE substr({day}, 1, 7) = m AND {day} BETWEEN ?1 AND ?2
                        ORDER BY sequence {order} LIMIT 1)) FROM month"
    )
}

/// How many entries touch something, but no more than so many are counted.
pub(super) fn some_of(
    connection: &Connection,
    role: &str,
    identity: &str,
    most: u32,
) -> rusqlite::Result<u64> {
    connection
        .prepare_cached(
            "SELECT count(*) FROM (SELECT 1 FROM subject WHERE role = ?1 AND identity = ?2 LIMIT ?3)",
        )?
        .query_row(params![role, identity, most], |row| row.get(0).map(to_u64))
}

/// The results that a piece of equipment touched.
pub(super) fn touched(connection: &Connection, asked: &Touching) -> rusqlite::Result<Vec<Touched>> {
    let (mut sql, mut values) = asking(asked);
    let (compare, direction) = match asked.order {
        Order::OldestFirst => (">", "ASC"),
        Order::NewestFirst => ("<", "DESC"),
    };
    if let Some((at, sequence)) = asked.beyond {
        let _ = write!(sql, " AND (u.at, u.sequence) {compare} (?, ?)");
        values.extend([time::written(at).into(), to_i64(sequence).into()]);
    }
    let size = asked.size.clamp(1, Page::LARGEST);
    let _ = write!(
        sql,
        " ORDER BY u.at {direction}, u.sequence {direction} LIMIT {size}"
    );
    let mut statement = connection.prepare_cached(&sql)?;
    let mut rows = statement.query(params_from_iter(&values))?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        found.extend(one_touched(row, asked.wanted)?);
    }
    Ok(found)
}

/// Each of them, until nobody takes more.
pub(super) fn each_touched(
    connection: &Connection,
    asked: &Touching,
    take: &mut Take<'_>,
) -> rusqlite::Result<()> {
    let (sql, values) = asking(asked);
    let sql = sql + " ORDER BY u.at, u.sequence";
    let mut statement = connection.prepare_cached(&sql)?;
    let mut rows = statement.query(params_from_iter(&values))?;
    let places = Places::of(asked.wanted);
    while let Some(row) = rows.next()? {
        if !places.hand_over(row, take) {
            break;
        }
    }
    Ok(())
}

/// The question without its order, and its values.
fn asking(asked: &Touching) -> (String, Vec<Value>) {
    // CROSS JOIN: from the piece to its results, in order.
    let mut sql = format!(
        "SELECT u.sensitivity, {} FROM used u CROSS JOIN fact f ON f.sequence = u.sequence
         WHERE u.role = ? AND u.identity = ?",
        columns_of(asked.wanted)
    );
    let mut values: Vec<Value> = vec![asked.role.clone().into(), asked.identity.clone().into()];
    for (compare, at) in [(">=", asked.since), ("<", asked.until)] {
        if let Some(at) = at {
            let _ = write!(sql, " AND u.at {compare} ?");
            values.push(time::written(at).into());
        }
    }
    for subject in &asked.also {
        sql += " AND EXISTS (SELECT 1 FROM subject o WHERE o.role = ? AND o.identity = ? AND o.sequence = u.sequence)";
        values.extend([subject.role.clone().into(), subject.identity.clone().into()]);
    }
    if let Some(last) = asked.up_to {
        sql += " AND u.sequence <= ?";
        values.push(to_i64(last).into());
    }
    if asked.standing {
        sql += " AND NOT EXISTS (SELECT 1 FROM entry n WHERE n.amends = u.sequence";
        if let Some(last) = asked.up_to {
            sql += " AND n.sequence <= ?";
            values.push(to_i64(last).into());
        }
        sql.push(')');
    }
    (sql, values)
}

/// The first entry whose facts or equipment stand alone.
pub(super) fn alone(connection: &Connection) -> rusqlite::Result<Option<i64>> {
    connection
        .query_row(
            "SELECT sequence FROM fact f WHERE NOT EXISTS (SELECT 1 FROM entry e WHERE e.sequence = f.sequence)
             UNION ALL
             SELECT sequence FROM used u WHERE NOT EXISTS (SELECT 1 FROM fact f WHERE f.sequence = u.sequence)
             LIMIT 1",
            [],
            |row| row.get(0),
        )
        .optional()
}
