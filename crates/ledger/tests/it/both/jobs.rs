//! The events of jobs are a chain each, and an entry vouches for those it was made from.

use std::path::Path;

use ledger::{
    Damage, DraftError, Error, Fault, FaultKind, Hash, JobEvents, Ledger, Place, encoding,
};

use super::{Folder, rows, tamper};
use crate::books::{draft, event, verify};

fn now() -> jiff::Timestamp {
    "2026-03-04T05:06:07Z".parse().unwrap()
}

/// Two jobs of three events: the first is ended and on the record, the second is under way.
fn two(path: &Path) -> JobEvents {
    let ledger = Ledger::open(path).unwrap();
    for job in 1..=2 {
        ledger
            .begin_job(now(), &[event("begun"), event("10.001")])
            .unwrap();
        let mut last = event("10.002");
        last.ends = job == 1;
        ledger.add_to_job(job, 2, now(), &[last]).unwrap();
    }
    let events = JobEvents::from(ledger.job_events(1).unwrap().last().unwrap());
    let mut draft = draft("A-1", "mic-04");
    draft.events = Some(events);
    ledger.append(&draft).unwrap();
    events
}

/// What verification says after tampering.
fn after(sql: &str) -> Vec<Fault> {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    two(&path);
    let sound = verify(&Ledger::open(&path).unwrap());
    assert!(sound.is_sound(), "{:?}", sound.faults);
    assert_eq!(sound.events, 6);
    tamper(&path, sql);
    verify(&Ledger::open(&path).unwrap()).faults
}

fn at(job: u64, number: u64) -> Place {
    Place::Event { job, number }
}

#[test]
fn a_change_of_any_column_of_an_event_is_found() {
    for change in [
        "at = '2026-03-04T05:06:07.000000001Z'",
        "ends = 1 - ends",
        "actor_id = 'x'",
        "actor_name = 'A. Quill'",
        "actor_how = 'badge'",
        "station = 'bench 3'",
        "event = '10.003'",
    ] {
        // Of a job on the record and of one under way; in the middle, and the last one.
        for (job, number) in [(1, 2), (1, 3), (2, 2), (2, 3)] {
            let faults = after(&format!(
                "UPDATE bench_event SET {change} WHERE job = {job} AND number = {number}"
            ));
            assert!(
                faults.iter().any(|fault| fault.place == at(job, number)
                    && matches!(fault.kind, FaultKind::HashMismatch { .. })),
                "{change}: {faults:?}"
            );
        }
    }
    let faults = after("UPDATE bench_event SET hash = upper(hash) WHERE job = 2 AND number = 2");
    let unreadable = matches!(faults[0].kind, FaultKind::Unreadable { .. });
    assert!(faults[0].place == at(2, 2) && unreadable, "{faults:?}");
}

#[test]
fn events_removed_or_moved_are_found() {
    let faults = after("DELETE FROM bench_event WHERE job = 2 AND number = 2");
    let gap = FaultKind::Gap { first: 2, last: 2 };
    assert!(
        faults.contains(&Fault {
            place: at(2, 3),
            kind: gap
        }),
        "{faults:?}"
    );
    // The last of all: no chain is broken.
    let faults = after("DELETE FROM bench_event WHERE job = 2 AND number = 3");
    let kind = FaultKind::EventsMissing {
        found: 5,
        issued: 6,
    };
    let place = Place::File;
    assert_eq!(faults, [Fault { place, kind }]);
    // A job as a whole, which an entry was made from.
    let faults = after("DELETE FROM bench_event WHERE job = 1");
    let other = |fault: &Fault| matches!(fault.kind, FaultKind::OtherEvents { found: None, .. });
    assert!(faults.iter().any(other), "{faults:?}");
    let faults = after("UPDATE bench_event SET job = 3 WHERE job = 2");
    assert_eq!(faults.len(), 3, "{faults:?}");
}

/// Hashes a job again from one of its events on, as someone would who knows the rule.
fn hash_again(path: &Path, job: u64) {
    let rows = rows(
        path,
        &format!("SELECT number, event, ends FROM bench_event WHERE job = {job} ORDER BY number"),
    );
    let mut previous = encoding::job_hash(job);
    let mut sql = String::new();
    for row in rows {
        let (number, text, ends) = (row[0].parse().unwrap(), row[1].clone(), row[2] == "1");
        let new = event(&text);
        let kept = ledger::BenchEvent {
            job,
            number,
            at: now(),
            event: text,
            ends,
            actor: new.actor,
            station: new.station,
            hash: Hash::NONE,
        };
        previous = encoding::event_hash(&previous, &kept);
        sql += &format!(
            "UPDATE bench_event SET hash = '{previous}' WHERE job = {job} AND number = {number};"
        );
    }
    tamper(path, &sql);
}

#[test]
fn a_job_hashed_again_is_not_the_one_of_its_entry() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let events = two(&path);
    // The forger knows the rule: without a change the hashes are the same.
    hash_again(&path, 1);
    assert!(verify(&Ledger::open(&path).unwrap()).is_sound());
    tamper(
        &path,
        "UPDATE bench_event SET event = '10.009' WHERE job = 1 AND number = 2",
    );
    hash_again(&path, 1);
    let faults = verify(&Ledger::open(&path).unwrap()).faults;
    let told = matches!(
        faults.as_slice(),
        [Fault { place: Place::Entry { sequence: 1 }, kind: FaultKind::OtherEvents { events: named, found: Some(found) } }]
            if *named == events && *found != events.hash
    );
    assert!(told, "{faults:?}");
}

#[test]
fn nothing_follows_the_end_of_a_job_unseen() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    two(&path);
    tamper(
        &path,
        "UPDATE bench_event SET ends = 1 WHERE job = 2 AND number = 2",
    );
    hash_again(&path, 2);
    let faults = verify(&Ledger::open(&path).unwrap()).faults;
    let kind = FaultKind::AfterTheEnd { end: 2 };
    let place = at(2, 3);
    assert_eq!(faults, [Fault { place, kind }]);
}

#[test]
fn an_altered_job_is_not_read_and_not_added_to() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    two(&path);
    tamper(
        &path,
        "UPDATE bench_event SET event = '10.009' WHERE job = 2 AND number = 2",
    );
    let ledger = Ledger::open(&path).unwrap();
    let altered = Damage::EventAltered { job: 2, number: 2 };
    let read = ledger.job_events(2);
    assert!(matches!(read, Err(Error::Damaged { what, .. }) if what == altered));
    drop(ledger);
    tamper(
        &path,
        "DELETE FROM bench_event WHERE job = 2 AND number > 1",
    );
    let ledger = Ledger::open(&path).unwrap();
    let added = ledger.add_to_job(2, 1, now(), &[event("10.009")]);
    let missing = Damage::EventTailMissing { last: 4, issued: 6 };
    assert!(matches!(added, Err(Error::Damaged { what, .. }) if what == missing));
}

#[test]
fn an_entry_is_made_from_events_of_this_ledger() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let events = two(&path);
    let ledger = Ledger::open(&path).unwrap();
    let with = |events| {
        let mut draft = draft("A-2", "mic-04");
        draft.events = Some(events);
        ledger.append(&draft)
    };
    for wrong in [
        JobEvents { job: 2, ..events },
        JobEvents { job: 9, ..events },
        JobEvents { count: 2, ..events },
        JobEvents { count: 4, ..events },
        JobEvents {
            hash: Hash::NONE,
            ..events
        },
    ] {
        let refused = with(wrong);
        assert!(matches!(refused, Err(Error::OtherEvents(found)) if found == wrong));
    }
    let none = with(JobEvents { count: 0, ..events });
    assert!(matches!(
        none,
        Err(Error::Draft(DraftError::NoEvents { job: 1 }))
    ));
    assert_eq!(with(events).unwrap().content.events, Some(events));
    assert_eq!(ledger.get(&2.into()).unwrap().content.events, Some(events));
}

#[test]
fn marks_that_mislead_are_refused_in_events() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let ledger = Ledger::open(&path).unwrap();
    let mut reversed = event("a");
    reversed.actor.name = "\u{202e}lliuQ".into();
    for wrong in [event("\u{1b}[2J"), event("\u{2069}"), reversed] {
        let refused = ledger.begin_job(now(), &[event("a"), wrong]);
        assert!(matches!(refused, Err(Error::Draft(_))));
    }
    assert_eq!(ledger.latest_job().unwrap(), None);
    assert_eq!(rows(&path, "SELECT count(*) FROM bench_event"), [["0"]]);
}
