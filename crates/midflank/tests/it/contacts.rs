//! `midflank contacts` against effects found by a direct search over the surfaces.

use crate::bench::Bench;
use crate::said::assert_says;

fn micrometres(document: &serde_json::Value, effect: usize) -> f64 {
    1e3 * document["effects"][effect]["correction"].as_f64().unwrap()
}

/// Zeroed without lead, V free to turn, full engagement: +0.41, 0.61, 1.02, 1.19 µm, and 9.0 µm on three starts, where
/// the formula is good to 2 %.
#[test]
fn lead_angle() {
    let bench = Bench::new();
    for (designation, reads, tolerance) in [
        ("M3-6g", 0.41, 0.01),
        ("M5-6g", 0.61, 0.01),
        ("M10x1.5-6g", 1.02, 0.01),
        ("M20-6g", 1.19, 0.01),
        ("M10xPh4.5P1.5-6g", 9.0, 0.18),
    ] {
        let document = bench.run(&["contacts", designation, "--json"]).json();
        let got = -micrometres(&document, 1);
        assert!((got - reads).abs() < tolerance, "{designation}: {got}");
    }
    // 1/4-20: 1.49 µm.
    let inch = bench.run(&["contacts", "1/4-20 UNC-2A", "--json"]).json();
    assert_eq!(inch["unit"], "in");
    assert!((micrometres(&inch, 1) * 25.4 + 1.49).abs() < 0.01);
    // M10x1.5, V locked square: about 20 µm by the V and 1.2 by the cone.
    let locked = bench
        .run(&["contacts", "M10x1.5-6g", "--v", "locked", "--json"])
        .json();
    assert!((micrometres(&locked, 1) + 21.5).abs() < 0.5);
}

/// M10x1.5, 60° cone on work of 29.5° half angle: 9.77 µm each of cone and V. 0.0262 P for a degree.
#[test]
fn flank_angle_and_what_the_zero_leaves_of_it() {
    let bench = Bench::new();
    let run = |more: &[&str]| {
        let mut arguments = vec!["contacts", "M10x1.5-6g", "--json"];
        arguments.extend(more);
        bench.run(&arguments).json()
    };
    let part = run(&["--part-half-angle", "29.5"]);
    assert!((micrometres(&part, 0) + 2.0 * 9.77).abs() < 0.02);
    let per_degree = part["sensitivities"][0]["value"].as_f64().unwrap();
    assert!((per_degree / 1.5 - 0.0262).abs() < 4e-4);
    // The same error in both contacts: closing the pair hides it, a master shows it.
    let pair = ["--cone-half-angle", "30.5", "--v-half-angle", "30.5"];
    let closed = run(&pair);
    assert!(micrometres(&closed, 0) < -19.0);
    let mastered = run(&[&pair[..], &["--zero", "master"]].concat());
    assert!(mastered["correction"].as_f64().unwrap().abs() < 1e-12);
    assert_eq!(mastered["zero"], "master");
}

/// 60°: wear takes 2 (w_c + w_v) off the reading; a standard 2 µm longer than set to takes 2 µm off.
#[test]
fn wear_and_the_standard() {
    let bench = Bench::new();
    let arguments = ["contacts", "M10x1.5-6g", "--wear", "2um,1um", "--json"];
    let worn = bench.run(&arguments).json();
    assert!((micrometres(&worn, 2) - 6.0).abs() < 1e-9);
    let more = ["--zero", "rod", "--standard-longer", "2um"];
    let standard = bench.run(&[&arguments[..], &more].concat()).json();
    assert!((micrometres(&standard, 2) - 2.0).abs() < 1e-9);
    let mastered = bench
        .run(&[&arguments[..], &["--zero", "master"]].concat())
        .json();
    assert_eq!(mastered["effects"].as_array().unwrap().len(), 2);
    assert_says(
        mastered["notes"][0].as_str().unwrap(),
        "contacts-note.wear-in-zero",
    );
}

#[test]
fn fit() {
    let bench = Bench::new();
    let inside = bench
        .run(&[
            "contacts",
            "1/4-20 UNC-2A",
            "--pitch-range",
            "24tpi,14tpi",
            "--json",
        ])
        .json();
    assert_eq!(inside["fits"], true);
    assert_eq!(inside["tip_clearance"], serde_json::Value::Null);
    let outside = bench.run(&["contacts", "M10x1.5-6g", "--pitch-range", "2mm,3mm"]);
    assert_eq!(outside.status, 0);
    assert_says(&outside.out, "contacts.does-not-fit");
    assert_says(&outside.out, "misfit.outside-marked-range");
    let widths = [
        "--cone-tip",
        "0.4mm",
        "--cone-base",
        "1.6mm",
        "--v-root",
        "0.24mm",
        "--v-mouth",
        "1.4mm",
    ];
    let relief = ["--v-relief", "0.3mm", "--json"];
    let fits = bench
        .run(&[&["contacts", "M10x1.5-6g"], &widths[..], &relief].concat())
        .json();
    // Root at 0.3248 mm, tip at (0.375 - 0.2) cot 30° = 0.3031 mm below the pitch line.
    assert!((fits["tip_clearance"].as_f64().unwrap() - 0.0217).abs() < 1e-4);
    let tall = bench.run(&[&["contacts", "M10x1.5-6g"], &widths[..]].concat());
    assert_says(&tall.out, "misfit.crest-meets-bottom");
    let even = bench.run(&["contacts", "M10xPh3P1.5-6g", "--json"]).json();
    assert_eq!(even["fits"], false);
    assert_says(even["reason"].as_str().unwrap(), "misfit.even-starts");
    assert_eq!(even["correction"], serde_json::Value::Null);
}

#[test]
fn wrong_input_is_one_sentence() {
    let bench = Bench::new();
    for (arguments, code) in [
        (&["M10x1.6-6g"][..], "designation.no-such-pitch"),
        (&["M10x1.5-6g", "--wear", "2,1"], "entry.no-unit"),
        (&["M10x1.5-6g", "--wear", "2um"], "thread.wrong-count"),
        (
            &["M10x1.5-6g", "--pitch-range", "xtpi,2mm"],
            "number-given.none",
        ),
        (
            &["M10x1.5-6g", "--cone-half-angle", "nan"],
            "number-given.outside",
        ),
        (
            &["M10x1.5-6g", "--standard-longer", "1um"],
            "contacts-refused.other-zero",
        ),
        (
            &["M10x1.5-6g", "--zero-half-angle", "30"],
            "contacts-refused.other-zeros",
        ),
        (
            &["M10x1.5-6g", "--groove-wider", "3mm"],
            "within.quarter-pitch",
        ),
    ] {
        let run = bench.run(&[&["contacts"], arguments].concat());
        assert_eq!(
            run.err.lines().count(),
            1,
            "{arguments:?}: {} {}",
            run.err,
            run.out
        );
        assert_eq!(run.status, 2, "{arguments:?}");
        assert_says(&run.err, code);
    }
}

#[test]
fn lines_fit_the_page() {
    let bench = Bench::new();
    for designation in ["M10x1.5-6g", "1/4-20 UNC-2A"] {
        let text = bench
            .run(&[
                "contacts",
                designation,
                "--zero",
                "rod",
                "--wear",
                "2um,1um",
                "--ridge-thicker",
                "-2um",
            ])
            .out;
        for line in text.lines() {
            assert!(line.chars().count() <= 78, "{line}");
        }
    }
}
