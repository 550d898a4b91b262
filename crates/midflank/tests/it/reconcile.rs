//! `midflank reconcile`: what two results point to.

use crate::bench::Bench;
use crate::said::{assert_says, assert_silent};

fn arguments<'a>(first: &'a str, second: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    [
        &[
            "reconcile",
            "M10x1.5-6g",
            "--first",
            first,
            "--second",
            second,
        ],
        more,
    ]
    .concat()
}

#[test]
fn the_parts_add_up_and_the_first_is_told() {
    let bench = Bench::new();
    let document = bench
        .run(&arguments("9.020mm", "9.028mm", &["--json"]))
        .json();
    let causes = document["causes"].as_array().unwrap();
    let sum: f64 = causes
        .iter()
        .map(|cause| cause["likely"].as_f64().unwrap())
        .sum();
    assert!((sum + 0.008).abs() < 1e-12);
    assert_eq!(causes[0]["name"], "part-flank-angle");
    assert_says(
        causes[0]["label"].as_str().unwrap(),
        "cause.part-flank-angle",
    );
    assert_eq!(document["check"], causes[0]["check"]);
    let text = bench.run(&arguments("9.020mm", "9.028mm", &[])).out;
    assert_says(&text, "reconcile.look-first");
    assert_says(&text, "reconcile.would-tell");
    assert!(
        text.lines().all(|line| line.chars().count() <= 78),
        "{text}"
    );
}

/// A V locked square gives about 20 µm on M10x1.5, and the cone 1.2 (direct search).
#[test]
fn a_locked_vee() {
    let bench = Bench::new();
    let more = ["--second-method", "contacts,v-locked", "--json"];
    let document = bench.run(&arguments("9.000mm", "9.025mm", &more)).json();
    let first = &document["causes"][0];
    assert_eq!(first["name"], "v-locked");
    assert_eq!(first["result"], "second");
    assert!((first["expected"].as_f64().unwrap() + 0.0215).abs() < 5e-4);
}

/// Wires under 2.5 lbf (11.12 N): 4.2 µm; lead angle of M10x1.5 1.73 µm.
#[test]
fn corrections_left_out() {
    let bench = Bench::new();
    let more = [
        "--second-method",
        "wires,no-lead,no-force",
        "--wire",
        "0.866mm",
        "--same-equipment",
        "--json",
    ];
    let document = bench.run(&arguments("9.020mm", "9.018mm", &more)).json();
    let expected = |name: &str| {
        let causes = document["causes"].as_array().unwrap();
        causes.iter().find(|cause| cause["name"] == name).unwrap()["expected"]
            .as_f64()
            .unwrap()
    };
    assert!((expected("force") - 0.00423).abs() < 2e-5);
    assert!((expected("lead-left-out") + 0.00173).abs() < 1e-5);
}

#[test]
fn slips_and_scatter_come_before_causes() {
    let bench = Bench::new();
    for (first, second, code) in [
        ("9.520mm", "9.023mm", "reconcile.sleeve"),
        ("9.300mm", "9.023mm", "reconcile.none-of-these"),
        ("9.0200mm", "9.0215mm", "reconcile.agree"),
        ("9.0200mm", "9.0200mm", "reconcile.agree"),
    ] {
        let run = bench.run(&arguments(first, second, &[]));
        assert_eq!(run.status, 0);
        assert_says(&run.out, code);
        assert_silent(&run.out, "reconcile.would-tell");
        assert!(
            run.out.lines().all(|line| line.chars().count() <= 78),
            "{}",
            run.out
        );
    }
}

#[test]
fn wrong_input_is_one_sentence() {
    let bench = Bench::new();
    for (more, code) in [
        (
            &["--first-method", "calipers"][..],
            "reconcile-refused.method",
        ),
        (
            &["--first-method", "wires,master"],
            "reconcile-refused.method",
        ),
        (&["--wire", "9mm"], "reconcile-refused.wire"),
        (&["--force", "nan"], "number-given.outside"),
        (&["--repeatability", "2mm"], "measure.repeatability"),
    ] {
        let run = bench.run(&arguments("9.02mm", "9.03mm", more));
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
