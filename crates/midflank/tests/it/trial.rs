//! Readings with equipment that is set apart: refused as an inspection, kept as a trial where that is asked for, and counted
//! nowhere.

use ledger::{Draft, Filter, Ledger, Order, Page};
use serde_json::Value;

use crate::bench::{Bench, demo};
use crate::said::{assert_says, assert_silent};

fn with_mic(status: &str) -> Bench {
    let bench = Bench::new().with_equipment();
    let run = bench.run(&[
        "status",
        "set",
        "instrument",
        "mic-04",
        status,
        "--reason",
        "dropped",
        "--person",
        "A. Quill",
    ]);
    assert_eq!(run.status, 0, "{}", run.err);
    bench
}

fn trials(bench: &Bench) -> Vec<Value> {
    let mut all = bench.run(&["ledger", "list", "--json"]).documents();
    all.retain(|entry| entry["kind"] == "trial");
    all
}

#[test]
fn readings_are_kept_as_a_trial_and_count_nowhere() {
    for status in ["quarantined", "retired", "lost"] {
        let bench = with_mic(status);
        let job = bench.file("job.toml", &demo("by-identity"));
        bench
            .run(&["inspect", &job, "--record", "--person", "A. Quill"])
            .refused(&["barred.piece", "trial.may-be-kept"]);
        bench
            .run(&["inspect", &job, "--trial"])
            .refused(&["--record"]);
        assert!(trials(&bench).is_empty());

        let run = bench.run(&[
            "inspect", &job, "--trial", "--record", "--person", "A. Quill",
        ]);
        assert_eq!(run.status, 0, "{}", run.err);
        assert_says(&run.out, "trial.heading");
        assert_says(&run.out, "barred.piece");
        assert_says(&run.out, &format!("state.{status}"));
        assert!(!run.out.contains("accept"), "{}", run.out);

        let kept = trials(&bench);
        assert_eq!(kept.len(), 1);
        let id = kept[0]["entry"]
            .as_str()
            .or(kept[0]["id"].as_str())
            .unwrap();
        let report = bench.run(&["report", id]);
        assert_says(&report.out, "trial.heading");
        assert_silent(&report.out, "verdict.accept");
        // Neither by its instrument nor by its part is it among the results.
        for filter in [
            ["--instrument", "mic-04"],
            ["--part", "pendulum rating screw"],
        ] {
            let listed = bench.run(&["ledger", "list", "--json", filter[0], filter[1]]);
            assert!(
                listed
                    .out
                    .lines()
                    .all(|line| !line.contains("\"inspection\"") && !line.contains("\"trial\""))
            );
        }
        let recalled = bench.run(&[
            "recall",
            "instrument",
            "mic-04",
            "--error",
            "50um",
            "--since",
            "2020-01-01",
            "--json",
        ]);
        assert!(!recalled.out.contains(id), "{}", recalled.out);
        let verified = bench.run(&["ledger", "verify"]);
        assert_eq!(verified.status, 0, "{}", verified.out);
        let again = ["inspect", &job, "--trial", "--record", "--json"];
        let told = bench.run(&again).json();
        assert_eq!(told["trial"], true);
        assert!(told["entry"].is_string() && told["decision"].is_null());
    }
}

#[test]
fn a_job_that_is_not_barred_is_no_trial() {
    let bench = Bench::new().with_equipment();
    let job = bench.file("job.toml", &demo("by-identity"));
    bench
        .run(&[
            "inspect", &job, "--trial", "--record", "--person", "A. Quill",
        ])
        .refused(&["trial.not-barred"]);
    let bench = with_mic("lost");
    let nobody: String = demo("by-identity")
        .lines()
        .filter(|line| !line.starts_with("person"))
        .map(|line| format!("{line}\n"))
        .collect();
    let job = bench.file("job.toml", &nobody);
    bench
        .run(&["inspect", &job, "--trial", "--record"])
        .refused(&["trial.no-person"]);
    assert!(trials(&bench).is_empty());
}

/// A trial with a result, one that nothing bars, and one that is passed off as an inspection.
#[test]
fn a_forged_trial_is_found() {
    type Forgery = fn(&mut Draft);
    let forgeries: [Forgery; 4] = [
        |draft| draft.results = r#"{"schema":1,"content":{"decision":"accept"}}"#.to_owned(),
        |draft| {
            let (before, rest) = draft.inputs.split_once("\"barred\":[").unwrap();
            let (_, after) = rest.split_once("],\"job\"").unwrap();
            draft.inputs = format!("{before}\"barred\":[],\"job\"{after}");
        },
        |draft| draft.kind = "inspection".to_owned(),
        |draft| {
            let subject = ledger::Subject::new("verdict", "accept");
            draft.subjects.insert(subject);
        },
    ];
    for forge in forgeries {
        let bench = with_mic("quarantined");
        let job = bench.file("job.toml", &demo("by-identity"));
        let run = bench.run(&[
            "inspect", &job, "--trial", "--record", "--person", "A. Quill",
        ]);
        assert_eq!(run.status, 0, "{}", run.err);
        let ledger = Ledger::open(bench.path("data/midflank/ledger.db")).unwrap();
        let filter = Filter {
            kind: Some("trial".to_owned()),
            ..Filter::default()
        };
        let page = Page::first(Order::OldestFirst, 1);
        let mut draft = ledger
            .list(&filter, &page)
            .unwrap()
            .entries
            .remove(0)
            .content;
        forge(&mut draft);
        ledger.append(&draft).unwrap();
        drop(ledger);
        let verified = bench.run(&["ledger", "verify"]);
        assert_ne!(verified.status, 0, "{}", verified.out);
    }
}
