//! The written rule against an independent computation, and that no two drafts share their bytes.

use std::collections::BTreeSet;

use ledger::{Amendment, Draft, EntryHash, Ledger, Subject, encoding};
use proptest::prelude::*;

use crate::common::{Folder, draft};

/// Computed with the Python of docs/ledger-encoding.md (hashlib), not with this crate.
const FIRST: &str = "32dd0c5557e79e60401905e2128ff909792ceca6239af3339ede65aa68591bc5";
const SECOND: &str = "e2c126914832707134a82d1218e88eaf3b21ec12a2c191a8cc5bcbf00215a747";

/// The two entries of the worked example.
fn example(ledger: &Ledger) -> [ledger::Entry; 2] {
    let first = ledger.append(&draft("A-17", "mic-04")).unwrap();
    let mut second = draft("A-17", "mic-04");
    second.recorded_at = "2026-03-04T05:08:09.25Z".parse().unwrap();
    second.inputs = r#"{"reading":"0.2141in"}"#.into();
    second.subjects.insert(Subject::new("verdict", "accept"));
    let reason = "misread: one graduation, 1 µm is not 1 mil";
    let second = ledger.amend(&first.id().into(), reason, second).unwrap();
    [first, second]
}

#[test]
fn worked_example_gives_the_hashes_of_the_page() {
    let folder = Folder::new();
    let [first, second] = example(&Ledger::open(folder.join("l.db")).unwrap());
    assert_eq!(first.hash.to_string(), FIRST);
    assert_eq!(second.hash.to_string(), SECOND);
    assert_eq!(second.previous.to_string(), FIRST);
}

#[test]
fn page_shows_the_same_hashes() {
    let page = include_str!("../../../../docs/ledger-encoding.md");
    assert!(page.contains(FIRST) && page.contains(SECOND));
    assert!(page.contains(encoding::RULE));
    let bytes = encoding::bytes(1, &EntryHash::NONE, &draft("A-17", "mic-04"));
    assert!(page.contains(&format!("there are {} of them", bytes.len())));
}

/// Short texts over few characters, so that fields often run into each other or are empty.
fn text() -> impl Strategy<Value = String> {
    "[ab1-]{0,3}"
}

prop_compose! {
    fn any_draft()(
        texts in prop::array::uniform6(text()),
        seconds in 0..3_i64,
        amends in prop::option::of(text()),
        subjects in prop::collection::btree_set((text(), text()), 0..4),
    ) -> Draft {
        let [kind, person, program, inputs, results, editions] = texts;
        Draft {
            kind, person, program, inputs, results, editions,
            recorded_at: jiff::Timestamp::from_second(seconds).unwrap(),
            amends: amends.map(|reason| Amendment { entry: amended(), reason }),
            subjects: subjects
                .into_iter()
                .map(|(role, identity)| Subject { role, identity })
                .collect::<BTreeSet<_>>(),
        }
    }
}

/// Some entry's name.
fn amended() -> ledger::EntryId {
    let mark = ledger::Mark {
        sequence: 1,
        hash: EntryHash::NONE,
    };
    mark.id()
}

/// Moves a character over a border between fields, or a field to its neighbour.
fn shifted(draft: &Draft) -> Vec<Draft> {
    let mut all = Vec::new();
    let mut other = draft.clone();
    if let Some(last) = other.kind.pop() {
        other.person.insert(0, last);
        all.push(other);
    }
    let mut other = draft.clone();
    std::mem::swap(&mut other.inputs, &mut other.results);
    all.push(other);
    let mut other = draft.clone();
    if let Some(Subject { role, identity }) = other.subjects.pop_first() {
        other.subjects.insert(Subject::new(identity, role));
        all.push(other);
    }
    all
}

proptest! {
    #[test]
    fn different_drafts_give_different_bytes(a in any_draft(), b in any_draft()) {
        let bytes = |draft: &Draft| encoding::bytes(2, &EntryHash::NONE, draft);
        prop_assert_eq!(a == b, bytes(&a) == bytes(&b));
        for other in shifted(&a) {
            prop_assert_eq!(a == other, bytes(&a) == bytes(&other));
        }
    }

    #[test]
    fn place_and_previous_hash_are_in_the_bytes(a in any_draft(), n in 1..u64::MAX, byte in 1..=u8::MAX) {
        let here = encoding::bytes(n, &EntryHash::NONE, &a);
        prop_assert_ne!(&here, &encoding::bytes(n - 1, &EntryHash::NONE, &a));
        prop_assert_ne!(&here, &encoding::bytes(n, &EntryHash::from_bytes([byte; 32]), &a));
    }

    /// Reads the bytes back by the written rule: that they can be read back means that nothing is lost.
    #[test]
    fn bytes_read_back_field_by_field(a in any_draft()) {
        let bytes = encoding::bytes(7, &EntryHash::NONE, &a);
        let mut rest = bytes.as_slice();
        let mut fields = Vec::new();
        while !rest.is_empty() {
            let (length, after) = rest.split_at(8);
            let length = u64::from_be_bytes(length.try_into().unwrap());
            let (field, after) = after.split_at(usize::try_from(length).unwrap());
            fields.push(String::from_utf8(field.to_vec()).unwrap());
            rest = after;
        }
        prop_assert_eq!(&fields[0], encoding::RULE);
        prop_assert_eq!(&fields[1], "7");
        prop_assert_eq!([&fields[4], &fields[5], &fields[6]], [&a.kind, &a.person, &a.program]);
        prop_assert_eq!([&fields[7], &fields[8], &fields[9]], [&a.inputs, &a.results, &a.editions]);
        let pairs: BTreeSet<_> = fields[13..].chunks(2).map(|p| Subject::new(&p[0], &p[1])).collect();
        prop_assert_eq!(fields[12].parse::<usize>().unwrap(), pairs.len());
        prop_assert_eq!(pairs, a.subjects);
    }
}
