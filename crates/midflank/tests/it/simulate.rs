//! `midflank simulate`.

use crate::bench::Bench;

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
    assert!(words.starts_with("84 simulated jobs, seed 1\n"), "{words}");
    for line in words.lines() {
        assert!(line.chars().count() <= 78, "{line}");
    }
    assert!(
        run(&["--slips", "0.5"])
            .out
            .contains("slips of the hand were flagged")
    );
    assert!(run(&["--table"]).out.contains("\n|---|---|---:|"));
    for (wrong, says) in [
        (&["--rule", "feeling"][..], "guard-band-four"),
        (&["--slips", "2"][..], "from 0 to 1"),
    ] {
        let run = run(wrong);
        assert_eq!(
            (run.status, run.err.contains(says)),
            (2, true),
            "{}",
            run.err
        );
    }
    assert_eq!(bench.run(&["simulate", "--jobs", "0"]).status, 2);
}
