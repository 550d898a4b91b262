//! `midflank wires` as scripts use it.

use crate::bench::{Bench, root};
use crate::said::assert_says;

/// The exact contact to 1e-9, from equations solved to 40 digits (the fixture of the calculation crate).
#[test]
fn a_batch_of_exact_contacts() {
    let fixture = root().join("crates/metrology/src/validation/cases/wire_exact_contact.csv");
    let mut reader = csv::Reader::from_path(fixture).unwrap();
    let headers = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let field = |row: &csv::StringRecord, name: &str| {
        row[headers.iter().position(|header| header == name).unwrap()].to_owned()
    };
    let mut batch = "angle_deg,pitch,lead,pitch_diameter,wire_diameter,unit\n".to_owned();
    for row in &rows {
        let fields = [
            "form_angle_deg",
            "pitch",
            "lead",
            "pitch_diameter",
            "wire_diameter",
        ]
        .map(|name| field(row, name));
        batch += &format!("{},mm\n", fields.join(","));
    }
    let bench = Bench::new();
    let file = bench.write("batch.csv", batch);
    let run = bench.run(&["wires", "--batch", file.to_str().unwrap(), "--json"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let documents = run.documents();
    assert_eq!(documents.len(), rows.len());
    for (document, row) in documents.iter().zip(&rows) {
        let exact: f64 = field(row, "M_exact").parse().unwrap();
        let simple: f64 = field(row, "M_simple").parse().unwrap();
        assert!((document["over_wires"].as_f64().unwrap() / exact - 1.0).abs() < 1e-9);
        assert!((document["over_wires_simple"].as_f64().unwrap() / simple - 1.0).abs() < 1e-9);
    }
}

#[test]
fn both_ways_from_a_designation() {
    let bench = Bench::new();
    let there = bench
        .run(&[
            "wires",
            "1/4-20 UNC-2A",
            "--pitch-diameter",
            "0.2150in",
            "--wire",
            "0.0289in",
            "--json",
        ])
        .json();
    let over = format!("{}in", there["over_wires"]);
    let back = bench
        .run(&[
            "wires",
            "1/4-20 UNC-2A",
            "--over-wires",
            &over,
            "--wire",
            "0.0289in",
            "--json",
        ])
        .json();
    assert!((back["pitch_diameter"].as_f64().unwrap() - 0.2150).abs() < 1e-12);
    // With both the pitch diameter is solved for all the same.
    let geometry = ["wires", "--angle", "60", "--pitch", "0.05in", "--json"];
    let both = ["--pitch-diameter", "0.2in", "--over-wires", &over];
    let wire = ["--wire", "0.0289in"];
    let run = bench.run(&[&geometry[..], &both, &wire].concat());
    let solved = run.json();
    assert!((solved["pitch_diameter"].as_f64().unwrap() - 0.2150).abs() < 1e-12);
    assert_says(&run.out, "wires.solved-for");
    assert_eq!(there["elastic_correction"], serde_json::Value::Null);
    assert!(
        there["over_wires_limits"]["max"].as_f64() > there["over_wires_limits"]["min"].as_f64()
    );
    // W = P/(2 cos 30°) = 0.577 350/20 in.
    assert!((there["best_wire"].as_f64().unwrap() - 0.028_867_5).abs() < 1e-7);
}

#[test]
fn the_best_of_the_wires_one_owns() {
    let bench = Bench::new();
    let chosen = bench
        .run(&[
            "wires",
            "M10x1.5-6g",
            "--owned",
            "2mm,0.8mm,0.87mm",
            "--json",
        ])
        .json();
    assert_eq!(chosen["wire"], 0.87);
    assert_eq!(chosen["owned"][2]["usable"], false);
    let none = bench.run(&["wires", "M10x1.5-6g", "--owned", "2mm"]);
    assert_eq!(none.status, 2);
    assert_says(&none.err, "wires-error.no-usable-wire");
}

/// Grooves opposite each other lie half a pitch apart: √(8.523² + 0.75²) is 33 µm more than M, which is square to the axis.
#[test]
fn balls_are_told_square_to_the_axis_and_straight_across() {
    let bench = Bench::new();
    let asked = ["wires", "M10x1.5-6H", "--over-wires", "8.523mm"];
    let answer = bench.run(&[&asked[..], &["--json"]].concat()).json();
    let number = |key: &str| answer[key].as_f64().unwrap();
    assert!((number("over_wires") - 8.523).abs() < 1e-12);
    let straight = 8.523_f64.hypot(0.75);
    assert!((number("over_wires_straight") - straight).abs() < 1e-12);
    assert!((straight - 8.523 - 0.033).abs() < 5e-4);
    let card = bench.run(&asked).out;
    assert_says(&card, "balls-line.reading");
    assert_says(&card, "wires.opposite-grooves");
    assert!(
        card.contains("8.55594 mm") && !card.contains("leans"),
        "{card}"
    );
    // Of two starts grooves face each other, and wires lie square of themselves.
    let facing = bench.run(&["wires", "M10xPh3P1.5-6H", "--json"]).json();
    assert!(facing["over_wires_straight"].is_null());
    let outside = bench.run(&["wires", "M10x1.5-6g"]).out;
    assert_says(&outside, "wires-line.leans");
}

/// An inch thread is told in inches, what is refused included.
#[test]
fn no_millimetres_in_an_inch_answer() {
    let bench = Bench::new();
    for options in [
        &["1/4-20 UNC-2A", "--over-wires", "0.01in"][..],
        &["1/4-20 UNC-2A", "--wire", "0in"],
        &["1/4-20 UNC-2A", "--wire", "0.1in"],
        &["1/4-20 UNC-2B", "--wire", "0.3in"],
        &["1/4-20 UNC-2A", "--owned", "0.05in"],
        &["1/4-20 UNC-2A", "--force", "5", "--over-wires", "0.26in"],
        &[
            "--angle",
            "60",
            "--pitch",
            "0.05in",
            "--pitch-diameter",
            "0in",
        ],
    ] {
        let run = bench.run(&[&["wires"], options].concat());
        let said = format!("{}{}", run.out, run.err);
        assert!(!said.contains("mm"), "{options:?}: {said}");
    }
}

#[test]
fn geometry_that_cannot_be() {
    let bench = Bench::new();
    let tiny = bench.run(&["wires", "M10x1.5-6g", "--wire", "0mm"]);
    assert_eq!(tiny.status, 2);
    assert_says(&tiny.err, "measure.wire-diameter");
    let no_size = bench.run(&["wires", "--angle", "60", "--pitch", "1.5mm"]);
    assert_says(&no_size.err, "wires-error.missing-pitch-diameter");
    let wrong_line = bench.write("b.csv", "angle_deg,pitch,lead,pitch_diameter,wire_diameter,unit\n60,1.5,,9.026,0.866,mm\n60,x,,9,1,mm\n60,1.5,,9,1,furlong\n");
    let run = bench.run(&["wires", "--batch", wrong_line.to_str().unwrap(), "--json"]);
    assert_eq!(run.status, 2);
    let documents = run.documents();
    assert_eq!(documents.len(), 3);
    for (document, kind) in documents[1..].iter().zip(["number", "unit"]) {
        assert_eq!(document["error"]["kind"], kind);
        let message = document["error"]["message"].as_str().unwrap();
        assert_says(message, &format!("wires-error.{kind}"));
    }
}
