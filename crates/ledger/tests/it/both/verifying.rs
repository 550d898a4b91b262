//! How a verification runs: on several threads, in order, told of, stopped.

use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use ledger::{
    Error, FaultKind, Ledger, NotComputed, Place, Progress, Recomputed, RemarkKind, VerifyOptions,
};

use super::Folder;
use crate::books::{draft, verify};

fn of(count: u64, folder: &Folder) -> Ledger {
    let ledger = Ledger::open(folder.ledger("l.db")).unwrap();
    for part in 0..count {
        ledger
            .append(&draft(&format!("A-{part}"), "mic-04"))
            .unwrap();
    }
    ledger
}

#[test]
fn faults_come_in_the_order_of_the_entries() {
    let folder = Folder::new();
    let ledger = of(600, &folder);
    for threads in [1, 2, 5] {
        let options = VerifyOptions {
            threads: threads.try_into().ok(),
            ..VerifyOptions::default()
        };
        let report = ledger::verify(&ledger, &options, |entry| {
            // The earlier ones take longer.
            if entry.sequence % 100 == 0 {
                thread::sleep(Duration::from_micros(1000 - entry.sequence));
            }
            let reason = NotComputed::KindUnknown {
                kind: entry.sequence.to_string(),
            };
            Recomputed::NotComputed { reason }
        })
        .unwrap();
        assert_eq!((report.entries, report.recomputed), (600, 0));
        let expected = (1..=600).map(|sequence: u64| {
            let kind = sequence.to_string();
            let reason = NotComputed::KindUnknown { kind };
            (Place::Entry { sequence }, FaultKind::NotComputed { reason })
        });
        let found = report
            .faults
            .into_iter()
            .map(|fault| (fault.place, fault.kind));
        assert!(found.eq(expected));
    }
}

#[test]
fn progress_is_told_and_reaches_the_end() {
    let folder = Folder::new();
    let ledger = of(600, &folder);
    let told = Mutex::new(Vec::new());
    let tell = |progress: Progress| told.lock().unwrap().push(progress);
    let options = VerifyOptions {
        progress: Some(&tell),
        threads: 1.try_into().ok(),
        ..VerifyOptions::default()
    };
    let slow = |_: &ledger::Entry| {
        thread::sleep(Duration::from_millis(1));
        Recomputed::Same
    };
    ledger::verify(&ledger, &options, slow).unwrap();
    let told = told.into_inner().unwrap();
    assert!(!told.is_empty());
    assert!(told.is_sorted_by_key(|progress| progress.entries));
    assert!(told.iter().all(|progress| progress.of == 600));
}

#[test]
fn a_verification_stops_when_it_is_told_to() {
    let folder = Folder::new();
    let ledger = of(600, &folder);
    let (stop, asked) = (AtomicBool::new(false), AtomicU64::new(0));
    let options = VerifyOptions {
        stop: Some(&stop),
        ..VerifyOptions::default()
    };
    let stopped = ledger::verify(&ledger, &options, |entry| {
        asked.fetch_add(1, Ordering::Relaxed);
        stop.fetch_or(entry.sequence == 20, Ordering::Relaxed);
        Recomputed::Same
    });
    assert!(matches!(stopped, Err(Error::Stopped { entries }) if entries < 600));
    assert!(asked.into_inner() < 600);
}

#[test]
fn a_clock_set_back_is_remarked_and_no_fault() {
    let folder = Folder::new();
    let ledger = of(2, &folder);
    let mut early = draft("A-3", "mic-04");
    let before = early.recorded_at;
    early.recorded_at = "2026-03-04T05:06:06.999999999Z".parse().unwrap();
    let entry = ledger.append(&early).unwrap();
    assert_eq!(entry.went_back, Some(before));
    assert_eq!(ledger.get(&3.into()).unwrap().went_back, Some(before));
    assert_eq!(ledger.get(&2.into()).unwrap().went_back, None);
    let report = verify(&ledger);
    assert!(report.is_sound());
    assert_eq!(report.remarks.len(), 1);
    let to = early.recorded_at;
    assert_eq!(report.remarks[0].entry, entry.id());
    assert_eq!(
        report.remarks[0].kind,
        RemarkKind::WentBack { from: before, to }
    );
}

/// How fast it is on this machine: `cargo test --release -p ledger verifying::speed -- --ignored --nocapture`.
#[test]
#[ignore = "a measurement, not a check"]
fn speed() {
    const ENTRIES: u64 = 10_000;
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("l.db")).unwrap();
    let mut draft = draft("A-1", "mic-04");
    // As long as those of an inspection of twelve readings.
    draft.inputs = "0.2151in ".repeat(500);
    draft.results = "0.2151in ".repeat(1500);
    draft.words = "0.2151in ".repeat(100);
    for _ in 0..ENTRIES {
        ledger.append(&draft).unwrap();
    }
    let begun = Instant::now();
    let report = verify(&ledger);
    let took = begun.elapsed();
    assert!(report.is_sound());
    println!(
        "{:.0} entries a second",
        ENTRIES as f64 / took.as_secs_f64()
    );
}
