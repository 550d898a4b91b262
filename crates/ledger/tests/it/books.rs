//! Books to test with: a folder of their own, what is recorded in them, and how they are verified.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use ledger::{
    Actor, Draft, FaultKind, Ledger, NewBenchEvent, Place, Recomputed, Subject, VerifyOptions,
    VerifyReport,
};

/// A folder of its own for one test, removed at the end.
pub struct Folder(PathBuf);

impl Folder {
    pub fn new() -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("ledger-test-{}-{count}", std::process::id());
        let path = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    pub fn path(&self) -> &Path {
        &self.0
    }

    pub fn join(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    /// Where a ledger of that name is.
    pub fn ledger(&self, name: &str) -> PathBuf {
        self.join(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// An inspection of a part with an instrument.
pub fn draft(part: &str, instrument: &str) -> Draft {
    Draft {
        kind: "inspection".into(),
        recorded_at: "2026-03-04T05:06:07Z".parse().unwrap(),
        zone: "Europe/Paris".into(),
        actor: Actor {
            id: "AL-7".into(),
            ..Actor::typed("A. Lindqvist")
        },
        station: "bench 2".into(),
        inputs: r#"{"reading":"0.2151in"}"#.into(),
        results: r#"{"decision":"accept"}"#.into(),
        editions: r#"{"ASME B1.1":"2003"}"#.into(),
        program: "midflank 0.1.0".into(),
        words: "{}".into(),
        amends: None,
        events: None,
        subjects: BTreeSet::from([
            Subject::new("part", part),
            Subject::new("instrument", instrument),
        ]),
    }
}

/// Something that happens in a job.
pub fn event(text: &str) -> NewBenchEvent {
    NewBenchEvent {
        event: text.into(),
        ends: false,
        actor: Actor::typed(""),
        station: "bench 2".into(),
    }
}

/// Six entries, the fifth amending the third.
pub fn six(path: &Path) {
    let ledger = Ledger::open(path).unwrap();
    for part in 1..=6_u64 {
        let draft = draft(&format!("A-{part}"), "mic-04");
        if part == 5 {
            ledger.amend(&3.into(), "wrong part", draft).unwrap();
        } else {
            ledger.append(&draft).unwrap();
        }
    }
}

/// Whether a verification told a fault at an entry, or of the ledger as a whole.
pub fn has(
    report: &VerifyReport,
    sequence: Option<u64>,
    kind: impl Fn(&FaultKind) -> bool,
) -> bool {
    let place = sequence.map_or(Place::File, |sequence| Place::Entry { sequence });
    report
        .faults
        .iter()
        .any(|fault| fault.place == place && kind(&fault.kind))
}

/// Verifies without results.
pub fn verify(ledger: &Ledger) -> VerifyReport {
    ledger::verify(ledger, &VerifyOptions::default(), |_| Recomputed::Same).unwrap()
}

/// Copies a ledger without results.
pub fn back_up(ledger: &Ledger, to: impl AsRef<Path>) -> ledger::Result<VerifyReport> {
    ledger.back_up(to, &VerifyOptions::default(), |_| Recomputed::Same)
}
