//! Stations: each has its own job on one ledger, parks it, and takes up what another parked.

use ledger::Ledger;
use serde_json::Value;

use super::beside::on;
use super::support::{Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO};
use crate::bench::Run;

/// Another good screw, each reading 3 µm above that of the first.
const OTHER_READINGS: [&str; 6] = ["8.932", "8.933", "8.930", "8.934", "8.929", "8.931"];

fn at(folder: &Folder, station: &str) -> Bench {
    Bench::start(folder, 0, &["--station", station])
}

/// The inspections on the record, the oldest first.
fn records(folder: &Folder) -> Vec<Value> {
    let mut listed = on(folder, &["ledger", "list", "--json"]).documents();
    listed.retain(|entry| entry["kind"] == "inspection");
    listed.reverse();
    listed
}

fn verifies(folder: &Folder) {
    let verified = on(folder, &["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

/// A bench that is refused.
fn refused(folder: &Folder, station: &str) -> Run {
    on(
        folder,
        &["bench", "--no-browser", "--port", "0", "--station", station],
    )
}

#[test]
fn two_stations_type_in_turn_and_each_has_its_own_record() {
    let folder = Folder::new("stations");
    let (a, b) = (at(&folder, "gauge room"), at(&folder, "line 2"));
    let (mut at_a, mut at_b) = (a.window(), b.window());
    let lines = |name: &'static str, readings: &[&'static str; 6]| {
        let mut lines = SET_UP.to_vec();
        lines[1] = name;
        lines.extend(ZERO);
        lines.extend(readings);
        lines.extend(TO_THE_RECORD);
        lines
    };
    let (first, second) = (
        lines("screw a", &READINGS),
        lines("screw b", &OTHER_READINGS),
    );
    for (of_a, of_b) in first.iter().zip(&second) {
        at_a.enter_all(&[*of_a]);
        at_b.enter_all(&[*of_b]);
        assert_eq!(at_a.question(), at_b.question());
        assert!(!at_a.page.contains("screw b") && !at_b.page.contains("screw a"));
    }
    at_a.shows("Recorded as");
    at_b.shows("Recorded as");
    assert!(!at_a.page.contains("Parked jobs"));

    let records = records(&folder);
    let told: Vec<(&Value, &Value)> = records
        .iter()
        .map(|record| (&record["station"], &record["job"]["number"]))
        .collect();
    assert_eq!(
        told,
        [
            (&"gauge room".into(), &1.into()),
            (&"line 2".into(), &2.into())
        ]
    );
    let ledger = Ledger::open_read_only(folder.path().join("ledger.db")).unwrap();
    for (job, station, readings) in [(1, "gauge room", READINGS), (2, "line 2", OTHER_READINGS)] {
        let events = ledger.job_events(job).unwrap();
        assert!(events.iter().all(|event| event.station == station));
        let id = records[job as usize - 1]["id"].as_str().unwrap();
        let report = on(&folder, &["report", id]).out;
        for reading in readings {
            assert!(report.contains(reading), "{reading}: {report}");
        }
        assert!(
            report.contains(&format!("by A. Quill at {station}")),
            "{report}"
        );
        let page = a.get(&format!("/record/{id}")).body;
        assert!(
            page.contains(&format!("by A. Quill at {station}")),
            "{page}"
        );
    }
    let history = b.get("/history").body;
    assert!(history.contains("gauge room") && history.contains("line 2"));
    verifies(&folder);
}

#[test]
fn what_one_station_parks_another_takes_up() {
    let folder = Folder::new("parked");
    let (a, b) = (at(&folder, "gauge room"), at(&folder, "line 2"));
    let (mut at_a, mut at_b) = (a.window(), b.window());
    at_a.enter_all(&SET_UP);
    at_a.enter_all(&ZERO);
    at_a.enter_all(&READINGS[..2]);

    // While it is under way there, it is nobody else's.
    assert_eq!(at_b.enter("/take"), 422);
    at_b.shows("No job is parked");
    assert_eq!(at_b.enter("/take 1"), 422);
    at_b.shows("in progress at station gauge room");
    // Nothing has begun here that could be parked.
    assert_eq!(at_b.enter("/park"), 422);
    let elsewhere = b.get("/job/1");
    assert_eq!(elsewhere.status, 409);
    assert!(!elsewhere.body.contains(READINGS[0]) && !elsewhere.body.contains("rating screw"));
    assert!(!b.get("/history").body.contains("rating screw"));

    // One key parks it; the station is free for another job, and both stations list it.
    at_a.enter_all(&["p"]);
    assert!(at_a.question().starts_with("Which thread"));
    at_a.shows("Parked jobs");
    at_b.page = b.get("/").body;
    for window in [&at_a, &at_b] {
        for text in [
            "/take 1",
            "rating screw",
            "M10x1.5-6g",
            "Readings, 2 of 6",
            "parked at gauge room",
        ] {
            window.shows(text);
        }
    }
    let history = b.get("/history").body;
    assert!(history.contains("href=\"/job/1\"") && history.contains("Readings, 2 of 6"));
    // What a window still showed it for is not taken.
    at_a.enter_all(&["shank 8.90 to 8.95 mm"]);
    assert_eq!(at_a.enter("/take 1"), 422);
    at_a.shows("Job 2 is in progress at this station");

    at_b.enter_all(&["/take"]);
    assert_eq!(at_b.question(), "Reading 3 of 6: middle, 0°.");
    at_b.shows(READINGS[1]);
    at_b.enter_all(&READINGS[2..]);
    at_b.enter_all(&TO_THE_RECORD);
    at_b.shows("Recorded as");
    assert_eq!(at_a.question(), "Part name?");

    let records = records(&folder);
    assert_eq!(records.len(), 1);
    assert_eq!(records[0]["station"], "line 2");
    let report = on(&folder, &["report", records[0]["id"].as_str().unwrap()]).out;
    assert!(report.contains("parked at gauge room from"), "{report}");
    verifies(&folder);
}

#[test]
fn of_several_parked_jobs_one_is_named() {
    let folder = Folder::new("several");
    let a = at(&folder, "a");
    let mut window = a.window();
    for part in ["one", "two"] {
        window.enter_all(&["M10x1.5-6g", part, "/park"]);
    }
    assert_eq!(window.enter("/take"), 422);
    window.shows("value=\"/take 1\"");
    window.shows("value=\"/take 2\"");
    assert_eq!(window.enter("/take 7"), 422);
    window.shows("Job 7 is not parked");
    // At its own address Enter takes it up; nothing else is done to it before.
    let b = at(&folder, "b");
    let mut there = b.window();
    there.page = b.get("/job/2").body;
    assert!(there.question().starts_with("Parked since "));
    for line in ["TC-0412", "/back", "/drop", "/drop it", "/park"] {
        assert_eq!(there.enter(line), 422, "{line}");
        there.page = b.get("/job/2").body;
    }
    there.enter_all(&[""]);
    assert_eq!(there.question(), "Drawing and revision?");
    // Whose page still shows it is told that it went on.
    window.page = a.get("/").body;
    assert!(!window.page.contains("value=\"/take 2\""));
    assert_eq!(window.enter("/take 2"), 422);
    window.shows("in progress at station b");
    window.enter_all(&["/take 1", "/park", "/take 1"]);
    assert_eq!(window.question(), "Drawing and revision?");
    verifies(&folder);
}

#[test]
fn a_second_bench_of_one_station_is_refused_until_the_first_is_gone() {
    let folder = Folder::new("taken");
    let mut first = at(&folder, "gauge room");
    let mut window = first.window();
    window.enter_all(&SET_UP[..2]);
    let second = refused(&folder, "gauge room");
    assert_ne!(second.status, 0);
    assert_eq!(second.out, "");
    assert_eq!(second.err.trim().lines().count(), 1, "{}", second.err);
    assert!(second.err.contains("station gauge room") && second.err.contains("--station NAME"));
    for name in ["", " a", "a\nb"] {
        assert_ne!(refused(&folder, name).status, 0, "{name:?}");
    }
    // Killed, it leaves its name, and its job goes on in the next bench of it.
    first.kill();
    let again = at(&folder, "gauge room");
    assert_eq!(again.window().question(), "Drawing and revision?");
    drop(again);
    // Without a name it is the computer's, and its job another.
    let unnamed = Bench::start(&folder, 0, &[]);
    assert!(unnamed.window().question().starts_with("Which thread"));
    verifies(&folder);
}

/// What is under way and what was recorded last is found again at the start, whatever other stations did since.
#[test]
fn a_station_goes_on_where_it_stood() {
    let folder = Folder::new("stood");
    let mut a = at(&folder, "a");
    a.window().measure_a_screw();
    a.kill();
    let b = at(&folder, "b");
    let mut at_b = b.window();
    assert!(at_b.question().starts_with("Which thread"));
    at_b.enter_all(&["M10x1.5-6g", "screw of b"]);
    let mut a = at(&folder, "a");
    let mut at_a = a.window();
    assert_eq!(at_a.question(), "The job is recorded.");
    at_a.enter_all(&["", "/park"]);
    assert!(at_a.question().starts_with("Which thread"));
    at_a.enter_all(&["shank 8.90 to 8.95 mm", "shank"]);
    let port = a.port;
    a.kill();
    let a = Bench::start(&folder, port, &["--station", "a"]);
    let mut at_a = a.window();
    at_a.shows("shank");
    assert_eq!(at_a.question(), "Drawing and revision?");
    // A recorded job's own page begins nothing beside the job under way.
    at_a.page = a.get("/job/1").body;
    assert_eq!(at_a.enter("n"), 422);
    at_a.shows("in progress at this station");
}

/// What a bench records in its register is its station's too.
#[test]
fn every_entry_of_a_bench_carries_its_station() {
    let folder = Folder::new("entries");
    let _bench = at(&folder, "gauge room");
    let listed = on(&folder, &["ledger", "list", "--json"]).documents();
    assert!(listed.len() > 5);
    assert!(listed.iter().all(|entry| entry["station"] == "gauge room"));
}
