//! Facts stand apart from words: with every sentence disguised, nothing that is computed, stored or decided changes.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

use crate::bench::{Bench, Run, root};

/// Shows every sentence wrapped and accented; a switch of development builds.
pub const DISGUISE: &str = "MIDFLANK_DISGUISE";

pub fn disguised(bench: &Bench, arguments: &[&str]) -> Run {
    as_printed(bench.command(arguments).env(DISGUISE, "1"))
}

pub fn plain(bench: &Bench, arguments: &[&str]) -> Run {
    as_printed(bench.command(arguments).env_remove(DISGUISE))
}

/// What it prints, with the disguise left on.
fn as_printed(command: &mut Command) -> Run {
    let output = command.output().unwrap();
    Run {
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
        status: output.status.code().unwrap_or(-1),
    }
}

/// Every demo job: each feature is among them, an undecided one, a rejected one.
pub fn jobs() -> Vec<PathBuf> {
    let mut all = Vec::new();
    for folder in ["demo", "demo/features"] {
        for file in fs::read_dir(root().join(folder)).unwrap() {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if name.ends_with(".toml") && name != "equipment.toml" {
                all.push(path);
            }
        }
    }
    all.sort();
    all
}

/// A bench with the demo workshop's equipment, so that jobs that name pieces by identity run too.
pub fn workshop() -> Bench {
    let bench = Bench::new();
    let file = root().join("demo/features/equipment.toml");
    let added = plain(&bench, &["equipment", "add", file.to_str().unwrap()]);
    assert_eq!(added.status, 0, "{}", added.err);
    bench
}

/// Keys under which words stand.
const WORDS: [&str; 12] = [
    "label",
    "message",
    "reason",
    "decided_on",
    "of",
    "note",
    "definition",
    "source",
    "conversion",
    "sentence",
    "characteristic",
    "place",
];

/// A document without its words.
fn facts(value: &Value) -> Value {
    match value {
        Value::Object(keys) => keys
            .iter()
            .filter(|(key, _)| !WORDS.contains(&key.as_str()))
            .filter(|(key, _)| {
                !matches!(
                    key.as_str(),
                    "sources" | "cautions" | "at_hand" | "wait" | "others" | "taken" | "instead"
                )
            })
            .map(|(key, value)| (key.clone(), facts(value)))
            .collect(),
        Value::Array(all) => all.iter().map(facts).collect(),
        one => one.clone(),
    }
}

#[test]
fn numbers_codes_and_verdicts_do_not_depend_on_words() {
    let bench = workshop();
    for job in jobs() {
        let job = job.to_str().unwrap();
        let read = |run: Run| -> Value {
            serde_json::from_str(&run.out).unwrap_or_else(|_| panic!("{job}: {}", run.err))
        };
        let as_worded = read(plain(&bench, &["inspect", job, "--json"]));
        let in_disguise = read(disguised(&bench, &["inspect", job, "--json"]));
        assert_ne!(as_worded, in_disguise, "{job} has no words");
        assert_eq!(facts(&as_worded), facts(&in_disguise), "{job}");
    }
}

/// A ledger that was recorded with one wording is sound with every other, and each report has the caution it had.
#[test]
fn a_reworded_program_finds_old_records_sound() {
    let bench = workshop();
    for (index, job) in jobs().iter().enumerate() {
        let arguments = ["inspect", job.to_str().unwrap(), "--record"];
        let run = if index % 2 == 0 {
            plain(&bench, &arguments)
        } else {
            disguised(&bench, &arguments)
        };
        assert_eq!(run.status, 0, "{}", run.err);
    }
    for verified in [
        plain(&bench, &["ledger", "verify", "--json"]),
        disguised(&bench, &["ledger", "verify", "--json"]),
    ] {
        let report: Value = serde_json::from_str(&verified.out).unwrap();
        assert_eq!(report["sound"], true, "{}", verified.out);
        assert_eq!(verified.status, 0);
    }
    // A zero that moved blocks the signature whatever the sentence for it is.
    let moved = bench.demo(
        "1-rating-screw.toml",
        &[(
            "after = [\"10.002\", \"10.002\", \"10.001\"]",
            "after = [\"10.009\", \"10.009\", \"10.008\"]",
        )],
    );
    let caution = |run: Run| run.out.lines().nth(1).unwrap_or_default().to_owned();
    let moved = moved.to_str().unwrap();
    assert!(caution(plain(&bench, &["inspect", moved])).starts_with("DO NOT SIGN"));
    assert!(caution(disguised(&bench, &["inspect", moved])).contains("ĐÓ ÑÓŢ ŠÍĜÑ"));
}

/// A rejected part on the record, and the same entry recorded again in a ledger of its own after a change.
fn recorded_again(change: impl Fn(&mut ledger::Draft)) -> (Bench, Run, Run) {
    let first = Bench::new();
    let job = first.demo("3-dial-bolt.toml", &[]);
    let run = plain(&first, &["inspect", job.to_str().unwrap(), "--record"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let place = first.path("data/midflank/ledger.db");
    let mut draft = ledger::Ledger::open_read_only(&place)
        .unwrap()
        .get(&"1".parse().unwrap())
        .unwrap()
        .content;
    change(&mut draft);
    let second = Bench::new();
    let path = second.path("again.db");
    let ledger = crate::bench::open(&path);
    ledger.append(&draft).unwrap();
    drop(ledger);
    let path = path.to_str().unwrap().to_owned();
    let report = plain(&second, &["--ledger", &path, "report", "1"]);
    let verified = plain(&second, &["--ledger", &path, "ledger", "verify"]);
    (second, report, verified)
}

fn changed(document: &str, change: impl Fn(&mut Value)) -> String {
    let mut value: Value = serde_json::from_str(document).unwrap();
    change(&mut value);
    value.to_string()
}

#[test]
fn a_stored_sentence_decides_nothing() {
    let (_bench, report, verified) = recorded_again(|draft| {
        draft.words = draft.words.replace("REJECT", "ACCEPT");
        let words = changed(&draft.words, |words| words["verdict"] = "ACCEPT".into());
        draft.words = words;
    });
    assert!(
        report.out.lines().any(|line| line == "REJECT"),
        "{}",
        report.out
    );
    assert!(
        !report.out.lines().any(|line| line == "ACCEPT"),
        "{}",
        report.out
    );
    assert_eq!(verified.status, 0, "{}", verified.out);
}

#[test]
fn an_added_key_changes_nothing() {
    let (_bench, report, verified) = recorded_again(|draft| {
        draft.results = changed(&draft.results, |results| {
            results["content"]["size"]["colour"] = "green".into();
        });
        draft.inputs = changed(&draft.inputs, |inputs| {
            inputs["content"]["part"]["colour"] = "green".into();
        });
    });
    assert_eq!(verified.status, 0, "{}", verified.out);
    assert_eq!(report.status, 0, "{}", report.err);
}

#[test]
fn a_changed_number_code_or_verdict_is_found() {
    type Change = fn(&mut Value);
    let changes: [(&str, Change); 6] = [
        ("a number by its last bit", |results| {
            let size = results["content"]["size"]["value"].as_f64().unwrap();
            results["content"]["size"]["value"] = f64::from_bits(size.to_bits() + 1).into();
        }),
        ("a share of the budget", |results| {
            results["content"]["budget"][0]["contribution"] = 0.0.into();
        }),
        ("the verdict", |results| {
            results["content"]["decision"]["decision"] = "accept".into();
        }),
        ("a code of a warning", |results| {
            let warnings = results["content"]["warnings"].as_array_mut().unwrap();
            warnings.remove(0);
        }),
        ("a missing key", |results| {
            let size = results["content"]["size"].as_object_mut().unwrap();
            size.remove("standard_uncertainty");
        }),
        ("a method that this build does not have", |results| {
            results["content"]["method"] = 99.into();
        }),
    ];
    for (what, change) in changes {
        let (_bench, _, verified) = recorded_again(|draft| {
            draft.results = changed(&draft.results, change);
        });
        assert_eq!(
            verified.status, 1,
            "{what}: {}{}",
            verified.out, verified.err
        );
    }
}

/// An entry of another method is listed, and passes only where its method is named as one to be taken on trust.
#[test]
fn another_method_is_taken_only_by_name() {
    let (bench, _, _) = recorded_again(|draft| {
        draft.results = changed(&draft.results, |results| {
            results["content"]["method"] = 99.into();
        });
    });
    let path = bench.path("again.db");
    let verify = |more: &[&str]| {
        let mut arguments = vec!["--ledger", path.to_str().unwrap(), "ledger", "verify"];
        arguments.extend(more);
        plain(&bench, &arguments)
    };
    assert_eq!(verify(&[]).status, 1);
    let taken = verify(&["--accept-methods", "90..99"]);
    assert_eq!(taken.status, 0, "{}{}", taken.out, taken.err);
    assert_eq!(verify(&["--accept-methods", "2..9"]).status, 1);
}
