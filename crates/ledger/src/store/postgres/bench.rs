//! Events of jobs, each job a chain of its own.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::super::row::{BYTES_AT_A_TIME, EVENT, event, to_i64, to_u64};
use super::super::{EventExtent, EventRow, jobs};
use super::connection::Connection;
use super::done::Done;
use super::row::{column, number};
use crate::{BenchEvent, Damage, Error, Hash, NewBenchEvent, Result, time};

/// Held while events are chained and put in, until the commit.
pub(super) const LOCK: &str = "SELECT pg_advisory_xact_lock(1296452679, 3)";

/// Events to be added to a job, all or none; `job` none begins the next one. `after` is the event they follow.
pub(super) struct Asked {
    pub job: Option<u64>,
    pub after: u64,
    pub at: Timestamp,
    pub events: Vec<NewBenchEvent>,
}

/// Chains events to those of their jobs, and puts them in; the transaction stays open.
pub(super) fn add(connection: &mut Connection, asked: &[Asked]) -> Result<Done<Vec<Result<u64>>>> {
    let row = connection.run_for_row(&format!(
        "BEGIN ISOLATION LEVEL READ COMMITTED; {LOCK};
         SELECT gen_random_uuid(), events, (SELECT max(id) FROM bench_event), (SELECT max(job) FROM bench_event)
         FROM issued"
    ))?;
    let mut values = row.into_iter();
    let key = values.next().flatten().unwrap_or_default();
    let mut number = || -> u64 {
        let value = values.next().flatten();
        value.and_then(|value| value.parse().ok()).unwrap_or(0)
    };
    let (issued, last_id, mut latest) = (number(), number(), number());
    if last_id != issued {
        // Adding now would hide that events are missing.
        let last = last_id;
        return connection.sound(Err(Damage::EventTailMissing { last, issued }));
    }
    let mut waiting: BTreeMap<u64, BenchEvent> = BTreeMap::new();
    let (mut answers, mut added) = (Vec::new(), Vec::new());
    for asked in asked {
        let job = asked.job.unwrap_or(latest + 1);
        let last = match waiting.get(&job) {
            Some(last) => Ok(Some(last.clone())),
            None => last_of(connection, job),
        };
        let followed =
            last.and_then(|last| jobs::follow(job, last, asked.after, asked.at, &asked.events));
        match followed {
            Ok(events) => {
                if let Some(last) = events.last() {
                    latest = latest.max(job);
                    waiting.insert(job, last.clone());
                }
                added.extend(events);
                answers.push(Ok(job));
            }
            Err(error @ (Error::JobWentOn { .. } | Error::Damaged { .. })) => {
                answers.push(Err(error));
            }
            Err(error) => return Err(error),
        }
    }
    if added.is_empty() {
        return Ok(Done::Nothing(answers));
    }
    let numbered: Vec<(u64, BenchEvent)> = (last_id + 1..).zip(added).collect();
    insert(connection, &numbered, &key)?;
    Ok(Done::Added {
        answer: answers,
        look_up: format!("SELECT key FROM bench_event WHERE id = {}", last_id + 1),
        key,
    })
}

/// Puts events in, each with its number among all, by one statement.
pub(super) fn insert(
    connection: &mut Connection,
    events: &[(u64, BenchEvent)],
    key: &str,
) -> Result<()> {
    let numbers = |of: fn(&BenchEvent) -> u64| -> Vec<i64> {
        events.iter().map(|(_, event)| to_i64(of(event))).collect()
    };
    let texts = |of: fn(&BenchEvent) -> String| -> Vec<String> {
        events.iter().map(|(_, event)| of(event)).collect()
    };
    let lent = |of: fn(&BenchEvent) -> &str| -> Vec<&str> {
        events.iter().map(|(_, event)| of(event)).collect()
    };
    connection.query(
        "INSERT INTO bench_event (key, id, job, number, at, ends, actor_id, actor_name, actor_how, station, hash, event)
         SELECT $1::text::uuid, *
         FROM unnest($2::bigint[], $3::bigint[], $4::bigint[], $5::text[], $6::bigint[], $7::text[], $8::text[],
                     $9::text[], $10::text[], $11::text[], $12::text[])",
        &[
            &key,
            &events.iter().map(|(id, _)| to_i64(*id)).collect::<Vec<_>>(),
            &numbers(|event| event.job),
            &numbers(|event| event.number),
            &texts(|event| time::written(event.at)),
            &numbers(|event| event.ends.into()),
            &lent(|event| &event.actor.id),
            &lent(|event| &event.actor.name),
            &lent(|event| event.actor.how.code()),
            &lent(|event| &event.station),
            &texts(|event| event.hash.to_string()),
            &lent(|event| &event.event),
        ],
    )?;
    Ok(())
}

/// The last event of a job.
fn last_of(connection: &mut Connection, job: u64) -> Result<Option<BenchEvent>> {
    let row = connection.row(
        &format!("SELECT {EVENT} FROM bench_event WHERE job = $1 ORDER BY number DESC LIMIT 1"),
        &[&to_i64(job)],
    )?;
    let Some(row) = row else {
        return Ok(None);
    };
    let row = connection.sound(decode(&row))?;
    connection.sound(jobs::sound(job, row)).map(Some)
}

/// The last event of each of these jobs, in their order.
pub(super) fn last_of_each(connection: &mut Connection, jobs: &[u64]) -> Result<Vec<BenchEvent>> {
    let asked: Vec<i64> = jobs.iter().map(|job| to_i64(*job)).collect();
    let rows = connection.query(
        &format!(
            "SELECT {EVENT} FROM unnest($1::bigint[]) WITH ORDINALITY AS asked (of, nth),
             LATERAL (SELECT * FROM bench_event WHERE job = of ORDER BY number DESC LIMIT 1) last
             ORDER BY nth"
        ),
        &[&asked],
    )?;
    let found = rows.iter().map(|row| {
        let row = decode(row)?;
        jobs::sound(to_u64(row.job), row)
    });
    connection.sound(found.collect())
}

/// The events of a job that follow one of its events, in order, and each from the one before.
pub(super) fn events(connection: &mut Connection, job: u64, after: u64) -> Result<Vec<BenchEvent>> {
    let rows = connection.query(
        &format!("SELECT {EVENT} FROM bench_event WHERE job = $1 AND number >= $2 ORDER BY number"),
        &[&to_i64(job), &to_i64(after)],
    )?;
    let rows = rows.iter().map(decode).collect();
    let rows = connection.sound(rows)?;
    connection.sound(jobs::chained(job, after, rows))
}

/// Reads a row of [`EVENT`].
fn decode(row: &postgres::Row) -> std::result::Result<EventRow, Damage> {
    Ok(event(row, column(row, 0)?, column(row, 1)?))
}

/// The stored hash of an event.
pub(super) fn hash(connection: &mut Connection, job: u64, number: u64) -> Result<Option<Hash>> {
    let row = connection.row(
        "SELECT hash FROM bench_event WHERE job = $1 AND number = $2",
        &[&to_i64(job), &to_i64(number)],
    )?;
    let Some(row) = row else {
        return Ok(None);
    };
    let hash: String = connection.sound(column(&row, 0))?;
    Ok(hash.parse().ok())
}

/// The events after one, whatever they hold, until they are many bytes.
pub(super) fn rows(
    connection: &mut Connection,
    after: (i64, i64),
    limit: u32,
) -> Result<Vec<EventRow>> {
    let found = connection.query(
        &format!(
            "SELECT {EVENT}
             FROM (SELECT *, coalesce(sum(octet_length(event)) OVER (ORDER BY job, number
                              ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING), 0) AS before
                   FROM (SELECT * FROM bench_event WHERE (job, number) > ($1, $2)
                         ORDER BY job, number LIMIT $3) next) next
             WHERE before <= $4::bigint ORDER BY job, number"
        ),
        &[
            &after.0,
            &after.1,
            &i64::from(limit),
            &to_i64(BYTES_AT_A_TIME as u64),
        ],
    )?;
    let rows = found.iter().map(decode).collect();
    connection.sound(rows)
}

/// The events above a number among all, with theirs.
pub(super) fn kept(
    connection: &mut Connection,
    above: i64,
    limit: u32,
) -> Result<Vec<(i64, EventRow)>> {
    let found = connection.query(
        &format!("SELECT {EVENT}, id FROM bench_event WHERE id > $1 ORDER BY id LIMIT $2"),
        &[&above, &i64::from(limit)],
    )?;
    let rows = found.iter().map(|row| Ok((column(row, 10)?, decode(row)?)));
    connection.sound(rows.collect())
}

/// How many events there are, and how many were kept.
pub(super) fn extent(connection: &mut Connection) -> Result<EventExtent> {
    let row = connection.row(
        "SELECT i.events, (SELECT count(*) FROM bench_event WHERE id <= i.events) FROM issued i",
        &[],
    )?;
    let Some(row) = row else {
        return Ok(EventExtent::default());
    };
    Ok(EventExtent {
        issued: to_u64(connection.sound(column(&row, 0))?),
        found: to_u64(connection.sound(column(&row, 1))?),
    })
}

/// The latest job.
pub(super) fn latest(connection: &mut Connection) -> Result<Option<u64>> {
    let latest = number(connection, "SELECT max(job) FROM bench_event", &[])?;
    Ok(Some(latest).filter(|job| *job > 0))
}

/// The jobs that have no end yet, the latest first.
pub(super) fn open(connection: &mut Connection, limit: u32) -> Result<Vec<u64>> {
    let rows = connection.query(
        "SELECT b.job FROM bench_event b WHERE b.number = 1
           AND NOT EXISTS (SELECT FROM bench_event e WHERE e.job = b.job AND e.ends = 1)
         ORDER BY b.job DESC LIMIT $1",
        &[&i64::from(limit)],
    )?;
    let jobs = rows.iter().map(|row| column(row, 0).map(to_u64));
    connection.sound(jobs.collect())
}
