//! Ledgers that someone wrote who knows how entries are hashed: computing all of it again finds them.

use std::fs;
use std::path::{Path, PathBuf};

use ledger::{Draft, Ledger, Subject};
use serde_json::Value;

use crate::bench::{Bench, Run};
use crate::said::{assert_says, assert_silent};

/// A ledger with one inspection.
fn recorded(bench: &Bench, name: &str) -> PathBuf {
    let path = bench.path(name);
    let job = bench.demo("1-rating-screw.toml", &[]);
    let run = on(
        bench,
        &path,
        &["inspect", job.to_str().unwrap(), "--record", "--again"],
    );
    assert_eq!(run.status, 0, "{}", run.err);
    path
}

fn on(bench: &Bench, ledger: &Path, arguments: &[&str]) -> Run {
    bench.run(&[&["--ledger", ledger.to_str().unwrap()], arguments].concat())
}

fn verified(bench: &Bench, ledger: &Path, more: &[&str]) -> (i32, Value) {
    let run = on(
        bench,
        ledger,
        &[&["ledger", "verify", "--json"], more].concat(),
    );
    let report = serde_json::from_str(&run.out);
    (run.status, report.unwrap_or_else(|_| panic!("{}", run.err)))
}

fn kinds(report: &Value) -> Vec<&str> {
    let faults = report["faults"].as_array().unwrap();
    faults
        .iter()
        .map(|fault| fault["kind"].as_str().unwrap())
        .collect()
}

/// What verification says of a ledger that holds this entry, changed and hashed anew.
fn forged(bench: &Bench, forge: impl FnOnce(&mut Draft)) -> (PathBuf, i32, Value) {
    let path = bench.path("true.db");
    if !path.exists() {
        recorded(bench, "true.db");
    }
    let mut draft = Ledger::open_read_only(path)
        .unwrap()
        .get(&1.into())
        .unwrap()
        .content;
    forge(&mut draft);
    let forged = bench.path("forged.db");
    let _ = fs::remove_file(&forged);
    crate::bench::open(&forged).append(&draft).unwrap();
    let (status, report) = verified(bench, &forged, &[]);
    (forged, status, report)
}

fn replaced(text: &mut String, from: &str, to: &str) {
    assert!(text.contains(from), "{from} is not in {text}");
    *text = text.replacen(from, to, 1);
}

/// One thing done to an entry.
type Forgery = fn(&mut Draft);

#[test]
fn an_entry_that_was_not_touched_is_sound() {
    let bench = Bench::new();
    let (_, status, report) = forged(&bench, |_| {});
    assert_eq!((status, &report["sound"]), (0, &Value::Bool(true)));
    assert_eq!(report["recomputed"], 1);
}

#[test]
fn a_forged_entry_is_found_and_told_for_what_it_is() {
    let bench = Bench::new();
    let forgeries: [(&str, &str, Forgery); 12] = [
        ("verdict", "result-differs", |d| {
            replaced(
                &mut d.results,
                "\"decision\":\"accept\"",
                "\"decision\":\"reject\"",
            );
        }),
        ("inputs", "result-differs", |d| {
            replaced(&mut d.inputs, "8.929mm", "8.928mm");
        }),
        ("editions", "result-differs", |d| {
            replaced(&mut d.editions, "\"sources\":[", "\"sources\":[null,");
        }),
        ("other tables than this build has", "result-differs", |d| {
            replaced(&mut d.editions, "sha256\":\"", "sha256\":\"0");
        }),
        ("no tables, of any build", "result-differs", |d| {
            d.program = "midflank 0.3.1 build 00000000".into();
            replaced(&mut d.editions, "tables_sha256", "tables");
        }),
        ("another verdict filed", "subjects-differ", |d| {
            assert!(d.subjects.remove(&Subject::new("verdict", "accept")));
            d.subjects.insert(Subject::new("verdict", "reject"));
        }),
        ("a subject left out", "subjects-differ", |d| {
            d.subjects.retain(|subject| subject.role != "instrument");
        }),
        ("a subject added", "subjects-differ", |d| {
            d.subjects.insert(Subject::new("instrument", "mic-05"));
        }),
        ("a note", "result-differs", |d| d.kind = "note".into()),
        ("a piece of equipment", "not-computed", |d| {
            d.kind = "equipment".into();
        }),
        ("no kind", "not-computed", |d| d.kind = "inspektion".into()),
        ("inputs that nobody reads", "not-computed", |d| {
            replaced(&mut d.inputs, "\"readings\":[", "\"raedings\":[");
        }),
    ];
    for (what, kind, forge) in forgeries {
        let (_, status, report) = forged(&bench, forge);
        assert_eq!(status, 1, "{what}: {report}");
        assert_eq!(report["sound"], false, "{what}");
        assert!(kinds(&report).contains(&kind), "{what}: {report}");
    }
}

/// Tables of another build may be right or invented: they are told, and make nothing unsound. Those of a release are known.
#[test]
fn tables_that_nobody_knows_are_told() {
    let bench = Bench::new();
    let (path, status, report) = forged(&bench, |d| {
        d.program = "midflank 0.3.1 build 00000000".into();
        replaced(&mut d.editions, "sha256\":\"", "sha256\":\"0");
    });
    assert_eq!((status, kinds(&report)), (0, vec![]));
    assert_eq!(report["remarks"][0]["kind"], "not-known");
    let run = on(&bench, &path, &["ledger", "verify"]);
    assert_says(&run.out, "ledger.not-known");

    let (_, status, report) = forged(&bench, |d| {
        d.program = "midflank 0.2.0 build 7f0fa532".into();
    });
    assert_eq!(
        (status, report["remarks"].as_array().unwrap().len()),
        (0, 0)
    );
}

/// Inputs that the calculation refuses: nothing to compare, and a fault all the same.
#[test]
fn an_entry_made_uncomputable_is_a_fault() {
    let bench = Bench::new();
    let (path, status, report) = forged(&bench, |d| {
        replaced(&mut d.inputs, "M10x1.5-6g", "M10x1.5-6zz");
    });
    assert_eq!((status, kinds(&report)), (1, vec!["not-computed"]));
    let run = on(
        &bench,
        &path,
        &["ledger", "verify", "--accept-methods", "0..4000000000"],
    );
    assert_eq!(run.status, 1, "no range of methods covers it");
    assert_says(&run.out, "ledger.fault-not-computed");
    assert_says(&run.out, "ledger.verify-unsound");
}

#[test]
fn a_forged_method_is_listed_and_unsound_unless_it_is_accepted() {
    let bench = Bench::new();
    let (path, status, report) = forged(&bench, |d| {
        replaced(&mut d.results, "\"method\":", "\"method\":90");
    });
    assert_eq!((status, kinds(&report)), (1, vec![]));
    assert_eq!(report["sound"], false);
    let listed = &report["not_recomputed"][0];
    let method = listed["method"].as_u64().unwrap();
    assert!(method >= 900, "{report}");
    assert_eq!(listed["accepted"], false);

    let plain = on(&bench, &path, &["ledger", "verify"]);
    assert_says(&plain.out, "ledger.verify-not-computed");
    for (range, sound) in [
        (format!("1..{method}"), true),
        (method.to_string(), true),
        (format!("1..{}", method - 1), false),
    ] {
        let (status, report) = verified(&bench, &path, &["--accept-methods", &range]);
        assert_eq!(report["sound"], sound, "{range}");
        assert_eq!(status, i32::from(!sound), "{range}");
        assert_eq!(report["not_recomputed"][0]["accepted"], sound, "{range}");
    }
    for wrong in ["", "1..", "3..1", "1-3", "x"] {
        let run = on(
            &bench,
            &path,
            &["ledger", "verify", "--accept-methods", wrong],
        );
        assert_eq!(run.status, 2, "{wrong}");
        assert_says(&run.err, "ledger.accept-methods");
    }
}

/// Runs SQL on a ledger with its guards taken off and put back.
pub fn tamper(path: &Path, sql: &str) {
    let connection = rusqlite::Connection::open(path).unwrap();
    let guards: Vec<(String, String)> = connection
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    for (name, _) in &guards {
        connection
            .execute_batch(&format!("DROP TRIGGER {name}"))
            .unwrap();
    }
    connection.execute_batch(sql).unwrap();
    for (_, guard) in &guards {
        connection.execute_batch(guard).unwrap();
    }
}

#[test]
fn a_tail_cut_off_with_care_is_found_by_a_witness() {
    let bench = Bench::new();
    let path = recorded(&bench, "l.db");
    recorded(&bench, "l.db");
    let printed = on(&bench, &path, &["ledger", "witness"]);
    assert_eq!(printed.status, 0, "{}", printed.err);
    assert_eq!(printed.out.lines().count(), 1);
    let kept = bench.file("witness.txt", &printed.out);
    // It still holds when more is recorded.
    recorded(&bench, "l.db");
    let run = on(&bench, &path, &["ledger", "verify", "--expect", &kept]);
    assert_eq!(run.status, 0, "{}", run.out);
    assert_says(&run.out, "ledger.verify-witness");

    tamper(
        &path,
        "DELETE FROM search WHERE rowid > 1; DELETE FROM subject WHERE sequence > 1;
         DELETE FROM used WHERE sequence > 1; DELETE FROM fact WHERE sequence > 1;
         DELETE FROM entry WHERE sequence > 1; UPDATE sqlite_sequence SET seq = 1 WHERE name = 'entry'",
    );
    assert_eq!(verified(&bench, &path, &[]).0, 0, "sound in itself");
    let (status, report) = verified(&bench, &path, &["--expect", &kept]);
    assert_eq!((status, kinds(&report)), (1, vec!["witness-missing"]));
    // Another one in its place.
    let job = bench.demo("1-rating-screw.toml", &[("\"8.929\"", "\"8.928\"")]);
    let run = on(
        &bench,
        &path,
        &["inspect", job.to_str().unwrap(), "--record"],
    );
    assert_eq!(run.status, 0, "{}", run.err);
    assert_eq!(verified(&bench, &path, &[]).0, 0);
    let run = on(&bench, &path, &["ledger", "verify", "--expect", &kept]);
    assert_eq!(run.status, 1);
    assert_says(&run.out, "ledger.fault-witness-other");
}

#[test]
fn what_is_no_witness_is_refused() {
    let bench = Bench::new();
    let path = recorded(&bench, "l.db");
    let line = on(&bench, &path, &["ledger", "witness"]).out;
    for wrong in [
        String::new(),
        line.to_uppercase(),
        line.replace(" 1 1 ", " 1 01 "),
        format!("{line}{line}"),
    ] {
        let kept = bench.file("witness.txt", &wrong);
        let run = on(&bench, &path, &["ledger", "verify", "--expect", &kept]);
        assert_eq!(run.status, 2, "{wrong}");
        assert_says(&run.err, "ledger.expect-file");
    }
    let run = on(
        &bench,
        &path,
        &["ledger", "verify", "--expect", "nowhere.txt"],
    );
    assert_eq!(run.status, 2);
    assert_says(&run.err, "ledger.expect-what");

    let empty = bench.path("empty.db");
    drop(crate::bench::open(&empty));
    let run = on(&bench, &empty, &["ledger", "witness"]);
    assert_eq!((run.status, run.out.as_str()), (1, ""));
    assert_says(&run.err, "ledger.witness-none");
}

#[test]
fn a_ledger_that_was_emptied_is_begun_anew_only_by_request() {
    let bench = Bench::new();
    let path = bench.write("l.db", "");
    let job = bench.demo("1-rating-screw.toml", &[]);
    let job = job.to_str().unwrap();
    for command in [
        &["inspect", job, "--record"][..],
        &["ledger", "list"],
        &["ledger", "verify"],
        &["bench", "--no-browser", "--port", "0"],
    ] {
        let run = on(&bench, &path, command);
        assert_eq!((run.status, run.out.as_str()), (1, ""), "{command:?}");
        assert_says(&run.err, "ledger.empty-file");
        assert_eq!(fs::read(&path).unwrap(), b"");
    }
    let run = on(&bench, &path, &["--new", "inspect", job, "--record"]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_says(&run.err, "ledger.began");
    // On a ledger that is there it changes nothing.
    let run = on(
        &bench,
        &path,
        &["inspect", job, "--record", "--again", "--new"],
    );
    assert_eq!(run.status, 0, "{}", run.err);
    assert_eq!(verified(&bench, &path, &[]).1["entries"], 2);
}

#[test]
fn a_backup_computes_the_results_again() {
    let bench = Bench::new();
    let (path, _, _) = forged(&bench, |d| {
        replaced(
            &mut d.results,
            "\"decision\":\"accept\"",
            "\"decision\":\"reject\"",
        );
    });
    let copy = bench.path("copy.db");
    let run = on(&bench, &path, &["ledger", "backup", copy.to_str().unwrap()]);
    assert_eq!(run.status, 1, "{}", run.out);
    assert_says(&run.err, "ledger.backup-faulty");
    assert!(!copy.exists());
}

#[test]
fn who_where_and_the_words_of_the_day_are_on_the_record() {
    let bench = Bench::new();
    let path = recorded(&bench, "l.db");
    let shown = on(&bench, &path, &["ledger", "show", "1", "--json"]).json();
    assert_eq!(shown["person"], "A. Quill");
    assert_eq!(shown["actor"]["name"], "A. Quill");
    assert_eq!(shown["actor"]["how"], "typed");
    for key in ["station", "zone"] {
        assert!(!shown[key].as_str().unwrap().is_empty(), "{key}");
    }
    let job = bench.path("1-rating-screw.toml");
    let printed = bench
        .run(&["inspect", job.to_str().unwrap(), "--json"])
        .json();
    let reason = &printed["decision"]["reason"];
    assert!(reason.is_string());
    assert_eq!(shown["words"]["reason"], *reason);
    let warnings = shown["words"]["warnings"].as_array().unwrap();
    assert_eq!(
        warnings.len(),
        printed["warnings"].as_array().unwrap().len()
    );
}

/// A clock that was set back is told, and nothing is wrong with the entry.
#[test]
fn a_clock_set_back_is_told() {
    let bench = Bench::new();
    let path = recorded(&bench, "l.db");
    let ledger = crate::bench::open(&path);
    let mut draft = ledger.get(&1.into()).unwrap().content;
    draft.recorded_at = "2001-01-01T00:00:00Z".parse().unwrap();
    ledger.append(&draft).unwrap();
    let (status, report) = verified(&bench, &path, &[]);
    assert_eq!((status, kinds(&report)), (0, vec![]));
    assert_eq!(report["remarks"][0]["kind"], "went-back");
    let run = on(&bench, &path, &["ledger", "verify"]);
    assert_says(&run.out, "ledger.went-back");
}

/// Who records is told at once that the entry before has a later time.
#[test]
fn a_record_dated_before_the_last_is_remarked() {
    let bench = Bench::new();
    let path = recorded(&bench, "l.db");
    let ledger = crate::bench::open(&path);
    let mut late = ledger.get(&1.into()).unwrap().content;
    late.recorded_at = "2999-01-01T00:00:00Z".parse().unwrap();
    let job = bench.demo(
        "1-rating-screw.toml",
        &[("sample = \"1\"", "sample = \"2\"")],
    );
    let inspect = ["inspect", job.to_str().unwrap(), "--record"];
    let amend = ["ledger", "amend", "1", "--reason", "wrong", "--person", "B"];
    for command in [&inspect[..], &amend] {
        ledger.append(&late).unwrap();
        let run = on(&bench, &path, command);
        assert_eq!(run.status, 0, "{}", run.err);
        assert_says(&run.err, "ledger.went-back");
    }
    let run = on(&bench, &path, &["ledger", "list"]);
    assert_silent(&run.err, "ledger.went-back");
}
