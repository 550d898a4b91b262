//! One lot goes out in every form, says the same in all of them, and comes back unchanged where it can.

use std::collections::BTreeMap;
use std::fs;

use calamine::{Data, Reader as _, Xlsx};
use serde_json::Value;

use super::xml::Node;
use crate::bench::{Bench, demo_file};
use crate::lot::{LOT, with_lot};

/// Size and uncertainty by entry.
type Sizes = BTreeMap<String, (f64, f64)>;

fn told(bench: &Bench) -> Sizes {
    let run = bench.run(&["lot", LOT, "--json"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let lines = run
        .out
        .lines()
        .map(|line| serde_json::from_str::<Value>(line).unwrap());
    lines
        .filter(|line| line["entry"].is_string())
        .map(|cell| (cell["entry"].as_str().unwrap().to_owned(), of(&cell)))
        .collect()
}

fn of(line: &Value) -> (f64, f64) {
    let number = |name: &str| line[name].as_f64().unwrap();
    (number("size"), number("expanded_uncertainty"))
}

fn of_qif(bench: &Bench) -> Sizes {
    let document = Node::parse(&fs::read_to_string(bench.path("lot.qif")).unwrap());
    let measured = document.named("ThreadCharacteristicMeasurement");
    let one = |node: &&Node| {
        let size = node.one("PitchDiameter").text.parse().unwrap();
        let expanded = node.told("expanded_uncertainty").unwrap().parse().unwrap();
        (node.told("entry").unwrap().to_owned(), (size, expanded))
    };
    measured.iter().map(one).collect()
}

fn of_workbook(bench: &Bench) -> Sizes {
    let mut book: Xlsx<_> = calamine::open_workbook(bench.path("lot.xlsx")).unwrap();
    let range = book.worksheet_range("Results").unwrap();
    let number = |cell: &Data| match cell {
        Data::Float(number) => *number,
        other => panic!("{other:?} is no number"),
    };
    let rows = range.rows().skip(1);
    rows.map(|row| (row[11].to_string(), (number(&row[2]), number(&row[3]))))
        .collect()
}

fn of_archive(bench: &Bench) -> Sizes {
    let mut all = Sizes::new();
    for file in fs::read_dir(bench.path("archive")).unwrap() {
        let bytes = zstd::decode_all(fs::File::open(file.unwrap().path()).unwrap()).unwrap();
        let text = String::from_utf8(bytes).unwrap();
        for line in text.lines() {
            let line: Value = serde_json::from_str(line).unwrap();
            if line["kind"] == "inspection" {
                all.insert(line["id"].as_str().unwrap().to_owned(), of(&line));
            }
        }
    }
    all
}

#[test]
fn a_lot_says_the_same_in_every_form_and_comes_back() {
    let bench = with_lot();
    let expected = told(&bench);
    assert_eq!(expected.len(), 32);
    for arguments in [
        &["lot", LOT, "--qif", "lot.qif"][..],
        &["lot", LOT, "--xlsx", "lot.xlsx"],
        &["lot", LOT, "--pdf", "lot.pdf"],
        &["export", "archive"],
    ] {
        let run = bench.run(arguments);
        assert_eq!(run.status, 0, "{arguments:?}: {}", run.err);
    }
    assert_eq!(of_qif(&bench), expected);
    assert_eq!(of_workbook(&bench), expected);
    assert_eq!(of_archive(&bench), expected);
    assert!(
        fs::read(bench.path("lot.pdf"))
            .unwrap()
            .starts_with(b"%PDF-")
    );

    // Into an empty ledger, from the workbook alone.
    let other = Bench::new();
    let plan = other.file("plan.toml", &demo_file("lot/plan.toml"));
    let set_up = other.file("setup.toml", &crate::lot::set_up());
    fs::copy(bench.path("lot.xlsx"), other.path("lot.xlsx")).unwrap();
    let person = ["--person", "A. Quill"];
    let measured = [
        "inspect",
        &plan,
        "--readings",
        "lot.xlsx",
        "--setup",
        &set_up,
        "--record",
    ];
    for arguments in [
        &measured[..],
        &[&["plan", &plan], &person[..]].concat(),
        &[&["lot", LOT, "--begin", "IP-0412-4"], &person[..]].concat(),
    ] {
        let run = other.run(arguments);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let back = told(&other);
    let sizes = |all: &Sizes| -> Vec<(f64, f64)> {
        // In the order of the record.
        let mut all: Vec<_> = all.iter().collect();
        all.sort_by_key(|(entry, _)| entry.split('-').next().unwrap().parse::<u64>().unwrap());
        all.into_iter().map(|(_, sizes)| *sizes).collect()
    };
    assert_eq!(sizes(&back), sizes(&expected));
    // Out again, it is the same but for the names of its entries.
    let run = other.run(&["lot", LOT, "--qif", "lot.qif"]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_eq!(sizes(&of_qif(&other)), sizes(&expected));
    let verified = other.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}
