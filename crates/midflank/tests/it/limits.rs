//! `midflank limits` as scripts use it.

use serde_json::json;

use crate::bench::Bench;
use crate::said::assert_says;

/// The document that the contract prints, key by key (values: ASME B1.1).
/// Nine pitches of 36 to the inch are a quarter of one, to the last digit.
#[test]
fn engagement_has_the_digits_of_its_unit() {
    let bench = Bench::new();
    for (designation, inches) in [
        ("10-36 UNS-2A", 0.25),
        ("10-48 UNS-2B", 0.1875),
        ("1/2-28 UNEF-2A", 9.0 * (1.0 / 28.0)),
        ("1/4-20 UNC-2A", 0.25),
        ("10-36 UNS-2A LE 0.6", 0.6),
    ] {
        let limits = bench.run(&["limits", designation, "--json"]).json();
        assert_eq!(limits["engagement"], inches, "{designation}");
    }
}

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
        b"\xef\xbb\xbfM10x1.5-6g\r\nM10x1.6-6g\n\n\xff\xfe\n1/4-20 UNC-2A",
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
    let message = wrong["error"]["message"].as_str().unwrap();
    assert_says(message, "designation.no-such-pitch");
    assert_says(message, "known-pitches.of-size");
    assert_says(message, "designation.suggested");
    assert!(message.contains("1.5, 1.25, 1"), "{message}");
}

/// Long lists go through all cores in blocks: every line has its answer in its place, right or wrong.
#[test]
fn a_long_list_keeps_its_order() {
    let count = 20_000;
    let line = |number: usize| match number % 7 {
        0 => "M10x1.6-6g".to_owned(),
        1 => "M10x1.5-6g".to_owned(),
        _ => format!("M{}.{:03}x1-6g", 20 + number / 1000, number % 1000),
    };
    let list: Vec<_> = (0..count).map(line).collect();
    let run = Bench::new().run_with_input(&["limits", "-", "--json"], list.join("\n").as_bytes());
    assert_eq!(run.status, 2);
    let documents = run.documents();
    assert_eq!(documents.len(), count);
    for (document, line) in documents.iter().zip(&list) {
        if line == "M10x1.6-6g" {
            assert_eq!(document["input"], **line);
        } else {
            let written = document["designation"].as_str().unwrap();
            let diameter = |text: &str| -> f64 {
                text.trim_start_matches('M')
                    .split('x')
                    .next()
                    .unwrap()
                    .parse()
                    .unwrap()
            };
            assert_eq!(diameter(written), diameter(line), "{written} for {line}");
        }
    }
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
    assert!(String::from_utf8_lossy(&output.stderr).contains("cannot write the output"));
}

#[test]
fn nothing_asked_is_usage() {
    let run = Bench::new().run(&["limits"]);
    assert_eq!(run.status, 2);
    assert!(run.err.contains("Usage"));
}

/// A taper thread: positions instead of limits, those of ASME B1.20.1 Table 2.
#[test]
fn a_taper_thread_answers_by_position() {
    let document = Bench::new()
        .run(&["limits", "1/8-27 NPT", "--at", "0.08in", "--json"])
        .json();
    assert_eq!(document["form"], "npt");
    let positions = document["positions"].as_array().unwrap();
    let found: Vec<_> = positions
        .iter()
        .map(|place| {
            (
                place["name"].as_str().unwrap(),
                place["at"].as_f64(),
                place["pitch_diameter"].as_f64(),
            )
        })
        .collect();
    assert_eq!(
        found,
        [
            ("small-end", Some(0.0), Some(0.36351)),
            ("stated", Some(0.08), Some(0.36851)),
            ("hand-tight", Some(0.1615), Some(0.3736)),
            ("effective-end", Some(0.2639), Some(0.38)),
        ]
    );
    assert!(document.get("pitch_diameter").is_none());
}

#[test]
fn a_place_is_for_taper_threads_and_on_them() {
    let bench = Bench::new();
    for (designation, at, why) in [
        ("M6-6g", "1mm", "limits.at-needs-taper"),
        ("1/8-27 NPT", "9in", "taper.outside"),
        ("1/8-27 NPT", "-1in", "taper.outside"),
        ("1/8-27 NPT", "far", "entry.not-a-number"),
    ] {
        let at = format!("--at={at}");
        let run = bench.run(&["limits", designation, &at, "--json"]);
        assert_eq!(run.status, 2, "{designation} {at}");
        let message = run.documents()[0]["error"]["message"]
            .as_str()
            .unwrap()
            .to_owned();
        assert_says(&message, why);
    }
}

/// Weak numbers are marked in both answers, and the root radius of MJ is a limit (0.150 11 P and 0.180 42 P).
#[test]
fn tells_weak_numbers_and_root_radii() {
    let bench = Bench::new();
    let document = bench.run(&["limits", "MJ8x1-4h6h", "--json"]).json();
    assert_eq!(document["confidence"], "weak");
    assert_eq!(document["root_radius"], json!({ "max": 0.18, "min": 0.15 }));
    let text = bench.run(&["limits", "MJ8x1-4h6h"]).out;
    assert_says(&text, "limits-table.weak");
    assert_says(&text, "limits-table.root-radius");
    assert!(
        text.lines().all(|line| line.chars().count() <= 78),
        "{text}"
    );
}

/// The drawing is to scale: three ridges of one pitch each, and crest to root at the same scale.
#[test]
fn draws_the_profile_to_scale() {
    let bench = Bench::new();
    let file = bench.path("profile.svg");
    let run = bench.run(&["limits", "Tr40x7-7e", "--svg", file.to_str().unwrap()]);
    assert_eq!(run.status, 0, "{}", run.err);
    let svg = std::fs::read_to_string(&file).unwrap();
    assert!(svg.starts_with("<?xml"));
    let edge = svg
        .split("<path d=\"")
        .find(|path| path.contains("class=\"edge\""))
        .unwrap();
    let numbers: Vec<f64> = edge
        .split('"')
        .next()
        .unwrap()
        .split(|letter: char| !(letter.is_ascii_digit() || letter == '.'))
        .filter_map(|number| number.parse().ok())
        .collect();
    let (across, down): (Vec<f64>, Vec<f64>) =
        numbers.chunks(2).map(|pair| (pair[0], pair[1])).unzip();
    let span = |values: &[f64]| {
        let most = values.iter().copied().fold(f64::MIN, f64::max);
        most - values.iter().copied().fold(f64::MAX, f64::min)
    };
    // Greatest material: major 40, d3 32, so 4 mm of radius over 21 mm of length.
    assert!((span(&down) / span(&across) - 4.0 / 21.0).abs() < 1e-3);
    let two = bench.run(&["limits", "M6", "M8", "--svg", "x.svg"]);
    assert_eq!(two.status, 2);
}
