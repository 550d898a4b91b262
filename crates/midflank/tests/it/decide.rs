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

/// What lies 2.5 µm beyond a limit was accepted where U is 4 µm: the limits were not narrowed but widened.
#[test]
fn a_guard_band_does_not_widen_the_limits() {
    let asked = "decide --value 8.9325mm --standard-uncertainty 2um --upper 8.930mm --rule";
    let run = |rule: &str| {
        let asked = format!("{asked} {rule}");
        let arguments: Vec<&str> = asked.split(' ').collect();
        Bench::new().run(&arguments)
    };
    run("guard-band --rule-parameter -1").refused(&["decision.parameter", "permitted.narrowing"]);
    let relaxed = run("relaxed --rule-parameter 1 --json").json();
    assert_eq!(relaxed["decision"], "accept");
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

/// Seven and a half micrometres of room, u = 4.17 µm, one degree of freedom: t = 6.314 asks for 26 µm.
#[test]
fn few_degrees_of_freedom_prove_less() {
    let bench = Bench::new();
    let with = |more: &[&str]| {
        let all = [
            "decide --value 12.0025mm --standard-uncertainty 4.17um --lower 11.9mm --upper 12.010mm --rule iso14253-1 --json"
                .split(' ')
                .collect::<Vec<_>>(),
            more.to_vec(),
        ]
        .concat();
        bench.run(&all).json()
    };
    let few = with(&["--degrees-of-freedom", "1"]);
    assert_eq!(few["decision"], "undecided");
    assert!((few["guard_band"].as_f64().unwrap() - 0.026_328).abs() < 1e-6);
    assert_eq!(with(&[])["decision"], "accept");
    assert_eq!(with(&[])["guard_band"], 0.006_880_5);
}

/// The size has the digits that U allows, the limits those of the finer one, and the probability is the same wherever it
/// stands.
#[test]
fn digits_of_a_decision() {
    let bench = Bench::new();
    let said = |arguments: &str| bench.run(&arguments.split(' ').collect::<Vec<_>>()).out;
    let out = said(
        "decide --value 3.9996667mm --standard-uncertainty 2um --lower 3.9mm --upper 4.004mm --rule simple",
    );
    assert!(
        out.contains("3.9997 mm") && out.contains("3.900 mm to 4.004 mm"),
        "{out}"
    );
    let out = said(
        "decide --value 4.0000001mm --standard-uncertainty 2um --lower 0.01mm --upper 4.0043mm --rule probability",
    );
    assert_eq!(out.matches("98.42 %").count(), 2, "{out}");
    let out = said(
        "decide --value=-0.0000001mm --standard-uncertainty 2um --lower=-0.01mm --upper 4mm --rule relaxed --rule-parameter 0",
    );
    assert!(out.contains("\n0.0000 mm"), "{out}");
    // Micrometres and millimetres are the same drawing.
    let out = said("decide --value 1.9um --standard-uncertainty 0.25um --upper 2um --rule simple");
    assert!(
        out.contains("0.00190 mm") && out.contains("at most 0.002 mm"),
        "{out}"
    );
}

/// Under rules that leave the doubt to somebody, and all the others, the probability of conformity is stated.
#[test]
fn the_probability_of_conformity_is_stated() {
    let bench = Bench::new();
    let rules = [
        "simple",
        "relaxed",
        "false-accept-2",
        "iso14253-1",
        "guard-band",
    ];
    for (index, rule) in rules.into_iter().enumerate() {
        let run = bench.run(&[&NEAR_THE_LIMIT[..10], &[rule]].concat());
        assert_says(&run.out, "decide.rule");
        assert!(run.out.contains("probability of conformity"), "{}", run.out);
        let quoted = format!("\"{rule}\"");
        let job = bench.demo("1-rating-screw.toml", &[("\"iso14253-1\"", &quoted)]);
        let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
        assert_says(&run.out, "report.conforms");
        let entry = (index + 1).to_string();
        let report = bench.run(&["report", &entry]).out;
        assert_says(&report, "report.statement");
        let page = bench.run(&["report", &entry, "--html", "-"]).out;
        assert_says(&page, "report.size-conforms-with");
    }
}

/// The size of an inspection, decided upon again by hand, is warned of by the same codes.
#[test]
fn warnings_are_those_of_an_inspection() {
    const ALIKE: [&str; 2] = ["not-proven", "large-uncertainty"];
    let bench = Bench::new();
    let codes = |document: &serde_json::Value| {
        let warnings = document["warnings"].as_array().unwrap();
        let codes = warnings
            .iter()
            .map(|warning| warning["code"].as_str().unwrap().to_owned());
        codes
            .filter(|code| ALIKE.contains(&code.as_str()))
            .collect::<Vec<_>>()
    };
    let mut seen = Vec::new();
    for (name, changes) in [
        ("1-rating-screw.toml", vec![]),
        ("3-dial-bolt.toml", vec![]),
        ("4-winding-square.toml", vec![]),
        // A standard that takes most of the tolerance.
        (
            "4-winding-square.toml",
            vec![(
                "expanded_uncertainty = \"0.10um\"",
                "expanded_uncertainty = \"60um\"",
            )],
        ),
    ] {
        let job = bench.demo(name, &changes);
        let inspected = bench
            .run(&["inspect", job.to_str().unwrap(), "--json"])
            .json();
        let (size, unit) = (
            &inspected["mean"]["size"],
            inspected["unit"].as_str().unwrap(),
        );
        let length = |value: &serde_json::Value| format!("{value}{unit}");
        let nu = size["degrees_of_freedom"]
            .as_f64()
            .map_or("inf".to_owned(), |nu| nu.to_string());
        let mut arguments = vec![
            "decide".to_owned(),
            format!("--value={}", length(&size["value"])),
            format!(
                "--standard-uncertainty={}",
                length(&size["standard_uncertainty"])
            ),
            format!("--coverage-factor={}", size["coverage_factor"]),
            format!("--degrees-of-freedom={nu}"),
            "--rule=iso14253-1".to_owned(),
            "--json".to_owned(),
        ];
        for (option, limit) in [("lower", "min"), ("upper", "max")] {
            let limit = &inspected["limits"][limit];
            if !limit.is_null() {
                arguments.push(format!("--{option}={}", length(limit)));
            }
        }
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        let decided = bench.run(&arguments).json();
        assert_eq!(codes(&decided), codes(&inspected), "{name}: {decided}");
        seen.extend(codes(&decided));
    }
    assert!(seen.contains(&"large-uncertainty".to_owned()), "{seen:?}");
}

/// JCGM 106:2012, 9.5.4: shape 4, rate 4 per µm, T_U = 2 µm, u = 0.25 µm; without a guard band, and with one that ends at
/// 1.67 µm. The rate is that of the unit in which the limits are written.
#[test]
fn risks_of_a_gamma_process() {
    let bench = Bench::new();
    let risks = |more: &str| {
        let run = bench.run(&more.split(' ').collect::<Vec<_>>());
        let document = run.json();
        let of = |whose: &str| document[whose]["global"].as_f64().unwrap();
        let process = document["process"].clone();
        assert_eq!(process["distribution"], "gamma");
        assert!((process["mean"].as_f64().unwrap() - 0.001).abs() < 1e-15);
        assert!((process["rate"].as_f64().unwrap() - 4000.0).abs() < 1e-9);
        (of("consumer_risk"), of("producer_risk"))
    };
    let close = |(consumer, producer): (f64, f64), wanted: (f64, f64)| {
        assert!((consumer - wanted.0).abs() < 1e-8, "{consumer}");
        assert!((producer - wanted.1).abs() < 1e-8, "{producer}");
    };
    let bearing = "decide --json --value 1.5um --standard-uncertainty 0.25um";
    let simple = (0.008_019_112, 0.017_444_569);
    for (upper, rate) in [("2um", "4"), ("0.002mm", "4000")] {
        let process = format!("--upper {upper} --rule simple --process gamma:4,{rate}");
        close(risks(&format!("{bearing} {process}")), simple);
    }
    close(
        risks(&format!(
            "{bearing} --upper 2um --guard-band 0.33um --process gamma:4,4"
        )),
        (0.000_984_954, 0.075_983_481),
    );
    let words = bench.run(
        &"decide --value 1.5um --standard-uncertainty 0.25um --upper 2um --guard-band 0.33um --process gamma:4,4"
            .split(' ')
            .collect::<Vec<_>>(),
    );
    assert_says(&words.out, "decide.process-gamma");
    assert_says(&words.out, "rule.stated-guard-band");
    // A file of many has the same process, each row with its own unit.
    let file = bench.write(
        "batch.csv",
        "value,standard_uncertainty,upper,rule,unit\n1.5um,0.25um,2um,simple,\n0.0015,0.00025,0.002,simple,mm\n",
    );
    let run = bench.run(&[
        "decide",
        "--json",
        "--process",
        "gamma:4,4",
        "--batch",
        file.to_str().unwrap(),
    ]);
    let rates: Vec<f64> = run
        .documents()
        .iter()
        .map(|document| document["process"]["rate"].as_f64().unwrap())
        .collect();
    assert_eq!(rates, [4000.0, 4.0]);
}

#[test]
fn a_gamma_process_that_is_none() {
    let bench = Bench::new();
    let said = |more: &[&str]| {
        let run = bench.run(&[&NEAR_THE_LIMIT[..], more].concat());
        assert_eq!(run.status, 2, "{}", run.out);
        run.err
    };
    for text in ["gamma:4", "gamma:4,5,6", "weibull:2,3", "gamma"] {
        assert_says(&said(&["--process", text]), "process.form");
    }
    for text in [
        "gamma:0,1",
        "gamma:4,-1",
        "gamma:nan,1",
        "gamma:4,inf",
        "gamma:1e12,1",
    ] {
        assert_says(&said(&["--process", text]), "number-given.outside");
    }
    assert_says(&said(&["--process", "gamma:four,1"]), "number-given.none");
    let mixed = said(&["--process", "gamma:4,1", "--process-mean", "10mm"]);
    assert!(mixed.contains("--process-mean"), "{mixed}");
    let run = bench.run(
        &"decide --value 1um --standard-uncertainty 0.25um --lower 0mm --upper 2um --rule simple --process gamma:4,4"
            .split(' ')
            .collect::<Vec<_>>(),
    );
    assert_eq!(run.status, 2);
    assert_says(&run.err, "process.two-units");
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
    // The risks of a process are those of a normal error (JCGM 106:2012, 9.5): where few readings tell its spread that is said.
    let warned = |document: &serde_json::Value| {
        let all = document["warnings"].as_array().unwrap();
        let normal = all.iter().find(|one| one["code"] == "normal-risks");
        normal.map(|one| one["degrees_of_freedom"].clone())
    };
    assert_eq!(warned(&document), None);
    let few = [
        &NEAR_THE_LIMIT[..],
        &process,
        &["--degrees-of-freedom", "2"],
    ]
    .concat();
    let few = bench.run(&few).json();
    assert_eq!(warned(&few), Some(2.0.into()));
    assert_eq!(
        few["consumer_risk"]["global"],
        document["consumer_risk"]["global"]
    );
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
                run.err.contains("9 measured sizes; at least 10"),
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
    // The sizes themselves, drawn together by that little: all twelve are beyond the limits.
    let own = bench
        .run(&[&arguments[..], &["--empirical"]].concat())
        .json();
    assert_eq!(own["process"]["distribution"], "empirical");
    for key in ["mean", "standard_deviation"] {
        assert!((own["process"][key].as_f64().unwrap() - number(key)).abs() < 1e-9);
    }
    assert_eq!(own["process"]["nonconforming"], 1.0);
    assert!(own["consumer_risk"]["specific_given_process"].is_null());
    // With a limit in their middle, with u = 10 µm: (1/12) Σ Φ((limit - size)/u) over the sizes above it.
    let upper = format!("--upper={:.7}mm", number("mean"));
    let middle = [
        "decide",
        "--json",
        "--value=8.9314mm",
        "--standard-uncertainty=10um",
        &upper,
        "--rule=simple",
    ];
    let risks = bench
        .run(&[&middle[..], &arguments[11..14], &["--empirical"]].concat())
        .json();
    // About 5, 15, 25 µm above: Φ(-0.5) + Φ(-1.5) + Φ(-2.5) + … = 0.308 54 + 0.066 81 + 0.006 21 + 0.000 23 over 12.
    let global = risks["consumer_risk"]["global"].as_f64().unwrap();
    assert!((global - 0.031_816).abs() < 1e-4, "{risks}");
    assert_eq!(risks["process"]["nonconforming"], 0.5);
    let other = bench.run(
        &[
            &NEAR_THE_LIMIT[..],
            &["--process-from-ledger", "--part", "another"],
        ]
        .concat(),
    );
    assert!(other.err.contains("0 measured sizes"), "{}", other.err);
}

/// By hand: process N(10, 0.1), limits 10 ± 0.2, u = 0.02 and U = 0.04. With conditional acceptance counted it is accepted where
/// measured within the limits, as under simple acceptance; without, as under the guard band of U.
#[test]
fn conditional_acceptance_is_counted_apart() {
    let bench = Bench::new();
    let of = |rule: &str| {
        let arguments = [
            "decide",
            "--value",
            "10.19mm",
            "--standard-uncertainty",
            "20um",
            "--lower",
            "9.8mm",
            "--upper",
            "10.2mm",
            "--rule",
            rule,
            "--process-mean",
            "10mm",
            "--process-sd",
            "0.1mm",
        ];
        let words = bench.run(&arguments).out;
        (
            bench.run(&[&arguments[..], &["--json"]].concat()).json(),
            words,
        )
    };
    let (four, words) = of("guard-band-four");
    assert_eq!(four["decision"], "conditional-accept");
    let risk = |document: &serde_json::Value, pointer: &str| {
        document.pointer(pointer).unwrap().as_f64().unwrap()
    };
    let (simple, _) = of("simple");
    let (guarded, _) = of("guard-band");
    let consumer = "/consumer_risk/global";
    assert_eq!(risk(&four, consumer), risk(&guarded, consumer));
    assert_eq!(
        risk(&four, "/consumer_risk/global_with_conditional"),
        risk(&simple, consumer)
    );
    assert_eq!(
        risk(&four, "/producer_risk/global_with_conditional"),
        risk(&simple, "/producer_risk/global")
    );
    assert!(simple["consumer_risk"]["global_with_conditional"].is_null());
    for key in [
        "decide.specific-four",
        "decide.consumer-global-four",
        "decide.producer-global-four",
    ] {
        assert_says(&words, key);
    }
}

#[test]
fn a_negative_standard_deviation_is_refused_by_the_process() {
    let bench = Bench::new();
    let run = bench.run(
        &[
            &NEAR_THE_LIMIT[..],
            &["--process-mean", "10mm", "--process-sd", "-1um"],
        ]
        .concat(),
    );
    assert_eq!(run.status, 2);
    assert_says(&run.err, "risk.process");
}

/// The second row opens a quotation mark: the third one was answered as a part of it, and so not at all.
#[test]
fn a_batch_with_an_open_quotation_mark_is_refused() {
    let bench = Bench::new();
    let row = "9,0.001,8.9,9.1,simple,mm\n";
    let text = format!(
        "value,standard_uncertainty,lower,upper,rule,unit\n{row}9,0.001,8.9,9.1,simple,\"mm\n{row}"
    );
    let file = bench.file("open.csv", &text);
    let run = bench.run(&["decide", "--batch", &file]);
    assert_eq!(run.status, 2);
    assert!(run.out.is_empty(), "{}", run.out);
    assert_says(&run.err, "command.open-quote");
}
