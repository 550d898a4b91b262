//! Many recorders at once, in threads and in processes.

use std::sync::Arc;
use std::thread;
use std::time::Instant;

use ledger::{Error, Filter, Ledger};

use super::{BEGUN_BY_TWO, Folder};
use crate::books::{draft, verify};
use crate::child::Recorder;
use crate::long::{rounds, tell};

#[test]
fn threads_may_share_a_ledger() {
    let folder = Folder::new();
    let ledger = Arc::new(Ledger::open(folder.ledger("l.db")).unwrap());
    let threads: Vec<_> = (0..4)
        .map(|thread| {
            let ledger = Arc::clone(&ledger);
            thread::spawn(move || {
                for part in 0..50 {
                    let draft = draft(&format!("{thread}-{part}"), "mic-04");
                    let entry = ledger.append(&draft).unwrap();
                    assert_eq!(ledger.get(&entry.hash.into()).unwrap().content, draft);
                }
            })
        })
        .collect();
    for thread in threads {
        thread.join().unwrap();
    }
    let report = verify(&ledger);
    assert!(report.is_sound(), "{:?}", report.faults);
    assert_eq!(report.entries, 200);
}

#[test]
fn processes_may_append_to_one_ledger_from_its_first_moment() {
    let folder = Folder::new();
    let path = folder.ledger("new/l.db");
    // None of them finds a ledger: all try to make it.
    let recorders: Vec<_> = (0..6)
        .map(|n| Recorder::start(&path, &format!("mic-{n}"), 40))
        .collect();
    let mut sequences = Vec::new();
    for recorder in recorders {
        let (acknowledged, well) = recorder.finish();
        assert!(well);
        sequences.extend(acknowledged.iter().map(|entry| entry.sequence));
    }
    sequences.sort_unstable();
    assert_eq!(sequences, (1..=240).collect::<Vec<u64>>());

    let ledger = Ledger::open_existing(&path).unwrap();
    assert!(verify(&ledger).is_sound());
    for n in 0..6 {
        let filter = Filter::touching("instrument", format!("mic-{n}"));
        assert_eq!(ledger.count(&filter).unwrap(), 40);
    }
}

#[test]
fn two_processes_may_begin_one_ledger() {
    let begun = Instant::now();
    let folder = Folder::new();
    for number in 0..rounds(BEGUN_BY_TWO) {
        let path = folder.ledger(&format!("{number}.db"));
        let recorders = ["mic-04", "mic-05"].map(|name| Recorder::start(&path, name, 1));
        let mut sequences: Vec<u64> = Vec::new();
        for recorder in recorders {
            let (acknowledged, well) = recorder.finish();
            assert!(well, "ledger {number}");
            sequences.extend(acknowledged.iter().map(|entry| entry.sequence));
        }
        sequences.sort_unstable();
        assert_eq!(sequences, [1, 2], "ledger {number}");
        assert!(verify(&Ledger::open_existing(&path).unwrap()).is_sound());
    }
    let count = rounds(BEGUN_BY_TWO);
    tell(
        "ledgers started by two programs at once",
        count,
        "0 refused, 0 lost",
        begun,
    );
}

#[test]
fn of_many_amendments_at_once_one_is_taken() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    Ledger::open(&path)
        .unwrap()
        .append(&draft("A-1", "mic-04"))
        .unwrap();
    let benches: Vec<_> = (0..4)
        .map(|bench| {
            let ledger = Ledger::open(&path).unwrap();
            let draft = draft(&format!("A-{bench}"), "mic-04");
            thread::spawn(move || ledger.amend(&1.into(), "wrong part", draft))
        })
        .collect();
    let (taken, refused): (Vec<_>, Vec<_>) = benches
        .into_iter()
        .map(|bench| bench.join().unwrap())
        .partition(Result::is_ok);
    assert_eq!((taken.len(), refused.len()), (1, 3));
    for error in refused.into_iter().filter_map(Result::err) {
        assert!(matches!(error, Error::AlreadyAmended { latest, .. } if latest.sequence() == 2));
    }
}
