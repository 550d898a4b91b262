//! `midflank functional` against worked examples.

use crate::bench::Bench;
use crate::said::assert_says;

/// 12 µm of lead error cost 20.8 µm at 60° (cot 30° = 1.7321): 8.980 mm in limits, and GO refuses by 6.8 µm.
#[test]
fn a_good_pitch_diameter_may_fail_go() {
    let bench = Bench::new();
    let arguments = [
        "functional",
        "M10x1.5-6g",
        "--size",
        "8.980mm",
        "--pitch-error",
        "12um",
    ];
    let text = bench.run(&arguments).out;
    assert_says(&text, "go.refuses");
    assert_says(&text, "functional.refuses-larger");
    assert!(text.contains("8.9800 mm"), "{text}");
    let document = bench.run(&[&arguments[..], &["--json"]].concat()).json();
    assert_eq!(document["go_passes"], false);
    assert_eq!(document["size_within_limits"], true);
    assert!((document["pitch_term"].as_f64().unwrap() - 0.020785).abs() < 1e-6);
    assert!((document["room"].as_f64().unwrap() + 0.006785).abs() < 1e-6);
    // 14 µm of room over cot 30°.
    assert!((document["permitted_pitch_error"].as_f64().unwrap() - 0.008083).abs() < 1e-6);
}

/// M10x1.5, δP 10 µm, δ +0.5° and -0.3°: 17.32 + 13.09 = 30.4 µm above d2; inside, below.
#[test]
fn worked_example() {
    let bench = Bench::new();
    let more = [
        "--pitch-error",
        "-10um",
        "--half-angle-errors",
        "0.5,-0.3",
        "--json",
    ];
    let run = |designation, size| {
        bench
            .run(&[&["functional", designation, "--size", size], &more[..]].concat())
            .json()
    };
    let outside = run("M10x1.5-6g", "8.94mm");
    assert!((outside["pitch_term"].as_f64().unwrap() - 0.01732).abs() < 5e-6);
    assert!((outside["angle_term"].as_f64().unwrap() - 0.01309).abs() < 5e-6);
    assert!((outside["functional_size"].as_f64().unwrap() - 8.9704).abs() < 5e-5);
    let inside = run("M10x1.5-6H", "9.10mm");
    assert!((inside["functional_size"].as_f64().unwrap() - 9.0696).abs() < 5e-5);
    assert_eq!(inside["go_passes"], true);
}

/// At the limit itself GO passes, a tenth of a nanometre further not: no binary fraction decides.
#[test]
fn the_limit_is_included() {
    let bench = Bench::new();
    let go = |size| {
        bench
            .run(&["functional", "M10x1.5-6g", "--size", size, "--json"])
            .json()["go_passes"]
            .clone()
    };
    assert_eq!(go("8.994mm"), true);
    assert_eq!(go("8.9940001mm"), false);
    let inch = bench
        .run(&[
            "functional",
            "1/4-20 UNC-2A",
            "--size",
            "0.2164in",
            "--json",
        ])
        .json();
    assert_eq!(inch["go_passes"], true);
    assert_eq!(inch["permitted_pitch_error"], 0.0);
}

/// 1 µm each pitch over 15 mm of pitch 1.5 mm: 10 µm.
#[test]
fn error_that_adds_up() {
    let bench = Bench::new();
    let document = bench
        .run(&[
            "functional",
            "M10x1.5-6g",
            "--size",
            "8.94mm",
            "--error-per-pitch",
            "1um",
            "--engagement",
            "15mm",
            "--json",
        ])
        .json();
    assert!((document["pitch_error"].as_f64().unwrap() - 0.010).abs() < 1e-12);
}

#[test]
fn every_outcome_has_its_sentence() {
    let bench = Bench::new();
    for (designation, size, error, code) in [
        ("M10x1.5-6g", "8.95mm", "0um", "functional.goes-on"),
        (
            "M10x1.5-6g",
            "8.95mm",
            "5um",
            "functional.goes-on-with-errors",
        ),
        (
            "M10x1.5-6g",
            "9.000mm",
            "5um",
            "functional.refuses-size-and-form",
        ),
        (
            "M10x1.5-6g",
            "8.850mm",
            "5um",
            "functional.goes-on-out-of-limits",
        ),
        ("M10x1.5-6g", "8.850mm", "100um", "functional.refuses-form"),
        ("M10x1.5-6H", "9.03mm", "12um", "functional.refuses-smaller"),
        (
            "1/4-20 UNC-2A",
            "0.2160in",
            "0.0005in",
            "functional.of-lead-error",
        ),
    ] {
        let text = bench
            .run(&[
                "functional",
                designation,
                "--size",
                size,
                "--pitch-error",
                error,
            ])
            .out;
        assert_says(&text, code);
        assert!(
            text.lines().all(|line| line.chars().count() <= 78),
            "{text}"
        );
    }
}

#[test]
fn wrong_input_is_one_sentence() {
    let bench = Bench::new();
    for (more, code) in [
        (&["--size", "8.98"][..], "entry.no-unit"),
        (
            &["--size", "8.98mm", "--pitch-error", "1mm"],
            "within.quarter-pitch",
        ),
        (
            &["--size", "8.98mm", "--half-angle-errors", "1"],
            "thread.wrong-count",
        ),
        (
            &["--size", "8.98mm", "--half-angle-errors", "nan,0"],
            "number-given.outside",
        ),
        (
            &["--size", "8.98mm", "--error-per-pitch", "1um"],
            "functional-refused.no-engagement",
        ),
        (
            &["--size", "8.98mm", "--engagement", "0mm"],
            "functional-refused.engagement",
        ),
    ] {
        let run = bench.run(&[&["functional", "M10x1.5-6g"], more].concat());
        assert_eq!(
            run.err.lines().count(),
            1,
            "{more:?}: {} {}",
            run.err,
            run.out
        );
        assert_eq!(run.status, 2);
        assert_says(&run.err, code);
    }
}
