//! Whatever is changed in the file behind the ledger's back is found, and named.

use std::collections::BTreeSet;
use std::sync::Mutex;

use super::{ALLOW_TWO_AMENDMENTS, Folder, MORE_COLUMNS, NO_ENTRY, tamper};
use crate::books::{draft, has, six, verify};
use ledger::{
    Computed, Damage, Difference, EntryRef, Error, FaultKind, Ledger, NotComputed, Place,
    Recomputed, StorageFault, Subject, VerifyOptions, VerifyReport,
};

/// What verification says of six entries after tampering.
pub fn after(sql: &str) -> VerifyReport {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    six(&path);
    let sound = verify(&Ledger::open(&path).unwrap());
    assert!(sound.is_sound(), "{:?}", sound.faults);
    tamper(&path, sql);
    verify(&Ledger::open(&path).unwrap())
}

#[test]
fn a_change_of_any_column_is_found_and_told_at_its_entry() {
    let changes = [
        "recorded_at = '2026-03-04T05:06:07.000000001Z'",
        "kind = 'zero-check'",
        "zone = 'Europe/Rome'",
        "actor_id = 'AL-8'",
        "actor_name = 'A. Quill'",
        "actor_how = 'badge'",
        "station = 'bench 3'",
        "words = '{ }'",
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
        "actor_how = 'known'",
        "job = 1",
        "job = 1, job_events = -1, job_hash = hash",
        "job = 1, job_events = 1, job_hash = 'x'",
        "amends = 1",
        "amends = -1, amends_check = '0000', reason = 'x'",
        "amends = 1, amends_check = 'XY', reason = 'x'",
    ];
    for change in changes.iter().chain(NO_ENTRY) {
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
    assert!(has(&report, None, |kind| matches!(
        kind,
        FaultKind::Storage {
            what: StorageFault::SubjectAlone { sequence: 40, .. }
        }
    )));
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

    let columns = "recorded_at, zone, kind, actor_id, actor_name, actor_how, station, program, inputs, results, editions, words";
    let report = after(&format!(
        "INSERT INTO entry (sequence, encoding, previous, hash, {columns}{MORE_COLUMNS})
         SELECT 7, encoding, hash, hash, {columns}{MORE_COLUMNS} FROM entry WHERE sequence = 6"
    ));
    assert!(
        has(&report, Some(7), |kind| matches!(
            kind,
            FaultKind::HashMismatch { .. }
        )),
        "{report:?}"
    );

    let report = after(&format!(
        "{ALLOW_TWO_AMENDMENTS} UPDATE entry SET amends = 3, amends_check = (SELECT substr(hash, 1, 4) FROM entry WHERE sequence = 3), reason = 'x' WHERE sequence = 6"
    ));
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
    let path = folder.ledger("l.db");
    six(&path);
    tamper(
        &path,
        "DELETE FROM subject WHERE sequence > 4; DELETE FROM entry WHERE sequence > 4",
    );
    let ledger = Ledger::open(&path).unwrap();
    let refused = ledger.append(&draft("A-7", "mic-04")).unwrap_err();
    let what = Damage::TailMissing { last: 4, issued: 6 };
    assert!(matches!(refused, Error::Damaged { what: found, .. } if found == what));
}

#[test]
fn a_file_written_anew_is_found_only_by_what_was_noted_outside() {
    let folder = Folder::new();
    let (path, forged) = (folder.ledger("l.db"), folder.ledger("forged.db"));
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
            let options = VerifyOptions {
                noted: Some(noted.clone()),
                ..VerifyOptions::default()
            };
            ledger::verify(&ledger, &options, |_| Recomputed::Same).unwrap()
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
fn results_are_computed_again_by_the_caller() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    six(&path);
    let ledger = Ledger::open_read_only(&path).unwrap();
    let seen = Mutex::new(Vec::new());
    let differences = vec![Difference {
        path: "size.value".into(),
        stored: "0.2151".into(),
        computed: "0.2152".into(),
    }];
    let not_computed = |reason| Recomputed::NotComputed { reason };
    let refused = NotComputed::Refused {
        code: "job.no-zero".into(),
    };
    let recompute = |entry: &ledger::Entry| {
        // The ledger may be asked meanwhile.
        assert_eq!(ledger.get(&entry.id().into()).unwrap(), *entry);
        seen.lock().unwrap().push(entry.sequence);
        match entry.sequence {
            2 => Recomputed::Differs(differences.clone()),
            3 => not_computed(refused.clone()),
            4 => not_computed(NotComputed::MethodUnknown { method: 9 }),
            _ => Recomputed::Same,
        }
    };
    let report = ledger::verify(&ledger, &VerifyOptions::default(), recompute).unwrap();
    let mut seen = seen.into_inner().unwrap();
    seen.sort_unstable();
    assert_eq!(seen, [1, 2, 3, 4, 5, 6]);
    assert_eq!((report.entries, report.recomputed), (6, 3));
    let found: Vec<_> = report
        .faults
        .into_iter()
        .map(|f| (f.place, f.kind))
        .collect();
    let at = |sequence| Place::Entry { sequence };
    assert_eq!(
        found,
        [
            (at(2), FaultKind::ResultDiffers { differences }),
            (at(3), FaultKind::NotComputed { reason: refused }),
        ]
    );
    assert_eq!(report.not_recomputed.len(), 1);
    assert_eq!(report.head, ledger.head().unwrap());
}

#[test]
fn a_method_that_is_not_known_is_unsound_unless_it_is_accepted() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    six(&path);
    let ledger = Ledger::open_read_only(&path).unwrap();
    let check = |accept_methods| {
        let options = VerifyOptions {
            accept_methods,
            ..VerifyOptions::default()
        };
        ledger::verify(&ledger, &options, |entry| match entry.sequence {
            4 => Recomputed::NotComputed {
                reason: NotComputed::MethodUnknown { method: 9 },
            },
            _ => Recomputed::Same,
        })
        .unwrap()
    };
    for (methods, sound) in [
        (None, false),
        (Some(1..=8), false),
        (Some(10..=12), false),
        (Some(9..=9), true),
        (Some(1..=12), true),
    ] {
        let report = check(methods);
        assert_eq!(report.is_sound(), sound);
        assert_eq!(report.faults, []);
        let listed = report.not_recomputed[0];
        assert_eq!((listed.entry.sequence(), listed.method), (4, 9));
        assert_eq!(listed.accepted, sound);
    }
}

/// Somebody changes one thing that an entry touches and hashes all of it again.
#[test]
fn subjects_hashed_again_are_held_against_the_documents() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("forged.db")).unwrap();
    let right = draft("A-1", "mic-04");
    let forged = draft("A-1", "mic-05");
    ledger.append(&right).unwrap();
    ledger.append(&forged).unwrap();
    assert!(verify(&ledger).is_sound());
    let report = ledger::verify(&ledger, &VerifyOptions::default(), |_| Computed {
        results: Recomputed::Same,
        facts: None,
        subjects: Some(right.subjects.clone()),
        remarks: Vec::new(),
    })
    .unwrap();
    assert_eq!(report.faults.len(), 1);
    let missing = [Subject::new("instrument", "mic-04")].into();
    let extra = [Subject::new("instrument", "mic-05")].into();
    assert!(has(&report, Some(2), |kind| *kind
        == FaultKind::SubjectsDiffer {
            missing: BTreeSet::clone(&missing),
            extra: BTreeSet::clone(&extra)
        }));
}
