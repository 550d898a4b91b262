//! What is known of records beside them: the facts follow from the documents, also of old ledgers, and forged ones are told.

use std::fs;
use std::path::{Path, PathBuf};

use ledger::{Facts, Filter, Ledger, Number, Order, Page, Text, Touching};
use metrology::inspection::{self, Job};
use metrology::units::{Entered, Length, LengthUnit};
use workshop::{kept, on_record, registry};

use crate::bench::{Bench, root};
use crate::facts::jobs;

/// Every demo job on the record, with the equipment that they name.
fn recorded() -> (Bench, PathBuf) {
    let bench = Bench::new().with_equipment();
    for job in jobs() {
        let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let path = bench.path("data/midflank/ledger.db");
    (bench, path)
}

fn all(ledger: &Ledger) -> Vec<ledger::Entry> {
    let page = Page::first(Order::OldestFirst, Page::LARGEST);
    ledger.list(&Filter::default(), &page).unwrap().entries
}

#[test]
fn facts_kept_are_those_made_from_the_record() {
    let (bench, path) = recorded();
    let ledger = Ledger::open_read_only(&path).unwrap();
    let page = Page::first(Order::OldestFirst, Page::LARGEST);
    let known = ledger.known(&Filter::default(), &page).unwrap().entries;
    let entries = all(&ledger);
    assert_eq!(known.len(), entries.len());
    let mut results = 0;
    for (known, entry) in known.iter().zip(&entries) {
        assert_eq!(known.heading.id(), entry.id());
        let made = registry::facts(&entry.content);
        let mut kept = known.facts.clone().unwrap();
        assert_eq!(kept.used, []);
        kept.used.clone_from(&made.used);
        assert_eq!(kept, made);
        if entry.content.kind != "inspection" {
            assert_eq!(made, Facts::default());
            continue;
        }
        results += 1;
        let result: serde_json::Value = serde_json::from_str(&entry.content.results).unwrap();
        let result = &result["content"];
        assert_eq!(made.number(Number::Size), result["size"]["value"].as_f64());
        assert_eq!(
            made.text(Text::Verdict),
            result["decision"]["decision"].as_str()
        );
        assert_eq!(
            on_record::mean(&made),
            result["mean"]["size"]["value"].as_f64()
        );
        assert!(made.used.len() >= 3);
        for piece in &made.used {
            let asked = Touching {
                role: piece.role.clone(),
                identity: piece.identity.clone(),
                size: Page::LARGEST,
                ..Touching::default()
            };
            let touched = ledger.touched(&asked).unwrap();
            let found = touched.iter().find(|one| one.entry == entry.id()).unwrap();
            assert_eq!(found.sensitivity, piece.sensitivity);
            assert!(found.sensitivity.is_some());
        }
    }
    assert!(results > 10);
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

/// The size of a job, millimetres: of the mean.
fn size(job: &Job) -> f64 {
    inspection::compute(job).unwrap().mean.size.value
}

fn moved(entered: &Entered, by: Length) -> Entered {
    Entered::of(entered.value() + by, LengthUnit::Millimetre)
}

/// The slopes are those of the whole calculation: a certificate or a reading moved both ways.
#[test]
fn slopes_over_the_errors_of_equipment_are_those_of_the_calculation() {
    let (_bench, path) = recorded();
    let ledger = Ledger::open_read_only(&path).unwrap();
    let (mut over_wires, mut compared) = (0, 0);
    for entry in all(&ledger) {
        if entry.content.kind != "inspection" {
            continue;
        }
        let job: Job = kept::read(kept::JOB, &entry.content.inputs).unwrap();
        let slopes = inspection::influence(&job).unwrap();
        let by = Length::from_micrometres(2);
        let slope = |change: &dyn Fn(&mut Job, Length)| {
            let size_at = |by: Length| {
                let mut job = job.clone();
                change(&mut job, by);
                size(&job)
            };
            (size_at(by) - size_at(-by)) / (2.0 * by.mm())
        };
        let told = |what: &str, slope: f64, found: f64| {
            assert!(
                (slope - found).abs() < 1e-3,
                "{what} of {}: {slope} and {found}",
                entry.id()
            );
        };
        let standard = slope(&|job, by| job.standard.size = moved(&job.standard.size, by));
        told("standard", slopes.standard, standard);
        // An error that is left of the micrometer is in every reading of the part.
        let instrument = slope(&|job, by| {
            for reading in job
                .readings
                .iter_mut()
                .flat_map(|place| &mut place.readings)
            {
                *reading = moved(reading, by);
            }
        });
        told("instrument", slopes.instrument, instrument);
        if let Some(wires) = slopes.wires {
            let found = slope(&|job, by| {
                let wires = job.wires.as_mut().unwrap();
                wires.diameter = moved(&wires.diameter, by);
            });
            told("wires", wires, found);
            assert!((wires + 3.0).abs() < 0.02, "{wires}");
            over_wires += 1;
        }
        compared += 1;
    }
    assert!(compared > 10 && over_wires > 0);
}

fn schema(path: &Path) -> i64 {
    let file = rusqlite::Connection::open(path).unwrap();
    file.query_row("PRAGMA user_version", [], |row| row.get(0))
        .unwrap()
}

/// A ledger of version 0.2.0 is read as it is, and gets its facts when it is first opened to record in, or by command.
#[test]
fn an_old_ledger_is_read_and_gets_its_facts() {
    let archive = root().join("crates/midflank/tests/archive/0.2.0/ledger.db");
    let bench = Bench::new();
    let path = bench.path("old.db");
    fs::copy(archive, &path).unwrap();
    let name = path.to_str().unwrap();
    let on = |arguments: &[&str]| {
        let run = bench.run(&[&["--ledger", name], arguments].concat());
        assert_eq!(run.status, 0, "{}{}", run.out, run.err);
        run
    };
    assert_eq!(schema(&path), 3);
    let before = on(&["ledger", "list", "--json"]).out;
    let shown = on(&["ledger", "list"]).out;
    on(&["ledger", "verify"]);
    let old = Ledger::open_read_only(&path).unwrap();
    let instrument = Touching {
        role: "instrument".into(),
        identity: "mic-04".into(),
        size: 100,
        ..Touching::default()
    };
    assert_eq!(old.touched(&instrument).unwrap(), []);
    let touched = on_record::touched(&old, &instrument).unwrap();
    assert!(!touched.is_empty());
    drop(old);
    assert_eq!(schema(&path), 3);

    on(&["ledger", "facts"]);
    assert_eq!(schema(&path), ledger::FILE_SCHEMA);
    assert_eq!(on(&["ledger", "list", "--json"]).out, before);
    assert_eq!(on(&["ledger", "list"]).out, shown);
    on(&["ledger", "verify"]);
    let new = Ledger::open_read_only(&path).unwrap();
    assert!(new.facts_are_made().unwrap());
    let without_used = touched.into_iter().map(|mut one| {
        one.facts.used.clear();
        one
    });
    assert_eq!(
        new.touched(&instrument).unwrap(),
        without_used.collect::<Vec<_>>()
    );
    let copy = bench.path("copy.db");
    on(&["ledger", "backup", copy.to_str().unwrap()]);
    assert!(
        Ledger::open_read_only(copy)
            .unwrap()
            .facts_are_made()
            .unwrap()
    );
}

#[test]
fn an_old_ledger_gets_its_facts_with_the_first_record() {
    let bench = Bench::new();
    let path = bench.path("old.db");
    fs::copy(
        root().join("crates/midflank/tests/archive/0.2.0/ledger.db"),
        &path,
    )
    .unwrap();
    let name = path.to_str().unwrap();
    let job = bench.demo("1-rating-screw.toml", &[]);
    let run = bench.run(&[
        "--ledger",
        name,
        "inspect",
        job.to_str().unwrap(),
        "--record",
        "--again",
    ]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert!(
        Ledger::open_read_only(&path)
            .unwrap()
            .facts_are_made()
            .unwrap()
    );
    let verified = bench.run(&["--ledger", name, "ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

/// Changes a ledger with its guards off.
fn tamper(path: &Path, sql: &str) {
    let file = rusqlite::Connection::open(path).unwrap();
    let triggers: Vec<(String, String)> = file
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    file.execute_batch("PRAGMA foreign_keys = OFF").unwrap();
    for (name, _) in &triggers {
        file.execute_batch(&format!("DROP TRIGGER {name}")).unwrap();
    }
    file.execute_batch(sql).unwrap();
    for (_, sql) in &triggers {
        file.execute_batch(sql).unwrap();
    }
}

#[test]
fn forged_facts_are_told_and_made_again() {
    let bench = Bench::new();
    let job = bench.demo("1-rating-screw.toml", &[]);
    for _ in 0..3 {
        let run = bench.run(&["inspect", job.to_str().unwrap(), "--record", "--again"]);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let path = bench.path("data/midflank/ledger.db");
    for (sql, kind, told) in [
        (
            "UPDATE fact SET size = 8.5 WHERE sequence = 2",
            "facts-differ",
            "8.5",
        ),
        (
            "UPDATE fact SET verdict = 'reject' WHERE sequence = 2",
            "facts-differ",
            "reject",
        ),
        (
            "UPDATE used SET identity = 'mic-05' WHERE sequence = 2 AND role = 'instrument'",
            "facts-differ",
            "mic-0",
        ),
        (
            "UPDATE used SET sensitivity = -1 WHERE sequence = 2 AND role = 'standard'",
            "facts-differ",
            "-1.0",
        ),
        (
            "DELETE FROM used WHERE sequence = 2; DELETE FROM fact WHERE sequence = 2",
            "facts-missing",
            "",
        ),
        (
            "DELETE FROM used WHERE sequence = 3; DELETE FROM fact WHERE sequence = 3",
            "facts-behind",
            "",
        ),
        (
            "INSERT INTO fact (sequence, check_digits, recorded_on) VALUES (4, 'abcd', '2026-01-01')",
            "storage",
            "",
        ),
    ] {
        tamper(&path, sql);
        let run = bench.run(&["ledger", "verify", "--json"]);
        assert_eq!(run.status, 1, "{sql}");
        let report: serde_json::Value = serde_json::from_str(&run.out).unwrap();
        let faults = report["faults"].as_array().unwrap();
        assert!(
            faults
                .iter()
                .any(|fault| fault["kind"] == kind
                    && fault["message"].as_str().unwrap().contains(told)),
            "{sql}: {report}"
        );
        let again = bench.run(&["ledger", "facts", "--rebuild"]);
        assert_eq!(again.status, 0, "{}", again.err);
        let run = bench.run(&["ledger", "verify"]);
        assert_eq!(run.status, 0, "{}{}", run.out, run.err);
    }
}
