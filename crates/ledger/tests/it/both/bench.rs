//! Jobs under way: nothing lost, nothing changed, nobody overtaken unawares.

use ledger::{Error, Ledger, NewBenchEvent};

use super::{Folder, is_refused};
use crate::books::{draft, event, verify};

fn end() -> NewBenchEvent {
    NewBenchEvent {
        ends: true,
        ..event(r#"{"event":"recorded"}"#)
    }
}

fn now() -> jiff::Timestamp {
    "2026-03-04T05:06:07Z".parse().unwrap()
}

#[test]
fn events_are_there_after_the_file_is_opened_again() {
    let folder = Folder::new();
    let path = folder.ledger("ledger.db");
    let job = Ledger::open(&path)
        .unwrap()
        .begin_job(now(), &[event("a"), event("b")])
        .unwrap();
    let ledger = Ledger::open(&path).unwrap();
    ledger.add_to_job(job, 2, now(), &[event("c")]).unwrap();
    let kept = ledger.job_events(job).unwrap();
    let texts: Vec<(u64, &str)> = kept
        .iter()
        .map(|kept| (kept.number, kept.event.as_str()))
        .collect();
    assert_eq!(texts, [(1, "a"), (2, "b"), (3, "c")]);
    assert_eq!(kept.last().unwrap().at, now());
    assert_eq!(ledger.latest_job().unwrap(), Some(job));
    assert_eq!(ledger.open_jobs(10).unwrap(), [job]);
}

#[test]
fn who_looks_at_an_old_state_adds_nothing() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("ledger.db")).unwrap();
    let job = ledger.begin_job(now(), &[event("a")]).unwrap();
    ledger
        .add_to_job(job, 1, now(), &[event("one window")])
        .unwrap();
    let late = ledger.add_to_job(job, 1, now(), &[event("the other window")]);
    assert!(
        matches!(
            late,
            Err(Error::JobWentOn {
                after: 1,
                last: 2,
                ..
            })
        ),
        "{late:?}"
    );
    assert_eq!(ledger.job_events(job).unwrap().len(), 2);
}

#[test]
fn nothing_follows_the_end() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("ledger.db")).unwrap();
    let first = ledger.begin_job(now(), &[event("a"), end()]).unwrap();
    assert!(ledger.add_to_job(first, 2, now(), &[event("b")]).is_err());
    assert_eq!(ledger.open_jobs(10).unwrap(), Vec::<u64>::new());
    assert_eq!(ledger.begin_job(now(), &[event("a")]).unwrap(), first + 1);
}

#[test]
fn the_tables_guard_them_too() {
    let folder = Folder::new();
    let path = folder.ledger("ledger.db");
    let ledger = Ledger::open(&path).unwrap();
    ledger.begin_job(now(), &[event("a")]).unwrap();
    for sql in [
        "UPDATE bench_event SET event = 'b'",
        "DELETE FROM bench_event",
        "INSERT INTO bench_event (id, job, number, at, ends, actor_id, actor_name, actor_how, station, hash, event)
         SELECT 2, job, 3, at, ends, actor_id, actor_name, actor_how, station, hash, event FROM bench_event",
    ] {
        assert!(is_refused(&path, sql), "{sql}");
    }
}

#[test]
fn the_books_stay_sound_beside_them() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("ledger.db")).unwrap();
    ledger.begin_job(now(), &[event("a")]).unwrap();
    ledger.append(&draft("A-17", "mic-04")).unwrap();
    assert!(verify(&ledger).is_sound());
    let too_long = "x".repeat(ledger::LONGEST_EVENT + 1);
    assert!(ledger.begin_job(now(), &[event(&too_long)]).is_err());
}

/// The job of each station is found by where something was last done at it.
#[test]
fn the_last_event_of_each_job_is_told() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("ledger.db")).unwrap();
    let at = |station: &str, text: &str| NewBenchEvent {
        station: station.into(),
        ..event(text)
    };
    let first = ledger.begin_job(now(), &[at("a", "one")]).unwrap();
    let second = ledger.begin_job(now(), &[at("b", "two")]).unwrap();
    ledger
        .add_to_job(first, 1, now(), &[at("c", "three")])
        .unwrap();
    let last = ledger.last_events(&[second, first, 9]).unwrap();
    let told: Vec<(u64, u64, &str)> = last
        .iter()
        .map(|event| (event.job, event.number, event.station.as_str()))
        .collect();
    assert_eq!(told, [(second, 1, "b"), (first, 2, "c")]);
}

#[test]
fn a_station_is_kept_by_one() {
    let folder = Folder::new();
    let path = folder.ledger("ledger.db");
    let ledger = Ledger::open(&path).unwrap();
    let other = Ledger::open(&path).unwrap();
    let kept = ledger.occupy("bench 2").unwrap();
    let refused = other.occupy("bench 2");
    assert!(
        matches!(&refused, Err(Error::StationTaken { station, .. }) if station == "bench 2"),
        "{refused:?}"
    );
    let _another = other.occupy("bench/3").unwrap();
    drop(kept);
    let _again = other.occupy("bench 2").unwrap();
    for nameless in ["", " ", " bench", "bench\u{202e}"] {
        assert!(
            matches!(other.occupy(nameless), Err(Error::Draft(_))),
            "{nameless:?}"
        );
    }
    assert!(verify(&ledger).is_sound());
}
