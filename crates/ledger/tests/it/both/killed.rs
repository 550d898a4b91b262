//! Recorders killed at any moment lose nothing that was acknowledged.

use std::thread;
use std::time::{Duration, Instant};

use ledger::Ledger;

use super::Folder;
use crate::books::verify;
use crate::child::{Acknowledged, Recorder};
use crate::long::{Random, rounds, tell};

/// Ledgers of a long run, and how often two recorders are killed on each.
const LEDGERS: u32 = 100;
const ROUNDS: u32 = 12;

#[test]
fn nothing_acknowledged_is_lost_when_recorders_are_killed() {
    let folder = Folder::new();
    let begun = Instant::now();
    let mut moment = Random(17);
    let mut kept = 0;
    for number in 0..rounds(LEDGERS) {
        let path = folder.ledger(&format!("{number}.db"));
        let mut acknowledged = Vec::new();
        for round in 0..ROUNDS {
            // On every second round from the start of the process, so that the making of the ledger is
            // hit too; else once it is open, so that appends are.
            acknowledged.extend(kill_two(&path, &mut moment, round % 2 == 1));
        }
        if acknowledged.is_empty() && !path.exists() {
            continue;
        }
        let ledger = Ledger::open(&path).unwrap();
        let report = verify(&ledger);
        assert!(report.is_sound(), "{:?}", report.faults);
        for Acknowledged { sequence, hash } in &acknowledged {
            let entry = ledger.get(&(*sequence).into()).unwrap();
            assert_eq!(entry.hash.to_string(), *hash);
        }
        kept += acknowledged.len();
    }
    assert!(kept > 0, "no recorder lived long enough to record");
    tell(
        "recorders killed",
        2 * rounds(LEDGERS) * ROUNDS,
        format!("{kept} acknowledged, 0 lost"),
        begun,
    );
}

fn kill_two(path: &std::path::Path, moment: &mut Random, once_open: bool) -> Vec<Acknowledged> {
    let mut recorders = ["mic-04", "mic-05"].map(|name| Recorder::start(path, name, u32::MAX));
    if once_open {
        recorders.iter_mut().for_each(Recorder::wait_until_ready);
    }
    for recorder in &mut recorders {
        thread::sleep(Duration::from_micros(1_000 + moment.below(29_000) as u64));
        recorder.kill();
    }
    recorders
        .into_iter()
        .flat_map(|recorder| recorder.finish().0)
        .collect()
}
