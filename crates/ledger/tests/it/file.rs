//! The one file holds the books, is the one at the path, and is whole.

use std::fs;
use std::path::Path;
use std::process::Command;

use ledger::{
    Damage, Difference, Error, FaultKind, Filter, Ledger, OpenOptions, Recomputed, VerifyOptions,
};

use crate::books::{Folder, back_up, draft, event, verify};

fn now() -> jiff::Timestamp {
    "2026-03-04T05:06:07Z".parse().unwrap()
}

/// The file alone, as a memory stick takes it, without what lies beside it.
fn alone(path: &Path, folder: &Folder) -> Ledger {
    let copy = folder.join("alone.db");
    fs::copy(path, &copy).unwrap();
    Ledger::open_read_only(copy).unwrap()
}

#[test]
fn the_file_alone_holds_every_entry_that_was_acknowledged() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    let ledger = Ledger::open(&path).unwrap();
    for part in 1..=3 {
        ledger
            .append(&draft(&format!("A-{part}"), "mic-04"))
            .unwrap();
        let copy = alone(&path, &folder);
        assert_eq!(copy.count(&Filter::default()).unwrap(), part);
        assert!(verify(&copy).is_sound());
    }
}

#[test]
fn the_file_alone_holds_every_event() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    let ledger = Ledger::open(&path).unwrap();
    let job = ledger.begin_job(now(), &[event("10.001")]).unwrap();
    assert_eq!(alone(&path, &folder).job_events(job).unwrap().len(), 1);
    // Who reads keeps the log from being emptied, and closing empties it later.
    let reader = rusqlite::Connection::open(&path).unwrap();
    reader
        .execute_batch("BEGIN; SELECT count(*) FROM entry")
        .unwrap();
    ledger
        .add_to_job(job, 1, now(), &[event("10.002")])
        .unwrap();
    assert_eq!(ledger.job_events(job).unwrap().len(), 2);
    assert_eq!(alone(&path, &folder).job_events(job).unwrap().len(), 1);
    reader.execute_batch("COMMIT").unwrap();
    drop(ledger);
    assert_eq!(alone(&path, &folder).job_events(job).unwrap().len(), 2);
}

#[test]
fn a_ledger_cut_by_a_byte_is_refused() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    // In a new ledger the schema lies at the end, later an entry.
    for entries in [1, 40] {
        let ledger = Ledger::open(&path).unwrap();
        for part in 0..entries {
            ledger
                .append(&draft(&format!("A-{part}"), "mic-04"))
                .unwrap();
        }
        drop(ledger);
        let bytes = fs::read(&path).unwrap();
        let needed = bytes.len() as u64;
        for missing in [1, 2, 4095, 4096] {
            fs::write(&path, &bytes[..bytes.len() - missing]).unwrap();
            let length = needed - missing as u64;
            for opened in [
                Ledger::open(&path),
                Ledger::open_existing(&path),
                Ledger::open_read_only(&path),
            ] {
                let Err(Error::Damaged { what, .. }) = opened else {
                    panic!("{missing} bytes missing: {opened:?}");
                };
                // That a whole page is missing the engine sees by itself.
                if entries > 1 && missing < 4096 {
                    assert_eq!(what, Damage::CutShort { length, needed });
                }
            }
            assert_eq!(fs::read(&path).unwrap().len() as u64, length);
        }
        fs::write(&path, bytes).unwrap();
    }
}

/// Whole pages too, of which the engine says nothing while the log beside the file is in use.
#[test]
fn a_ledger_cut_while_it_is_open_takes_nothing_more() {
    for missing in [1, 4095, 4096, 8192, 12_288] {
        let folder = Folder::new();
        let path = folder.join("l.db");
        let ledger = Ledger::open(&path).unwrap();
        for part in 1..=40 {
            ledger
                .append(&draft(&format!("A-{part}"), "mic-04"))
                .unwrap();
        }
        let needed = fs::metadata(&path).unwrap().len();
        let length = needed - missing;
        let file = fs::OpenOptions::new().write(true).open(&path).unwrap();
        file.set_len(length).unwrap();
        for refused in [
            ledger.append(&draft("A-41", "mic-04")).map(drop),
            ledger.begin_job(now(), &[event("10.001")]).map(drop),
            OpenOptions::new().open(&path).map(drop),
        ] {
            let Err(Error::Damaged { what, .. }) = refused else {
                panic!("{missing} bytes missing: {refused:?}");
            };
            assert_eq!(what, Damage::CutShort { length, needed });
        }
        assert_eq!(fs::metadata(&path).unwrap().len(), length);
    }
}

/// A reader keeps the engine from copying the log: what waits there is not missing from the file.
#[test]
fn a_ledger_whose_log_is_not_copied_yet_is_not_taken_for_cut() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    let ledger = Ledger::open(&path).unwrap();
    ledger.append(&draft("A-1", "mic-04")).unwrap();
    let reader = rusqlite::Connection::open(&path).unwrap();
    reader
        .execute_batch("BEGIN; SELECT count(*) FROM entry")
        .unwrap();
    let before = fs::metadata(&path).unwrap().len();
    for part in 2..=40 {
        ledger
            .append(&draft(&format!("A-{part}"), "mic-04"))
            .unwrap();
    }
    assert_eq!(fs::metadata(&path).unwrap().len(), before, "it waits");
    assert_eq!(
        Ledger::open_existing(&path)
            .unwrap()
            .append(&draft("A-41", "mic-04"))
            .unwrap()
            .sequence,
        41
    );
    reader.execute_batch("COMMIT").unwrap();
    assert!(verify(&ledger).is_sound());
}

#[test]
fn a_reader_is_told_that_the_file_is_another_or_gone() {
    for put_another in [false, true] {
        let folder = Folder::new();
        let (path, other) = (folder.join("l.db"), folder.join("other.db"));
        let ledger = Ledger::open(&path).unwrap();
        ledger.append(&draft("A-1", "mic-04")).unwrap();
        drop(Ledger::open(&other).unwrap());
        fs::rename(&path, folder.join("moved.db")).unwrap();
        if put_another {
            fs::rename(&other, &path).unwrap();
        }
        let refused = ledger.head();
        assert!(matches!(refused, Err(Error::Replaced(_))), "{refused:?}");
    }
}

/// Something done to the file at a path, with another one at hand.
type Deed = fn(&Path, &Path);

#[test]
fn nothing_is_acknowledged_that_is_not_in_the_file_at_the_path() {
    let deeds: [Deed; 4] = [
        |path, _| fs::remove_file(path).unwrap(),
        |path, other| fs::rename(path, other).unwrap(),
        |path, other| fs::rename(other, path).unwrap(),
        |path, other| {
            fs::remove_file(path).unwrap();
            fs::copy(other, path).unwrap();
        },
    ];
    for deed in deeds {
        let folder = Folder::new();
        let (path, other) = (folder.join("l.db"), folder.join("other.db"));
        let ledger = Ledger::open(&path).unwrap();
        ledger.append(&draft("A-1", "mic-04")).unwrap();
        drop(Ledger::open(&other).unwrap());
        deed(&path, &other);
        let refused = ledger.append(&draft("A-2", "mic-04"));
        assert!(matches!(refused, Err(Error::Replaced(_))), "{refused:?}");
        let refused = ledger.begin_job(now(), &[event("10.001")]);
        assert!(matches!(refused, Err(Error::Replaced(_))), "{refused:?}");
    }
}

#[test]
fn a_backup_is_verified_as_the_ledger_is() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.join("l.db")).unwrap();
    ledger.append(&draft("A-1", "mic-04")).unwrap();
    let to = folder.join("copy.db");
    let differs = vec![Difference {
        path: "decision".into(),
        stored: "accept".into(),
        computed: "reject".into(),
    }];
    let refused = ledger.back_up(&to, &VerifyOptions::default(), |_| {
        Recomputed::Differs(differs.clone())
    });
    let Err(Error::BackupFaulty { first, more: 0, .. }) = refused else {
        panic!("{refused:?}");
    };
    assert!(matches!(first.kind, FaultKind::ResultDiffers { .. }));
    assert_eq!(
        partials(&folder),
        [""; 0],
        "nothing is left under a passing name"
    );
    assert!(!to.exists());
    assert_eq!(back_up(&ledger, &to).unwrap().entries, 1);
}

fn partials(folder: &Folder) -> Vec<String> {
    let names = fs::read_dir(folder.path()).unwrap();
    let mut names: Vec<String> = names
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains(".partial"))
        .collect();
    names.sort();
    names
}

#[test]
fn what_a_dead_process_left_is_removed_and_nothing_else() {
    if !Path::new("/proc/self").exists() {
        return;
    }
    let folder = Folder::new();
    let ledger = Ledger::open(folder.join("l.db")).unwrap();
    let mut child = Command::new("true").spawn().unwrap();
    let dead = child.id();
    child.wait().unwrap();
    let alive = std::process::id();
    for name in [
        format!(".copy.db.0.{dead}.partial"),
        format!(".copy.db.0.{dead}.partial-journal"),
        format!(".copy.db.99.{alive}.partial"),
        format!("copy.db.0.{dead}.partial"),
    ] {
        fs::write(folder.join(&name), "half a copy").unwrap();
    }
    back_up(&ledger, folder.join("copy.db")).unwrap();
    assert_eq!(
        partials(&folder),
        [
            format!(".copy.db.99.{alive}.partial"),
            format!("copy.db.0.{dead}.partial")
        ]
    );
}

#[test]
fn a_ledger_of_an_earlier_schema_is_told() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    drop(Ledger::open(&path).unwrap());
    rusqlite::Connection::open(&path)
        .unwrap()
        .execute_batch("PRAGMA user_version = 2")
        .unwrap();
    let options = OpenOptions::new().create(true).begin_new(true);
    for opened in [
        Ledger::open(&path),
        Ledger::open_read_only(&path),
        options.open(&path),
    ] {
        let error = opened.unwrap_err();
        assert!(
            matches!(error, Error::OlderSchema { found: 2, .. }),
            "{error}"
        );
    }
}
