//! Files that rot: whatever bytes change, the ledger tells it or nothing in the entries has changed.

use std::fs;
use std::path::Path;
use std::time::Instant;

use ledger::{BenchEvent, Entry, Error, Ledger, Order, Page, Recomputed, VerifyOptions};
use rusqlite::Connection;

use crate::books::{Folder, back_up, draft, event};
use crate::long::{Random, rounds, tell};

const PAGE: usize = 4096;

/// All that is kept.
type Kept = (Vec<Entry>, Vec<BenchEvent>);

/// A ledger of 60 entries and a job of 60 events as the bytes of one file, and what is kept in it.
fn sound(folder: &Folder) -> (Vec<u8>, Kept) {
    let path = folder.join("sound.db");
    let ledger = Ledger::open(&path).unwrap();
    for part in 0..60 {
        let mut draft = draft(&format!("A-{part}"), "mic-04");
        draft.inputs = "0.2151in ".repeat(30);
        ledger.append(&draft).unwrap();
    }
    let events: Vec<_> = (0..60)
        .map(|reading| event(&format!("10.0{reading:02}")))
        .collect();
    let now = "2026-03-04T05:06:07Z".parse().unwrap();
    ledger.begin_job(now, &events).unwrap();
    let kept = all(&ledger).unwrap();
    drop(ledger);
    assert!(
        !folder.join("sound.db-wal").exists(),
        "the last to close puts all into one file"
    );
    (fs::read(path).unwrap(), kept)
}

fn all(ledger: &Ledger) -> ledger::Result<Kept> {
    let page = Page::first(Order::OldestFirst, 1000);
    let entries = ledger.list(&ledger::Filter::default(), &page)?.entries;
    Ok((entries, ledger.job_events(1)?))
}

/// What becomes of a damaged file.
#[derive(Debug)]
enum Outcome {
    Told,
    Sound(Kept),
}

fn outcome(path: &Path, bytes: &[u8]) -> Outcome {
    fs::write(path, bytes).unwrap();
    let Ok(ledger) = Ledger::open_read_only(path) else {
        return Outcome::Told;
    };
    match ledger::verify(&ledger, &VerifyOptions::default(), |_| Recomputed::Same) {
        Ok(report) if report.is_sound() => all(&ledger).map_or(Outcome::Told, Outcome::Sound),
        _ => Outcome::Told,
    }
}

#[test]
fn a_page_overwritten_is_always_told() {
    let folder = Folder::new();
    let (bytes, _) = sound(&folder);
    let path = folder.join("damaged.db");
    for page in 0..bytes.len() / PAGE {
        for filler in [0, 0xff] {
            let mut damaged = bytes.clone();
            damaged[page * PAGE..][..PAGE].fill(filler);
            let outcome = outcome(&path, &damaged);
            assert!(matches!(outcome, Outcome::Told), "page {page}: {outcome:?}");
        }
    }
}

/// Bytes that a long run changes, one at a time.
const BYTES: u32 = 12_000;

#[test]
fn a_byte_changed_is_told_or_harmless() {
    let begun = Instant::now();
    let folder = Folder::new();
    let (bytes, kept) = sound(&folder);
    let path = folder.join("damaged.db");
    let mut random = Random(17);
    let mut told = 0;
    for _ in 0..rounds(BYTES) {
        let (at, change) = (random.below(bytes.len()), random.below(255) + 1);
        let mut damaged = bytes.clone();
        damaged[at] ^= change as u8;
        match outcome(&path, &damaged) {
            Outcome::Told => told += 1,
            // Free space in a page, or a counter in the header: nothing of what is kept.
            Outcome::Sound(read) => assert_eq!(read, kept, "byte {at}"),
        }
    }
    assert!(told > 0);
    let found = format!("{told} detected, the others harmless, 0 missed");
    tell("bytes changed in a ledger", rounds(BYTES), found, begun);
}

#[test]
fn a_file_cut_short_is_told() {
    let folder = Folder::new();
    let (bytes, _) = sound(&folder);
    let path = folder.join("damaged.db");
    for length in (1..bytes.len()).step_by(1777) {
        let outcome = outcome(&path, &bytes[..length]);
        assert!(
            matches!(outcome, Outcome::Told),
            "{length} bytes: {outcome:?}"
        );
    }
}

/// Number, from 1, of the first page of each table and index.
fn roots(path: &Path) -> Vec<u32> {
    Connection::open(path)
        .unwrap()
        .prepare("SELECT rootpage FROM sqlite_schema WHERE rootpage > 0")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap()
}

#[test]
fn damage_met_while_reading_is_told_as_damage() {
    let folder = Folder::new();
    let (bytes, _) = sound(&folder);
    let path = folder.join("damaged.db");
    fs::write(&path, &bytes).unwrap();
    // The first page of every table and index: all but the header and the schema.
    let mut damaged = bytes;
    for first in roots(&path) {
        let first = usize::try_from(first).unwrap();
        damaged[(first - 1) * PAGE..first * PAGE].fill(0xff);
    }
    fs::write(&path, damaged).unwrap();
    let ledger = Ledger::open(&path).unwrap();
    for error in [
        all(&ledger).unwrap_err(),
        ledger.get(&7.into()).unwrap_err(),
        ledger.append(&draft("A-1", "mic-04")).unwrap_err(),
        back_up(&ledger, folder.join("copy.db")).unwrap_err(),
    ] {
        assert!(
            matches!(error, Error::Damaged { .. } | Error::BackupFaulty { .. }),
            "{error}"
        );
    }
    assert!(!folder.join("copy.db").exists());
}
