//! Events of jobs under way.

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};

use super::{SqliteStore, read};
use crate::{BenchEvent, Error, NewBenchEvent, Result, encoding};

/// Adds events to a job, all or none; `job` none begins the next one. `after` is the number of the event they follow.
pub(super) fn add(
    store: &SqliteStore,
    connection: &mut Connection,
    job: Option<u64>,
    after: u64,
    at: Timestamp,
    events: &[NewBenchEvent],
) -> Result<u64> {
    let told = |error: rusqlite::Error| store.told(&error);
    // IMMEDIATE: nobody else adds between our look and our insert.
    let transaction = connection
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .map_err(told)?;
    let job = match job {
        Some(job) => job,
        None => latest(&transaction).map_err(told)?.map_or(1, |job| job + 1),
    };
    let (last, ended) = transaction
        .prepare_cached(
            "SELECT coalesce(max(number), 0), coalesce(max(ends), 0) FROM bench_event WHERE job = ?1",
        )
        .and_then(|mut statement| {
            statement.query_row([read::to_i64(job)], |row| {
                Ok((read::to_u64(row.get(0)?), row.get::<_, bool>(1)?))
            })
        })
        .map_err(told)?;
    if last != after || ended {
        return Err(Error::JobWentOn { job, after, last });
    }
    {
        let mut insert = transaction
            .prepare_cached(
                "INSERT INTO bench_event (job, number, at, event, ends) VALUES (?1, ?2, ?3, ?4, ?5)",
            )
            .map_err(told)?;
        for (number, new) in (after + 1..).zip(events) {
            insert
                .execute(params![
                    read::to_i64(job),
                    read::to_i64(number),
                    encoding::time(at),
                    new.event,
                    new.ends,
                ])
                .map_err(told)?;
        }
    }
    transaction.commit().map_err(told)?;
    Ok(job)
}

/// The events of a job that follow one of its events, in order.
pub(super) fn events(
    store: &SqliteStore,
    connection: &Connection,
    job: u64,
    after: u64,
) -> Result<Vec<BenchEvent>> {
    let rows = connection
        .prepare_cached(
            "SELECT number, at, event, ends FROM bench_event WHERE job = ?1 AND number > ?2 ORDER BY number",
        )
        .and_then(|mut statement| {
            statement
                .query_map([read::to_i64(job), read::to_i64(after)], |row| {
                    Ok((
                        read::to_u64(row.get(0)?),
                        row.get::<_, String>(1)?,
                        row.get::<_, String>(2)?,
                        row.get::<_, bool>(3)?,
                    ))
                })?
                .collect::<rusqlite::Result<Vec<_>>>()
        })
        .map_err(|error| store.told(&error))?;
    rows.into_iter()
        .map(|(number, at, event, ends)| {
            let at = at.parse().map_err(|error| Error::Damaged {
                path: store.path.clone(),
                detail: format!(
                    "event {number} of job {job} has no time that can be read ({error})"
                ),
            })?;
            Ok(BenchEvent {
                job,
                number,
                at,
                event,
                ends,
            })
        })
        .collect()
}

/// The latest job.
pub(super) fn latest(connection: &Connection) -> rusqlite::Result<Option<u64>> {
    connection
        .prepare_cached("SELECT job FROM bench_event ORDER BY job DESC LIMIT 1")?
        .query_row([], |row| row.get(0).map(read::to_u64))
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
        .query_map([limit], |row| row.get(0).map(read::to_u64))?
        .collect()
}
