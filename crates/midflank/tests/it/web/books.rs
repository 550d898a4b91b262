//! What the bench leaves in the ledger, and a ledger that goes while the bench is open.

use ledger::{Ledger, NewBenchEvent, OpenOptions};
use rustix::process::Signal;
use serde_json::Value;

use super::beside::on;
use super::support::{Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO};
use crate::said::{assert_says, assert_silent};

#[test]
fn a_record_names_the_events_that_it_was_made_from() {
    let folder = Folder::new("events");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    for lines in [&SET_UP[..], &ZERO, &READINGS, &TO_THE_RECORD] {
        window.enter_all(lines);
    }
    window.shows("Recorded as");
    let latest = on(&folder, &["ledger", "list", "--limit", "1", "--json"]).json();
    let job = latest["job"].clone();
    assert_eq!(job["number"], 1, "{latest}");
    let events = Ledger::open_read_only(folder.path().join("ledger.db"))
        .unwrap()
        .job_events(1)
        .unwrap();
    // All of them but the last, which says that it was recorded.
    assert_eq!(job["events"], events.len() - 1);
    let last = &events[events.len() - 2];
    assert_eq!(job["hash"], last.hash.to_string());
    assert_eq!(last.actor.name, "");
    assert_eq!(events[events.len() - 1].actor.name, "A. Quill");
    assert_eq!(Value::from(last.station.clone()), latest["station"]);

    let verified = on(&folder, &["ledger", "verify", "--json"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
    assert_eq!(verified.json()["events"], events.len());
}

#[test]
fn an_event_altered_by_hand_is_found_and_the_job_not_gone_on_with() {
    let folder = Folder::new("altered");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    drop(bench);
    let path = folder.path().join("ledger.db");
    rusqlite::Connection::open(&path)
        .unwrap()
        .execute_batch(
            "DROP TRIGGER bench_event_is_never_changed;
             UPDATE bench_event SET event = replace(event, '10.002', '10.003') WHERE event LIKE '%10.002%'",
        )
        .unwrap();
    let verified = on(&folder, &["ledger", "verify"]);
    assert_eq!(verified.status, 1, "{}", verified.out);
    assert_says(&verified.out, "ledger.fault-event");
    assert_says(&verified.out, "ledger.schema-missing");
    let bench = Bench::start(&folder, 0, &[]);
    let page = bench.get("/");
    assert_eq!(page.status, 500);
    assert_says(&page.body, "bench.failed");
}

#[test]
fn nothing_is_taken_once_the_ledger_is_another_file() {
    let folder = Folder::new("replaced");
    let mut bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    let path = folder.path().join("ledger.db");
    let other = folder.path().join("other.db");
    drop(OpenOptions::new().create(true).open(&other).unwrap());
    std::fs::rename(&other, &path).unwrap();
    let status = window.enter(ZERO[0]);
    assert_eq!(status, 500);
    assert_says(&window.page, "bench.failed");
    assert_eq!(
        Ledger::open_read_only(&path).unwrap().latest_job().unwrap(),
        None
    );
    // Nor is it said at the end that all is there.
    let (status, said) = bench.stop(Signal::INT);
    assert_eq!(status, Some(1), "{said}");
    assert_silent(&said, "command.bench-closed");
}

#[test]
fn a_record_dated_before_the_last_is_remarked() {
    let folder = Folder::new("clock");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    assert_silent(&window.page, "ledger.went-back");
    let ledger = crate::bench::open(folder.path().join("ledger.db"));
    let mut late = ledger.latest(1).unwrap().remove(0).content;
    late.recorded_at = "2999-01-01T00:00:00Z".parse().unwrap();
    ledger.append(&late).unwrap();
    window.enter_all(&[""]);
    window.enter_all(&READINGS);
    window.enter_all(&TO_THE_RECORD);
    assert_says(&window.page, "ledger.went-back");
}

/// A clock that is put right in the middle of a job: the record of the job says so.
#[test]
fn a_clock_that_went_back_during_a_job_is_on_its_record() {
    let folder = Folder::new("clock-of-job");
    let bench = Bench::start(&folder, 0, &[]);
    bench.window().enter_all(&SET_UP);
    drop(bench);
    let path = folder.path().join("ledger.db");
    let ledger = Ledger::open(&path).unwrap();
    let last = ledger.job_events(1).unwrap().pop().unwrap();
    let again = NewBenchEvent {
        event: last.event,
        ends: false,
        actor: last.actor,
        station: last.station,
    };
    let late = "2999-01-01T00:00:00Z".parse().unwrap();
    ledger.add_to_job(1, last.number, late, &[again]).unwrap();
    drop(ledger);
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    for lines in [&ZERO[..], &READINGS, &TO_THE_RECORD] {
        window.enter_all(lines);
    }
    window.shows("Recorded as");
    let latest = on(&folder, &["ledger", "list", "--limit", "1", "--json"]).json();
    let report = on(&folder, &["report", latest["id"].as_str().unwrap()]);
    assert_says(&report.out, "job-note.went-back");
}

#[test]
fn a_search_by_too_many_words_is_told_so() {
    let folder = Folder::new("words");
    let bench = Bench::start(&folder, 0, &[]);
    let many = bench.get(&format!("/history?words={}", "a+".repeat(40)));
    assert_eq!(many.status, 422);
    assert_says(&many.body, "ledger.too-many-words");
    assert_eq!(bench.get("/history?words=mic+04").status, 200);
}
