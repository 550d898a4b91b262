//! The ledgers of released versions: each verifies for ever, and each of its records is read and reported.
//!
//! `cargo test -p midflank --test it archive::make -- --ignored` makes the ledger of this version, once, when it is released.

use std::fs;
use std::path::{Path, PathBuf};

use crate::bench::{Bench, root};
use crate::web::support::{self, Folder, NEXT, READINGS, SET_UP, TO_THE_RECORD, ZERO};

fn archive() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/archive")
}

/// Every record as text, one after the other.
fn reports(bench: &Bench, ledger: &str) -> String {
    let listed = bench.run(&["ledger", "list", "--json", "--ledger", ledger]);
    let mut entries = listed.documents();
    entries.reverse();
    let mut text = String::new();
    for entry in entries {
        if entry["kind"] == "inspection" {
            let id = entry["id"].as_str().unwrap();
            let report = bench.run(&["report", id, "--ledger", ledger]);
            assert_eq!(report.status, 0, "{id}: {}", report.err);
            text += &report.out;
        }
    }
    text
}

/// The lines of a report that hold what was computed: sizes, limits, zones, readings. Sentences may be put better.
fn numbers(report: &str) -> Vec<String> {
    let of_numbers = |word: &&str| word.contains(|c: char| c.is_ascii_digit());
    let words = report.split_whitespace().filter(of_numbers);
    // The unit stands apart in later versions.
    words.map(|word| apart_from_unit(word).to_owned()).collect()
}

/// `8.929` of `8.929mm`, `8,929` of `8,929mm`; other words as they are.
fn apart_from_unit(word: &str) -> &str {
    let number = word.trim_end_matches(|c: char| c.is_alphabetic() || c == ':');
    match number.replacen(',', ".", 1).parse::<f64>() {
        Ok(_) => number,
        Err(_) => word,
    }
}

#[test]
fn every_ledger_of_the_archive_verifies() {
    let mut versions = 0;
    for version in fs::read_dir(archive()).unwrap() {
        let version = version.unwrap().path();
        if !version.is_dir() {
            continue;
        }
        versions += 1;
        let bench = Bench::new();
        let ledger = bench.path("ledger.db");
        fs::copy(version.join("ledger.db"), &ledger).unwrap();
        let ledger = ledger.to_str().unwrap();
        let witness = version.join("witness.txt");
        let expect = ["--expect", witness.to_str().unwrap()];
        let verified =
            bench.run(&[&["ledger", "verify", "--ledger", ledger], &expect[..]].concat());
        assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
        let kept = fs::read_to_string(version.join("reports.txt")).unwrap();
        let now = reports(&bench, ledger);
        for number in numbers(&kept) {
            assert!(
                now.contains(&number),
                "{number} is on no report of {}",
                version.display()
            );
        }
    }
    assert!(versions > 0, "the archive is empty");
}

/// A ledger with every kind of entry, from the command line and from the bench, with a job that was not finished.
#[test]
#[ignore = "makes the ledger of a version"]
fn make() {
    let folder = Folder::new("archive");
    let mut page = support::Bench::start(&folder, 0, &[]);
    let mut window = page.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.enter_all(&TO_THE_RECORD);
    assert_eq!(page.stop(rustix::process::Signal::TERM).0, Some(0));

    let bench = Bench::new();
    let ledger = folder.path().join("ledger.db");
    let ledger = ledger.to_str().unwrap();
    let run = |arguments: &[&str]| {
        let run = bench.run(&[arguments, &["--ledger", ledger]].concat());
        assert_eq!(run.status, 0, "{arguments:?}: {}{}", run.out, run.err);
        run
    };
    let by = [
        "--evidence",
        "study 12",
        "--person",
        "A. Quill",
        "--review-due",
        "2099-12-31",
    ];
    run(&[&["default", "approve", "form", "--value", "2.5um"], &by[..]].concat());
    run(&[&["default", "approve", "form", "--value", "2um"], &by[..]].concat());
    let own = [
        "default",
        "uncertainty",
        "--instrument",
        "mic-04",
        "--with",
        "vc-60-3",
        "--of",
        "pitch-diameter",
        "--value",
        "9um",
        "--sizes",
        "5mm..20mm",
        "--room",
        "18..24",
    ];
    run(&[&own[..], &by[..]].concat());
    // The next part at the bench rests on these; the one after it is left unfinished, with a zero check that was begun anew.
    let mut page = support::Bench::start(&folder, 0, &[]);
    let mut window = page.window();
    window.enter_all(&NEXT);
    window.enter_all(&[
        "8.929", "8.930", "8.427", "r3", "8.927", "8.931", "8.926", "8.928",
    ]);
    window.enter_all(&TO_THE_RECORD);
    window.enter_all(&NEXT);
    window.enter_all(&["/zero"]);
    window.enter_all(&ZERO[..2]);
    assert_eq!(page.stop(rustix::process::Signal::TERM).0, Some(0));

    let demo = root().join("demo");
    for folder in [demo.clone(), demo.join("features")] {
        let mut files: Vec<PathBuf> = fs::read_dir(folder)
            .unwrap()
            .map(|file| file.unwrap().path())
            .filter(|file| file.extension().is_some_and(|end| end == "toml"))
            .filter(|file| !file.ends_with("equipment.toml"))
            .collect();
        files.sort();
        for file in files {
            let file = file.to_str().unwrap();
            run(&["inspect", file, "--record", "--person", "A. Quill"]);
        }
    }
    let trials = bench.demo(
        "4-winding-square.toml",
        &[("sample = \"1\"", "sample = \"2\"")],
    );
    run(&[
        "inspect",
        trials.to_str().unwrap(),
        "--record",
        "--monte-carlo",
    ]);
    let left = "[[readings.left]]\nreading = \"8.9\"\nreason = \"a dent, seen under the glass\"\n\n[temperature]";
    let flagged = [("\"8.928\"", "\"8.9\""), ("[temperature]", left)];
    let left = bench.demo("1-rating-screw.toml", &flagged);
    run(&["inspect", left.to_str().unwrap(), "--record"]);
    // The first record of the bench is withdrawn, the first of the files put right.
    let why = [
        "--reason",
        "another drawing was meant",
        "--person",
        "A. Quill",
    ];
    let listed = run(&["ledger", "list", "--json"]).documents();
    let id = |at: usize| {
        listed
            .iter()
            .rev()
            .filter(|one| one["kind"] == "inspection")
            .nth(at)
            .unwrap()["id"]
            .clone()
    };
    run(&[&["ledger", "amend", id(0).as_str().unwrap()], &why[..]].concat());
    let again = bench.demo("1-rating-screw.toml", &[("\"8.928\"", "\"8.929\"")]);
    let again = ["--job", again.to_str().unwrap()];
    run(&[
        &["ledger", "amend", id(2).as_str().unwrap()],
        &why[..],
        &again[..],
    ]
    .concat());
    run(&["validate", "--record", "--person", "A. Quill"]);

    let version = archive().join(env!("CARGO_PKG_VERSION"));
    fs::create_dir_all(&version).unwrap();
    fs::copy(ledger, version.join("ledger.db")).unwrap();
    let witness = run(&["ledger", "witness"]).out;
    fs::write(version.join("witness.txt"), witness).unwrap();
    fs::write(version.join("reports.txt"), reports(&bench, ledger)).unwrap();
}
