//! `midflank limits` as scripts use it.

use serde_json::json;

use crate::bench::Bench;

/// The document that the contract prints, key by key (values: ASME B1.1).
#[test]
fn answers_as_promised() {
    let document = Bench::new()
        .run(&["limits", "1/4-20 UNC-2A", "--json"])
        .json();
    let promised = json!({
        "designation": "1/4-20 UNC-2A", "form": "unified", "kind": "external", "unit": "in",
        "nominal": 0.25, "pitch": 0.05, "lead": 0.05, "starts": 1, "hand": "right", "included_angle_deg": 60.0,
        "class": "2A", "allowance": 0.0011, "engagement": 0.25,
        "major": { "max": 0.2489, "min": 0.2408 }, "pitch_diameter": { "max": 0.2164, "min": 0.2127 },
        "minor": { "max": 0.1894, "min": null },
        "assumed": [], "sources": ["ASME B1.1-2003"]
    });
    for (key, value) in promised.as_object().unwrap() {
        assert_eq!(&document[key], value, "{key}");
    }
}

#[test]
fn many_at_once_in_order_and_wrong_ones_in_their_place() {
    let bench = Bench::new();
    let run = bench.run_with_input(
        &["limits", "M6-6H", "-", "--json"],
        b"M10x1.5-6g\r\nM10x1.6-6g\n\n\xff\xfe\n1/4-20 UNC-2A",
    );
    assert_eq!(run.status, 2);
    let documents = run.documents();
    let names: Vec<_> = documents
        .iter()
        .map(|document| document["designation"].as_str().unwrap_or("-"))
        .collect();
    assert_eq!(names, ["M6x1-6H", "M10x1.5-6g", "-", "-", "1/4-20 UNC-2A"]);
    let wrong = &documents[2];
    assert_eq!(wrong["input"], "M10x1.6-6g");
    assert_eq!(wrong["error"]["kind"], "no-such-pitch");
    assert_eq!(wrong["error"]["at"], json!([4, 7]));
    assert_eq!(wrong["error"]["suggestions"][0], "M10x1.5-6g");
    assert!(
        wrong["error"]["message"]
            .as_str()
            .unwrap()
            .contains("1.5, 1.25, 1, 0.75")
    );
}

#[test]
fn points_at_the_place_for_people() {
    let run = Bench::new().run(&["limits", "M10x1.6-6g"]);
    assert_eq!((run.status, run.out.as_str()), (2, ""));
    assert!(
        run.err.contains("\n  M10x1.6-6g\n      ^^^\n"),
        "{}",
        run.err
    );
}

#[test]
fn both_units_from_the_exact_limit() {
    let run = Bench::new().run(&["limits", "1/4-20 UNC-2A"]);
    // 0.2164 in is 5.49656 mm, 0.2127 in is 5.40258 mm.
    let line = run
        .out
        .lines()
        .find(|line| line.contains("pitch diameter"))
        .unwrap();
    for number in ["0.2127", "0.2164", "5.4026", "5.4966"] {
        assert!(line.contains(number), "{line}");
    }
    assert!(
        run.out.lines().all(|line| line.chars().count() <= 78),
        "{}",
        run.out
    );
    let metric = Bench::new()
        .run(&["limits", "1/4-20 UNC-2A", "--unit", "mm", "--json"])
        .json();
    assert_eq!(metric["unit"], "mm");
    assert_eq!(metric["pitch_diameter"]["max"], 5.49656);
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let bench = Bench::new();
    let list = "M10x1.5-6g\n".repeat(20_000);
    let file = bench.write("list", list);
    let script = format!(
        "{} limits - --json < {} | head -1",
        env!("CARGO_BIN_EXE_midflank"),
        file.display()
    );
    let output = std::process::Command::new("sh")
        .arg("-c")
        .arg(script)
        .output()
        .unwrap();
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    assert_eq!(
        output.stdout.iter().filter(|byte| **byte == b'\n').count(),
        1
    );
}

#[test]
fn a_full_disk_is_told() {
    let bench = Bench::new();
    let Ok(full) = std::fs::OpenOptions::new().write(true).open("/dev/full") else {
        println!("no /dev/full here");
        return;
    };
    let output = bench
        .command(&["limits", "M10"])
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("cannot write the answer"));
}

#[test]
fn nothing_asked_is_usage() {
    let run = Bench::new().run(&["limits"]);
    assert_eq!(run.status, 2);
    assert!(run.err.contains("Usage"));
}
