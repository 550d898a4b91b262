//! `midflank decide` as scripts use it.

use crate::bench::Bench;
use crate::said::{assert_says, assert_silent};

#[test]
fn a_decision_in_json() {
    let arguments = [
        "decide",
        "--value",
        "8.9940mm",
        "--standard-uncertainty",
        "2um",
        "--lower",
        "8.862mm",
        "--upper",
        "8.994mm",
        "--json",
        "--rule",
    ];
    let bench = Bench::new();
    let decide = |rule: &str| bench.run(&[&arguments[..], &[rule]].concat()).json();
    // On the limit: included.
    assert_eq!(decide("simple")["decision"], "accept");
    let undecided = decide("iso14253-1");
    assert_eq!(undecided["decision"], "undecided");
    // 1.65 x 2 µm, exactly.
    assert_eq!(undecided["guard_band"], 0.0033);
    assert_eq!(undecided["acceptance"]["upper"], 8.9907);
    assert_eq!(undecided["rejection"]["upper"], 8.9973);
    assert_eq!(decide("guard-band")["decision"], "reject");
}

#[test]
fn a_batch_with_a_wrong_line() {
    let bench = Bench::new();
    let file = bench.write(
        "batch.csv",
        "value,standard_uncertainty,coverage_factor,degrees_of_freedom,lower,upper,rule,rule_parameter,unit\n\
         0.2164,0.0001,,,0.2127,0.2164,simple,,in\n\
         0.2164,0.0001,,,0.2127,0.2164,feeling,,in\n\
         5,0.1,,,,4.5,guard-band,0.5,mm\n",
    );
    let run = bench.run(&["decide", "--batch", file.to_str().unwrap(), "--json"]);
    assert_eq!(run.status, 2);
    let documents = run.documents();
    assert_eq!(documents.len(), 3);
    assert_eq!(documents[0]["decision"], "accept");
    assert!(
        documents[1]["error"]["message"]
            .as_str()
            .unwrap()
            .contains("iso14253-1")
    );
    assert_eq!(documents[2]["decision"], "reject");
}

#[test]
fn bare_numbers_are_refused_with_a_hint() {
    let run = Bench::new().run(&[
        "decide",
        "--value",
        "8.9",
        "--standard-uncertainty",
        "2um",
        "--lower",
        "8mm",
        "--rule",
        "simple",
    ]);
    assert_eq!(run.status, 2);
    assert_eq!(
        run.err,
        "midflank: value: `8.9` has no unit; write 8.9mm or 8.9in\n"
    );
}

const NEAR_THE_LIMIT: [&str; 11] = [
    "decide",
    "--value",
    "10.2mm",
    "--standard-uncertainty",
    "0.1mm",
    "--lower",
    "9.8mm",
    "--upper",
    "10.2mm",
    "--rule",
    "simple",
];

/// By hand: process N(10, 0.1), measured 10.2 with u = 0.1. Together N(10.1, 0.1/√2): above 10.2 with 1 - Φ(√2) = 7.865 %,
/// below 9.8 with Φ(-3√2) = 0.001 %. Alone: on the limit, 50 % and Φ(-4) = 0.003 %. Not conforming: 2 Φ(-2) = 4.550 %.
#[test]
fn risks_of_a_stated_process() {
    let process = ["--process-mean", "10mm", "--process-sd", "100um", "--json"];
    let bench = Bench::new();
    let document = bench.run(&[&NEAR_THE_LIMIT[..], &process].concat()).json();
    let number = |pointer: &str| document.pointer(pointer).unwrap().as_f64().unwrap();
    assert_eq!(document["decision"], "accept");
    assert!((number("/consumer_risk/specific") - 0.500_03).abs() < 1e-5);
    assert!((number("/consumer_risk/specific_given_process") - 0.078_66).abs() < 1e-5);
    assert!(document["producer_risk"]["specific"].is_null());
    assert!((number("/process/nonconforming") - 0.045_50).abs() < 1e-5);
    // Both ways the same event, from its two sides: accepted = conforming − rejected + not conforming accepted.
    let (consumer, producer) = (
        number("/consumer_risk/global"),
        number("/producer_risk/global"),
    );
    // Measured sizes are N(10, 0.1√2): inside with 2 Φ(√2) - 1 = 84.270 %.
    assert!((0.954_50 - producer + consumer - 0.842_70).abs() < 1e-5);
    assert!(document["process"]["n"].is_null());
    let words = bench.run(&[&NEAR_THE_LIMIT[..], &process[..4]].concat());
    assert_says(&words.out, "decide.consumer-specific");
    for rounded in ["50.00 %", "7.87 %"] {
        assert!(words.out.contains(rounded), "{rounded}: {}", words.out);
    }
    assert_says(&words.out, "decide.producer-global");
    assert_silent(&words.out, "decide.producer-specific");
    // Without a process, no risk is claimed.
    let plain = bench
        .run(&[&NEAR_THE_LIMIT[..], &["--json"]].concat())
        .json();
    assert!(plain.get("consumer_risk").is_none());
}

#[test]
fn a_process_that_is_none() {
    let bench = Bench::new();
    let said = |more: &[&str]| {
        let run = bench.run(&[&NEAR_THE_LIMIT[..], more].concat());
        assert_eq!(run.status, 2, "{}", run.out);
        run.err
    };
    assert!(said(&["--process-mean", "10", "--process-sd", "1mm"]).contains("write 10mm or 10in"));
    assert_says(
        &said(&["--process-mean", "10mm", "--process-sd", "0mm"]),
        "risk.process",
    );
    assert!(said(&["--process-mean", "10mm"]).contains("--process-sd"));
}

/// Twelve parts, 10 µm apart, on the record: mean and spread are those of 0, 10 … 110 µm, s = 36.056 µm by hand.
#[test]
fn a_process_from_the_record() {
    let bench = Bench::new();
    let arguments = [
        &NEAR_THE_LIMIT[..],
        &[
            "--process-from-ledger",
            "--part",
            "pendulum rating screw",
            "--json",
        ],
    ]
    .concat();
    for part in 0..12 {
        if part == 9 {
            let run = bench.run(&arguments);
            assert_eq!(run.status, 2);
            assert!(
                run.err.contains("9 measured sizes; 10 or more"),
                "{}",
                run.err
            );
        }
        // A standard certified larger moves every size by as much.
        let size = format!("size = \"{:.4}\" ", 9.9494 + 0.01 * f64::from(part));
        let job = bench.demo("1-rating-screw.toml", &[("size = \"9.9994\" ", &size)]);
        let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let document = bench.run(&arguments).json();
    let process = &document["process"];
    assert_eq!(process["n"], 12);
    let number = |key: &str| process[key].as_f64().unwrap();
    assert!((number("observed_standard_deviation") - 0.036_056).abs() < 2e-5);
    assert!((number("mean") - 8.9315).abs() < 2e-4, "{process}");
    // The measurement is a few micrometres: little beside 36.
    let left = number("standard_deviation");
    assert!(
        left < number("observed_standard_deviation") && left > 0.036,
        "{process}"
    );
    let other = bench.run(
        &[
            &NEAR_THE_LIMIT[..],
            &["--process-from-ledger", "--part", "another"],
        ]
        .concat(),
    );
    assert!(other.err.contains("0 measured sizes"), "{}", other.err);
}
