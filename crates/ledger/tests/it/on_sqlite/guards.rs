//! The guards of the file, and its index of words.

use std::path::Path;

use ledger::{Error, FaultKind, Ledger, StorageFault};
use rusqlite::Connection;

use super::tampering::after;
use crate::books::{Folder, has, six, verify};

/// Opens the file as someone who means to deceive: guards off, and back in their place afterwards.
pub fn tamper(path: &Path, sql: &str) {
    let connection = Connection::open(path).unwrap();
    connection
        .execute_batch("PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON;")
        .unwrap();
    let guards: Vec<(String, String)> = connection
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    // Seven of the entries, three of the jobs at the bench, two of the facts.
    assert_eq!(guards.len(), 12);
    for (name, _) in &guards {
        connection
            .execute_batch(&format!("DROP TRIGGER {name}"))
            .unwrap();
    }
    connection.execute_batch(sql).unwrap();
    assert!(connection.changes() > 0, "{sql}");
    for (_, guard) in &guards {
        connection.execute_batch(guard).unwrap();
    }
}

#[test]
fn missing_or_altered_guards_are_found() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    six(&path);
    Connection::open(&path)
        .unwrap()
        .execute_batch(
            "DROP TRIGGER entry_is_never_changed;
             DROP TRIGGER entry_is_never_deleted;
             CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry BEGIN SELECT 1; END;
             CREATE TRIGGER extra AFTER INSERT ON entry BEGIN SELECT 1; END;
             DROP INDEX entry_by_kind;",
        )
        .unwrap();
    let report = verify(&Ledger::open(&path).unwrap());
    let told: Vec<&FaultKind> = report.faults.iter().map(|fault| &fault.kind).collect();
    let object = |name: &str| name.to_owned();
    let expected = [
        StorageFault::SchemaAltered {
            object: object("trigger entry_is_never_deleted"),
        },
        StorageFault::SchemaUnknown {
            object: object("trigger extra"),
        },
        StorageFault::SchemaMissing {
            object: object("index entry_by_kind"),
        },
        StorageFault::SchemaMissing {
            object: object("trigger entry_is_never_changed"),
        },
    ]
    .map(|what| FaultKind::Storage { what });
    assert_eq!(told, expected.iter().collect::<Vec<_>>());
}

#[test]
fn the_guards_refuse_a_careless_hand() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    six(&path);
    let connection = Connection::open(&path).unwrap();
    let columns = "encoding, previous, hash, recorded_at, zone, kind, actor_id, actor_name, actor_how, station, program, amends, amends_check, reason, job, job_events, job_hash, inputs, results, editions, words";
    for sql in [
        "UPDATE entry SET station = 'x'",
        "UPDATE entry SET sequence = sequence + 10",
        "DELETE FROM entry",
        "DELETE FROM entry WHERE sequence = 6",
        "UPDATE subject SET identity = 'x'",
        "DELETE FROM subject",
        "INSERT INTO subject VALUES ('instrument', 'mic-05', 2)",
        "INSERT OR REPLACE INTO subject VALUES ('instrument', 'mic-05', 2)",
        &format!(
            "INSERT OR REPLACE INTO entry SELECT sequence, {columns} FROM entry WHERE sequence = 2"
        ),
        &format!("INSERT INTO entry SELECT 7, {columns} FROM entry WHERE sequence = 2"),
        &format!("INSERT INTO entry SELECT 8, {columns} FROM entry WHERE sequence = 6"),
        "INSERT INTO entry SELECT 7, encoding, hash, hash, recorded_at, zone, kind, actor_id, actor_name, actor_how, station, program, 3, '0000', 'x', NULL, NULL, NULL, inputs, results, editions, words FROM entry WHERE sequence = 6",
    ] {
        assert!(connection.execute_batch(sql).is_err(), "{sql}");
    }
    assert!(verify(&Ledger::open(&path).unwrap()).is_sound());
}

#[test]
fn words_of_the_search_index_that_are_not_its_own_are_found() {
    for change in [
        "UPDATE search SET text = 'mic-05' WHERE rowid = 2",
        "DELETE FROM search WHERE rowid = 2",
    ] {
        let report = after(change);
        assert_eq!(report.faults.len(), 1, "{report:?}");
        assert!(has(&report, Some(2), |kind| *kind == FaultKind::SearchDiffers));
    }
    let report = after("INSERT INTO search (rowid, text) VALUES (40, 'mic-05')");
    let what = StorageFault::SearchAlone { sequence: 40 };
    assert_eq!(report.faults[0].kind, FaultKind::Storage { what });
}

/// By another name it is the same ledger, and the same station.
#[cfg(unix)]
#[test]
fn a_station_is_kept_by_whatever_name_the_ledger_is_opened() {
    let folder = Folder::new();
    let (path, link) = (folder.join("ledger.db"), folder.join("link.db"));
    let ledger = Ledger::open(&path).unwrap();
    std::os::unix::fs::symlink(&path, &link).unwrap();
    let _kept = ledger.occupy("bench 2").unwrap();
    let refused = Ledger::open(&link).unwrap().occupy("bench 2");
    assert!(
        matches!(&refused, Err(Error::StationTaken { .. })),
        "{refused:?}"
    );
}
