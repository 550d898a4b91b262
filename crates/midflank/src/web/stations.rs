//! Which job is under way at this station, and which are parked.
//!
//! Nobody else makes events in the name of a station that a bench keeps. So what is under way here is read once, when the
//! bench begins, and followed from then on; what is parked anywhere is looked for whenever it is shown.

use std::collections::BTreeSet;
use std::sync::Mutex;

use ledger::{BenchEvent, Ledger};

use super::read::lock;
use crate::bench::{Event, State};
use crate::failure::Failure;
use crate::kept;

/// Among so many of the latest jobs is looked for the one that was recorded here last.
const LATEST: u64 = 100;

/// A job without an end, by the last that happened in it.
pub struct OpenJob {
    pub last: BenchEvent,
    pub is_parked: bool,
}

impl OpenJob {
    pub fn of(last: BenchEvent) -> Self {
        let event = kept::read_event(&last.event);
        let is_parked = matches!(event, Ok(Event::Parked));
        Self { last, is_parked }
    }

    pub fn is_at(&self, station: &str) -> bool {
        self.last.station == station
    }
}

/// A job that can be taken up here.
pub struct Parked {
    pub last: BenchEvent,
    pub state: State,
}

/// Jobs without an end, as far as they were looked for.
#[derive(Default)]
pub struct OpenJobs(Mutex<Known>);

#[derive(Default)]
struct Known {
    open: BTreeSet<u64>,
    /// Among all up to this job; none before the first look.
    up_to: Option<u64>,
}

impl OpenJobs {
    /// All of them, the latest first. Only the first look goes through the whole ledger: a job that has ended stays so.
    pub fn read(&self, ledger: &Ledger) -> Result<Vec<OpenJob>, Failure> {
        let mut known = lock(&self.0);
        let latest = ledger.latest_job()?.unwrap_or(0);
        match known.up_to {
            None => known.open.extend(ledger.open_jobs(u32::MAX)?),
            Some(up_to) => known.open.extend(up_to + 1..=latest),
        }
        known.up_to = Some(latest);
        let asked: Vec<u64> = known.open.iter().rev().copied().collect();
        let mut last = ledger.last_events(&asked)?;
        last.retain(|last| !last.ends);
        known.open = last.iter().map(|last| last.job).collect();
        Ok(last.into_iter().map(OpenJob::of).collect())
    }
}

/// The job of a station: the latest that is under way there, or the one that was recorded there last.
pub fn job_at(station: &str, open: &[OpenJob], ledger: &Ledger) -> Result<Option<u64>, Failure> {
    let here = |job: &&OpenJob| !job.is_parked && job.is_at(station);
    if let Some(job) = open.iter().find(here) {
        return Ok(Some(job.last.job));
    }
    let latest = ledger.latest_job()?.unwrap_or(0);
    let jobs: Vec<u64> = (latest.saturating_sub(LATEST) + 1..=latest).collect();
    let mut last = ledger.last_events(&jobs)?;
    last.retain(|last| last.ends && last.station == station);
    Ok(last.iter().max_by_key(|last| last.at).map(|last| last.job))
}

#[cfg(test)]
mod tests {
    use jiff::{SignedDuration, Timestamp};
    use ledger::{Actor, NewBenchEvent};

    use super::*;

    fn events(station: &str, events: &[Event]) -> Vec<NewBenchEvent> {
        let new = |event: &Event| NewBenchEvent {
            event: kept::write(kept::EVENT, event).unwrap(),
            ends: event.ends(),
            actor: Actor::typed(""),
            station: station.to_owned(),
        };
        events.iter().map(new).collect()
    }

    #[test]
    fn the_job_of_a_station_is_the_latest_under_way_there() {
        let folder = std::env::temp_dir().join(format!("midflank-at-{}", std::process::id()));
        let ledger = Ledger::open(folder.join("ledger.db")).unwrap();
        let mut now: Timestamp = "2026-03-04T05:06:07Z".parse().unwrap();
        let jobs = OpenJobs::default();
        let here = |station: &str| {
            let open = jobs.read(&ledger).unwrap();
            job_at(station, &open, &ledger).unwrap()
        };
        assert_eq!(here("a"), None);
        let mut later = || {
            now += SignedDuration::from_secs(1);
            now
        };
        let begun = Event::Begun { keeps: None };
        let recorded = Event::Recorded {
            entry: "1-0000".to_owned(),
        };
        let begin = |station: &str, at| {
            let begun = events(station, std::slice::from_ref(&begun));
            ledger.begin_job(at, &begun).unwrap()
        };
        let add = |job, after, station: &str, event: &Event, at| {
            let event = events(station, std::slice::from_ref(event));
            ledger.add_to_job(job, after, at, &event).unwrap();
        };
        let first = begin("a", later());
        let second = begin("b", later());
        assert_eq!((here("a"), here("b")), (Some(first), Some(second)));
        // Parked it is nobody's, until it is taken up: then it is that station's.
        add(first, 1, "a", &Event::Parked, later());
        assert_eq!(here("a"), None);
        let third = begin("a", later());
        assert_eq!(here("a"), Some(third));
        let parked_at = "a".to_owned();
        add(first, 2, "c", &Event::TakenUp { parked_at }, later());
        assert_eq!((here("a"), here("c")), (Some(third), Some(first)));
        // What was recorded last stays in sight, by when it was recorded and not by its number.
        add(third, 1, "a", &recorded, later());
        add(first, 3, "a", &recorded, later());
        assert_eq!(
            (here("a"), here("b"), here("c")),
            (Some(first), Some(second), None)
        );
        let open = jobs.read(&ledger).unwrap();
        assert_eq!(open.len(), 1);
        std::fs::remove_dir_all(folder).unwrap();
    }
}
