//! The tables of facts.

use std::fmt::Write as _;
use std::sync::OnceLock;

use postgres::types::ToSql;

use super::super::row::{Days, fact_columns, fact_names, facts, to_i64, to_u64};
use super::connection::Connection;
use super::row::{column, number};
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
pub(super) fn bounds(connection: &mut Connection, days: &Days<'_>) -> Result<Option<(i64, i64)>> {
    let mut found = (i64::MAX, i64::MIN);
    let (first, last) = (&days.first, &days.last);
    for (end, (order, beyond, of)) in [("ASC", ">", "min"), ("DESC", "<", "max")]
        .into_iter()
        .enumerate()
    {
        // From one day to the next that there is, and of each the entry at this end: no more is read of the index.
        let by_day = connection.row(
            &format!(
                "WITH RECURSIVE day AS (
                     (SELECT recorded_on AS d, sequence FROM fact WHERE recorded_on >= $1 AND recorded_on <= $2
                      ORDER BY recorded_on {order}, sequence {order} LIMIT 1)
                     UNION ALL
                     SELECT n.d, n.sequence FROM day CROSS JOIN LATERAL (
                         SELECT recorded_on AS d, sequence FROM fact
                         WHERE recorded_on {beyond} day.d AND recorded_on >= $1 AND recorded_on <= $2
                         ORDER BY recorded_on {order}, sequence {order} LIMIT 1) n)
                 SELECT {of}(sequence) FROM (SELECT sequence FROM day LIMIT $3) day"
            ),
            &[first, last, &days.most(end)],
        )?;
        let by_subject = match days.touching() {
            None => None,
            Some((role, first, last)) => connection.row(
                &format!(
                    "WITH RECURSIVE thing AS (
                         (SELECT identity AS i, sequence FROM subject
                          WHERE role = $1 AND identity >= $2 AND identity <= $3
                          ORDER BY identity {order}, sequence {order} LIMIT 1)
                         UNION ALL
                         SELECT n.i, n.sequence FROM thing CROSS JOIN LATERAL (
                             SELECT identity AS i, sequence FROM subject
                             WHERE role = $1 AND identity {beyond} thing.i AND identity >= $2 AND identity <= $3
                             ORDER BY identity {order}, sequence {order} LIMIT 1) n)
                     SELECT {of}(sequence) FROM (SELECT sequence FROM thing LIMIT $4) thing"
                ),
                &[&role, &first, &last, &days.most(end)],
            )?,
        };
        for row in by_day.into_iter().chain(by_subject) {
            let sequence: Option<i64> = connection.sound(column(&row, 0))?;
            if let Some(sequence) = sequence {
                found = (found.0.min(sequence), found.1.max(sequence));
            }
        }
    }
    Ok(days.bounds(found))
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
