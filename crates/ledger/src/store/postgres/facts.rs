//! The tables of facts.

use std::fmt::Write as _;
use std::sync::OnceLock;

use postgres::types::ToSql;

use super::super::row::{fact_columns, fact_names, facts, to_i64, to_u64};
use super::connection::Connection;
use super::read::number;
use super::row::column;
use crate::facts::KeptFacts;
use crate::{EntryId, Number, Order, Page, Result, Text, Touched, Touching, Used, time};

/// Up to which entry facts are made.
pub(super) fn reach(connection: &mut Connection) -> Result<u64> {
    number(connection, "SELECT max(sequence) FROM fact", &[])
}

/// Keeps the facts of entries by one statement, and what their results were measured with by another.
pub(super) fn insert(connection: &mut Connection, added: &[(u64, KeptFacts)]) -> Result<()> {
    if added.is_empty() {
        return Ok(());
    }
    let sequences: Vec<i64> = added
        .iter()
        .map(|(sequence, _)| to_i64(*sequence))
        .collect();
    let lent = |of: fn(&KeptFacts) -> &str| -> Vec<&str> {
        added.iter().map(|(_, kept)| of(kept)).collect()
    };
    let (checks, days) = (lent(|kept| &kept.check), lent(|kept| &kept.recorded_on));
    let times: Vec<Option<String>> = added
        .iter()
        .map(|(_, kept)| kept.facts.at.map(time::written))
        .collect();
    let numbers = Number::ALL.map(|of| -> Vec<Option<f64>> {
        added
            .iter()
            .map(|(_, kept)| kept.facts.number(of))
            .collect()
    });
    let texts = Text::ALL.map(|of| -> Vec<Option<&str>> {
        added.iter().map(|(_, kept)| kept.facts.text(of)).collect()
    });
    let mut values: Vec<&(dyn ToSql + Sync)> = vec![&sequences, &checks, &days, &times];
    values.extend(numbers.iter().map(|column| column as &(dyn ToSql + Sync)));
    values.extend(texts.iter().map(|column| column as &(dyn ToSql + Sync)));
    connection.query(insertion(), &values)?;

    let used: Vec<(i64, &str, &Used)> = added
        .iter()
        .zip(&times)
        .filter_map(|((sequence, kept), at)| Some((to_i64(*sequence), at.as_deref()?, kept)))
        .flat_map(|(sequence, at, kept)| {
            kept.facts
                .used
                .iter()
                .map(move |piece| (sequence, at, piece))
        })
        .collect();
    if used.is_empty() {
        return Ok(());
    }
    let part = |of: fn(&Used) -> &str| -> Vec<&str> {
        used.iter().map(|(_, _, piece)| of(piece)).collect()
    };
    connection.query(
        "INSERT INTO used (role, identity, at, sequence, sensitivity, part_of)
         SELECT * FROM unnest($1::text[], $2::text[], $3::text[], $4::bigint[], $5::double precision[], $6::text[])",
        &[
            &part(|piece| &piece.role),
            &part(|piece| &piece.identity),
            &used.iter().map(|(_, at, _)| *at).collect::<Vec<_>>(),
            &used.iter().map(|(of, _, _)| *of).collect::<Vec<_>>(),
            &used.iter().map(|(_, _, piece)| piece.sensitivity).collect::<Vec<_>>(),
            &used.iter().map(|(_, _, piece)| piece.part_of.as_deref()).collect::<Vec<_>>(),
        ],
    )?;
    Ok(())
}

fn insertion() -> &'static str {
    static SQL: OnceLock<String> = OnceLock::new();
    SQL.get_or_init(|| {
        let kinds = ["bigint", "text", "text", "text"]
            .into_iter()
            .chain(Number::ALL.map(|_| "double precision"))
            .chain(Text::ALL.map(|_| "text"));
        let arrays: Vec<String> = kinds
            .enumerate()
            .map(|(index, kind)| format!("${}::{kind}[]", index + 1))
            .collect();
        format!(
            "INSERT INTO fact ({}) SELECT * FROM unnest({})",
            fact_names().join(", "),
            arrays.join(", ")
        )
    })
}

/// Drops them all.
pub(super) fn clear(connection: &mut Connection) -> Result<()> {
    connection.run("DELETE FROM used; DELETE FROM fact")
}

/// From which to which entry something of these days can be: recorded from one day to another, or touching something of a role
/// between two identities. None where there is nothing.
pub(super) fn bounds(
    connection: &mut Connection,
    recorded: (&str, &str),
    touching: Option<(&str, &str, &str)>,
) -> Result<Option<(i64, i64)>> {
    // From one day to the next one that there is, and of each the first and the last entry: no more is read of the index.
    let by_day = connection.row(
        "WITH RECURSIVE day (d) AS (
             SELECT min(recorded_on) FROM fact WHERE recorded_on >= $1 AND recorded_on <= $2
             UNION ALL
             SELECT (SELECT min(recorded_on) FROM fact WHERE recorded_on > d AND recorded_on <= $2)
             FROM day WHERE d IS NOT NULL)
         SELECT min((SELECT min(sequence) FROM fact WHERE recorded_on = d)),
                max((SELECT max(sequence) FROM fact WHERE recorded_on = d)) FROM day WHERE d IS NOT NULL",
        &[&recorded.0, &recorded.1],
    )?;
    let by_subject = match touching {
        None => None,
        Some((role, first, last)) => connection.row(
            "WITH RECURSIVE thing (i) AS (
                 SELECT min(identity) FROM subject WHERE role = $1 AND identity >= $2 AND identity <= $3
                 UNION ALL
                 SELECT (SELECT min(identity) FROM subject WHERE role = $1 AND identity > i AND identity <= $3)
                 FROM thing WHERE i IS NOT NULL)
             SELECT min((SELECT min(sequence) FROM subject WHERE role = $1 AND identity = i)),
                    max((SELECT max(sequence) FROM subject WHERE role = $1 AND identity = i))
             FROM thing WHERE i IS NOT NULL",
            &[&role, &first, &last],
        )?,
    };
    let mut found: Option<(i64, i64)> = None;
    for row in by_day.into_iter().chain(by_subject) {
        let first: Option<i64> = connection.sound(column(&row, 0))?;
        let last: Option<i64> = connection.sound(column(&row, 1))?;
        if let Some((first, last)) = first.zip(last) {
            found = Some(found.map_or((first, last), |(one, other)| {
                (one.min(first), other.max(last))
            }));
        }
    }
    Ok(found)
}

/// The results that a piece of equipment touched.
pub(super) fn touched(connection: &mut Connection, asked: &Touching) -> Result<Vec<Touched>> {
    let mut values: Vec<Box<dyn ToSql + Sync>> = Vec::new();
    let mut value = |value: Box<dyn ToSql + Sync>| {
        values.push(value);
        format!("${}", values.len())
    };
    let role = value(Box::new(asked.role.clone()));
    let identity = value(Box::new(asked.identity.clone()));
    let mut sql = format!(
        "SELECT u.sensitivity, {} FROM used u JOIN fact f ON f.sequence = u.sequence
         WHERE u.role = {role} AND u.identity = {identity}",
        fact_columns()
    );
    for (compare, at) in [(">=", asked.since), ("<", asked.until)] {
        if let Some(at) = at {
            let at = value(Box::new(time::written(at)));
            let _ = write!(sql, " AND u.at {compare} {at}");
        }
    }
    let (compare, direction) = match asked.order {
        Order::OldestFirst => (">", "ASC"),
        Order::NewestFirst => ("<", "DESC"),
    };
    if let Some((at, sequence)) = asked.beyond {
        let at = value(Box::new(time::written(at)));
        let sequence = value(Box::new(to_i64(sequence)));
        let _ = write!(sql, " AND (u.at, u.sequence) {compare} ({at}, {sequence})");
    }
    for subject in &asked.also {
        let role = value(Box::new(subject.role.clone()));
        let identity = value(Box::new(subject.identity.clone()));
        let _ = write!(
            sql,
            " AND EXISTS (SELECT FROM subject o WHERE o.role = {role} AND o.identity = {identity}
                          AND o.sequence = u.sequence)"
        );
    }
    if asked.standing {
        sql += " AND NOT EXISTS (SELECT FROM entry n WHERE n.amends = u.sequence)";
    }
    let size = asked.size.clamp(1, Page::LARGEST);
    let _ = write!(
        sql,
        " ORDER BY u.at {direction}, u.sequence {direction} LIMIT {size}"
    );
    let values: Vec<&(dyn ToSql + Sync)> = values.iter().map(Box::as_ref).collect();
    let rows = connection.query(&sql, &values)?;
    let mut found = Vec::new();
    for row in &rows {
        let sequence: i64 = connection.sound(column(row, 1))?;
        let Some(kept) = facts(row, 1) else { continue };
        // What makes no sense is told by verification.
        if let (Some(entry), Some(at)) = (
            EntryId::from_parts(to_u64(sequence), &kept.check),
            kept.facts.at,
        ) {
            found.push(Touched {
                entry,
                at,
                sensitivity: connection.sound(column(row, 0))?,
                facts: kept.facts,
            });
        }
    }
    Ok(found)
}

/// The first entry whose facts or equipment stand alone.
pub(super) fn alone(connection: &mut Connection) -> Result<Option<i64>> {
    let row = connection.row(
        "SELECT sequence FROM fact f WHERE NOT EXISTS (SELECT FROM entry e WHERE e.sequence = f.sequence)
         UNION ALL
         SELECT sequence FROM used u WHERE NOT EXISTS (SELECT FROM fact f WHERE f.sequence = u.sequence)
         LIMIT 1",
        &[],
    )?;
    row.map(|row| connection.sound(column(&row, 0))).transpose()
}
