//! Whatever is changed in the file behind the ledger's back is found, and named.

use std::path::Path;

use ledger::{EntryRef, FaultKind, Ledger, Recomputed, VerifyReport};
use rusqlite::Connection;

use crate::common::{Folder, draft, verify};

/// Six entries, the fifth amending the third.
fn six(path: &Path) {
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

/// Opens the file as someone who means to deceive: guards off, and back in their place afterwards.
fn tamper(path: &Path, sql: &str) {
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
    // Seven of the entries, three of the jobs at the bench.
    assert_eq!(guards.len(), 10);
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

/// What verification says of six entries after tampering.
fn after(sql: &str) -> VerifyReport {
    let folder = Folder::new();
    let path = folder.join("l.db");
    six(&path);
    let sound = verify(&Ledger::open(&path).unwrap());
    assert!(sound.is_sound(), "{:?}", sound.faults);
    tamper(&path, sql);
    verify(&Ledger::open(&path).unwrap())
}

fn has(report: &VerifyReport, sequence: Option<u64>, kind: impl Fn(&FaultKind) -> bool) -> bool {
    report
        .faults
        .iter()
        .any(|fault| fault.sequence == sequence && kind(&fault.kind))
}

#[test]
fn a_change_of_any_column_is_found_and_told_at_its_entry() {
    let changes = [
        "recorded_at = '2026-03-04T05:06:07.000000001Z'",
        "kind = 'zero-check'",
        "person = 'bench 3'",
        "program = 'midflank 0.1.1'",
        "inputs = replace(inputs, '0.2151', '0.2150')",
        "results = replace(results, 'accept', 'reject')",
        "editions = editions || ' '",
        "reason = 'another reason'",
        "amends = 4, amends_check = (SELECT substr(hash, 1, 4) FROM entry WHERE sequence = 4)",
        "amends = NULL, amends_check = NULL, reason = NULL",
    ];
    for change in changes {
        let report = after(&format!("UPDATE entry SET {change} WHERE sequence = 5"));
        assert!(
            has(&report, Some(5), |kind| matches!(
                kind,
                FaultKind::HashMismatch { .. }
            )),
            "{change}: {report:?}"
        );
        assert_eq!(report.entries, 6);
    }
}

#[test]
fn a_change_of_hash_or_link_is_found() {
    let other = "'00000000000000000000000000000000000000000000000000000000000000aa'";
    let report = after(&format!(
        "UPDATE entry SET hash = {other} WHERE sequence = 2"
    ));
    assert!(has(&report, Some(2), |kind| matches!(
        kind,
        FaultKind::HashMismatch { .. }
    )));
    assert!(has(&report, Some(3), |kind| matches!(
        kind,
        FaultKind::BrokenChain { .. }
    )));

    let report = after(&format!(
        "UPDATE entry SET previous = {other} WHERE sequence = 2"
    ));
    assert!(has(&report, Some(2), |kind| matches!(
        kind,
        FaultKind::HashMismatch { .. }
    )));
    assert!(has(&report, Some(2), |kind| matches!(
        kind,
        FaultKind::BrokenChain { .. }
    )));

    let report = after(&format!(
        "UPDATE entry SET hash = {other} WHERE sequence = 6"
    ));
    assert!(has(&report, Some(6), |kind| matches!(
        kind,
        FaultKind::HashMismatch { .. }
    )));
}

#[test]
fn what_is_no_entry_any_more_is_found() {
    let changes = [
        "recorded_at = '2026-03-04T05:06:07Z'",
        "recorded_at = 'yesterday'",
        "hash = upper(hash)",
        "previous = ''",
        "encoding = 'midflank-ledger-0'",
        "kind = CAST(x'ff' AS TEXT)",
        "amends = 1",
        "amends = -1, amends_check = '0000', reason = 'x'",
        "amends = 1, amends_check = 'XY', reason = 'x'",
    ];
    for change in changes {
        let report = after(&format!("UPDATE entry SET {change} WHERE sequence = 4"));
        assert!(
            has(&report, Some(4), |kind| matches!(
                kind,
                FaultKind::Unreadable { .. }
            )),
            "{change}: {report:?}"
        );
        assert_eq!(report.entries, 6, "verification goes on after it");
    }
}

#[test]
fn a_change_of_what_an_entry_touches_is_found() {
    let changes = [
        "UPDATE subject SET identity = 'mic-05' WHERE role = 'instrument' AND sequence = 4",
        "UPDATE subject SET role = 'standard' WHERE role = 'instrument' AND sequence = 4",
        "UPDATE subject SET sequence = 4 WHERE identity = 'A-3'",
        "DELETE FROM subject WHERE role = 'instrument' AND sequence = 4",
        "INSERT INTO subject VALUES ('instrument', 'mic-05', 4)",
    ];
    for change in changes {
        let report = after(change);
        assert!(
            has(&report, Some(4), |kind| matches!(
                kind,
                FaultKind::HashMismatch { .. }
            )),
            "{change}: {report:?}"
        );
    }
    let report = after("INSERT INTO subject VALUES ('instrument', 'mic-05', 40)");
    assert!(has(
        &report,
        None,
        |kind| matches!(kind, FaultKind::Storage { what } if what.contains("entry 40"))
    ));
}

#[test]
fn entries_removed_moved_or_added_are_found() {
    let report = after("DELETE FROM entry WHERE sequence = 2");
    assert!(
        has(&report, Some(3), |kind| *kind
            == FaultKind::Gap { first: 2, last: 2 }),
        "{report:?}"
    );

    let report = after("DELETE FROM entry WHERE sequence = 1");
    assert!(
        has(&report, Some(2), |kind| *kind
            == FaultKind::Gap { first: 1, last: 1 }),
        "{report:?}"
    );

    let report =
        after("DELETE FROM subject WHERE sequence > 4; DELETE FROM entry WHERE sequence > 4");
    assert!(
        has(&report, None, |kind| *kind
            == FaultKind::MissingTail { first: 5, last: 6 }),
        "{report:?}"
    );

    let report = after("DELETE FROM subject; DELETE FROM entry");
    assert!(
        has(&report, None, |kind| *kind
            == FaultKind::MissingTail { first: 1, last: 6 }),
        "{report:?}"
    );

    let report = after(
        "UPDATE entry SET sequence = 9 WHERE sequence = 6; UPDATE subject SET sequence = 9 WHERE sequence = 6",
    );
    assert!(
        has(&report, Some(9), |kind| *kind
            == FaultKind::Gap { first: 6, last: 8 }),
        "{report:?}"
    );
    assert!(has(&report, Some(9), |kind| matches!(
        kind,
        FaultKind::HashMismatch { .. }
    )));

    let report = after("UPDATE entry SET sequence = -4 WHERE sequence = 4");
    assert!(
        has(&report, Some(0), |kind| matches!(
            kind,
            FaultKind::Unreadable { .. }
        )),
        "{report:?}"
    );

    let report = after(
        "INSERT INTO entry SELECT 7, encoding, hash, hash, recorded_at, kind, person, program, inputs, results, editions, NULL, NULL, NULL FROM entry WHERE sequence = 6",
    );
    assert!(
        has(&report, Some(7), |kind| matches!(
            kind,
            FaultKind::HashMismatch { .. }
        )),
        "{report:?}"
    );

    let report = after(
        "UPDATE entry SET amends = 3, amends_check = (SELECT substr(hash, 1, 4) FROM entry WHERE sequence = 3), reason = 'x' WHERE sequence = 6",
    );
    assert!(
        has(&report, Some(6), |kind| matches!(
            kind,
            FaultKind::WrongAmendment { .. }
        )),
        "{report:?}"
    );
}

#[test]
fn nothing_is_added_to_a_ledger_whose_end_is_missing() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    six(&path);
    tamper(
        &path,
        "DELETE FROM subject WHERE sequence > 4; DELETE FROM entry WHERE sequence > 4",
    );
    let ledger = Ledger::open(&path).unwrap();
    let refused = ledger
        .append(&draft("A-7", "mic-04"))
        .unwrap_err()
        .to_string();
    assert!(
        refused.contains("its last entry is 4, but 6 have been recorded"),
        "{refused}"
    );
}

#[test]
fn a_file_written_anew_is_found_only_by_what_was_noted_outside() {
    let folder = Folder::new();
    let (path, forged) = (folder.join("l.db"), folder.join("forged.db"));
    six(&path);
    let noted = Ledger::open(&path).unwrap().get(&4.into()).unwrap();
    {
        let ledger = Ledger::open(&forged).unwrap();
        for part in 1..=6 {
            ledger
                .append(&draft(&format!("A-{part}"), "mic-05"))
                .unwrap();
        }
    }
    for noted in [
        EntryRef::from(noted.hash),
        noted.id().into(),
        noted.mark().into(),
    ] {
        let check = |path| {
            let ledger = Ledger::open(path).unwrap();
            ledger::verify(&ledger, Some(&noted), &mut |_| Recomputed::Same).unwrap()
        };
        assert!(check(&path).is_sound());
        let report = check(&forged);
        assert_eq!(report.faults.len(), 1);
        assert!(has(&report, None, |kind| matches!(
            kind,
            FaultKind::NotedMissing { .. }
        )));
    }
    assert!(verify(&Ledger::open(&forged).unwrap()).is_sound());
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
    let told: Vec<String> = report.faults.iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        [
            "the file: trigger entry_is_never_deleted was altered",
            "the file: trigger extra is not part of a ledger",
            "the file: index entry_by_kind is missing",
            "the file: trigger entry_is_never_changed is missing",
        ]
    );
}

#[test]
fn the_guards_refuse_a_careless_hand() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    six(&path);
    let connection = Connection::open(&path).unwrap();
    let columns = "encoding, previous, hash, recorded_at, kind, person, program, inputs, results, editions, amends, amends_check, reason";
    for sql in [
        "UPDATE entry SET person = 'x'",
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
        "INSERT INTO entry SELECT 7, encoding, hash, hash, recorded_at, kind, person, program, inputs, results, editions, 3, '0000', 'x' FROM entry WHERE sequence = 6",
    ] {
        assert!(connection.execute_batch(sql).is_err(), "{sql}");
    }
    assert!(verify(&Ledger::open(&path).unwrap()).is_sound());
}

#[test]
fn results_are_computed_again_by_the_caller() {
    let folder = Folder::new();
    let path = folder.join("l.db");
    six(&path);
    let ledger = Ledger::open_read_only(&path).unwrap();
    let mut seen = Vec::new();
    let report = ledger::verify(&ledger, None, &mut |entry| {
        // The ledger may be asked meanwhile.
        assert_eq!(ledger.get(&entry.id().into()).unwrap(), *entry);
        seen.push(entry.sequence);
        match entry.sequence {
            2 => Recomputed::Differs {
                what: "size 0.2151 in, now 0.2152 in".into(),
            },
            4 => Recomputed::CannotRecompute {
                why: "made by a later program".into(),
            },
            _ => Recomputed::Same,
        }
    })
    .unwrap();
    assert_eq!(seen, [1, 2, 3, 4, 5, 6]);
    assert_eq!((report.entries, report.recomputed), (6, 4));
    let told: Vec<String> = report.faults.iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        ["entry 2: its inputs give other results: size 0.2151 in, now 0.2152 in"]
    );
    assert_eq!(report.not_recomputed.len(), 1);
    assert_eq!(report.head, ledger.head().unwrap());
}
