//! `midflank plan`: plans from files, and what is recorded of them.

use crate::bench::{Bench, Run, demo_file};

const PERSON: [&str; 2] = ["--person", "A. Quill"];

fn keep(bench: &Bench, name: &str, text: &str) -> Run {
    let path = bench.file(name, text);
    bench.run(&[&["plan", &path][..], &PERSON].concat())
}

fn plans(bench: &Bench) -> usize {
    let listed = bench.run(&["ledger", "list", "--json"]).documents();
    listed
        .iter()
        .filter(|entry| entry["kind"] == "plan")
        .count()
}

/// A table and TOML that say the same are one entry, whatever the file is called.
#[test]
fn a_table_records_the_same_plan_as_toml() {
    let bench = Bench::new();
    let toml = keep(&bench, "nine.toml", &demo_file("lot/nine.toml"));
    assert_eq!(toml.status, 0, "{}", toml.err);
    for name in ["nine.csv", "NINE.CSV", "nine.txt"] {
        let csv = keep(&bench, name, &demo_file("lot/nine.csv"));
        assert_eq!(csv.status, 0, "{}", csv.err);
        assert!(csv.out.contains("already recorded"), "{}", csv.out);
    }
    assert_eq!(plans(&bench), 1);
    let changed = demo_file("lot/nine.csv").replace("9.90 to 10.00", "9.90 to 10.01");
    let changed = keep(&bench, "nine.csv", &changed);
    assert!(changed.out.contains("Recorded plan"), "{}", changed.out);
    assert_eq!(plans(&bench), 2);
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

/// All mistakes at once, each on its line, and nothing half recorded.
#[test]
fn a_table_with_mistakes_records_nothing() {
    let bench = Bench::new();
    let wrong = demo_file("lot/nine.csv")
        .replace("M8x1.25-6g", "M8x1.24-6g")
        .replace(",by eye,", ",by nose,")
        .replace("9,material", "8,material");
    let run = keep(&bench, "nine.csv", &wrong);
    run.refused(&[
        "job.designation",
        "jobfile.unknown-word",
        "plan.number-twice",
    ]);
    assert_eq!(run.out, "");
    for place in [
        "nine.csv:15:3: requirement",
        "nine.csv:21:",
        "nine.csv:22:1: number",
    ] {
        assert!(run.err.contains(place), "{place}: {}", run.err);
    }
    assert_eq!(run.err.lines().count(), 3, "{}", run.err);
    assert!(!bench.path("data").exists());
}

/// What a thread note may be split into is shown, and nothing is recorded. Limits of M10-6g: ISO 965-2.
#[test]
fn a_thread_note_may_be_split() {
    let bench = Bench::new();
    let path = bench.file("nine.csv", &demo_file("lot/nine.csv"));
    let split = bench.run(&["plan", &path, "--split", "1", "--json"]);
    let lines = split.documents();
    let told: Vec<(&str, &str, Option<f64>, Option<f64>)> = lines
        .iter()
        .map(|line| {
            let text = |key: &str| line[key].as_str().unwrap();
            (
                text("number"),
                text("part"),
                line["lower"].as_f64(),
                line["upper"].as_f64(),
            )
        })
        .collect();
    let wanted = [
        ("1.1", "crest", Some(9.732), Some(9.968)),
        ("1.2", "pitch-diameter", Some(8.862), Some(8.994)),
        ("1.3", "functional", None, Some(8.994)),
        ("1.4", "root", None, Some(8.344)),
    ];
    assert_eq!(told, wanted);
    assert_eq!(lines[0]["places"].as_array().unwrap().len(), 2);
    let words = bench.run(&["plan", &path, "--split", "1"]);
    assert!(
        words.out.contains("1.3    GO ring gauge M10x1.5-6g"),
        "{}",
        words.out
    );
    bench
        .run(&["plan", &path, "--split", "3"])
        .refused(&["plan-split.none"]);
    bench
        .run(&["plan", &path, "--split", "12"])
        .refused(&["plan-split.no-number"]);
    assert!(!bench.path("data").exists());
}
