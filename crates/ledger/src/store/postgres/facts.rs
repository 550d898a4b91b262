//! The tables of facts.

use std::fmt::Write as _;

use postgres::types::ToSql;

use super::super::Take;
use super::super::in_row::{Places, one_touched};
use super::super::row::{self, End, columns_of, to_i64};
use super::connection::Connection;
use super::insertion::{Column, Insertion};
use super::row::{column, number, unreadable};
use crate::facts::KeptFacts;
use crate::{Number, Order, Page, Result, Text, Touched, Touching, Used, time};

/// Up to which entry facts are made.
pub(super) fn reach(connection: &mut Connection) -> Result<u64> {
    number(connection, "SELECT max(sequence) FROM fact", &[])
}

/// Puts the facts of entries in, and what their results were measured with.
pub(super) fn put<'a>(insertion: &mut Insertion<'a>, added: &'a [(u64, KeptFacts)]) {
    if added.is_empty() {
        return;
    }
    let of = |name, text: fn(&'a KeptFacts) -> &'a str| {
        Column::texts(name, added.iter().map(|(_, kept)| text(kept)).collect())
    };
    let times: Vec<Option<String>> = added
        .iter()
        .map(|(_, kept)| kept.facts.at.map(time::written))
        .collect();
    let used: Vec<(i64, String, &'a Used)> = added
        .iter()
        .zip(&times)
        .filter_map(|((sequence, kept), at)| Some((to_i64(*sequence), at.clone()?, kept)))
        .flat_map(|(sequence, at, kept)| {
            let pieces = kept.facts.used.iter();
            pieces.map(move |piece| (sequence, at.clone(), piece))
        })
        .collect();
    let sequences = added.iter().map(|(sequence, _)| to_i64(*sequence));
    let mut columns = vec![
        Column::numbers("sequence", sequences.collect()),
        of("check_digits", |kept| &kept.check),
        of("recorded_on", |kept| &kept.recorded_on),
        Column::texts("at", times),
    ];
    columns.extend(Number::ALL.map(|of| {
        let numbers = added.iter().map(|(_, kept)| kept.facts.number(of));
        Column::reals(of.column(), numbers.collect())
    }));
    columns.extend(Text::ALL.map(|of| {
        let texts = added.iter().map(|(_, kept)| kept.facts.text(of));
        Column::texts(of.column(), texts.collect())
    }));
    insertion.into("fact", columns);

    if used.is_empty() {
        return;
    }
    let part = |name, of: fn(&'a Used) -> Option<&'a str>| {
        Column::texts(name, used.iter().map(|(_, _, piece)| of(piece)).collect())
    };
    let columns = vec![
        part("role", |piece| Some(&piece.role)),
        part("identity", |piece| Some(&piece.identity)),
        Column::texts("at", used.iter().map(|(_, at, _)| at.clone()).collect()),
        Column::numbers("sequence", used.iter().map(|(of, _, _)| *of).collect()),
        Column::reals(
            "sensitivity",
            used.iter().map(|(_, _, piece)| piece.sensitivity).collect(),
        ),
        part("part_of", |piece| piece.part_of.as_deref()),
    ];
    insertion.into("used", columns);
}

/// Drops them all.
pub(super) fn clear(connection: &mut Connection) -> Result<()> {
    connection.run("DELETE FROM used; DELETE FROM fact")
}

/// The first or last entry of the days in a column.
pub(super) fn at_end(
    connection: &mut Connection,
    end: End,
    days: &row::Column,
) -> Result<Option<i64>> {
    let (order, beyond, of) = match end {
        End::First => ("ASC", ">", "min"),
        End::Last => ("DESC", "<", "max"),
    };
    let day = days.name;
    let next = format!(
        "substr({day}, 1, 7) BETWEEN substr($1::text, 1, 7) AND substr($2::text, 1, 7) AND {day} BETWEEN $1 AND $2
         ORDER BY substr({day}, 1, 7) {order}, sequence {order} LIMIT 1"
    );
    // From one month to the next that there is, and of each the entry at this end: no more is read of the index.
    let row = connection.row(
        &format!(
            "WITH RECURSIVE month AS (
                 (SELECT substr({day}, 1, 7) AS m, sequence FROM fact WHERE {next})
                 UNION ALL
                 SELECT n.m, n.sequence FROM month CROSS JOIN LATERAL (
                     SELECT substr({day}, 1, 7) AS m, sequence FROM fact
                     WHERE substr({day}, 1, 7) {beyond} month.m AND {next}) n)
             SELECT {of}(sequence) FROM month"
        ),
        &[&days.first, &days.last],
    )?;
    row.map_or(Ok(None), |row| connection.sound(column(&row, 0)))
}

/// The results that a piece of equipment touched.
pub(super) fn touched(connection: &mut Connection, asked: &Touching) -> Result<Vec<Touched>> {
    let Question {
        mut sql,
        mut values,
    } = asking(asked);
    let (compare, direction) = match asked.order {
        Order::OldestFirst => (">", "ASC"),
        Order::NewestFirst => ("<", "DESC"),
    };
    if let Some((at, sequence)) = asked.beyond {
        let count = values.len();
        let _ = write!(
            sql,
            " AND (u.at, u.sequence) {compare} (${}, ${})",
            count + 1,
            count + 2
        );
        values.push(Box::new(time::written(at)));
        values.push(Box::new(to_i64(sequence)));
    }
    let size = asked.size.clamp(1, Page::LARGEST);
    let _ = write!(
        sql,
        " ORDER BY u.at {direction}, u.sequence {direction} LIMIT {size}"
    );
    let values: Vec<&(dyn ToSql + Sync)> = values.iter().map(|value| &**value as _).collect();
    let rows = connection.query(&sql, &values)?;
    let found = rows.iter().map(|row| one_touched(row, asked.wanted));
    let found: std::result::Result<Vec<_>, postgres::Error> = found.collect();
    let found = found.map_err(unreadable);
    Ok(connection.sound(found)?.into_iter().flatten().collect())
}

/// Each of them, until nobody takes more.
pub(super) fn each_touched(
    connection: &mut Connection,
    asked: &Touching,
    take: &mut Take<'_>,
) -> Result<()> {
    let Question { sql, values } = asking(asked);
    let sql = sql + " ORDER BY u.at, u.sequence";
    let values: Vec<&(dyn ToSql + Sync)> = values.iter().map(|value| &**value as _).collect();
    let places = Places::of(asked.wanted);
    connection.each(&sql, &values, |row| places.hand_over(&row, take))
}

/// A question with its values.
struct Question {
    sql: String,
    values: Vec<Box<dyn ToSql + Sync + Send>>,
}

/// The question without its order.
fn asking(asked: &Touching) -> Question {
    let mut values: Vec<Box<dyn ToSql + Sync + Send>> = Vec::new();
    let mut value = |value: Box<dyn ToSql + Sync + Send>| {
        values.push(value);
        format!("${}", values.len())
    };
    let role = value(Box::new(asked.role.clone()));
    let identity = value(Box::new(asked.identity.clone()));
    let mut sql = format!(
        "SELECT u.sensitivity, {} FROM used u JOIN fact f ON f.sequence = u.sequence
         WHERE u.role = {role} AND u.identity = {identity}",
        columns_of(asked.wanted)
    );
    for (compare, at) in [(">=", asked.since), ("<", asked.until)] {
        if let Some(at) = at {
            let at = value(Box::new(time::written(at)));
            let _ = write!(sql, " AND u.at {compare} {at}");
        }
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
    let up_to = asked.up_to.map(|last| value(Box::new(to_i64(last))));
    if let Some(last) = &up_to {
        let _ = write!(sql, " AND u.sequence <= {last}");
    }
    if asked.standing {
        sql += " AND NOT EXISTS (SELECT FROM entry n WHERE n.amends = u.sequence";
        if let Some(last) = &up_to {
            let _ = write!(sql, " AND n.sequence <= {last}");
        }
        sql.push(')');
    }
    Question { sql, values }
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
