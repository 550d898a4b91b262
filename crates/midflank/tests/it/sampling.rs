//! `midflank sampling`: its documents, its words and its refusals.

use crate::bench::Bench;
use crate::said::assert_says;

fn ask(arguments: &[&str]) -> serde_json::Value {
    let all = [&["sampling"], arguments, &["--json"]].concat();
    Bench::new().run(&all).json()
}

#[test]
fn points_of_a_curve() {
    let document = ask(&["--n", "52", "--c", "3", "--fraction", "0.01", "0.1"]);
    assert_eq!(document["lot_size"], serde_json::Value::Null);
    let points = document["points"].as_array().unwrap();
    assert_eq!(points.len(), 2);
    let probability = points[0]["probability_of_acceptance"].as_f64().unwrap();
    // NIST/SEMATECH e-Handbook, 6.2.3.2: 0.998.
    assert!((probability - 0.998).abs() < 0.0006);
    let of_lot = ask(&[
        "--n",
        "80",
        "--c",
        "2",
        "--lot-size",
        "1000",
        "--nonconforming",
        "10",
        "40",
    ]);
    assert_eq!(of_lot["points"][1]["nonconforming"], 40);
    assert_eq!(of_lot["points"][1]["fraction"], 0.04);
}

/// What is not nothing is not shown as nothing.
#[test]
fn a_small_fraction_is_told_as_small() {
    let run = Bench::new().run(&[
        "sampling",
        "--n",
        "10",
        "--c",
        "0",
        "--fraction",
        "0.000000001",
    ]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert!(run.out.contains("below 0.001 %"), "{}", run.out);
    assert!(!run.out.contains(" 0.000 %"), "{}", run.out);
}

/// MIL-STD-105E, table II-C: code letter J, AQL 2.5: 32 pieces, Ac 2, Re 5. A lot with three or four is accepted (4.7.4 b), and its
/// risks are those of accepting up to four: by the hypergeometric distribution, computed apart from the program.
#[test]
fn a_reduced_plan_has_the_risks_of_its_rejection_number() {
    let plan = ask(&[
        "--plan",
        "105e",
        "--lot-size",
        "1000",
        "--aql",
        "2.5",
        "--severity",
        "reduced",
    ]);
    assert_eq!(
        ["n", "c", "r"].map(|key| plan[key].as_u64()),
        [Some(32), Some(2), Some(5)]
    );
    assert_eq!(plan["accepted_with_95"], 0.064);
    assert_eq!(plan["accepted_with_10"], 0.232);
}

#[test]
fn plans_by_table_and_by_risk() {
    let plan = ask(&[
        "--plan",
        "105e",
        "--lot-size",
        "1000",
        "--level",
        "II",
        "--aql",
        "1.0",
    ]);
    let found = ["code_letter", "n", "c", "r"].map(|key| plan[key].clone());
    assert_eq!(
        found,
        ["J".into(), 80.into(), 2.into(), serde_json::json!(3)]
    );
    let tightened = [
        "--plan",
        "105e",
        "--lot-size",
        "1000",
        "--aql",
        "1.0",
        "--severity",
        "tightened",
    ];
    let plan = ask(&tightened);
    assert_eq!(
        (&plan["c"], &plan["confidence"]),
        (&1.into(), &"secondary".into())
    );
    let all = ask(&["--plan", "105e", "--lot-size", "40", "--aql", "0.25"]);
    assert_eq!((&all["n"], &all["every_piece"]), (&40.into(), &true.into()));
    // Above 10 nonconformities are counted, of which two pieces may have two.
    let many = ask(&["--plan", "105e", "--lot-size", "8", "--aql", "40"]);
    assert_eq!((&many["n"], &many["c"]), (&2.into(), &2.into()));
    let zero = [
        "--zero-acceptance",
        "--lot-size",
        "1000",
        "--limiting-fraction",
        "0.01",
        "--risk",
        "0.05",
    ];
    assert_eq!(ask(&zero)["n"], 258);
    let text = Bench::new().run(&["sampling", "--n", "80", "--c", "2"]).out;
    assert_says(&text, "sampling.producer-risk");
    assert_says(&text, "sampling.consumer-risk");
}

#[test]
fn what_is_no_plan() {
    let refused = |arguments: &[&str], key: &str| {
        let run = Bench::new().run(&[&["sampling"], arguments].concat());
        assert_eq!(run.status, 2, "{arguments:?} {}", run.out);
        assert_says(&run.err, key);
    };
    refused(&["--n", "5", "--c", "5"], "sampling-error.accepts-all");
    refused(&["--n", "0", "--c", "0"], "sampling-error.no-sample");
    refused(
        &["--n", "5", "--c", "0", "--lot-size", "4"],
        "sampling-error.sample-over-lot",
    );
    refused(
        &["--n", "5", "--c", "0", "--fraction", "1.2"],
        "sampling-error.fraction",
    );
    refused(
        &["--n", "5", "--c", "0", "--fraction", "0,2"],
        "sampling.not-a-fraction",
    );
    refused(
        &["--plan", "105e", "--lot-size", "10", "--aql", "0.7"],
        "sampling-error.aql",
    );
    refused(
        &[
            "--plan",
            "105e",
            "--lot-size",
            "10",
            "--aql",
            "1",
            "--level",
            "IV",
        ],
        "sampling-error.level",
    );
    refused(
        &["--plan", "105e", "--lot-size", "1", "--aql", "1"],
        "sampling-error.lot-of-one",
    );
    let zero = [
        "--zero-acceptance",
        "--lot-size",
        "10",
        "--limiting-fraction",
        "0.1",
        "--risk",
        "1",
    ];
    refused(&zero, "sampling-error.risk");
}

/// 0.9935²⁰ = 0.8777. Of 60 pieces 0.65 % are none, and a lot of none was accepted for certain.
#[test]
fn the_aql_is_that_of_a_process() {
    let arguments = [
        "sampling",
        "--plan",
        "105e",
        "--lot-size",
        "60",
        "--aql",
        "0.65",
    ];
    let told = Bench::new().run(&arguments);
    assert_says(&told.out, "sampling.at-aql");
    assert!(told.out.contains("87.77"), "{}", told.out);
}
