//! Backups: whole, verified, never over something else.

use std::fs;

use ledger::{Error, Ledger, Obstacle};

use super::{Folder, tamper};
use crate::books::{back_up, draft, verify};
use crate::child::Recorder;

#[test]
fn a_backup_is_a_ledger_with_the_same_head() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("l.db")).unwrap();
    assert_eq!(
        back_up(&ledger, folder.join("empty.db")).unwrap().head,
        None
    );
    for part in 0..30 {
        ledger
            .append(&draft(&format!("A-{part}"), "mic-04"))
            .unwrap();
    }
    let to = folder.join("copy.db");
    let head = back_up(&ledger, &to).unwrap().head;
    assert_eq!(head, ledger.head().unwrap());

    let mut files: Vec<_> = fs::read_dir(folder.path())
        .unwrap()
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .filter(|name| !name.starts_with("l.db"))
        .collect();
    files.sort();
    assert_eq!(files, ["copy.db", "empty.db"], "one file, nothing passing");
    // It goes on as a ledger of its own.
    let copy = Ledger::open(&to).unwrap();
    assert_eq!(copy.append(&draft("A-30", "mic-04")).unwrap().sequence, 31);
    assert!(verify(&copy).is_sound());
}

#[test]
fn a_backup_overwrites_nothing() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("l.db")).unwrap();
    let to = folder.join("copy.db");
    fs::write(&to, "precious").unwrap();
    fs::write(folder.join("taken.db"), "").unwrap();
    assert!(matches!(back_up(&ledger, &to), Err(Error::BackupExists(_))));
    assert_eq!(fs::read(&to).unwrap(), b"precious");
    assert!(matches!(
        back_up(&ledger, folder.join("taken.db")),
        Err(Error::BackupExists(_))
    ));
    fs::write(folder.join("other.db-wal"), "precious").unwrap();
    assert!(matches!(
        back_up(&ledger, folder.join("other.db")),
        Err(Error::Unwritable {
            why: Obstacle::StrayLog,
            ..
        })
    ));
    assert!(matches!(
        back_up(&ledger, folder.path()),
        Err(Error::IsFolder(_))
    ));
    assert!(matches!(
        back_up(&ledger, folder.join("no/such/copy.db")),
        Err(Error::Unwritable { .. })
    ));
}

#[test]
fn a_backup_taken_while_others_record_is_whole() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let mut recorder = Recorder::start(&path, "mic-04", u32::MAX);
    recorder.wait_until_ready();
    let ledger = Ledger::open(&path).unwrap();
    for number in 0..10 {
        let before = ledger.append(&draft("A-1", "mic-05")).unwrap();
        let to = folder.join(&format!("copy-{number}.db"));
        let head = back_up(&ledger, &to).unwrap().head.unwrap();
        assert!(head.sequence >= before.sequence);
        let copy = Ledger::open_read_only(&to).unwrap();
        assert!(verify(&copy).is_sound());
        assert_eq!(copy.get(&before.id().into()).unwrap(), before);
        assert_eq!(ledger.get(&head.into()).unwrap().mark(), head);
    }
    recorder.kill();
    assert!(recorder.finish().0.len() > 10, "it recorded meanwhile");
}

#[test]
fn a_copy_that_does_not_verify_is_not_kept() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let ledger = Ledger::open(&path).unwrap();
    ledger.append(&draft("A-1", "mic-04")).unwrap();
    tamper(&path, "UPDATE entry SET station = 'bench 3'");
    let error = back_up(&ledger, folder.join("copy.db")).unwrap_err();
    assert!(matches!(error, Error::BackupFaulty { .. }), "{error}");
    assert!(!folder.join("copy.db").exists());
}
