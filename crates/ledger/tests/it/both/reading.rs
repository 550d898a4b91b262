//! Recording, reading back, amending, listing.

use std::path::Path;

use ledger::{
    Draft, DraftError, EntryRef, Error, Field, Filter, Hash, Identified, Ledger, Order, Page,
    Subject,
};

use super::Folder;
use crate::books::{draft, verify};

fn named(text: &str) -> EntryRef {
    text.parse().unwrap()
}

#[test]
fn an_entry_reads_back_as_recorded() {
    let folder = Folder::new();
    let path = folder.ledger("a/b/ledger.db");
    let ledger = Ledger::open(&path).unwrap();
    assert_eq!(ledger.head().unwrap(), None);

    let mut odd = draft("größe ½ \"x\"", "mic'04; --");
    odd.inputs = "{\"note\":\"two\nlines \u{1F529}\"}".into();
    odd.recorded_at = "2026-03-04T05:06:07.123456789Z".parse().unwrap();
    let first = ledger.append(&odd).unwrap();
    let second = ledger.append(&draft("A-2", "mic-04")).unwrap();

    assert_eq!((first.sequence, first.previous), (1, Hash::NONE));
    assert_eq!((second.sequence, second.previous), (2, first.hash));
    assert_eq!(first.content, odd);
    assert_eq!(ledger.get(&1.into()).unwrap(), first);
    assert_eq!(ledger.head().unwrap(), Some(second.mark()));
    drop(ledger);

    let ledger = Ledger::open_read_only(&path).unwrap();
    assert_eq!(ledger.get(&2.into()).unwrap(), second);
    assert!(verify(&ledger).is_sound());
    assert!(matches!(ledger.append(&odd), Err(Error::ReadOnly(_))));
}

#[test]
fn every_form_of_name_finds_the_entry() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("l.db")).unwrap();
    for part in 1..=300 {
        ledger
            .append(&draft(&format!("A-{part}"), "mic-04"))
            .unwrap();
    }
    let entry = ledger.get(&17.into()).unwrap();
    let hash = entry.hash.to_string();
    let long_prefix = &hash[..16];
    for name in [
        "17",
        "#17",
        "0017",
        &entry.id().to_string(),
        &format!("17-{hash}"),
        long_prefix,
        &hash,
    ] {
        assert_eq!(ledger.get(&named(name)).unwrap(), entry, "{name}");
    }
    let error = ledger
        .get(&named(&format!("18-{}", &hash[..4])))
        .unwrap_err();
    assert!(matches!(&error, Error::NoSuchEntry { nearest: Some(id), .. } if id.sequence() == 18));
    for name in ["301", "0", "18446744073709551615", "ffffffffffffffff"] {
        let error = ledger.get(&named(name)).unwrap_err();
        assert!(
            matches!(error, Error::NoSuchEntry { last: Some(last), .. } if last.sequence() == 300)
        );
    }
}

#[test]
fn a_prefix_that_fits_several_is_told_with_them() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("l.db")).unwrap();
    // 1500 entries share some first four digits (the chance that none do is below 1e-7), and the
    // hashes are the same in every run.
    let mut seen = std::collections::HashMap::new();
    let twin = (0..1500).find_map(|part| {
        let entry = ledger
            .append(&draft(&format!("A-{part}"), "mic-04"))
            .unwrap();
        let prefix = entry.hash.to_string()[..4].to_owned();
        let only_digits = prefix.bytes().all(|b| b.is_ascii_digit());
        let before = seen.insert(prefix.clone(), entry.id());
        before
            .filter(|_| !only_digits)
            .map(|before| (prefix, before, entry.id()))
    });
    let (prefix, one, other) = twin.unwrap();
    let Err(Error::Ambiguous { candidates, .. }) = ledger.get(&named(&prefix)) else {
        panic!("{prefix} fits two entries");
    };
    assert_eq!(candidates.len(), 2);
    assert!(candidates.contains(&one) && candidates.contains(&other));
}

#[test]
fn an_amendment_leaves_the_entry_and_points_at_it() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("l.db")).unwrap();
    let first = ledger.append(&draft("A-1", "mic-04")).unwrap();
    ledger.append(&draft("A-2", "mic-04")).unwrap();
    let second = ledger
        .amend(&named("1"), "wrong part", draft("A-3", "mic-04"))
        .unwrap();
    let third = ledger
        .amend(&second.id().into(), "wrong again", draft("A-4", "mic-04"))
        .unwrap();

    let read = ledger.get(&1.into()).unwrap();
    assert_eq!(read.amended_by, Some(second.id()));
    assert_eq!((&read.content, read.hash), (&first.content, first.hash));
    let amends = second.content.amends.clone().unwrap();
    assert_eq!(
        (amends.entry, amends.reason.as_str()),
        (first.id(), "wrong part")
    );

    for from in 1..=4_u64 {
        let line: Vec<u64> = ledger
            .history(&from.into())
            .unwrap()
            .iter()
            .map(|e| e.sequence)
            .collect();
        assert_eq!(line, if from == 2 { vec![2] } else { vec![1, 3, 4] });
    }
    let later: Vec<u64> = ledger
        .amendments_of(&3.into())
        .unwrap()
        .iter()
        .map(|e| e.sequence)
        .collect();
    assert_eq!(later, [4]);

    let again = ledger.amend(&1.into(), "once more", draft("A-5", "mic-04"));
    assert!(matches!(again, Err(Error::AlreadyAmended { entry, latest })
        if entry == first.id() && latest == third.id()));
    assert_eq!(ledger.head().unwrap(), Some(third.mark()));
    assert!(verify(&ledger).is_sound());
}

#[test]
fn an_amendment_names_an_entry_of_this_ledger() {
    let folder = Folder::new();
    let here = Ledger::open(folder.ledger("here.db")).unwrap();
    let elsewhere = Ledger::open(folder.ledger("elsewhere.db")).unwrap();
    here.append(&draft("A-1", "mic-04")).unwrap();
    let foreign = elsewhere.append(&draft("B-1", "mic-04")).unwrap();
    let refused = here.amend(&foreign.id().into(), "mixed up", draft("A-2", "mic-04"));
    assert!(matches!(
        refused,
        Err(Error::NoSuchEntry {
            nearest: Some(_),
            ..
        })
    ));
    let empty = here.amend(&1.into(), "  ", draft("A-2", "mic-04"));
    assert!(matches!(
        empty,
        Err(Error::Draft(DraftError::Empty {
            field: Field::Reason
        }))
    ));
    assert_eq!(here.count(&Filter::default()).unwrap(), 1);
}

/// Six entries: parts A-1 to A-6, even ones with mic-05, one an hour, the fifth amending the third.
fn six(path: &Path) -> Ledger {
    let ledger = Ledger::open(path).unwrap();
    for part in 1..=6_i32 {
        let mut draft = draft(
            &format!("A-{part}"),
            if part % 2 == 0 { "mic-05" } else { "mic-04" },
        );
        draft.recorded_at = format!("2026-03-04T0{part}:00:00Z").parse().unwrap();
        if part == 6 {
            draft.kind = "zero-check".into();
            draft.results = r#"{"note":"Wear 100%_"}"#.into();
        }
        if part == 5 {
            ledger.amend(&3.into(), "thimble misread", draft).unwrap();
        } else {
            ledger.append(&draft).unwrap();
        }
    }
    ledger
}

#[test]
fn people_are_those_of_the_latest_entries() {
    let folder = Folder::new();
    let ledger = six(&folder.ledger("l.db"));
    let mut last = draft("A-9", "mic-05");
    last.actor.name = "A. Quill".into();
    ledger.append(&last).unwrap();
    assert_eq!(
        ledger.people("inspection", 100).unwrap(),
        ["A. Lindqvist", "A. Quill"]
    );
    assert_eq!(ledger.people("inspection", 1).unwrap(), ["A. Quill"]);
    assert_eq!(ledger.people("no kind", 100).unwrap(), [""; 0]);
}

#[test]
fn a_filter_finds_what_meets_every_condition() {
    let folder = Folder::new();
    let ledger = six(&folder.ledger("l.db"));
    let time = |hour| Some(format!("2026-03-04T0{hour}:00:00Z").parse().unwrap());
    let text = |text: &str| Filter {
        text: Some(text.into()),
        ..Filter::default()
    };
    let by = |person: &str| Filter {
        person: Some(person.into()),
        ..Filter::default()
    };
    let of_05 = Filter::touching("instrument", "mic-05");
    let cases: Vec<(Filter, &[u64])> = vec![
        (Filter::default(), &[1, 2, 3, 4, 5, 6]),
        (of_05.clone(), &[2, 4, 6]),
        (Filter::touching("part", "mic-05"), &[]),
        (
            Filter {
                subjects: vec![
                    Subject::new("instrument", "mic-05"),
                    Subject::new("part", "A-4"),
                ],
                ..Filter::default()
            },
            &[4],
        ),
        (
            Filter {
                kind: Some("zero-check".into()),
                ..Filter::default()
            },
            &[6],
        ),
        (
            Filter {
                kind: Some("inspection".into()),
                ..of_05.clone()
            },
            &[2, 4],
        ),
        (
            Filter {
                since: time(2),
                until: time(4),
                ..Filter::default()
            },
            &[2, 3],
        ),
        (
            Filter {
                since: time(3),
                ..of_05
            },
            &[4, 6],
        ),
        (
            Filter {
                standing: true,
                ..Filter::default()
            },
            &[1, 2, 4, 5, 6],
        ),
        (by("A. Lindqvist"), &[1, 2, 3, 4, 5, 6]),
        (by("A. Lind"), &[]),
        (by("a. lindqvist"), &[]),
        // Documents are not searched.
        (text("wear"), &[]),
        (text("THIMBLE"), &[5]),
        (text("imbl"), &[5]),
        (text("read thimble"), &[5]),
        (text("thimble A-4"), &[]),
        (text("a-4"), &[4]),
        (text("LINDQVIST mic-05"), &[2, 4, 6]),
        (text("al-7"), &[1, 2, 3, 4, 5, 6]),
        // Two letters: the beginning of what an entry touches.
        (text("mI"), &[1, 2, 3, 4, 5, 6]),
        (text("ic"), &[]),
        (text("a- 05"), &[]),
        (text("a- -05"), &[2, 4, 6]),
        (text("\" OR \""), &[]),
        (text("*"), &[]),
        (
            Filter {
                text: Some("a-4".into()),
                ..Filter::touching("instrument", "mic-05")
            },
            &[4],
        ),
    ];
    for (filter, expected) in cases {
        let listing = ledger
            .list(&filter, &Page::first(Order::OldestFirst, 100))
            .unwrap();
        let found: Vec<u64> = listing.entries.iter().map(|e| e.sequence).collect();
        assert_eq!(found, expected, "{filter:?}");
        assert_eq!(listing.next, None);
        assert_eq!(
            ledger.count(&filter).unwrap(),
            expected.len() as u64,
            "{filter:?}"
        );
    }
}

#[test]
fn pages_follow_each_other_without_gap_or_overlap() {
    let folder = Folder::new();
    let ledger = six(&folder.ledger("l.db"));
    for (order, expected) in [
        (Order::OldestFirst, [1, 2, 3, 4, 5, 6]),
        (Order::NewestFirst, [6, 5, 4, 3, 2, 1]),
    ] {
        for size in 0..=7 {
            let (mut found, mut next) = (Vec::new(), Some(Page::first(order, size)));
            while let Some(page) = next {
                let listing = ledger.list(&Filter::default(), &page).unwrap();
                found.extend(listing.entries.iter().map(|entry| entry.sequence));
                next = listing.next;
            }
            assert_eq!(found, expected, "{size} a page");
        }
    }
    let latest: Vec<u64> = ledger
        .latest(2)
        .unwrap()
        .iter()
        .map(|e| e.sequence)
        .collect();
    assert_eq!(latest, [6, 5]);
}

#[test]
fn a_draft_that_makes_no_entry_is_refused_whole() {
    type Spoil = fn(&mut Draft);
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("l.db")).unwrap();
    let spoil: [(&str, Spoil); 17] = [
        ("empty", |d| d.kind.clear()),
        ("empty", |d| d.actor.name = "  ".into()),
        ("empty", |d| d.station.clear()),
        ("empty", |d| {
            d.actor.id.clear();
            d.actor.how = Identified::Badge;
        }),
        ("zone", |d| d.zone = "Europe Paris".into()),
        ("padded", |d| d.program = " x".into()),
        ("control-character", |d| d.kind = "a\nb".into()),
        ("control-character", |d| d.inputs.push('\0')),
        ("control-character", |d| d.words.push('\u{1b}')),
        ("control-character", |d| d.actor.name.push('\u{9b}')),
        ("direction-character", |d| d.results.push('\u{202e}')),
        ("direction-character", |d| d.station.push('\u{2066}')),
        ("too-long", |d| {
            d.results = "x".repeat(ledger::LONGEST_DOCUMENT + 1);
        }),
        ("padded", |d| {
            d.subjects.insert(Subject::new("instrument", "mic-04 "));
        }),
        ("direction-character", |d| {
            d.subjects
                .insert(Subject::new("instrument", "mic\u{202a}04"));
        }),
        ("too-many-subjects", |d| {
            d.subjects = (0..10_001)
                .map(|n| Subject::new("part", n.to_string()))
                .collect();
        }),
        ("time-out-of-range", |d| {
            d.recorded_at = jiff::Timestamp::MIN;
        }),
    ];
    for (code, spoil) in spoil {
        let mut draft = draft("A-1", "mic-04");
        spoil(&mut draft);
        let Err(Error::Draft(error)) = ledger.append(&draft) else {
            panic!("{code}: taken");
        };
        assert_eq!(error.code(), code, "{error}");
    }
    assert_eq!(ledger.count(&Filter::default()).unwrap(), 0);
}

#[test]
fn letters_of_every_script_are_taken() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("l.db")).unwrap();
    for name in ["Żółw", "中村", "שרה", "سارة", "o\u{301}"] {
        let mut draft = draft("A-1", "mic-04");
        draft.actor.name = name.into();
        ledger.append(&draft).unwrap();
        let filter = Filter {
            text: Some(name.to_uppercase()),
            ..Filter::default()
        };
        let found = u64::from(name.chars().count() > 2);
        assert_eq!(ledger.count(&filter).unwrap(), found, "{name}");
    }
}

#[test]
fn a_search_takes_so_many_words() {
    let folder = Folder::new();
    let ledger = Ledger::open(folder.ledger("l.db")).unwrap();
    ledger.append(&draft("A-1", "mic-04")).unwrap();
    let words = |n| Filter {
        text: Some("lind ".repeat(n)),
        ..Filter::default()
    };
    assert_eq!(ledger.count(&words(32)).unwrap(), 1);
    let error = ledger.count(&words(33)).unwrap_err();
    assert!(matches!(error, Error::TooManyWords { found: 33, .. }));
}
