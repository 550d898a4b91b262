//! Files and disks that will not do: each told for what it is, and nothing changed.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use ledger::{Error, Filter, Ledger, Obstacle, OpenOptions};
use rusqlite::Connection;

use crate::books::{Folder, back_up, draft, event, verify};

#[test]
fn a_locked_ledger_is_waited_for_and_then_told() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    let options = OpenOptions::new()
        .create(true)
        .patience(Duration::from_millis(200));
    let ledger = options.open(&path).unwrap();
    ledger.append(&draft("A-1", "mic-04")).unwrap();

    let other = Connection::open(&path).unwrap();
    other.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let begun = Instant::now();
    let error = ledger.append(&draft("A-2", "mic-04")).unwrap_err();
    assert!(matches!(error, Error::Locked { waited, .. } if waited == Duration::from_millis(200)));
    assert!(begun.elapsed() >= Duration::from_millis(150));
    // Reading goes on, and so does opening.
    assert_eq!(ledger.count(&Filter::default()).unwrap(), 1);
    assert_eq!(
        options
            .open(&path)
            .unwrap()
            .count(&Filter::default())
            .unwrap(),
        1
    );

    other.execute_batch("ROLLBACK").unwrap();
    assert_eq!(ledger.append(&draft("A-2", "mic-04")).unwrap().sequence, 2);
}

#[test]
fn what_is_no_ledger_is_left_as_it_is() {
    let folder = Folder::new();
    let text = folder.join("notes.txt");
    fs::write(&text, "0.2151 in, looks good\n".repeat(100)).unwrap();
    let foreign = folder.join("foreign.db");
    Connection::open(&foreign)
        .unwrap()
        .execute_batch("CREATE TABLE parts (name TEXT)")
        .unwrap();
    let marked = folder.join("marked.db");
    Connection::open(&marked)
        .unwrap()
        .execute_batch("PRAGMA application_id = 7")
        .unwrap();

    for path in [&text, &foreign, &marked] {
        let before = fs::read(path).unwrap();
        for opened in [
            Ledger::open(path),
            Ledger::open_existing(path),
            Ledger::open_read_only(path),
        ] {
            let error = opened.unwrap_err();
            assert!(matches!(error, Error::NotALedger { .. }), "{error}");
        }
        assert_eq!(fs::read(path).unwrap(), before);
    }
}

#[test]
fn an_empty_file_becomes_a_ledger_only_where_that_is_asked_for() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    fs::write(&path, "").unwrap();
    for opened in [
        Ledger::open(&path),
        Ledger::open_existing(&path),
        Ledger::open_read_only(&path),
        OpenOptions::new()
            .begin_new(true)
            .read_only(true)
            .open(&path),
    ] {
        let error = opened.unwrap_err();
        assert!(matches!(error, Error::Empty(_)), "{error}");
    }
    assert_eq!(fs::read(&path).unwrap(), b"");
    let new = OpenOptions::new().begin_new(true).open(&path).unwrap();
    assert_eq!(new.head().unwrap(), None);
    assert!(verify(&new).is_sound());
}

/// The engine would throw such a log away, or take it for a part of the new ledger.
#[test]
fn no_ledger_is_begun_beside_the_log_of_another() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    let log = folder.join("l.db-wal");
    fs::write(&log, "entries").unwrap();
    let options = OpenOptions::new().create(true).begin_new(true);
    for empty in [false, true] {
        if empty {
            fs::write(&path, "").unwrap();
        }
        let error = options.open(&path).unwrap_err();
        let why = matches!(
            error,
            Error::Unwritable {
                why: Obstacle::StrayLog,
                ..
            }
        );
        assert!(why, "{error}");
        assert_eq!(fs::read(&log).unwrap(), b"entries");
    }
}

#[test]
fn a_ledger_of_a_later_program_is_left_to_it() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    Ledger::open(&path)
        .unwrap()
        .append(&draft("A-1", "mic-04"))
        .unwrap();
    Connection::open(&path)
        .unwrap()
        .execute_batch("PRAGMA user_version = 99")
        .unwrap();
    for opened in [Ledger::open(&path), Ledger::open_read_only(&path)] {
        let error = opened.unwrap_err();
        assert!(
            matches!(error, Error::NewerSchema { found: 99, .. }),
            "{error}"
        );
    }
}

#[test]
fn a_missing_ledger_is_made_only_where_asked() {
    let folder = Folder::new();
    let path = folder.join("a/l.db");
    assert!(matches!(
        Ledger::open_existing(&path),
        Err(Error::Missing(_))
    ));
    assert!(matches!(
        Ledger::open_read_only(&path),
        Err(Error::Missing(_))
    ));
    assert!(!folder.join("a").exists());
    Ledger::open(&path).unwrap();
    assert!(path.exists());
    assert!(matches!(
        Ledger::open(folder.path()),
        Err(Error::IsFolder(_))
    ));
}

#[test]
fn odd_names_are_just_names() {
    let folder = Folder::new();
    for name in [
        "file:x?mode=memory",
        "50% done #1.db",
        "größe.db",
        ":memory:",
    ] {
        let path = folder.join(name);
        Ledger::open(&path)
            .unwrap()
            .append(&draft("A-1", "mic-04"))
            .unwrap();
        assert!(path.exists(), "{name}");
        let ledger = Ledger::open_read_only(&path).unwrap();
        assert_eq!(ledger.count(&Filter::default()).unwrap(), 1);
    }
}

/// Places where nobody may write, the administrator included.
#[test]
fn an_unwritable_place_is_told() {
    let folder = Folder::new();
    let file = folder.join("file");
    fs::write(&file, "x").unwrap();
    let mut places = vec![file.join("l.db"), file.join("a/l.db")];
    if Path::new("/proc/self").exists() {
        places.push("/proc/l.db".into());
        places.push("/proc/a/l.db".into());
    }
    for place in places {
        let error = Ledger::open(&place).unwrap_err();
        assert!(
            matches!(error, Error::Unwritable { .. }),
            "{}: {error:?}",
            place.display()
        );
    }
}

/// A small disk of its own in memory, where the machine lets us make one.
struct Disk(PathBuf);

impl Disk {
    fn mount(folder: &Folder, size: &str) -> Option<Self> {
        let at = folder.join("disk");
        fs::create_dir(&at).unwrap();
        let size = format!("size={size}");
        let made = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &size, "tmpfs"])
            .arg(&at)
            .output();
        if made.is_ok_and(|output| output.status.success()) {
            Some(Self(at))
        } else {
            println!("skipped: this user may not mount a small disk");
            None
        }
    }

    fn make_read_only(&self) {
        let done = Command::new("mount")
            .args(["-o", "remount,ro"])
            .arg(&self.0)
            .status();
        assert!(done.unwrap().success());
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

#[test]
fn a_full_disk_keeps_what_it_has() {
    let folder = Folder::new();
    let Some(disk) = Disk::mount(&folder, "600k") else {
        return;
    };
    let path = disk.0.join("l.db");
    let ledger = Ledger::open(&path).unwrap();
    let mut last = None;
    let error = loop {
        match ledger.append(&draft("A-1", "mic-04")) {
            Ok(entry) => last = Some(entry.mark()),
            Err(error) => break error,
        }
    };
    assert!(matches!(error, Error::DiskFull(_)), "{error:?}");
    assert!(last.is_some());
    assert_eq!(ledger.head().unwrap(), last);
    assert!(verify(&ledger).is_sound());
    // A copy finds no room either, and leaves nothing behind.
    let error = back_up(&ledger, disk.0.join("copy.db")).unwrap_err();
    assert!(matches!(error, Error::DiskFull(_)), "{error:?}");
    let left = fs::read_dir(&disk.0)
        .unwrap()
        .map(|file| file.unwrap().file_name());
    let copies = left.filter(|name| name.to_string_lossy().contains("copy"));
    assert_eq!(copies.count(), 0);
}

#[test]
fn a_disk_full_from_the_start_is_told() {
    let folder = Folder::new();
    let Some(disk) = Disk::mount(&folder, "64k") else {
        return;
    };
    let error = Ledger::open(disk.0.join("l.db")).unwrap_err();
    assert!(matches!(error, Error::DiskFull(_)), "{error:?}");
}

#[test]
fn a_ledger_on_a_read_only_disk_can_be_read() {
    let folder = Folder::new();
    let Some(disk) = Disk::mount(&folder, "4m") else {
        return;
    };
    let [closed, copy, waiting] =
        ["closed #1.db", "copy.db", "waiting.db"].map(|name| disk.0.join(name));
    let ledger = Ledger::open(&closed).unwrap();
    ledger.append(&draft("A-1", "mic-04")).unwrap();
    back_up(&ledger, &copy).unwrap();
    let reader = Connection::open(&closed).unwrap();
    reader
        .execute_batch("BEGIN; SELECT count(*) FROM entry")
        .unwrap();
    ledger
        .begin_job(
            "2026-03-04T05:06:07Z".parse().unwrap(),
            &[event("a reading")],
        )
        .unwrap();
    // As a machine that lost power leaves it: a log with entries beside the file.
    fs::copy(&closed, &waiting).unwrap();
    fs::copy(
        disk.0.join("closed #1.db-wal"),
        disk.0.join("waiting.db-wal"),
    )
    .unwrap();
    drop(reader);
    drop(ledger);
    disk.make_read_only();

    for path in [&closed, &copy] {
        let ledger = Ledger::open_read_only(path).unwrap();
        assert_eq!(ledger.count(&Filter::default()).unwrap(), 1);
        assert!(verify(&ledger).is_sound());
        assert_eq!(
            back_up(
                &ledger,
                folder.join(&path.file_name().unwrap().to_string_lossy())
            )
            .unwrap()
            .head,
            ledger.head().unwrap()
        );
        let error = Ledger::open(path).unwrap_err();
        assert!(matches!(error, Error::Unwritable { .. }), "{error:?}");
    }
    let error = Ledger::open_read_only(&waiting).unwrap_err();
    let why = matches!(
        error,
        Error::Unreadable {
            why: Obstacle::WaitingLog,
            ..
        }
    );
    assert!(why, "{error:?}");
}
