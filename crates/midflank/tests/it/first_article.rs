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
    // Nobody looked at it: it is one that is not measured.
    assert_eq!(rows[2][at("Verdict")], "not checked");
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

const ISSUE: [&str; 3] = ["--record", "--person", "A. Quill"];

fn issued(bench: &Bench) -> Vec<Value> {
    let listed = bench.run(&["ledger", "list", "--json", "--limit", "1000"]);
    let mut listed = listed.documents();
    listed.retain(|entry| entry["kind"] == "first-article");
    listed
}

/// What is issued is printed again to the byte, whatever came on the record since; a draft says that it is one.
#[test]
fn an_issued_first_article_is_printed_again_to_the_byte() {
    let bench = with_lot();
    let draft = flat(&with(&bench, &[], &[]).out);
    assert!(draft.contains("DRAFT, not issued"), "{draft}");
    let document = with(&bench, &[], &["--json"]).json();
    assert!(document["issued"].is_null());
    assert_eq!(issued(&bench), Vec::<Value>::new());
    let kept = with(
        &bench,
        &[],
        &[&ISSUE[..], &["--pdf", "issued.pdf"]].concat(),
    );
    assert_eq!(kept.status, 0, "{}", kept.err);
    assert_says(&kept.err, "first-article.recorded");
    let entry = issued(&bench)[0]["id"].as_str().unwrap().to_owned();
    // The record has what was supplied, and how every characteristic stood.
    let record = bench.run(&["ledger", "show", &entry, "--json"]).json();
    let content = &record["inputs"]["content"];
    assert_eq!(content["supplied"]["part"]["serial"], "0001");
    assert_eq!(content["supplied"]["certificate"][0]["number"], "M-77812");
    assert_eq!(content["stood"][0]["verdict"], "accept");
    assert_eq!(
        content["stood"][0]["entry"],
        document["characteristics"][0]["entry"]
    );
    let judged = &record["results"]["content"];
    for key in ["verdict", "because", "counts"] {
        assert_eq!(judged[key], document[key], "{key}");
    }
    // Its only result is withdrawn later.
    let earlier = document["characteristics"][0]["entry"].as_str().unwrap();
    let withdrawn = [
        "ledger",
        "amend",
        earlier,
        "--reason",
        "wrong piece",
        "--person",
        "A. Quill",
    ];
    let withdrawn = bench.run(&withdrawn);
    assert_eq!(withdrawn.status, 0, "{}", withdrawn.err);
    with(&bench, &[], &[]).refused(&["first-article.no-piece"]);
    let again = bench.run(&["report", &entry, "--pdf", "again.pdf"]);
    assert_eq!(again.status, 0, "{}", again.err);
    let read = |name: &str| fs::read(bench.path(name)).unwrap();
    assert!(read("issued.pdf") == read("again.pdf"), "the same bytes");
    let text = flat(&bench.run(&["report", &entry]).out);
    assert!(text.contains("8.9102") && !text.contains("DRAFT"), "{text}");
    let html = bench.run(&["report", &entry, "--html", "-"]);
    assert!(html.out.contains("M-77812"), "{}", html.out);
    let listed = bench.run(&["ledger", "list", "--limit", "1000"]).out;
    assert!(listed.contains("FA-2026-004"), "{listed}");
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

#[test]
fn a_reissue_names_the_one_that_it_replaces() {
    let bench = with_lot();
    let first = with(&bench, &[], &ISSUE);
    assert_eq!(first.status, 0, "{}", first.err);
    // The same number again, and a reissue that says no reason.
    with(&bench, &[], &ISSUE).refused(&["first-article-record.known", "FA-2026-004"]);
    let number = ("FA-2026-004", "FA-2026-005");
    let replaces = ("# replaces = \"FA-2026-003\"", "replaces = \"FA-2026-004\"");
    let no_reason = ("reason = \"first production on the new lathe\"", "");
    with(&bench, &[number, replaces, no_reason], &ISSUE)
        .refused(&["first-article-record.no-reason"]);
    assert_eq!(issued(&bench).len(), 1);
    let second = with(&bench, &[number, replaces], &ISSUE);
    assert_eq!(second.status, 0, "{}", second.err);
    assert_says(&second.err, "first-article.recorded-replaces");
    let all = issued(&bench);
    let (old, new) = (
        all.iter().find(|one| !one["amended_by"].is_null()).unwrap(),
        all.iter().find(|one| !one["amends"].is_null()).unwrap(),
    );
    assert_eq!(new["amends"], old["id"]);
    assert_eq!(new["reason"], "first production on the new lathe");
    let old = bench.run(&["report", old["id"].as_str().unwrap()]).out;
    let new_id = new["id"].as_str().unwrap();
    assert!(flat(&old).contains(new_id), "{old}");
    // The one that was replaced is replaced once; one that is not on this record is named all the same.
    let third = ("FA-2026-004", "FA-2026-006");
    with(&bench, &[third, replaces], &ISSUE).refused(&["first-article-record.replaced", new_id]);
    let elsewhere = ("# replaces = \"FA-2026-003\"", "replaces = \"FA-2026-003\"");
    let run = with(&bench, &[third, elsewhere], &ISSUE);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_says(&run.err, "first-article.recorded-not-known");
    // One of another piece is not replaced.
    let other = with(&bench, &[("FA-2026-004", "FA-2026-007"), elsewhere], &[]);
    assert_eq!(other.status, 0, "{}", other.err);
    let of_nine = supplied(
        &bench,
        &[
            ("FA-2026-004", "FA-2026-007"),
            ("# replaces = \"FA-2026-003\"", "replaces = \"FA-2026-006\""),
        ],
    );
    let of_nine = ["first-article", LOT, "--piece", "9", "--supplied", &of_nine];
    bench
        .run(&[&of_nine[..], &ISSUE].concat())
        .refused(&["first-article-record.other-piece"]);
    // Without a number it gets one of lot and piece.
    let nine = ["first-article", LOT, "--piece", "9"];
    let nine = bench.run(&[&nine[..], &ISSUE].concat());
    assert_eq!(nine.status, 0, "{}", nine.err);
    assert!(nine.err.contains("FA-L-2026-11-9"), "{}", nine.err);
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

/// What is left to the baseline was shown by another piece: a result of this one counts, and a piece that is set aside is not
/// accepted, whatever the report covers.
#[test]
fn a_partial_first_article_accepts_no_rejected_piece() {
    let bench = with_lot();
    let begun = bench
        .run(&["first-article", LOT, "--piece", "1", "--json"])
        .json();
    assert_eq!(begun["characteristics"][0]["verdict"], "accept");
    let of = |piece: &str, covers: &str| {
        let file = bench.file(
            "partial.toml",
            &format!(
                "[first-article]\nreason = \"new tool\"\nbaseline = \"FA-1\"\nextent = \"partial\"\ncovers = [\"{covers}\"]\n"
            ),
        );
        bench.run(&[
            "first-article",
            LOT,
            "--piece",
            piece,
            "--supplied",
            &file,
            "--json",
        ])
    };
    let shown = of("9", "2").json();
    assert_eq!(shown["characteristics"][0]["verdict"], "undecided");
    assert!(shown["characteristics"][0]["entry"].is_string());
    assert_eq!(shown["verdict"], "undecided");
    assert_eq!(shown["because"], "undecided");
    assert_eq!(shown["counts"]["not_covered"], 0);
    // One that conforms, and that somebody holds.
    let nine = ["nonconforming", "decide", LOT, "9"];
    let person = ["--person", "A. Quill"];
    let held = bench.run(&[&nine[..], &["held"], &person].concat());
    assert_eq!(held.status, 0, "{}", held.err);
    let withdrawn = shown["characteristics"][0]["entry"].as_str().unwrap();
    let withdrawn = ["ledger", "amend", withdrawn, "--reason", "wrong piece"];
    assert_eq!(bench.run(&[&withdrawn[..], &person].concat()).status, 0);
    let readings = demo_file("lot/readings.csv");
    let good: String = readings
        .lines()
        .filter(|line| {
            line.starts_with("piece,") || line.starts_with(",zero") || line.starts_with("1,1,")
        })
        .map(|line| {
            format!(
                "{}\n",
                line.strip_prefix("1,1,")
                    .map_or_else(|| line.to_owned(), |rest| format!("9,1,{rest}"))
            )
        })
        .collect();
    let plan = demo_file("lot/plan.toml");
    let run = crate::lot::measure(&bench, &plan, &good, &crate::lot::set_up(), &["--record"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let shown = of("9", "1").json();
    assert_eq!(shown["verdict"], "undecided", "{shown}");
    assert_eq!(shown["because"], "undecided");
    assert_eq!(shown["characteristics"][0]["because"], "held");
}

/// What is left to a first article on the record must conform there.
#[test]
fn a_delta_first_article_rests_on_no_rejected_one() {
    let bench = Bench::new();
    let plan = demo_file("lot/plan.toml");
    let (head, first) = plan.split_once("[[characteristic]]").unwrap();
    let first = first.split("[[characteristic]]").next().unwrap();
    let second = first.replacen("number = \"1\"", "number = \"2\"", 1);
    let plan = format!("{head}[[characteristic]]{first}[[characteristic]]{second}");
    let path = bench.file("ip.toml", &plan);
    let person = ["--person", "A. Quill"];
    let run = |arguments: &[&str]| bench.run(&[arguments, &person].concat());
    assert_eq!(run(&["plan", &path]).status, 0);
    assert_eq!(run(&["lot", LOT, "--begin", "IP-0412-4"]).status, 0);
    let zero = ",zero,,10.001,mm\n".repeat(3);
    let mut rows = format!("piece,characteristic,place,reading,unit\n{zero}");
    for (piece, two) in [("1", "8.700"), ("2", "8.930")] {
        for (number, reading) in [("1", "8.930"), ("2", two)] {
            for place in ["near the head", "middle", "near the end"] {
                rows += &format!("{piece},{number},{place},{reading},mm\n");
            }
        }
    }
    let measured = crate::lot::measure(
        &bench,
        &plan,
        &(rows + &zero),
        &crate::lot::set_up(),
        &["--record"],
    );
    assert_eq!(measured.status, 0, "{}", measured.err);
    let file = bench.file("full.toml", "[first-article]\nreport = \"FA-1\"\n");
    let first = run(&[
        "first-article",
        LOT,
        "--piece",
        "1",
        "--supplied",
        &file,
        "--record",
    ]);
    assert_eq!(first.status, 0, "{}", first.err);
    let delta = |report: &str, baseline: &str, covers: &str, more: &[&str]| {
        let text = format!(
            "[first-article]\nreport = \"{report}\"\nreason = \"new tool\"\nbaseline = \"{baseline}\"\nextent = \"delta\"\ncovers = [\"{covers}\"]\n"
        );
        let file = bench.file("delta.toml", &text);
        let of = ["first-article", LOT, "--piece", "2", "--supplied", &file];
        bench.run(&[&of[..], more].concat())
    };
    // The piece has its own result of what it does not cover, and stands by it.
    let own = delta("FA-2", "FA-1", "1", &["--json"]).json();
    assert_eq!(own["verdict"], "accept");
    let withdraw = own["characteristics"][1]["entry"].as_str().unwrap();
    let withdrawn = run(&["ledger", "amend", withdraw, "--reason", "wrong piece"]);
    assert_eq!(withdrawn.status, 0, "{}", withdrawn.err);
    delta("FA-2", "FA-1", "1", &["--json"]).refused(&["first-article-record.baseline"]);
    let named = [&["--record"][..], &person].concat();
    delta("FA-2", "FA-1", "1", &named).refused(&["first-article-record.baseline"]);
    // One that is not on the record is as it is stated, also behind another one.
    let other = delta("FA-2", "FA-0", "1", &named);
    assert_eq!(other.status, 0, "{}", other.err);
    let behind = delta("FA-3", "FA-2", "1", &["--json"]);
    assert_eq!(behind.status, 0, "{}", behind.err);
}

/// A lot is shown by the facts beside the records, which are not hashed; what is signed rests on the records.
#[test]
fn a_first_article_is_issued_on_the_records_and_not_on_the_facts() {
    let bench = with_lot();
    let ledger = bench.path("data/midflank/ledger.db");
    let nine = ["first-article", LOT, "--piece", "9"];
    let shown = bench.run(&[&nine[..], &["--json"]].concat()).json();
    let entry = shown["characteristics"][0]["entry"].as_str().unwrap();
    let (sequence, _) = entry.split_once('-').unwrap();
    crate::forged::tamper(
        &ledger,
        &format!(
            "UPDATE fact SET verdict = 'accept', size_verdict = 'accept' WHERE sequence = {sequence}"
        ),
    );
    bench
        .run(&[&nine[..], &ISSUE].concat())
        .refused(&["first-article-record.not-as-recorded", entry]);
    assert_eq!(issued(&bench), Vec::<Value>::new());
    let made = bench.run(&["ledger", "facts", "--rebuild"]);
    assert_eq!(made.status, 0, "{}", made.err);
    assert_eq!(bench.run(&[&nine[..], &ISSUE].concat()).status, 0);
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
    // One that was issued on such facts is found by the record that it names.
    let ledger = ledger::Ledger::open(&ledger).unwrap();
    let filter = ledger::Filter {
        kind: Some("first-article".to_owned()),
        ..ledger::Filter::default()
    };
    let page = ledger::Page::first(ledger::Order::OldestFirst, 1);
    let mut draft = ledger
        .list(&filter, &page)
        .unwrap()
        .entries
        .remove(0)
        .content;
    for (from, to) in [
        ("\"verdict\":\"undecided\"", "\"verdict\":\"accept\""),
        ("FA-L-2026-11-9", "FA-2"),
    ] {
        assert!(draft.inputs.contains(from), "{}", draft.inputs);
        draft.inputs = draft.inputs.replace(from, to);
    }
    draft.subjects = draft
        .subjects
        .into_iter()
        .map(|one| ledger::Subject::new(one.role, one.identity.replace("FA-L-2026-11-9", "FA-2")))
        .collect();
    draft.results = draft.results.replace("\"undecided\":1", "\"undecided\":0");
    draft.results = draft.results.replace("\"accept\":0", "\"accept\":1");
    draft.results = draft
        .results
        .replace("\"because\":\"undecided\"", "\"because\":\"not-measured\"");
    ledger.append(&draft).unwrap();
    drop(ledger);
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 1, "{}", verified.out);
    assert!(
        verified.out.contains("stood[0].verdict"),
        "{}",
        verified.out
    );
    assert!(!verified.out.contains("counts"), "{}", verified.out);
}

/// A verdict that does not follow from the characteristics, or characteristics that do not follow from their records.
#[test]
fn a_forged_first_article_is_found() {
    use ledger::{Draft, Filter, Ledger, Order, Page};
    for (inputs, from, to, is_verified) in [
        (false, "\"undecided\"", "\"accept\"", true),
        (true, "\"not-measured\"", "\"accept\"", true),
        // It hangs together, and is not what the record says.
        (
            true,
            "\"verdict\":\"accept\"",
            "\"verdict\":\"reject\"",
            false,
        ),
    ] {
        let bench = with_lot();
        assert_eq!(with(&bench, &[], &ISSUE).status, 0);
        let ledger = Ledger::open(bench.path("data/midflank/ledger.db")).unwrap();
        let filter = Filter {
            kind: Some("first-article".to_owned()),
            ..Filter::default()
        };
        let page = Page::first(Order::OldestFirst, 1);
        let mut entries = ledger.list(&filter, &page).unwrap().entries;
        let mut draft: Draft = entries.remove(0).content;
        let document = if inputs {
            &mut draft.inputs
        } else {
            &mut draft.results
        };
        assert!(document.contains(from), "{document}");
        *document = document.replacen(from, to, 1);
        let forged = ledger.append(&draft).unwrap().id().to_string();
        drop(ledger);
        let verified = bench.run(&["ledger", "verify"]);
        assert_ne!(verified.status, 0, "{from}: {}", verified.out);
        if !is_verified {
            let report = bench.run(&["report", &forged]);
            assert_eq!(report.status, 1, "{}{}", report.out, report.err);
            assert_says(&report.err, "first-article.not-as-recorded");
        }
    }
}
