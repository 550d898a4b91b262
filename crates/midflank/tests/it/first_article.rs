//! First-article reports: every characteristic of the plan accounted for, one document behind every form, and what keeps a wrong
//! one from being written.

use std::fs;

use serde_json::{Value, json};

use crate::bench::{Bench, demo_file};
use crate::lot::{LOT, with_lot};
use crate::said::assert_says;

const PIECE: [&str; 4] = ["first-article", LOT, "--piece", "1"];

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The demo's file of what is supplied, with some text replaced.
fn supplied(bench: &Bench, changes: &[(&str, &str)]) -> String {
    let mut text = demo_file("lot/first-article.toml");
    for (from, to) in changes {
        assert!(text.contains(from), "no {from}");
        text = text.replacen(from, to, 1);
    }
    bench.file("supplied.toml", &text)
}

fn with(bench: &Bench, changes: &[(&str, &str)], more: &[&str]) -> crate::bench::Run {
    let file = supplied(bench, changes);
    bench.run(&[&PIECE[..], &["--supplied", &file], more].concat())
}

#[test]
fn every_form_has_the_numbers_of_the_record() {
    let bench = with_lot();
    let document = with(&bench, &[], &["--json"]).json();
    let lines = document["characteristics"].as_array().unwrap();
    assert_eq!(lines.len(), 2);
    // The numbers are those of the record itself.
    let entry = lines[0]["entry"].as_str().unwrap();
    let record = bench.run(&["ledger", "show", entry, "--json"]).json();
    let result = &record["results"]["content"];
    for (key, path) in [
        ("size", "/size/value"),
        ("expanded_uncertainty", "/size/expanded_uncertainty"),
        ("coverage_factor", "/size/coverage_factor"),
        ("min", "/limits/min"),
        ("max", "/limits/max"),
        ("verdict", "/decision/decision"),
    ] {
        assert!(!lines[0][key].is_null());
        assert_eq!(Some(&lines[0][key]), result.pointer(path), "{key}");
    }
    assert_eq!(lines[1]["verdict"], "not-measured");
    assert_eq!(
        lines[1]["not_measured"],
        "deburred after the second operation"
    );
    // One that nobody measured keeps the piece from being accepted.
    assert_eq!(document["verdict"], "undecided");
    assert_eq!(document["because"], "not-measured");
    assert_eq!(document["part"]["serial"], "0001");
    assert_eq!(document["part"]["revision"], "D");

    let text = with(&bench, &[], &[]).out;
    let file = supplied(&bench, &[]);
    let html = bench.run(&[&PIECE[..], &["--supplied", &file, "--html", "-"]].concat());
    assert_eq!(html.status, 0, "{}", html.err);
    let print = || {
        let all = [
            &PIECE[..],
            &["--supplied", &file, "--pdf", "f.pdf", "--replace"],
        ]
        .concat();
        let run = bench.run(&all);
        assert_eq!(run.status, 0, "{}", run.err);
        fs::read(bench.path("f.pdf")).unwrap()
    };
    assert_eq!(print(), print(), "the same record gives the same bytes");
    let pdf = bench.told_by("pdftotext", &["-layout", "f.pdf", "-"]);
    for said in [
        "FA-2026-004",
        "TC-0412-01",
        "0001",
        "first production on the new lathe",
        "8.9102",
        "0.0088",
        "M-77812",
        "P-1020",
        "UNDECIDED",
        "sheet 1, note 3",
        "K-2231",
        "mic-04",
        "A. Quill",
    ] {
        // A cell may break a text over lines; each word of it is there.
        let forms = [Some(text.as_str()), Some(&html.out), pdf.as_deref()];
        for form in forms.into_iter().flatten() {
            for word in said.split(' ') {
                assert!(form.contains(word), "{word}: {form}");
            }
        }
    }
    if let Some(checked) = bench.told_by("qpdf", &["--check", "f.pdf"]) {
        assert!(
            checked.contains("No syntax or stream encoding errors"),
            "{checked}"
        );
    }
    if bench.told_by("pdfdetach", &["-saveall", "f.pdf"]).is_some() {
        let read = |name: &str| -> Value {
            serde_json::from_slice(&fs::read(bench.path(name)).unwrap()).unwrap()
        };
        assert_eq!(read("first-article.json"), document);
        assert_eq!(read(&format!("record-{entry}.json")), record);
    }
}

#[cfg(feature = "sheets")]
#[test]
fn a_workbook_has_the_same_numbers() {
    use calamine::{Data, Reader as _, Xlsx};
    let bench = with_lot();
    let document = with(&bench, &[], &["--json"]).json();
    let run = with(&bench, &[], &["--xlsx", "f.xlsx"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let mut book: Xlsx<_> = calamine::open_workbook(bench.path("f.xlsx")).unwrap();
    assert_eq!(book.sheet_names().len(), 4);
    let range = book.worksheet_range("Characteristics").unwrap();
    let rows: Vec<&[Data]> = range.rows().collect();
    assert_eq!(rows.len(), 3);
    let at = |name: &str| rows[0].iter().position(|cell| *cell == name).unwrap();
    let line = &document["characteristics"][0];
    for (column, key) in [
        ("Lower limit", "min"),
        ("Upper limit", "max"),
        ("Size", "size"),
        ("U", "expanded_uncertainty"),
        ("k", "coverage_factor"),
    ] {
        assert_eq!(
            rows[1][at(column)],
            Data::Float(line[key].as_f64().unwrap()),
            "{column}"
        );
    }
    assert_eq!(rows[2][at("Verdict")], "not measured");
}

#[test]
fn a_piece_without_all_results_is_never_accepted_and_a_partial_one_says_what_it_covers() {
    let bench = with_lot();
    let partial = [(
        "extent = \"full\" ",
        "baseline = \"FA-2025-017\"\ncovers = [\"1\"]\nextent = \"partial\" ",
    )];
    let document = with(&bench, &partial, &["--json"]).json();
    assert_eq!(document["verdict"], "accept");
    assert_eq!(document["characteristics"][1]["verdict"], "not-covered");
    assert_eq!(document["counts"]["not_covered"], 1);
    let text = flat(&with(&bench, &partial, &[]).out);
    assert!(text.contains("not those of the baseline"), "{text}");
    assert!(text.contains("see baseline"), "{text}");
    // An undecided characteristic leaves it undecided.
    let nine = bench
        .run(&["first-article", LOT, "--piece", "9", "--json"])
        .json();
    assert_eq!(nine["verdict"], "undecided");
    assert_eq!(nine["because"], "undecided");
    assert_eq!(nine["counts"]["accept"], 0);
    // Nothing is made up: what nobody stated is said to be not stated.
    let bare = flat(&bench.run(&PIECE).out);
    assert!(bare.contains("Serial number: not stated"), "{bare}");
    assert!(bare.contains("no reason given"), "{bare}");
    assert_eq!(
        bench.run(&[&PIECE[..], &["--json"]].concat()).json()["certificates"],
        json!([])
    );
}

#[test]
fn what_is_wrong_is_told_and_nothing_is_written() {
    let bench = with_lot();
    let to = ["--pdf", "none.pdf"];
    for (changes, key) in [
        (
            &[("extent = \"full\" ", "extent = \"partial\" ")][..],
            "first-article.needs-baseline",
        ),
        (
            &[
                ("extent = \"full\" ", "extent = \"delta\" "),
                ("reason = \"first production on the new lathe\"", ""),
            ],
            "first-article.needs-reason",
        ),
        (
            &[(
                "extent = \"full\" ",
                "baseline = \"FA-1\"\nextent = \"delta\" ",
            )],
            "first-article.needs-covers",
        ),
        (
            &[(
                "extent = \"full\" ",
                "baseline = \"FA-1\"\nextent = \"full\" ",
            )],
            "first-article.no-baseline",
        ),
        (
            &[("extent = \"full\" ", "covers = [\"1\"]\nextent = \"full\" ")],
            "first-article.covers-all",
        ),
        (
            &[("number = \"2\"", "number = \"7\"")],
            "first-article.no-number",
        ),
        (
            &[("number = \"2\"", "number = \"1\"")],
            "first-article.twice",
        ),
        (&[("\"M-77812\"", "\" \"")], "first-article.empty"),
        (&[("\"M-77812\"", "\"M\\u00077\"")], "text-given.control"),
    ] {
        let run = with(&bench, changes, &to);
        assert_eq!(run.status, 2, "{changes:?}: {}", run.err);
        assert_says(&run.err, key);
    }
    let run = with(&bench, &[("serial =", "serials =")], &to);
    assert_eq!(run.status, 2);
    assert!(run.err.contains("serials"), "{}", run.err);
    for (arguments, key) in [
        (&["first-article", LOT][..], "first-article.which-piece"),
        (
            &["first-article", LOT, "--piece", "99"],
            "first-article.no-piece",
        ),
        (&["first-article", "L-1"], "lots.no-lot"),
    ] {
        let run = bench.run(&[arguments, &to[..]].concat());
        assert_eq!(run.status, 2, "{}", run.err);
        assert_says(&run.err, key);
    }
    assert!(!bench.path("none.pdf").exists());
}
