//! Digital calibration certificates: what is written is valid by the published schema where it is at hand, and reads back as it was;
//! what is read is shown before it is kept; and what is wrong gets one error and leaves nothing behind.

use std::fs;

use serde_json::Value;

use super::valid;
use super::xml::Node;
use crate::bench::{Bench, Run, demo_file};
use crate::said::assert_says;

const SCHEMA: &str = "dcc/v3.3.0/dcc.xsd";

/// A bench of a laboratory with a recorded calibration of the demo_file, and its result.
fn calibrated(name: &str) -> (Bench, Value) {
    let bench = Bench::new().with_equipment();
    let laboratory =
        "[laboratory]\nname = \"Measuring room\"\naddress = [\"3 Bell Lane\"]\ncountry = \"CH\"\n";
    fs::create_dir_all(bench.path("config/midflank")).unwrap();
    bench.write("config/midflank/laboratory.toml", laboratory);
    let file = bench.file("c.toml", &demo_file(&format!("gauge-room/{name}.toml")));
    let run = bench.run(&["calibrate", &file, "--record", "--json"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let told = run.json();
    (bench, told)
}

/// The DCC of a calibration, checked.
fn written(bench: &Bench, told: &Value) -> String {
    let entry = told["recorded"]["calibration"].as_str().unwrap();
    let run = bench.run(&["report", entry, "--dcc", "c.xml"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let text = fs::read_to_string(bench.path("c.xml")).unwrap();
    valid(SCHEMA, &bench.path("c.xml"));
    let document = Node::parse(&text);
    let ids: Vec<&str> = document
        .all()
        .iter()
        .filter_map(|node| node.attribute("id"))
        .collect();
    for node in document.all() {
        if let Some(id) = node.attribute("refId") {
            assert!(ids.contains(&id), "{id}");
        }
        // Units are those of D-SI, which the schema does not check.
        if node.name == "unit" || node.name == "unitXMLList" {
            let known = [
                r"\milli\metre",
                r"\micro\metre",
                r"\degreecelsius",
                r"\kelvin",
            ];
            assert!(known.contains(&node.text.as_str()), "{}", node.text);
        }
    }
    for list in document.named("list") {
        let lengths: Vec<usize> = list
            .all()
            .iter()
            .filter(|node| {
                [
                    "valueXMLList",
                    "valueExpandedMUXMLList",
                    "coverageFactorXMLList",
                ]
                .contains(&node.name.as_str())
            })
            .map(|node| node.text.split_whitespace().count())
            .collect();
        assert!(
            lengths.windows(2).all(|pair| pair[0] == pair[1]),
            "{lengths:?}"
        );
    }
    text
}

/// The DCC of the calibration of the demonstration's micrometer.
pub fn of_micrometer() -> String {
    let (bench, told) = calibrated("calibration");
    written(&bench, &told)
}

fn record_of_micrometer(bench: &Bench, file: &str) -> Run {
    let read = ["certificate", "read", file, "instrument", "mic-04"];
    bench.run(&[&read[..], &["--record", "--person", "A. Quill"]].concat())
}

fn read(bench: &Bench, text: &str) -> Run {
    let file = bench.file("read.xml", text);
    bench.run(&["certificate", "read", &file, "--json"])
}

#[test]
fn a_micrometer_goes_out_and_reads_back_with_the_same_values() {
    let (bench, told) = calibrated("calibration");
    let text = written(&bench, &told);
    let run = read(&bench, &text);
    assert_eq!(run.status, 0, "{}", run.err);
    let read = run.json();
    assert_eq!(read["heading"]["number"], told["certificate"]["number"]);
    assert_eq!(read["heading"]["date"], told["certificate"]["date"]);
    assert_eq!(read["heading"]["chain"], told["certificate"]["chain"]);
    assert_eq!(read["marked"], serde_json::json!(["mic-04"]));
    let points = told["found"]["points"].as_array().unwrap();
    let values = read["values"].as_array().unwrap();
    let curve: Vec<&Value> = values
        .iter()
        .filter(|value| !value["at"].is_null())
        .collect();
    assert_eq!(curve.len(), points.len());
    for (value, point) in curve.iter().zip(points) {
        // The places are exact in either unit.
        assert_eq!(
            value["at"].as_f64().unwrap(),
            (point["at_mm"].as_f64().unwrap() * 1e6).round() / 1e3
        );
        assert_eq!(value["unit"], "um");
        for (of_value, of_point) in [
            ("value", "error_um"),
            ("expanded_uncertainty", "expanded_uncertainty_um"),
            ("coverage_factor", "coverage_factor"),
        ] {
            assert_eq!(value[of_value], point[of_point], "{of_value}");
        }
    }
    let flatness = &told["flatness"][0];
    let face = &values[points.len()];
    assert_eq!(face["value"], flatness["value_um"]);
    assert_eq!(
        face["expanded_uncertainty"],
        flatness["standard_uncertainty_um"]
    );
    assert_eq!(face["coverage_factor"], 1.0);
    assert_eq!(read["left"], serde_json::json!([]));
}

/// What it states of the conformity of its item is shown, and sets the item apart where it is recorded.
#[test]
fn an_item_that_its_certificate_fails_is_set_apart() {
    let (bench, told) = calibrated("calibration");
    let text = written(&bench, &told);
    let stated = "<dcc:conformity>pass<";
    assert!(text.contains(stated));
    let with = |word: &str| text.replacen(stated, &format!("<dcc:conformity>{word}<"), 1);
    let passed = read(&bench, &text);
    assert_eq!(passed.json()["conformity"][0]["stated"], "pass");
    assert_eq!(passed.err, "");
    let failed = read(&bench, &with("fail"));
    assert_eq!(failed.json()["conformity"][0]["stated"], "fail");
    assert_says(&failed.err, "dcc.not-conforming");
    read(&bench, &with("perhaps")).refused(&["dcc.no-conformity", "perhaps", "conditionalPass"]);
    let record = |text: &str, number: &str, day: &str| {
        let text = text.replace("IN-2026-04<", &format!("{number}<"));
        let text = text.replace(
            "PerformanceDate>2026-03-02<",
            &format!("PerformanceDate>{day}<"),
        );
        let file = bench.file("recorded.xml", &text);
        let run = record_of_micrometer(&bench, &file);
        assert_eq!(run.status, 0, "{}", run.err);
        run
    };
    let status = || {
        let shown = bench.run(&["status", "show", "instrument", "mic-04", "--json"]);
        shown.documents().pop().unwrap()["status"].clone()
    };
    // Of an earlier day than the calibration in house it is history.
    let run = record(&with("fail"), "X-1", "2026-02-20");
    assert_says(&run.err, "certificate.not-conforming");
    assert_eq!(status(), "in-use");
    record(&text, "X-2", "2026-03-20");
    assert_eq!(status(), "in-use");
    let run = record(&with("noPass"), "X-3", "2026-03-21");
    assert_says(&run.err, "certificate.set-apart");
    assert_eq!(status(), "quarantined");
    let shown = bench
        .run(&["certificate", "show", "instrument", "mic-04"])
        .out;
    assert_says(&shown, "conformity.no-pass");
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

#[test]
fn a_pair_goes_out_and_reads_back() {
    let (bench, told) = calibrated("pair");
    let run = read(&bench, &written(&bench, &told));
    assert_eq!(run.status, 0, "{}", run.err);
    let values = run.json()["values"].clone();
    assert_eq!(values[0]["value"], told["pair"]["errors_um"][0]);
    assert_eq!(values[1]["value"], told["pair"]["errors_um"][1]);
    assert_eq!(values[2]["value"], told["pair"]["difference_um"]);
}

#[test]
fn nothing_is_kept_unless_asked_and_then_as_it_was_shown() {
    let (bench, told) = calibrated("calibration");
    written(&bench, &told);
    let count = || bench.run(&["ledger", "list", "--json"]).out.lines().count();
    let before = count();
    let run = bench.run(&["certificate", "read", "c.xml"]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_says(&run.out, "dcc.not-recorded");
    let shown = bench
        .run(&["certificate", "read", "c.xml", "--json"])
        .json();
    assert_eq!(count(), before);
    let run = bench.run(&[
        "certificate",
        "read",
        "c.xml",
        "instrument",
        "mic-04",
        "--record",
    ]);
    assert_eq!(run.status, 2, "without a person");
    let record = [
        "certificate",
        "read",
        "c.xml",
        "instrument",
        "mic-04",
        "--record",
        "--person",
        "A. Quill",
    ];
    let run = bench.run(&[&record[..], &["--due", "2099-03-02", "--json"]].concat());
    assert_eq!(run.status, 0, "{}", run.err);
    let kept = run.json();
    assert_eq!(kept["values"], shown["values"]);
    assert_eq!(kept["heading"], shown["heading"]);
    assert_eq!(kept["due"], "2099-03-02");
    assert_eq!(count(), before + 1);
    // The same certificate again.
    let run = bench.run(&record);
    assert_eq!(run.status, 2);
    assert_says(&run.err, "certificate.known");
    // Another piece than the one it is of.
    let run = bench.run(&["certificate", "read", "c.xml", "instrument", "mic-05"]);
    assert_says(&run.err, "dcc.other-mark");
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}

#[test]
fn a_certificate_needs_its_country_and_a_calibration() {
    let (bench, told) = calibrated("calibration");
    let entry = told["recorded"]["calibration"].as_str().unwrap();
    for (laboratory, said) in [
        (
            "[laboratory]\nname = \"Measuring room\"\n",
            "exchange.no-country",
        ),
        (
            "[laboratory]\ncountry = \"Switzerland\"\n",
            "paper.no-country",
        ),
    ] {
        bench.write("config/midflank/laboratory.toml", laboratory);
        let run = bench.run(&["report", entry, "--dcc", "c.xml"]);
        assert_eq!(run.status, 2, "{}", run.out);
        assert_says(&run.err, said);
    }
    let job = bench.demo("1-rating-screw.toml", &[]);
    assert_eq!(
        bench
            .run(&["inspect", job.to_str().unwrap(), "--record", "--json"])
            .status,
        0
    );
    let last = bench
        .run(&["ledger", "list", "--json", "--limit", "1"])
        .json();
    let run = bench.run(&["report", last["id"].as_str().unwrap(), "--dcc", "c.xml"]);
    assert_eq!(run.status, 2);
    assert_says(&run.err, "exchange.no-calibration");
    assert!(!bench.path("c.xml").exists());
}

#[test]
fn what_is_wrong_in_a_certificate_is_told_once_and_nothing_is_left() {
    let (bench, told) = calibrated("calibration");
    let text = written(&bench, &told);
    let count = || bench.run(&["ledger", "list", "--json"]).out.lines().count();
    let before = count();
    let replaced = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    };
    let (declaration, body) = text.split_once("?>").unwrap();
    let bomb = "<!DOCTYPE b [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\"><!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;\">]>";
    let outside = "<!DOCTYPE b [<!ENTITY a SYSTEM \"file:///etc/passwd\">]>";
    let with = |head: &str| format!("{declaration}?>{head}{body}");
    let number = "<dcc:uniqueIdentifier>IN-2026-04<";
    let deep = format!("{}{}", "<a>".repeat(200_000), "</a>".repeat(200_000));
    for (said, text) in [
        (
            "dcc.broken-reference",
            replaced("refId=\"item\"", "refId=\"elsewhere\""),
        ),
        ("dcc.two-ids", replaced("refId=\"item\"", "id=\"item\"")),
        (
            "dcc.foreign-namespace",
            replaced("https://ptb.de/dcc", "https://example.org/dcc"),
        ),
        (
            "dcc.no-certificate",
            text.replace("digitalCalibrationCertificate", "invoice"),
        ),
        (
            "dcc.version",
            replaced("schemaVersion=\"3.3.0\"", "schemaVersion=\"2.4.0\""),
        ),
        (
            "dcc.missing",
            replaced("<si:unitXMLList>\\micro\\metre</si:unitXMLList>", ""),
        ),
        (
            "dcc.missing",
            replaced(
                "<si:unitXMLList>\\micro\\metre</si:unitXMLList>",
                "<si:unitXMLList/>",
            ),
        ),
        (
            "dcc.missing",
            replaced(
                "<dcc:uniqueIdentifier>IN-2026-04</dcc:uniqueIdentifier>",
                "",
            ),
        ),
        ("dcc.document-type", with(bomb)),
        ("dcc.document-type", with(outside)),
        ("dcc.entity", replaced(number, "<dcc:uniqueIdentifier>&a;<")),
        ("dcc.comma", replaced(" 2.5 ", " 2,5 ")),
        ("dcc.no-number", replaced(" 2.5 ", " two ")),
        ("dcc.no-number", replaced(" 2.5 ", " NaN ")),
        ("dcc.lengths", replaced(" 2.5 ", " 2.5 2.6 ")),
        (
            "dcc.no-date",
            replaced(
                "<dcc:endPerformanceDate>2026-03-02",
                "<dcc:endPerformanceDate>02.03.2026",
            ),
        ),
        ("dcc.no-xml", replaced("</dcc:coreData>", "</dcc:core>")),
        (
            "dcc.not-closed",
            text[..text.len() / 2]
                .rsplit_once('<')
                .unwrap()
                .0
                .to_owned(),
        ),
        ("dcc.two-roots", format!("{text}<a/>")),
        ("dcc.too-deep", deep),
        ("dcc.empty", String::new()),
    ] {
        let file = bench.file("bad.xml", &text);
        let run = record_of_micrometer(&bench, &file);
        assert_eq!(run.status, 2, "{said}: {}", run.out);
        assert_says(&run.err, said);
        assert_eq!(
            run.err
                .lines()
                .filter(|line| line.starts_with("midflank:"))
                .count(),
            1,
            "{said}: {}",
            run.err
        );
        assert!(run.out.is_empty(), "{said}: {}", run.out);
    }
    let file = bench.file("bad.xml", "");
    fs::File::options()
        .write(true)
        .open(&file)
        .unwrap()
        .set_len(300_000_000)
        .unwrap();
    let run = bench.run(&["certificate", "read", &file]);
    assert_eq!(run.status, 2);
    assert_says(&run.err, "dcc.too-large");
    bench.write("bad.xml", b"<a>\xFF</a>");
    assert_says(
        &bench.run(&["certificate", "read", &file]).err,
        "command.not-utf-8",
    );
    assert_eq!(count(), before);
}

#[test]
fn what_cannot_be_taken_is_named_with_the_reason() {
    let (bench, told) = calibrated("calibration");
    let text = written(&bench, &told);
    let text = text.replacen(r"<si:unit>\micro\metre<", r"<si:unit>\furlong<", 1);
    let run = read(&bench, &text);
    assert_eq!(run.status, 0, "{}", run.err);
    let left = run.json()["left"].clone();
    assert_eq!(left.as_array().unwrap().len(), 1);
    assert_says(left[0]["reason"].as_str().unwrap(), "dcc.unknown-unit");
}
