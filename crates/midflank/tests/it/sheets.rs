//! Lots, calibrations and recalls as PDF: what they say, and that Debian's tools read them where they are installed.

use std::fs;

use crate::bench::{Bench, demo_file};
use crate::lot::{with_lot, with_lot_begun};
use crate::said::assert_says;

/// The text of a sheet that these arguments print, without its line breaks; it is whole, its fonts are embedded, and the same
/// arguments give the same bytes.
fn printed(bench: &Bench, arguments: &[&str]) -> Option<String> {
    let print = || {
        let run = bench.run(&[arguments, &["--pdf", "sheet.pdf", "--replace"]].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        fs::read(bench.path("sheet.pdf")).unwrap()
    };
    assert_eq!(print(), print());
    if let Some(checked) = bench.told_by("qpdf", &["--check", "sheet.pdf"]) {
        assert!(
            checked.contains("No syntax or stream encoding errors"),
            "{checked}"
        );
    }
    for row in bench.told_by("pdffonts", &["sheet.pdf"])?.lines().skip(2) {
        assert!(row.contains("yes yes yes"), "{row}");
    }
    let text = bench.told_by("pdftotext", &["-layout", "sheet.pdf", "-"])?;
    Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn says(text: Option<&String>, all: &[&str]) {
    for said in all {
        assert!(
            text.is_none_or(|text| text.contains(said)),
            "{said}: {text:?}"
        );
    }
}

#[test]
fn a_lot_is_printed_with_its_pieces_charts_and_what_was_not_measured() {
    let bench = with_lot();
    let text = printed(&bench, &["lot", "L-2026-11"]);
    says(
        text.as_ref(),
        &[
            "Lot sheet",
            "32 pieces: 31 accepted",
            "8.9102 ± 0.0088",
            "undecided",
            "No piece has a result of characteristic 2",
            "certificate K-2231",
            "order TC-3,",
            "Acceptance number 1, rejection number 2",
            "End of report L-2026-11",
        ],
    );
    if bench
        .told_by("pdfdetach", &["-saveall", "sheet.pdf"])
        .is_some()
    {
        let data = fs::read(bench.path("lot.json")).unwrap();
        let data: serde_json::Value = serde_json::from_slice(&data).unwrap();
        assert_eq!(data["pieces"].as_array().unwrap().len(), 32);
        assert_eq!(data["lot"]["verdict"], "undecided");
    }
    let none = bench.run(&["lot", "L-1", "--pdf", "none.pdf"]);
    assert_eq!(none.status, 2);
    assert_says(&none.err, "lots.no-lot");
    assert!(!bench.path("none.pdf").exists());
}

#[test]
fn a_calibration_is_printed_as_a_certificate_without_a_due_date() {
    let bench = Bench::new().with_equipment();
    for name in ["calibration", "pair"] {
        let file = bench.file("c.toml", &demo_file(&format!("gauge-room/{name}.toml")));
        let run = bench.run(&["calibrate", &file, "--record", "--json"]);
        assert_eq!(run.status, 0, "{}", run.err);
        let told = run.json();
        let entry = told["recorded"]["calibration"].as_str().unwrap();
        let text = printed(&bench, &["report", entry]);
        let number = told["certificate"]["number"].as_str().unwrap();
        says(
            text.as_ref(),
            &[
                "Calibration certificate",
                number,
                "Decision rule",
                "Traceable by",
                "date and condition not stated",
                &format!("End of report {number}"),
            ],
        );
        assert!(text.is_none_or(|text| !text.contains("2027-03-02")));
    }
}

/// When the item came in and in what condition stands on the certificate in every form, and in the record (ISO/IEC 17025:2017, 7.8.2.1).
#[test]
fn a_certificate_states_the_receipt_that_was_stated() {
    let bench = Bench::new().with_equipment();
    let stated = demo_file("gauge-room/calibration.toml")
        .replace("# received = ", "received = ")
        .replace("# condition = ", "condition = ");
    let ahead = stated.replace("received = 2026-02-27", "received = 2026-03-03");
    let ahead = bench.file("ahead.toml", &ahead);
    let refused = bench.run(&["calibrate", &ahead, "--record"]);
    refused.refused(&["calibration-file.received-after", "ahead.toml:"]);
    let lines = stated.replace("clean, no damage", "clean\\nno damage");
    let lines = bench.file("lines.toml", &lines);
    assert_eq!(bench.run(&["calibrate", &lines]).status, 2);
    let file = bench.file("c.toml", &stated);
    let told = bench
        .run(&["calibrate", &file, "--record", "--json"])
        .json();
    assert_eq!(told["received"], "2026-02-27");
    assert_eq!(told["condition"], "clean, no damage");
    let entry = told["recorded"]["calibration"].as_str().unwrap();
    let record = bench.run(&["ledger", "show", entry, "--json"]).json();
    assert_eq!(record["inputs"]["content"]["received"], "2026-02-27");
    let receipt = "2026-02-27; clean, no damage";
    let text = bench.run(&["report", entry]).out;
    assert!(text.contains(receipt), "{text}");
    says(
        printed(&bench, &["report", entry]).as_ref(),
        &["Receipt", receipt],
    );
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

#[test]
fn a_label_names_the_item_and_has_its_code() {
    let bench = Bench::new();
    let register = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../demo/features/equipment.toml"
    );
    let added = bench.run(&["equipment", "add", register, "--person", "A. Quill"]);
    assert_eq!(added.status, 0, "{}", added.err);
    let label = bench.run(&["equipment", "label", "mic-04", "--pdf", "label.pdf"]);
    assert_eq!(label.status, 0, "{}", label.err);
    if let Some(text) = bench.told_by("pdftotext", &["-layout", "label.pdf", "-"]) {
        assert!(text.contains("mic-04"), "{text}");
    }
    let nowhere = bench.run(&["equipment", "label", "mic-04"]);
    assert_eq!(nowhere.status, 2);
    assert_says(&nowhere.err, "paper-label.no-file");
}

#[test]
fn limits_are_printed_on_a_card() {
    let bench = Bench::new();
    let card = bench.run(&["limits", "M10x1.5-6g", "--pdf", "card.pdf"]);
    assert_eq!(card.status, 0, "{}", card.err);
    if let Some(text) = bench.told_by("pdftotext", &["-layout", "card.pdf", "-"]) {
        for said in ["M10x1.5-6g", "8.862", "8.994", "page 1 of 1"] {
            assert!(text.contains(said), "{said}: {text}");
        }
    }
    for (designations, key) in [
        (&["M10x1.5-6g", "M8-6g"][..], "paper-card.only-one"),
        (&["1/4-18 NPT"], "paper-card.no-taper"),
    ] {
        let run = bench.run(&[&["limits"], designations, &["--pdf", "none.pdf"]].concat());
        assert_eq!(run.status, 2, "{}", run.err);
        assert_says(&run.err, key);
        assert!(!bench.path("none.pdf").exists());
    }
}

const LABORATORY: &str = r#"
[laboratory]
name = "Bench of the clock tower"
logo = "logo.png"

[accreditation]
text = "Accredited for threads."
mark = "logo.png"
scope = [{ characteristic = "pitch-diameter", from = "1 mm", to = "25 mm", capability = "CAPABILITY" }]
"#;

/// A lot sheet and a first article claim accreditation for the characteristics of which every result is within the scope, with
/// an uncertainty not below the capability; the mark is an image beside the claim, in the page too.
#[test]
fn accreditation_on_a_lot_is_claimed_by_characteristic() {
    let bench = with_lot_begun(&[
        "--received",
        "2026-03-09",
        "--condition",
        "oiled",
        "--customer",
        "Town council",
    ]);
    let logo = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/paper-label.png");
    fs::create_dir_all(bench.path("config/midflank")).unwrap();
    fs::copy(logo, bench.path("config/midflank/logo.png")).unwrap();
    for (capability, is_claimed) in [("5 um", true), ("50 um", false)] {
        let file = LABORATORY.replace("CAPABILITY", capability);
        bench.write("config/midflank/laboratory.toml", file);
        for arguments in [
            &["lot", "L-2026-11"][..],
            &["first-article", "L-2026-11", "--piece", "3"],
        ] {
            let pdf = printed(&bench, arguments);
            let html = bench.run(&[arguments, &["--html", "-"]].concat()).out;
            let flat = html.split_whitespace().collect::<Vec<_>>().join(" ");
            for form in [pdf, Some(flat)].into_iter().flatten() {
                for said in [
                    "2026-03-09; oiled",
                    "Town council",
                    "Risk of the decision rule",
                ] {
                    assert!(said.split(' ').all(|word| form.contains(word)), "{form}");
                }
                let claim = "Accredited for threads. This applies to characteristic 1.";
                assert_eq!(form.contains(claim), is_claimed, "{form}");
                let outside =
                    "Not within the laboratory's scope of accreditation: characteristic 1.";
                let outside = form
                    .replace('’', "'")
                    .replace("&#39;", "'")
                    .contains(outside);
                assert_eq!(outside, !is_claimed, "{form}");
            }
            let images = html.matches("src=\"data:image/png;base64,").count();
            assert_eq!(images, if is_claimed { 2 } else { 1 });
        }
    }
    let later = ["lot", "L-2", "--begin", "IP-0412-4", "--person", "A. Quill"];
    let run = bench.run(&[&later[..], &["--received", "2999-01-01"]].concat());
    assert_eq!(run.status, 2, "{}", run.err);
    assert_says(&run.err, "lots.received-ahead");
}

/// What is on the cards is what the commands answer, and their data is attached.
#[test]
fn wires_and_a_set_up_are_printed_on_cards() {
    let bench = Bench::new();
    let register = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../demo/features/equipment.toml"
    );
    let added = bench.run(&["equipment", "add", register, "--person", "A. Quill"]);
    assert_eq!(added.status, 0, "{}", added.err);
    let attached = |name: &str| -> Option<serde_json::Value> {
        bench.told_by("pdfdetach", &["-saveall", "card.pdf"])?;
        serde_json::from_slice(&fs::read(bench.path(name)).unwrap()).ok()
    };
    let fixed =
        |value: &serde_json::Value, places: usize| format!("{:.places$}", value.as_f64().unwrap());
    let print = |arguments: &[&str]| {
        let run = bench.run(&[arguments, &["--pdf", "card.pdf", "--replace"]].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        bench.told_by("pdftotext", &["-layout", "card.pdf", "-"])
    };

    let wires = ["wires", "M10x1.5-6g"];
    let answer = bench.run(&[&wires[..], &["--json"]].concat()).json();
    let card = print(&wires);
    for key in [
        "/best_wire",
        "/over_wires_limits/min",
        "/over_wires_limits/max",
    ] {
        let value = fixed(answer.pointer(key).unwrap(), 5);
        says(card.as_ref(), &[&value]);
    }
    says(card.as_ref(), &["M10x1.5-6g", "page 1 of 1"]);
    assert!(attached("wires.json").is_none_or(|data| data == answer));

    let set_up = ["setup", "M10x1.5-6g"];
    let answer = bench.run(&[&set_up[..], &["--json"]].concat()).json();
    let first = &answer["set_ups"][0];
    let card = print(&set_up);
    for key in ["instrument", "contacts", "standard"] {
        says(card.as_ref(), &[first[key].as_str().unwrap()]);
    }
    let limits = &first["expected_at_limits"];
    for value in [
        &first["expected_zero_reading"],
        &first["expected_reading"],
        &limits["min"],
        &limits["max"],
    ] {
        // As the display shows it, in steps of 0.001 mm.
        says(card.as_ref(), &[&fixed(value, 3)]);
    }
    says(card.as_ref(), &["page 1 of 1"]);
    // In the middle of what it shows at the limits.
    let middle = (limits["min"].as_f64().unwrap() + limits["max"].as_f64().unwrap()) / 2.0;
    assert!((middle - first["expected_reading"].as_f64().unwrap()).abs() < 1e-6);

    for (arguments, key) in [
        (
            &["setup", "M10x1.5-6g", "--rank", "99"][..],
            "set-up-card.no-rank",
        ),
        (&["wires", "M10x1.5-6g", "M8-6g"], "paper-card.only-one"),
    ] {
        let run = bench.run(&[arguments, &["--pdf", "none.pdf"]].concat());
        assert_eq!(run.status, 2, "{}", run.err);
        assert_says(&run.err, key);
        assert!(!bench.path("none.pdf").exists());
    }
}
