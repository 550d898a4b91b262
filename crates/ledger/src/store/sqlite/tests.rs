//! What needs a hand on the connection itself.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use rusqlite::{Connection, params_from_iter};

use super::super::row::{BYTES_AT_A_TIME, End};
use super::query::{Columns, Query};
use super::readers::Readers;
use super::{SqliteStore, Store, append, facts, schema};
use crate::{
    Actor, Damage, Draft, Error, Filter, LONGEST_EVENT, NewBenchEvent, OpenOptions, Order, Page,
    Subject,
};

fn file(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("ledger-unit-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    folder.join("l.db")
}

fn draft(number: u32) -> Draft {
    Draft {
        kind: "inspection".into(),
        recorded_at: jiff::Timestamp::UNIX_EPOCH,
        zone: "+00:00".into(),
        actor: Actor::typed("A. Quill"),
        station: "bench 2".into(),
        inputs: "{}".into(),
        results: "{}".into(),
        editions: "{}".into(),
        program: "midflank 0.1.0".into(),
        words: "{}".into(),
        amends: None,
        events: None,
        subjects: BTreeSet::from([
            Subject::new("part", format!("A-{number}")),
            Subject::new("instrument", format!("mic-{}", number % 100)),
        ]),
    }
}

#[test]
fn a_full_file_is_told_and_keeps_what_it_has() {
    let path = file("full");
    let store = SqliteStore::open(&path, &OpenOptions::new().create(true)).unwrap();
    store.append(&draft(0)).unwrap();
    let pages = |count: i64| {
        let connection = store.writer().unwrap();
        connection
            .query_row(&format!("PRAGMA max_page_count = {count}"), [], |_| Ok(()))
            .unwrap();
    };
    let used: i64 = store
        .writer()
        .unwrap()
        .query_row("PRAGMA page_count", [], |row| row.get(0))
        .unwrap();
    pages(used + 2);
    let mut last = 0;
    let error = loop {
        match store.append(&draft(1)) {
            Ok(entry) => last = entry.sequence,
            Err(error) => break error,
        }
    };
    assert!(matches!(error, Error::DiskFull(_)), "{error:?}");
    assert_eq!(store.extent().unwrap().head.unwrap().sequence, last);
    pages(10_000);
    assert_eq!(store.append(&draft(2)).unwrap().sequence, last + 1);
    assert_eq!(store.check().unwrap(), []);
    std::fs::remove_dir_all(path.parent().unwrap()).unwrap();
}

/// The engine's plan for a query, one step a line.
/// After the first look at the file, and before the commit.
#[test]
fn a_file_cut_meanwhile_takes_nothing() {
    let path = file("cut");
    let store = SqliteStore::open(&path, &OpenOptions::new().create(true)).unwrap();
    store.append(&draft(1)).unwrap();
    let whole = std::fs::read(&path).unwrap();
    let needed = whole.len() as u64;
    let length = needed - 1;
    let refused = store.write(|transaction| {
        let entry = append::append(&store, transaction, &draft(2), None, &mut None)?;
        let file = std::fs::OpenOptions::new().write(true).open(&path).unwrap();
        file.set_len(length).unwrap();
        Ok(entry)
    });
    let Err(Error::Damaged { what, .. }) = refused else {
        panic!("{refused:?}");
    };
    assert_eq!(what, Damage::CutShort { length, needed });
    std::fs::write(&path, whole).unwrap();
    assert_eq!(store.append(&draft(2)).unwrap().sequence, 2);
    std::fs::remove_dir_all(path.parent().unwrap()).unwrap();
}

fn plan(connection: &Connection, query: &Query) -> String {
    let mut statement = connection
        .prepare(&format!("EXPLAIN QUERY PLAN {}", query.sql))
        .unwrap();
    let steps = statement
        .query_map(params_from_iter(&query.values), |row| {
            row.get::<_, String>(3)
        })
        .unwrap();
    steps.map(|step| step.unwrap() + "\n").collect()
}

#[test]
fn the_ends_of_days_are_looked_up_month_by_month() {
    let connection = Connection::open_in_memory().unwrap();
    schema::create(&connection).unwrap();
    for (day, index) in [
        ("recorded_on", "fact_by_month"),
        ("measured_on", "fact_by_month_measured"),
    ] {
        for end in [End::First, End::Last] {
            let query = facts::end_of(end, day);
            let mut statement = connection
                .prepare(&format!("EXPLAIN QUERY PLAN {query}"))
                .unwrap();
            let steps = statement
                .query_map(["2026-01-01", "2026-03-04"], |row| row.get::<_, String>(3))
                .unwrap();
            let plan: Vec<String> = steps.map(Result::unwrap).collect();
            let at_facts: Vec<&String> = plan.iter().filter(|step| step.contains("fact")).collect();
            let found = format!("SEARCH fact USING COVERING INDEX {index} (<expr>");
            assert_eq!(at_facts.len(), 3, "{plan:?}");
            for step in at_facts {
                assert!(step.starts_with(&found), "{plan:?}");
            }
            assert!(!plan.iter().any(|step| step.contains("B-TREE")), "{plan:?}");
        }
    }
}

#[test]
fn a_file_of_the_schema_before_is_read_as_it_is_and_brought_up_to_date_to_record_in() {
    let path = file("before");
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    let connection = Connection::open(&path).unwrap();
    schema::create_as(&connection, schema::WITH_FACTS).unwrap();
    drop(connection);
    let of_today = Filter {
        since: Some(jiff::Timestamp::UNIX_EPOCH),
        ..Filter::default()
    };
    let first = Page::first(Order::NewestFirst, 10);
    for read_only in [true, false] {
        let options = OpenOptions::new().read_only(read_only);
        let store = SqliteStore::open(&path, &options).unwrap();
        assert!(store.check().unwrap().is_empty());
        assert_eq!(store.known(&of_today, &first).unwrap().entries.len(), 0);
        let found = store.read(|connection| Ok(schema::version(connection).unwrap()));
        let wanted = if read_only {
            schema::WITH_FACTS
        } else {
            schema::NEWEST
        };
        assert_eq!(found.unwrap(), wanted);
    }
}

#[test]
fn a_recall_is_a_search_in_the_index_without_sorting() {
    let connection = Connection::open_in_memory().unwrap();
    schema::create(&connection).unwrap();
    let mut filter = Filter::touching("instrument", "mic-04");
    for order in [Order::OldestFirst, Order::NewestFirst] {
        let page = Page {
            order,
            beyond: Some(500),
            size: 50,
        };
        let plan = plan(
            &connection,
            &Query::list(&filter, &page, 51, Columns::All, None).unwrap(),
        );
        assert!(
            plan.contains("SEARCH s USING PRIMARY KEY (role=? AND identity=? AND sequence"),
            "{plan}"
        );
        assert!(
            plan.contains("SEARCH e USING INTEGER PRIMARY KEY"),
            "{plan}"
        );
        assert!(
            !plan.contains("SCAN") && !plan.contains("TEMP B-TREE"),
            "{plan}"
        );
    }
    let count = plan(&connection, &Query::count(&filter).unwrap());
    assert_eq!(
        count,
        "SEARCH s USING PRIMARY KEY (role=? AND identity=?)\n"
    );
    filter.subjects.push(Subject::new("verdict", "accept"));
    let both = plan(&connection, &Query::count(&filter).unwrap());
    assert!(
        both.contains("SEARCH o") && !both.contains("SCAN"),
        "{both}"
    );
    let all = plan(
        &connection,
        &Query::list(
            &Filter::default(),
            &Page::first(Order::NewestFirst, 9),
            10,
            Columns::All,
            None,
        )
        .unwrap(),
    );
    assert!(!all.contains("TEMP B-TREE"), "{all}");
}

/// How fast it is on this machine: `cargo test --release -p ledger speed -- --ignored --nocapture`.
#[test]
#[ignore = "a measurement, not a check"]
fn speed() {
    let path = file("speed");
    let store = SqliteStore::open(&path, &OpenOptions::new().create(true)).unwrap();
    let total = 100_000;
    let begun = Instant::now();
    for number in 0..total {
        store.append(&draft(number)).unwrap();
    }
    println!(
        "{:.0} appends a second",
        f64::from(total) / begun.elapsed().as_secs_f64()
    );
    let begun = Instant::now();
    let listing = store
        .list(
            &Filter::touching("instrument", "mic-42"),
            &Page::first(Order::OldestFirst, 1000),
        )
        .unwrap();
    println!(
        "{} of {total} by instrument in {:?}",
        listing.entries.len(),
        begun.elapsed()
    );
    std::fs::remove_dir_all(path.parent().unwrap()).unwrap();
}

#[test]
fn two_search_at_once_and_the_third_waits() {
    let readers = Readers::default();
    let words = Filter {
        text: Some("mic".into()),
        ..Filter::default()
    };
    let first = readers.turn_to_search(&words).unwrap();
    let _second = readers.turn_to_search(&words).unwrap();
    // Who searches for no words waits for nobody.
    assert!(readers.turn_to_search(&Filter::default()).is_none());
    let searched = AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            let _third = readers.turn_to_search(&words).unwrap();
            searched.store(true, Ordering::SeqCst);
        });
        std::thread::sleep(Duration::from_millis(50));
        assert!(!searched.load(Ordering::SeqCst));
        drop(first);
    });
    assert!(searched.load(Ordering::SeqCst));
}

#[test]
fn words_are_looked_up_in_their_index() {
    let connection = Connection::open_in_memory().unwrap();
    schema::create(&connection).unwrap();
    for (text, step) in [
        ("mic-04", "SCAN w VIRTUAL TABLE INDEX 192:M0"),
        // Once for all entries, and not for each that the short word leads to.
        ("mic-04 a", "SCAN w VIRTUAL TABLE INDEX 192:M0"),
        ("m", "SEARCH b USING COVERING INDEX subject_by_identity"),
    ] {
        let filter = Filter {
            text: Some(text.into()),
            ..Filter::default()
        };
        let page = Page::first(Order::NewestFirst, 50);
        let plan = plan(
            &connection,
            &Query::list(&filter, &page, 51, Columns::All, None).unwrap(),
        );
        assert!(plan.contains(step), "{plan}");
        assert!(!plan.contains("SCAN e"), "{plan}");
        assert!(!plan.contains("SCAN s"), "{plan}");
    }
}

#[test]
fn long_events_are_read_a_few_at_a_time() {
    let path = file("events");
    let store = SqliteStore::open(&path, &OpenOptions::new().create(true)).unwrap();
    let event = NewBenchEvent {
        event: "x".repeat(LONGEST_EVENT),
        ends: false,
        actor: Actor::typed("A. Quill"),
        station: "bench 2".into(),
    };
    let events = vec![event; 200];
    store
        .add_bench_events(None, 0, jiff::Timestamp::UNIX_EPOCH, &events)
        .unwrap();
    let mut after = (i64::MIN, i64::MIN);
    let mut found = Vec::new();
    loop {
        let rows = store.event_rows(after, 2_000).unwrap();
        let Some(last) = rows.last() else { break };
        let bytes = rows.len() * LONGEST_EVENT;
        assert!(bytes <= BYTES_AT_A_TIME + LONGEST_EVENT, "{bytes} bytes");
        after = (last.job, last.number);
        found.extend(rows.iter().map(|row| row.number));
    }
    assert_eq!(found, (1..=200).collect::<Vec<_>>());
    std::fs::remove_dir_all(path.parent().unwrap()).unwrap();
}
