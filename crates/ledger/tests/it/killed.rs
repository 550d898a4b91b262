//! Recorders killed at any moment lose nothing that was acknowledged.

use std::thread;
use std::time::Duration;

use ledger::Ledger;

use crate::child::{Acknowledged, Recorder};
use crate::common::{Folder, verify};

/// Ledgers, and how often two recorders are killed on each.
const LEDGERS: u64 = 10;
const ROUNDS: u64 = 12;

#[test]
fn nothing_acknowledged_is_lost_when_recorders_are_killed() {
    let folder = Folder::new();
    let mut moment = Moments(17);
    let mut kept = 0;
    for number in 0..LEDGERS {
        let path = folder.join(&format!("{number}.db"));
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
    println!(
        "{} recorders killed, {kept} acknowledged entries kept",
        2 * LEDGERS * ROUNDS
    );
}

fn kill_two(path: &std::path::Path, moment: &mut Moments, once_open: bool) -> Vec<Acknowledged> {
    let mut recorders = ["mic-04", "mic-05"].map(|name| Recorder::start(path, name, u32::MAX));
    if once_open {
        recorders.iter_mut().for_each(Recorder::wait_until_ready);
    }
    for recorder in &mut recorders {
        thread::sleep(moment.next());
        recorder.kill();
    }
    recorders
        .into_iter()
        .flat_map(|recorder| recorder.finish().0)
        .collect()
}

/// Moments spread over 1 to 30 ms (a multiplicative generator; the spread matters, not its quality).
struct Moments(u64);

impl Moments {
    fn next(&mut self) -> Duration {
        self.0 = self.0 * 48271 % 0x7fff_ffff;
        Duration::from_micros(1000 + self.0 % 29_000)
    }
}
