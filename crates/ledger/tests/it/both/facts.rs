//! Facts beside the chain: made with the entry, made again, asked for, and told where they were forged.

use super::{Folder, MAKES_AGAIN, is_refused, tamper};
use crate::books::{draft, has};
use ledger::{
    Computed, Draft, Facts, FaultKind, Filter, Glance, Ledger, Number, OpenOptions, Order, Page,
    Recomputed, StorageFault, Subject, Text, Touching, Used, VerifyOptions, VerifyReport, Wanted,
};

/// The facts of a test: a size by the part's number, measured an hour after the other.
fn facts(draft: &Draft) -> Facts {
    let mut facts = Facts::default();
    let Some(part) = draft.subject("part") else {
        return facts;
    };
    let number: u32 = part.trim_start_matches("A-").parse().unwrap();
    facts.at = format!("2026-03-{:02}T05:06:07Z", number % 28 + 1)
        .parse()
        .ok();
    facts.set(Number::Size, 8.0 + f64::from(number) / 1024.0);
    facts.set(Number::DegreesOfFreedom, f64::INFINITY);
    facts.tell(Text::Part, part.to_owned());
    facts.tell(
        Text::MeasuredOn,
        draft.subject("measured").map(str::to_owned),
    );
    facts.tell(Text::Verdict, "accept".to_owned());
    for (role, identity, part_of, sensitivity) in [
        (
            "instrument",
            draft.subject("instrument").unwrap(),
            None,
            Some(1.0),
        ),
        ("contact", "anvil", Some("contacts"), Some(-3.0)),
    ] {
        facts.uses(Used {
            role: role.into(),
            identity: identity.into(),
            part_of: part_of.map(str::to_owned),
            sensitivity,
        });
    }
    facts
}

fn open(path: &std::path::Path) -> Ledger {
    OpenOptions::new()
        .create(true)
        .facts(facts)
        .open(path)
        .unwrap()
}

fn verify(ledger: &Ledger) -> VerifyReport {
    ledger::verify(ledger, &VerifyOptions::default(), |entry| Computed {
        remarks: Vec::new(),
        results: Recomputed::Same,
        subjects: None,
        facts: Some(facts(&entry.content)),
    })
    .unwrap()
}

/// Six entries with their facts, the fifth amending the third.
fn six(path: &std::path::Path) {
    let ledger = open(path);
    for part in 1..=6_u64 {
        let draft = draft(&format!("A-{part}"), &format!("mic-{}", part % 2));
        if part == 5 {
            ledger.amend(&3.into(), "wrong part", draft).unwrap();
        } else {
            ledger.append(&draft).unwrap();
        }
    }
}

#[test]
fn facts_are_recorded_with_the_entry_and_verified() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    six(&path);
    let ledger = open(&path);
    assert!(ledger.facts_are_made().unwrap());
    let report = verify(&ledger);
    assert!(report.is_sound(), "{:?}", report.faults);
    let listing = ledger
        .known(&Filter::default(), &Page::first(Order::NewestFirst, 4))
        .unwrap();
    let parts: Vec<_> = listing
        .entries
        .iter()
        .map(|known| known.facts.as_ref().unwrap().text(Text::Part).unwrap())
        .collect();
    assert_eq!(parts, ["A-6", "A-5", "A-4", "A-3"]);
    let third = &listing.entries[3];
    assert_eq!(
        third.heading.amended_by,
        Some(listing.entries[1].heading.id())
    );
    assert_eq!(third.heading.content.inputs, "");
    assert_eq!(third.heading.content.subject("part"), Some("A-3"));
    let facts = third.facts.as_ref().unwrap();
    assert_eq!(facts.number(Number::Size), Some(8.0 + 3.0 / 1024.0));
    assert_eq!(facts.number(Number::DegreesOfFreedom), None);
    let next = ledger
        .known(&Filter::default(), &listing.next.unwrap())
        .unwrap();
    assert_eq!(next.entries.len(), 2);
    assert!(next.next.is_none());
}

#[test]
fn what_a_piece_touched_is_found_by_time_and_paged_by_key() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    six(&path);
    let ledger = open(&path);
    let asked = |role: &str, identity: &str| Touching {
        role: role.into(),
        identity: identity.into(),
        size: 100,
        ..Touching::default()
    };
    let sequences = |asked: &Touching| -> Vec<u64> {
        let found = ledger.touched(asked).unwrap();
        found.iter().map(|one| one.entry.sequence()).collect()
    };
    assert_eq!(sequences(&asked("instrument", "mic-1")), [1, 3, 5]);
    let since = Touching {
        since: Some("2026-03-04T05:06:07Z".parse().unwrap()),
        until: Some("2026-03-07T05:06:07Z".parse().unwrap()),
        ..asked("contact", "anvil")
    };
    assert_eq!(sequences(&since), [3, 4, 5]);
    let standing = Touching {
        standing: true,
        ..since.clone()
    };
    assert_eq!(sequences(&standing), [4, 5]);
    let also = Touching {
        also: vec![Subject::new("instrument", "mic-0")],
        ..since.clone()
    };
    assert_eq!(sequences(&also), [4]);
    // As it stood before the fifth entry amended the third.
    let then = Touching {
        up_to: Some(4),
        ..standing.clone()
    };
    assert_eq!(sequences(&then), [3, 4]);
    for question in [&since, &standing, &also, &then] {
        let mut all = ledger.touched(question).unwrap().into_iter();
        let take = |one: ledger::Touched<&dyn Glance>| {
            let listed = all.next().unwrap();
            let name = (one.entry, one.at, one.sensitivity);
            assert_eq!(name, (listed.entry, listed.at, listed.sensitivity));
            for number in Number::ALL {
                assert_eq!(one.facts.number(number), listed.facts.number(number));
            }
            for text in Text::ALL {
                assert_eq!(one.facts.text(text), listed.facts.text(text));
            }
            true
        };
        ledger.each_touched(question, take).unwrap();
        assert_eq!(all.next(), None);
    }
    let some = Touching {
        wanted: Wanted {
            numbers: &[Number::Upper, Number::Size],
            texts: &[Text::Lot],
        },
        ..since.clone()
    };
    let (whole, part) = (
        ledger.touched(&since).unwrap(),
        ledger.touched(&some).unwrap(),
    );
    for (whole, part) in whole.iter().zip(&part) {
        for number in [Number::Upper, Number::Size] {
            assert_eq!(part.facts.number(number), whole.facts.number(number));
        }
        assert_eq!(part.facts.text(Text::Lot), whole.facts.text(Text::Lot));
        assert_eq!(part.facts.text(Text::Verdict), None);
    }
    let mut page = Touching {
        order: Order::NewestFirst,
        size: 4,
        ..asked("contact", "anvil")
    };
    assert_eq!(sequences(&page), [6, 5, 4, 3]);
    let last = ledger.touched(&page).unwrap().pop().unwrap();
    assert_eq!(last.sensitivity, Some(-3.0));
    page.beyond = Some((last.at, last.entry.sequence()));
    assert_eq!(sequences(&page), [2, 1]);
    assert_eq!(sequences(&asked("contact", "cone")), [0_u64; 0]);
}

#[test]
fn days_bound_what_is_read_and_leave_out_nothing() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    let ledger = open(&path);
    let days = ["03-04", "03-05", "03-03", "03-07", "03-06", "03-08"];
    for (index, day) in days.iter().enumerate() {
        let mut draft = draft(&format!("A-{index}"), "mic-1");
        draft.recorded_at = format!("2026-{day}T05:06:07Z").parse().unwrap();
        draft
            .subjects
            .insert(Subject::new("measured", "2026-01-01"));
        ledger.append(&draft).unwrap();
    }
    let between = |since: &str, until: &str| Filter {
        since: Some(format!("2026-{since}T00:00:00Z").parse().unwrap()),
        until: Some(format!("2026-{until}T00:00:00Z").parse().unwrap()),
        ..Filter::default()
    };
    let found = |filter: &Filter, order| -> Vec<u64> {
        let listing = ledger.known(filter, &Page::first(order, 10)).unwrap();
        let listed = ledger.list(filter, &Page::first(order, 10)).unwrap();
        let sequence = |entry: &ledger::Entry| entry.sequence;
        let known: Vec<u64> = listing
            .entries
            .iter()
            .map(|known| sequence(&known.heading))
            .collect();
        assert_eq!(
            known,
            listed.entries.iter().map(sequence).collect::<Vec<_>>()
        );
        known
    };
    assert_eq!(
        found(&between("03-04", "03-07"), Order::OldestFirst),
        [1, 2, 5]
    );
    assert_eq!(found(&between("03-03", "03-04"), Order::NewestFirst), [3]);
    assert_eq!(
        found(&between("04-03", "04-04"), Order::NewestFirst),
        [0_u64; 0]
    );
    let or = |first: &str| Filter {
        or_between: Some(ledger::Between {
            role: "measured".into(),
            first: Some(first.into()),
            last: Some("2026-02-01".into()),
        }),
        ..between("03-07", "03-08")
    };
    assert_eq!(found(&or("2026-01-01"), Order::OldestFirst).len(), 6);
    assert_eq!(found(&or("2026-01-02"), Order::OldestFirst), [4]);
}

#[test]
fn forged_facts_are_told_with_both_values() {
    let cases: [(&str, u64, &str, &str, &str); 8] = [
        (
            "UPDATE fact SET size = 8.95 WHERE sequence = 2",
            2,
            "size",
            "8.95",
            "8.001953125",
        ),
        (
            "UPDATE fact SET size = NULL WHERE sequence = 2",
            2,
            "size",
            "-",
            "8.001953125",
        ),
        (
            "UPDATE fact SET verdict = 'reject' WHERE sequence = 4",
            4,
            "verdict",
            "reject",
            "accept",
        ),
        (
            "UPDATE fact SET lot = 'L-1' WHERE sequence = 4",
            4,
            "lot",
            "L-1",
            "-",
        ),
        (
            "UPDATE fact SET recorded_on = '2026-03-05' WHERE sequence = 1",
            1,
            "recorded_on",
            "2026-03-05",
            "2026-03-04",
        ),
        (
            "UPDATE used SET sensitivity = 2 WHERE sequence = 6 AND role = 'contact'",
            6,
            "contact anvil",
            "2.0, contacts",
            "-3.0, contacts",
        ),
        (
            "DELETE FROM used WHERE sequence = 6 AND role = 'contact'",
            6,
            "contact anvil",
            "-",
            "-3.0, contacts",
        ),
        (
            "INSERT INTO used VALUES ('wires', 'w', '2026-03-07T05:06:07.000000000Z', 6, -3, NULL)",
            6,
            "wires w",
            "-3.0",
            "-",
        ),
    ];
    for (sql, sequence, path_of, stored, computed) in cases {
        let folder = Folder::new();
        let path = folder.ledger("l.db");
        six(&path);
        tamper(&path, sql);
        let report = verify(&open(&path));
        assert_eq!(report.faults.len(), 1, "{sql}: {:?}", report.faults);
        assert!(
            has(
                &report,
                Some(sequence),
                |kind| matches!(kind, FaultKind::FactsDiffer { differences }
                if matches!(differences.as_slice(), [one]
                    if one.path == path_of && one.stored == stored && one.computed == computed))
            ),
            "{sql}: {:?}",
            report.faults
        );
    }
}

#[test]
fn a_row_too_few_or_too_many_is_told() {
    let after = |sql: &str| {
        let folder = Folder::new();
        let path = folder.ledger("l.db");
        six(&path);
        tamper(&path, sql);
        let ledger = OpenOptions::new().read_only(true).open(&path).unwrap();
        verify(&ledger)
    };
    let report = after("DELETE FROM used WHERE sequence = 3; DELETE FROM fact WHERE sequence = 3");
    assert!(has(&report, Some(3), |kind| matches!(
        kind,
        FaultKind::FactsMissing
    )));
    let report = after("DELETE FROM used WHERE sequence > 4; DELETE FROM fact WHERE sequence > 4");
    assert!(has(&report, None, |kind| matches!(
        kind,
        FaultKind::FactsBehind { first: 5, last: 6 }
    )));
    let report = after("DELETE FROM used; DELETE FROM fact");
    assert!(has(&report, None, |kind| matches!(
        kind,
        FaultKind::FactsBehind { first: 1, last: 6 }
    )));
    let report = after(
        "INSERT INTO fact (sequence, check_digits, recorded_on) VALUES (9, '0000', '2026-03-04')",
    );
    assert!(
        has(&report, None, |kind| matches!(
            kind,
            FaultKind::Storage {
                what: StorageFault::FactsAlone { sequence: 9 }
            }
        )),
        "{:?}",
        report.faults
    );
}

#[test]
fn no_careless_hand_changes_facts() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    six(&path);
    assert!(is_refused(&path, "UPDATE fact SET size = 1"));
    assert!(is_refused(&path, "UPDATE used SET sensitivity = 1"));
}

#[test]
fn facts_are_made_again_and_go_on() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    // Recorded without, as by a program that knows of none.
    crate::books::six(&path);
    let ledger = open(&path);
    assert_eq!(ledger.entries_without_facts().unwrap(), 6);
    ledger.append(&draft("A-7", "mic-1")).unwrap();
    assert_eq!(ledger.entries_without_facts().unwrap(), 7);
    assert_eq!(ledger.make_facts(false, &|_| ()).unwrap(), 7);
    ledger.append(&draft("A-8", "mic-1")).unwrap();
    assert!(ledger.facts_are_made().unwrap());
    assert!(verify(&ledger).is_sound());
    tamper(&path, "UPDATE fact SET size = 1");
    assert!(!verify(&ledger).is_sound());
    let again = OpenOptions::new()
        .facts(facts)
        .open(MAKES_AGAIN(&path))
        .unwrap();
    assert_eq!(again.make_facts(true, &|_| ()).unwrap(), 8);
    assert!(verify(&ledger).is_sound());
}

#[test]
fn a_backup_carries_facts() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    six(&path);
    let copy = folder.join("copy.db");
    let ledger = open(&path);
    ledger
        .back_up(&copy, &VerifyOptions::default(), |entry| Computed {
            remarks: Vec::new(),
            results: Recomputed::Same,
            subjects: None,
            facts: Some(facts(&entry.content)),
        })
        .unwrap();
    let copy = Ledger::open_read_only(&copy).unwrap();
    assert!(copy.facts_are_made().unwrap());
    assert!(verify(&copy).is_sound());
}
