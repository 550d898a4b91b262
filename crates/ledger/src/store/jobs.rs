//! The chain of the events of a job, the same for either engine.

use jiff::Timestamp;

use super::EventRow;
use super::row::to_i64;
use crate::{BenchEvent, Damage, Error, Hash, NewBenchEvent, Result, encoding};

/// New events as those that follow the last one of a job. `after` is the number of the event they are to follow.
pub(crate) fn follow(
    job: u64,
    last: Option<BenchEvent>,
    after: u64,
    at: Timestamp,
    new: &[NewBenchEvent],
) -> Result<Vec<BenchEvent>> {
    let number = last.as_ref().map_or(0, |last| last.number);
    if number != after || last.as_ref().is_some_and(|last| last.ends) {
        let last = number;
        return Err(Error::JobWentOn { job, after, last });
    }
    let mut previous = last.map_or_else(|| encoding::job_hash(job), |last| last.hash);
    let events = (1..).zip(new).map(|(step, new)| {
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
        event
    });
    Ok(events.collect())
}

/// The events of a job after one of them, each of which must follow from the one before. The rows begin with that one.
pub(crate) fn chained(
    job: u64,
    after: u64,
    rows: Vec<EventRow>,
) -> std::result::Result<Vec<BenchEvent>, Damage> {
    let mut rows = rows.into_iter().peekable();
    let mut previous = encoding::job_hash(job);
    if after > 0 {
        // The one before the first that was asked for: the chain begins with it.
        match rows.next_if(|row| row.number == to_i64(after)) {
            Some(row) => previous = sound(job, row)?.hash,
            None if rows.peek().is_none() => return Ok(Vec::new()),
            None => return Err(Damage::EventMissing { job, number: after }),
        }
    }
    let mut events = Vec::new();
    for (number, row) in (after + 1..).zip(rows) {
        let event = sound(job, row)?;
        if event.number != number {
            return Err(Damage::EventMissing { job, number });
        }
        if encoding::event_hash(&previous, &event) != event.hash {
            return Err(Damage::EventAltered { job, number });
        }
        previous = event.hash;
        events.push(event);
    }
    Ok(events)
}

/// A row that must be an event.
pub(crate) fn sound(job: u64, row: EventRow) -> std::result::Result<BenchEvent, Damage> {
    let number = row.number;
    row.event.map_err(|why| Damage::Event { job, number, why })
}
