//! Events of jobs, each job a chain of its own.

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, Transaction, params};

use super::super::{EventExtent, EventRow};
use super::row::{to_i64, to_u64};
use super::{SqliteStore, row};
use crate::{BenchEvent, Damage, Error, Hash, NewBenchEvent, Result, Unreadable, encoding, time};

/// The columns of an event, in the order [`decode`] reads them.
const COLUMNS: &str =
    "job, number, at, ends, actor_id, actor_name, actor_how, station, hash, event";

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
    let number = last.as_ref().map_or(0, |last| last.number);
    if number != after || last.as_ref().is_some_and(|last| last.ends) {
        let last = number;
        return Err(Error::JobWentOn { job, after, last });
    }
    let mut previous = last.map_or_else(|| encoding::job_hash(job), |last| last.hash);
    for (step, new) in (1..).zip(new) {
        let mut event = BenchEvent {
            job,
            number: after + step,
            at,
            event: new.event.clone(),
            ends: new.ends,
            actor: new.actor.clone(),
            station: new.station.clone(),
            hash: Hash::NONE,
        };
        event.hash = encoding::event_hash(&previous, &event);
        previous = event.hash;
        insert(transaction, last_id + step, &event).map_err(told)?;
    }
    Ok(job)
}

fn insert(connection: &Connection, id: u64, event: &BenchEvent) -> rusqlite::Result<()> {
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
            "SELECT {COLUMNS} FROM bench_event WHERE job = ?1 ORDER BY number DESC LIMIT 1"
        ))
        .and_then(|mut statement| statement.query_row([to_i64(job)], decode).optional())
        .map_err(|error| store.told(&error))?;
    row.map(|row| sound(store, job, row)).transpose()
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
            "SELECT {COLUMNS} FROM bench_event WHERE job = ?1 AND number >= ?2 ORDER BY number"
        ))
        .and_then(|mut statement| {
            statement
                .query_map([to_i64(job), to_i64(after)], decode)?
                .collect::<rusqlite::Result<Vec<_>>>()
        })
        .map_err(|error| store.told(&error))?;
    let mut rows = rows.into_iter().peekable();
    let mut previous = encoding::job_hash(job);
    if after > 0 {
        // The one before the first that was asked for: the chain begins with it.
        match rows.next_if(|row| row.number == to_i64(after)) {
            Some(row) => previous = sound(store, job, row)?.hash,
            None if rows.peek().is_none() => return Ok(Vec::new()),
            None => {
                let number = after;
                return Err(store.damaged(Damage::EventMissing { job, number }));
            }
        }
    }
    let mut events = Vec::new();
    for (number, row) in (after + 1..).zip(rows) {
        let event = sound(store, job, row)?;
        if event.number != number {
            return Err(store.damaged(Damage::EventMissing { job, number }));
        }
        if encoding::event_hash(&previous, &event) != event.hash {
            return Err(store.damaged(Damage::EventAltered { job, number }));
        }
        previous = event.hash;
        events.push(event);
    }
    Ok(events)
}

fn sound(store: &SqliteStore, job: u64, row: EventRow) -> Result<BenchEvent> {
    let number = row.number;
    row.event
        .map_err(|why| store.damaged(Damage::Event { job, number, why }))
}

/// Reads a row of [`COLUMNS`].
fn decode(row: &rusqlite::Row<'_>) -> rusqlite::Result<EventRow> {
    let (job, number) = (row.get(0)?, row.get(1)?);
    Ok(EventRow {
        job,
        number,
        hash: row::hash(row, 8, "hash").ok(),
        event: read_event(row, job, number),
    })
}

fn read_event(
    row: &rusqlite::Row<'_>,
    job: i64,
    number: i64,
) -> std::result::Result<BenchEvent, Unreadable> {
    let positive = |column, found: i64| {
        u64::try_from(found).map_err(|_| Unreadable::Number {
            column,
            found: Some(found),
        })
    };
    Ok(BenchEvent {
        job: positive("job", job)?,
        number: positive("number", number)?,
        at: row::time(row, 2, "at")?,
        ends: match row.get(3) {
            Ok(0) => false,
            Ok(1) => true,
            found => {
                let (column, found) = ("ends", found.ok());
                return Err(Unreadable::Number { column, found });
            }
        },
        actor: row::actor(row, 4)?,
        station: row::text(row, 7, "station")?,
        hash: row::hash(row, 8, "hash")?,
        event: row::text(row, 9, "event")?,
    })
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
        "SELECT {COLUMNS} FROM bench_event WHERE (job, number) > (?1, ?2) ORDER BY job, number LIMIT ?3"
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
