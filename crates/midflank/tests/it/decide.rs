//! `midflank decide` as scripts use it.

use crate::bench::Bench;

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
