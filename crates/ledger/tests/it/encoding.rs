//! The written rule against an independent computation, and that no two drafts share their bytes.

use std::collections::BTreeSet;

use ledger::{
    Actor, Amendment, Draft, Hash, Identified, JobEvents, Ledger, NewBenchEvent, Subject, encoding,
};
use proptest::prelude::*;

use crate::books::{Folder, draft};

/// Computed with the Python of docs/ledger-encoding.md (hashlib), not with this crate.
const EVENT: &str = "ff8bf8538cbff22ecd6255c259a7ff51b91fe13afedcfc120655f6576ec54497";
const FIRST: &str = "bddd7ee4d96290b87c95601cdfeb81fb87333fe2041365e360f5e14b0bada9b3";
const SECOND: &str = "5cc34cec36f2d87dc53d059f5011605ca204d63532176fb277330ac84d945226";

/// The two entries of the worked example.
fn example(ledger: &Ledger) -> [ledger::Entry; 2] {
    let first = ledger.append(&draft("A-17", "mic-04")).unwrap();
    let mut second = draft("A-17", "mic-04");
    second.recorded_at = "2026-03-04T05:08:09.25Z".parse().unwrap();
    second.inputs = r#"{"reading":"0.2141in"}"#.into();
    second.subjects.insert(Subject::new("verdict", "accept"));
    second.events = Some(JobEvents::from(&job(ledger)));
    let reason = "misread: one graduation, 1 µm is not 1 mil";
    let second = ledger.amend(&first.id().into(), reason, second).unwrap();
    [first, second]
}

/// The event of the worked example.
fn job(ledger: &Ledger) -> ledger::BenchEvent {
    let event = NewBenchEvent {
        event: r#"{"reading":"0.2141in"}"#.into(),
        ends: false,
        actor: draft("A-17", "mic-04").actor,
        station: "bench 2".into(),
    };
    let at = "2026-03-04T05:04:00Z".parse().unwrap();
    let job = ledger.begin_job(at, &[event]).unwrap();
    ledger.job_events(job).unwrap().remove(0)
}

#[test]
fn worked_example_gives_the_hashes_of_the_page() {
    let folder = Folder::new();
    let [first, second] = example(&Ledger::open(folder.join("l.db")).unwrap());
    assert_eq!(second.content.events.unwrap().hash.to_string(), EVENT);
    assert_eq!(first.hash.to_string(), FIRST);
    assert_eq!(second.hash.to_string(), SECOND);
    assert_eq!(second.previous.to_string(), FIRST);
}

#[test]
fn page_shows_the_same_hashes() {
    let page = include_str!("../../../../docs/ledger-encoding.md");
    assert!(page.contains(EVENT) && page.contains(FIRST) && page.contains(SECOND));
    assert!(page.contains(encoding::RULE) && page.contains(encoding::EVENT_RULE));
    let bytes = encoding::bytes(1, &Hash::NONE, &draft("A-17", "mic-04"));
    assert!(page.contains(&format!("there are {} of them", bytes.len())));
}

/// Short texts over few characters, so that fields often run into each other or are empty.
fn text() -> impl Strategy<Value = String> {
    "[ab1-]{0,3}"
}

fn how() -> impl Strategy<Value = Identified> {
    prop::sample::select(vec![Identified::Typed, Identified::Badge])
}

fn events() -> impl Strategy<Value = Option<JobEvents>> {
    prop::option::of(
        (0..2_u64, 0..2_u64, 0..2_u8).prop_map(|(job, count, byte)| JobEvents {
            job,
            count,
            hash: Hash::from_bytes([byte; 32]),
        }),
    )
}

prop_compose! {
    fn any_draft()(
        texts in prop::array::uniform10(text()),
        how in how(),
        events in events(),
        seconds in 0..3_i64,
        amends in prop::option::of(text()),
        subjects in prop::collection::btree_set((text(), text()), 0..4),
    ) -> Draft {
        let [kind, id, name, station, zone, program, inputs, results, editions, words] = texts;
        Draft {
            kind, zone, station, program, inputs, results, editions, words, events,
            actor: Actor { id, name, how },
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
        hash: Hash::NONE,
    };
    mark.id()
}

/// Moves a character over a border between fields, or a field to its neighbour.
fn shifted(draft: &Draft) -> Vec<Draft> {
    let mut all = Vec::new();
    let mut other = draft.clone();
    if let Some(last) = other.kind.pop() {
        other.actor.id.insert(0, last);
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
        let bytes = |draft: &Draft| encoding::bytes(2, &Hash::NONE, draft);
        prop_assert_eq!(a == b, bytes(&a) == bytes(&b));
        for other in shifted(&a) {
            prop_assert_eq!(a == other, bytes(&a) == bytes(&other));
        }
    }

    #[test]
    fn place_and_previous_hash_are_in_the_bytes(a in any_draft(), n in 1..u64::MAX, byte in 1..=u8::MAX) {
        let here = encoding::bytes(n, &Hash::NONE, &a);
        prop_assert_ne!(&here, &encoding::bytes(n - 1, &Hash::NONE, &a));
        prop_assert_ne!(&here, &encoding::bytes(n, &Hash::from_bytes([byte; 32]), &a));
    }

    /// Reads the bytes back by the written rule: that they can be read back means that nothing is lost.
    #[test]
    fn bytes_read_back_field_by_field(a in any_draft()) {
        let bytes = encoding::bytes(7, &Hash::NONE, &a);
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
        prop_assert_eq!(&fields[4..8], [&a.zone, &a.kind, &a.actor.id, &a.actor.name].map(String::clone));
        prop_assert_eq!(&fields[8], a.actor.how.code());
        prop_assert_eq!(&fields[9..15], [&a.station, &a.program, &a.inputs, &a.results, &a.editions, &a.words].map(String::clone));
        let events = a.events.map_or([const { String::new() }; 3], |events| {
            [events.job.to_string(), events.count.to_string(), events.hash.to_string()]
        });
        prop_assert_eq!(&fields[17..20], events);
        let pairs: BTreeSet<_> = fields[21..].chunks(2).map(|p| Subject::new(&p[0], &p[1])).collect();
        prop_assert_eq!(fields[20].parse::<usize>().unwrap(), pairs.len());
        prop_assert_eq!(pairs, a.subjects);
    }
}
