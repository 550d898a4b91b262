//! Events of jobs, each job a chain of its own.

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, Transaction, params};

use super::super::row::{self, EVENT, to_i64, to_u64};
use super::super::{EventExtent, EventRow, jobs};
use super::SqliteStore;
use crate::{BenchEvent, Damage, Hash, NewBenchEvent, Result, time};

/// Adds events to a job, all or none; `job` none begins the next one. `after` is the number of the event they follow.
pub(super) fn add(
    store: &SqliteStore,
    transaction: &Transaction<'_>,
    job: Option<u64>,
    after: u64,
    at: Timestamp,
    new: &[NewBenchEvent],
) -> Result<u64> {
    let told = |error: rusqlite::Error| store.told(&error);
    let (last_id, issued) = last_of_all(transaction).map_err(told)?;
    if last_id != issued {
        // Adding now would hide that events are missing.
        return Err(store.damaged(Damage::EventTailMissing {
            last: last_id,
            issued,
        }));
    }
    let job = match job {
        Some(job) => job,
        None => latest(transaction).map_err(told)?.map_or(1, |job| job + 1),
    };
    let last = last_of(store, transaction, job)?;
    for (step, event) in (1..).zip(jobs::follow(job, last, after, at, new)?) {
        insert(transaction, last_id + step, &event).map_err(told)?;
    }
    Ok(job)
}

pub(super) fn insert(connection: &Connection, id: u64, event: &BenchEvent) -> rusqlite::Result<()> {
    connection
        .prepare_cached(
            "INSERT INTO bench_event (id, job, number, at, ends, actor_id, actor_name, actor_how, station, hash, event)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
        )?
        .execute(params![
            to_i64(id),
            to_i64(event.job),
            to_i64(event.number),
            time::written(event.at),
            event.ends,
            event.actor.id,
            event.actor.name,
            event.actor.how.code(),
            event.station,
            event.hash.to_string(),
            event.event,
        ])
        .map(|_| ())
}

/// The last event of all there is, and the last that was ever kept, by their numbers over all jobs.
fn last_of_all(connection: &Connection) -> rusqlite::Result<(u64, u64)> {
    connection
        .prepare_cached(
            "SELECT (SELECT max(id) FROM bench_event),
                    (SELECT max(seq) FROM sqlite_sequence WHERE name = 'bench_event')",
        )?
        .query_row([], |row| {
            let number = |index| {
                row.get::<_, Option<i64>>(index)
                    .map(|found| found.map_or(0, to_u64))
            };
            Ok((number(0)?, number(1)?))
        })
}

/// The last event of a job.
pub(super) fn last_of(
    store: &SqliteStore,
    connection: &Connection,
    job: u64,
) -> Result<Option<BenchEvent>> {
    let row = connection
        .prepare_cached(&format!(
            "SELECT {EVENT} FROM bench_event WHERE job = ?1 ORDER BY number DESC LIMIT 1"
        ))
        .and_then(|mut statement| statement.query_row([to_i64(job)], decode).optional())
        .map_err(|error| store.told(&error))?;
    row.map(|row| jobs::sound(job, row).map_err(|what| store.damaged(what)))
        .transpose()
}

/// The events of a job that follow one of its events, in order, and each from the one before.
pub(super) fn events(
    store: &SqliteStore,
    connection: &Connection,
    job: u64,
    after: u64,
) -> Result<Vec<BenchEvent>> {
    let rows = connection
        .prepare_cached(&format!(
            "SELECT {EVENT} FROM bench_event WHERE job = ?1 AND number >= ?2 ORDER BY number"
        ))
        .and_then(|mut statement| {
            statement
                .query_map([to_i64(job), to_i64(after)], decode)?
                .collect::<rusqlite::Result<Vec<_>>>()
        })
        .map_err(|error| store.told(&error))?;
    jobs::chained(job, after, rows).map_err(|what| store.damaged(what))
}

/// Reads a row of [`EVENT`].
fn decode(row: &rusqlite::Row<'_>) -> rusqlite::Result<EventRow> {
    Ok(row::event(row, row.get(0)?, row.get(1)?))
}

/// The stored hash of an event.
pub(super) fn hash(
    connection: &Connection,
    job: u64,
    number: u64,
) -> rusqlite::Result<Option<Hash>> {
    let found = connection
        .prepare_cached("SELECT hash FROM bench_event WHERE job = ?1 AND number = ?2")?
        .query_row([to_i64(job), to_i64(number)], |row| {
            Ok(row::hash(row, 0, "hash").ok())
        })
        .optional()?;
    Ok(found.flatten())
}

/// The events after one, whatever they hold, until they are many bytes.
pub(super) fn rows(
    connection: &Connection,
    after: (i64, i64),
    limit: u32,
) -> rusqlite::Result<Vec<EventRow>> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {EVENT} FROM bench_event WHERE (job, number) > (?1, ?2) ORDER BY job, number LIMIT ?3"
    ))?;
    let mut rows = Vec::new();
    let mut bytes = 0;
    for row in statement.query_map(params![after.0, after.1, limit], decode)? {
        let row = row?;
        bytes += row.event.as_ref().map_or(0, |event| event.event.len());
        rows.push(row);
        if bytes > row::BYTES_AT_A_TIME {
            break;
        }
    }
    Ok(rows)
}

/// The events above a number among all, with theirs.
pub(super) fn kept(
    connection: &Connection,
    above: i64,
    limit: u32,
) -> rusqlite::Result<Vec<(i64, EventRow)>> {
    connection
        .prepare_cached(&format!(
            "SELECT {EVENT}, id FROM bench_event WHERE id > ?1 ORDER BY id LIMIT ?2"
        ))?
        .query_map(params![above, limit], |row| {
            Ok((row.get(10)?, decode(row)?))
        })?
        .collect()
}

/// How many events there are, and how many were kept.
pub(super) fn extent(connection: &Connection) -> rusqlite::Result<EventExtent> {
    let (_, issued) = last_of_all(connection)?;
    let found = connection
        .prepare_cached("SELECT count(*) FROM bench_event WHERE id <= ?1")?
        .query_row([to_i64(issued)], |row| row.get(0).map(to_u64))?;
    Ok(EventExtent { found, issued })
}

/// The latest job.
pub(super) fn latest(connection: &Connection) -> rusqlite::Result<Option<u64>> {
    connection
        .prepare_cached("SELECT job FROM bench_event ORDER BY job DESC LIMIT 1")?
        .query_row([], |row| row.get(0).map(to_u64))
        .optional()
}

/// The jobs that have no end yet, the latest first.
pub(super) fn open(connection: &Connection, limit: u32) -> rusqlite::Result<Vec<u64>> {
    connection
        .prepare_cached(
            "SELECT b.job FROM bench_event b WHERE b.number = 1
               AND NOT EXISTS (SELECT 1 FROM bench_event e WHERE e.job = b.job AND e.ends = 1)
             ORDER BY b.job DESC LIMIT ?1",
        )?
        .query_map([limit], |row| row.get(0).map(to_u64))?
        .collect()
}
