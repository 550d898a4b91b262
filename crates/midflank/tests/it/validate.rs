//! `midflank validate`: published cases on the program that is tested, and what reports say of it.

use crate::bench::Bench;
use crate::said::assert_says;

#[test]
fn the_program_gives_what_is_published() {
    let run = Bench::new().run(&["validate", "--json"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let document = run.json();
    assert_eq!(document["disagreeing"], 0);
    assert!(document["cases"].as_u64().unwrap() > 350);
    let worst = &document["worst"];
    assert!(worst["difference"].as_f64().unwrap() <= worst["allowed"].as_f64().unwrap());
    assert_eq!(document["tables_sha256"].as_str().unwrap().len(), 64);
    for set in document["sets"].as_array().unwrap() {
        assert!(set["cases"].as_u64().unwrap() > 0, "{set}");
        assert!(!set["sources"].as_array().unwrap().is_empty(), "{set}");
    }
}

#[test]
fn a_report_names_the_last_validation_of_its_method() {
    let bench = Bench::new();
    let job = bench.demo("1-rating-screw.toml", &[]);
    bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
    let before = bench.run(&["report", "1"]);
    assert!(!before.out.contains("validated"), "{}", before.out);

    let nobody = bench.run(&["validate", "--record"]);
    assert_eq!(nobody.status, 2);
    assert_says(&nobody.err, "validate.no-person");

    let run = bench.run(&["validate", "--record", "--person", "A. Quill"]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_says(&run.out, "validate.all-agree");
    assert!(run.out.contains("recorded 2-"), "{}", run.out);

    let report = bench.run(&["report", "1"]).out;
    let words = report.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_says(&words, "validate.last");
    assert!(words.contains("validated 2-"), "{report}");
    let page = bench.run(&["report", "1", "--html", "-"]).out;
    assert_says(&page, "report.foot-validated");
    // The entry itself is shown as it came out, and the ledger is sound with it.
    assert_says(&bench.run(&["report", "2"]).out, "validate.all-agree");
    let sound = bench.run(&["ledger", "verify"]);
    assert_eq!(sound.status, 0, "{}", sound.err);
    assert_says(&bench.run(&["ledger", "list"]).out, "validate.listed");

    // One that is withdrawn is not named.
    let withdrawn = bench.run(&[
        "ledger",
        "amend",
        "2",
        "--reason",
        "wrong computer",
        "--person",
        "A. Quill",
    ]);
    assert_eq!(withdrawn.status, 0, "{}", withdrawn.err);
    assert!(!bench.run(&["report", "1"]).out.contains("validated"));
}
