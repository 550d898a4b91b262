//! `midflank correct`: elementary geometry with numbers worked by hand.

use crate::bench::Bench;
use crate::said::assert_says;

fn micrometres(bench: &Bench, arguments: &str, key: &str) -> f64 {
    let words: Vec<&str> = arguments.split(' ').collect();
    let document = bench
        .run(&[&["correct"], &words[..], &["--json"]].concat())
        .json();
    1e3 * document[key].as_f64().unwrap()
}

/// d2 - chord, about 2e²/d: 2 and 8 µm; P²/(8 d) of M10x1.5: 31 µm; R 10 and a face of 6.35: 0.517 mm; three lobes in a
/// V of 60°: F = 3; aluminium 25 mm 10 K warm in steel at the same: 25 · 10 · (23.1 - 11.5)e-6 = 2.9 µm.
#[test]
fn what_to_add() {
    let bench = Bench::new();
    for (arguments, micrometre, tolerance) in [
        ("off-axis --diameter 10mm --offset 0.1mm", 2.0, 0.001),
        ("off-axis --diameter 10mm --offset -0.2mm", 8.0, 0.01),
        (
            "opposite-grooves --distance 9.026mm --pitch 1.5mm",
            -31.2,
            0.1,
        ),
        ("leaning-line --diameter 10mm --tilt 1", -1.523, 0.001),
        (
            "tilted-faces --length 10mm --face 6.35mm --tilt 1",
            1.5 - 110.8,
            0.1,
        ),
        ("flat-in-bore --bore 20mm --face 6.35mm", -517.0, 0.6),
        (
            "ball-in-bore --bore 20mm --ball 4mm --offset 0.4mm",
            -10.0,
            0.1,
        ),
        (
            "lobing --two-point 10mm --lobes 3 --vee 60 --variation 9um",
            3.0,
            1e-6,
        ),
        (
            "lobing --two-point 10mm --lobes 4 --vee 120 --variation 9um",
            0.0,
            0.0,
        ),
        (
            "temperature --size 25mm --part 30 --standard 30 --material aluminium",
            -2.9,
            0.01,
        ),
        ("temperature --size 25mm --part 30 --standard 30", 0.0, 1e-9),
    ] {
        let got = micrometres(&bench, arguments, "correction");
        assert!((got - micrometre).abs() <= tolerance, "{arguments}: {got}");
    }
}

/// 2 µm over 6.35 mm, 2 mm off the middle: 0.63 µm. Steel, 25 mm, 2 K from end to end: ±25 · 11.5e-6 · 1 = 0.29 µm.
#[test]
fn what_is_left_for_the_budget() {
    let bench = Bench::new();
    for (arguments, micrometre) in [
        ("parallelism --error 2um --face 6.35mm --distance 2mm", 0.63),
        ("temperature --size 25mm --part 21,23", 0.2875),
    ] {
        let got = micrometres(&bench, arguments, "half_width");
        assert!((got - micrometre).abs() < 5e-3, "{arguments}: {got}");
    }
}

#[test]
fn answers_say_why_and_when_not() {
    let bench = Bench::new();
    let text = bench
        .run(&[
            "correct",
            "off-axis",
            "--diameter",
            "1in",
            "--offset",
            "0.01in",
        ])
        .out;
    assert_says(&text, "correct.add");
    assert!(text.contains("+0.000200 in\n"), "{text}");
    for code in [
        "effect.off-axis",
        "correct-why.off-axis",
        "correct-not-when.largest-across",
        "correct.source",
    ] {
        assert_says(&text, code);
    }
    assert!(
        text.lines().all(|line| line.chars().count() <= 78),
        "{text}"
    );
}

/// 78 is no temperature of a part in degrees Celsius; in degrees Fahrenheit it is 25.6 °C.
#[test]
fn degrees_fahrenheit_are_recognised() {
    let bench = Bench::new();
    for options in [
        &["--part", "78"][..],
        &["--part", "20,78"],
        &["--part", "20", "--standard", "78"],
        &["--part", "20", "--instrument", "78"],
    ] {
        let asked = [&["correct", "temperature", "--size", "25mm"], options].concat();
        let run = bench.run(&asked);
        assert_eq!(run.status, 2, "{options:?}");
        assert_says(&run.err, "job.too-hot");
        assert!(run.err.contains("25.6 °C"), "{}", run.err);
    }
}

#[test]
fn wrong_input_is_one_sentence() {
    let bench = Bench::new();
    for (arguments, code) in [
        ("off-axis --diameter 10mm --offset 5mm", "within.radius"),
        ("off-axis --diameter 10 --offset 5mm", "entry.no-unit"),
        (
            "leaning-line --diameter 10mm --tilt nan",
            "number-given.outside",
        ),
        (
            "lobing --two-point 10mm --lobes 2 --vee 60 --variation 9um",
            "correct-refused.blind",
        ),
        (
            "lobing --two-point 10mm --lobes 1 --vee 60 --variation 9um",
            "number-given.outside",
        ),
        ("temperature --size 25mm --part 999", "number-given.outside"),
        (
            "temperature --size 25mm --part 25 --material unobtainium",
            "correct-refused.material",
        ),
        (
            "parallelism --error 2um --face 6.35mm --distance 9mm",
            "correct-refused.distance",
        ),
    ] {
        let words_given: Vec<&str> = arguments.split(' ').collect();
        let run = bench.run(&[&["correct"], &words_given[..]].concat());
        assert_eq!(
            run.err.lines().count(),
            1,
            "{arguments}: {} {}",
            run.err,
            run.out
        );
        assert_eq!(run.status, 2);
        assert_says(&run.err, code);
    }
}
