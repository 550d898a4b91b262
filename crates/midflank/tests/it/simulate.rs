//! `midflank simulate`.

use crate::bench::Bench;
use crate::said::assert_says;

#[test]
fn reproducible_and_plain() {
    let bench = Bench::new();
    let run = |more: &[&str]| bench.run(&[&["simulate", "--jobs", "84"], more].concat());
    let document = run(&["--seed", "3", "--json"]).json();
    assert_eq!(
        (&document["jobs"], &document["seed"]),
        (&84.into(), &3.into())
    );
    assert_eq!(document, run(&["--seed", "3", "--json"]).json());
    assert_ne!(document["all"], run(&["--json"]).json()["all"]);
    assert_eq!(document["rules"].as_array().unwrap().len(), 8);
    assert!(document["all"]["mean"]["coverage"].as_f64().unwrap() > 0.9);
    let one = run(&["--rule", "relaxed", "--json"]).json();
    assert_eq!(one["rules"].as_array().unwrap().len(), 1);
    let words = run(&[]).out;
    assert_says(&words, "simulated.head");
    assert_eq!(document["set_ups"][0]["name"], "m10-rod");
    for line in words.lines() {
        assert!(line.chars().count() <= 78, "{line}");
    }
    assert_says(&run(&["--slips", "0.5"]).out, "simulated.slips");
    assert!(run(&["--table"]).out.contains("\n|---|---|---:|"));
    let none = bench.run(&["simulate", "--jobs", "0"]);
    assert_eq!(none.status, 2);
    assert_says(&none.err, "simulation.jobs");
    let unknown = run(&["--rule", "feeling"]);
    assert_eq!(unknown.status, 2);
    assert!(unknown.err.contains("guard-band-four"), "{}", unknown.err);
}
