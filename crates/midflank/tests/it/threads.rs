//! `midflank gauges`, `midflank identify` and `midflank limits --coating` as scripts and people use them.

use serde_json::{Value, json};

use crate::bench::Bench;
use crate::said::{assert_says, assert_silent};

fn answered(arguments: &[&str]) -> Value {
    let run = Bench::new().run(arguments);
    assert_eq!(run.status, 0, "{}", run.err);
    run.json()
}

/// Worked examples for 1/4-20 UNC (ASME B1.2) and M6-6H (ISO 1502).
#[test]
fn gauges_say_their_standard() {
    let bench = Bench::new();
    let run = bench.run_with_input(&["gauges", "1/4-20 UNC-2B", "-", "--json"], b"M6-6H\nM6-6Q");
    assert_eq!(run.status, 2);
    let documents = run.documents();
    let go = &documents[0]["gauges"][0];
    assert_eq!(go["name"], "go-plug");
    assert_eq!(go["standard"], "ASME B1.2 X");
    assert_eq!(
        go["pitch_diameter"],
        json!({ "max": 0.2178, "min": 0.2175 })
    );
    let not_go = &documents[1]["gauges"][1];
    assert_eq!(not_go["name"], "not-go-plug");
    assert_eq!(not_go["standard"], "ISO 1502");
    assert_eq!(
        not_go["pitch_diameter"],
        json!({ "max": 5.511, "min": 5.5 })
    );
    assert_eq!(documents[1]["confidence"], "weak");
    assert_eq!(documents[2]["input"], "M6-6Q");
    let wrong = bench.run(&["gauges", "M6-6H", "--class", "W", "--json"]);
    assert_eq!(wrong.status, 2);
    assert_eq!(wrong.documents()[0]["error"]["kind"], "no-gauge-class");
}

#[test]
fn identify_ranks_and_says_what_to_measure_next() {
    let document = answered(&[
        "identify", "--major", "2.45mm", "--pitch", "0.45mm", "--json",
    ]);
    let names: Vec<_> = document["candidates"]
        .as_array()
        .unwrap()
        .iter()
        .map(|candidate| candidate["designation"].as_str().unwrap())
        .collect();
    assert!(
        names.contains(&"M2.5x0.45") && names.contains(&"3-56 UNF"),
        "{names:?}"
    );
    let sum: f64 = document["candidates"]
        .as_array()
        .unwrap()
        .iter()
        .map(|candidate| candidate["probability"].as_f64().unwrap())
        .sum();
    assert!(sum <= 1.0 + 1e-12);
    assert_eq!(document["headline"], "M2.5x0.45 or 3-56 UNF");
    let headline = &document["groups"][0];
    assert_eq!(headline["group"], 1);
    assert!(headline["probability"].as_f64().unwrap() > 0.95);
    let next = &document["separating_measurement"];
    assert_eq!(next["what"], "pitch over 29 pitches");
    assert_eq!(next["turns"], 29);
    assert!(next["how"].as_str().unwrap().contains("13.050 mm"));

    let told = answered(&[
        "identify", "--major", "2.45mm", "--count", "29", "--over", "13.05mm", "--json",
    ]);
    assert_eq!(told["candidates"][0]["designation"], "M2.5x0.45");
    assert!(told["candidates"][0]["probability"].as_f64().unwrap() > 0.95);
}

#[test]
fn identify_says_what_fits_nothing() {
    let document = answered(&[
        "identify",
        "--major",
        "9.9mm",
        "--pitch",
        "1.5mm",
        "--pitch-diameter",
        "8.4mm",
        "--json",
    ]);
    assert_eq!(document["fits"], false);
    assert_eq!(document["fit_none"], json!(["pitch-diameter"]));
    // M10x1.5 has at least 8.783 mm in any class; a thread of another pitch is fewer uncertainties off.
    let message = document["message"].as_str().unwrap();
    assert_says(message, "identify.one-reading-of-several");
    assert_says(message, "identify.below");
    for value in ["M10x1.5", "8.400 mm", "0.383 mm", "3/8-16 UNC"] {
        assert!(message.contains(value), "{message}");
    }
}

/// Ten crests of M10x1.5 span nine pitches, 13.5 mm; two starts of Tr40x7 advance by 14 mm in a turn.
#[test]
fn identify_tells_a_miscounted_pitch() {
    for (asked, kind, number, thread) in [
        (
            &["--major", "9.88mm", "--count", "10", "--over", "13.5mm"][..],
            "crests",
            10,
            "M10x1.5",
        ),
        (
            &["--major", "39.9mm", "--pitch", "14mm"][..],
            "lead",
            2,
            "Tr40x7",
        ),
    ] {
        let mut words = vec!["identify", "--json"];
        words.extend(asked);
        let document = answered(&words);
        let told = &document["miscounts"][0];
        assert_eq!(told["kind"], kind);
        assert_eq!(told["number"], number);
        assert_eq!(told["threads"][0], thread);
        assert_says(
            told["message"].as_str().unwrap(),
            &format!("miscount.{kind}"),
        );
    }
}

#[test]
fn identify_refuses_what_cannot_be() {
    for (arguments, code) in [
        (&["--count", "0", "--over", "5mm"][..], "evidence.no-turns"),
        (&["--count", "2.5", "--over", "5mm"], "identify.no-turns"),
        (&["--count", "5", "--over", "0mm"], "evidence.no-length"),
        (&["--major", "5"], "entry.no-unit"),
        (&["--major", "0mm"], "evidence.impossible"),
        (
            &["--major", "5mm", "--pitch", "6mm"],
            "evidence.pitch-too-large",
        ),
        (
            &["--major", "5mm", "--major-uncertainty", "0mm"],
            "identify.no-uncertainty",
        ),
        (&["--per-inch", "0"], "number-given.outside"),
        (&["--taper", "1:0"], "identify.wrong-taper"),
        (&["--angle", "nan"], "number-given.outside"),
        (&["--pitch-uncertainty", "1um"], "identify.no-pitch"),
        (&[], "evidence.nothing"),
    ] {
        let run = Bench::new().run(&[&["identify", "--json"], arguments].concat());
        assert_eq!((run.status, run.out.as_str()), (2, ""), "{arguments:?}");
        assert_says(&run.err, code);
    }
}

/// A shop with British threads that has not said so is told of both, a metric one that has said so of the likelier.
#[test]
fn the_prior_is_the_shops() {
    let bench = Bench::new();
    let of_m6 = |more: &[&str]| {
        let arguments = ["identify", "--major", "5.93mm", "--pitch", "1mm", "--json"];
        let document = bench.run(&[&arguments[..], more].concat()).json();
        let candidates = document["candidates"].as_array().unwrap().clone();
        let m6 = candidates.iter().find(|one| one["designation"] == "M6x1");
        let ba = candidates.iter().find(|one| one["designation"] == "0 BA");
        let (m6, ba) = (m6.unwrap(), ba.unwrap());
        assert_eq!(m6["group"], ba["group"]);
        m6["probability"].as_f64().unwrap()
    };
    let unstated = of_m6(&[]);
    assert!(unstated < 0.5, "{unstated}");
    for shop in ["metric", "unified", "british", "mixed", "flat"] {
        assert!(unstated <= of_m6(&["--shop", shop]), "{shop}");
    }
    assert_eq!(of_m6(&["--flat-prior"]), of_m6(&["--shop", "flat"]));
    assert!(of_m6(&["--shop", "metric"]) > 0.95);

    let none = bench.run(&["identify", "--major", "5.93mm", "--shop", "records"]);
    assert_eq!(none.status, 1);
    let job = bench.demo("1-rating-screw.toml", &[]);
    let done = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
    assert_eq!(done.status, 0, "{}", done.err);
    let recorded = of_m6(&["--shop", "records"]);
    assert!(recorded > unstated);
}

/// M6 and 0 BA have the same pitch and nearly the same diameter: only the prior tells them apart, and that is said.
#[test]
fn what_only_the_prior_tells_apart_is_said() {
    let read = |more: &[&str]| {
        let arguments = [&["identify", "--major", "5.97mm", "--pitch", "1mm"], more].concat();
        Bench::new()
            .run(&arguments)
            .out
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    };
    let out = read(&[]);
    assert_says(&out, "identify.first-at-least");
    assert_says(&out, "identify.fit-alike-common");
    assert!(out.contains("M6x1 or 0 BA"), "{out}");
    let flat = read(&["--flat-prior"]);
    assert_says(&flat, "identify.fit-alike");
    let told = read(&["--angle", "60"]);
    assert_silent(&told, "identify.fit-alike");
    assert_silent(&told, "identify.fit-alike-common");
}

/// Where nothing fits, the nearest is that whose worst reading is fewest standard uncertainties outside.
#[test]
fn the_nearest_of_what_does_not_fit_says_by_how_much() {
    let arguments = [
        "identify",
        "--major",
        "9.97mm",
        "--pitch",
        "1.5mm",
        "--pitch-diameter",
        "8.6mm",
    ];
    let run = Bench::new().run(&arguments);
    let out = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // 8.783 mm - 8.600 mm
    assert_says(&out, "identify.below");
    for value in ["M10x1.5", "8.600 mm", "0.183 mm", "8.783 mm"] {
        assert!(out.contains(value), "{out}");
    }
    let document = Bench::new()
        .run(&[&arguments[..], &["--json"]].concat())
        .json();
    let misfits: Vec<_> = document["candidates"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["misfit"].as_f64().unwrap())
        .collect();
    assert!(misfits.is_sorted(), "{misfits:?}");
}

/// 34 um of allowance on M12x1.75-6g take 8.5 um of coating.
#[test]
fn a_coating_is_told_before_and_after_and_refused_where_it_does_not_fit() {
    let document = answered(&["limits", "M12x1.75-6g", "--coating", "5um..8.5um", "--json"]);
    let coating = &document["coating"];
    assert_eq!(coating["limits_hold"], "before");
    assert_eq!(coating["greatest_thickness"], 0.0085);
    assert_eq!(coating["after"]["pitch_diameter"]["max"], 10.863);
    assert_eq!(
        document["pitch_diameter"],
        coating["before"]["pitch_diameter"]
    );
    assert!(document.get("error").is_none());

    let thick = Bench::new().run(&["limits", "M12x1.75-6g", "--coating", "5um..9um", "--json"]);
    assert_eq!(thick.status, 2);
    let document = &thick.documents()[0];
    assert_eq!(document["error"]["kind"], "coating-too-thick");
    assert_eq!(document["input"], "M12x1.75-6g");
    let message = document["error"]["message"].as_str().unwrap();
    assert_says(message, "coating-conflict.coating-too-thick");
    assert_says(message, "coating-room.at-most");
    assert!(message.contains("8.5 µm"), "{message}");

    let after = answered(&[
        "limits",
        "M12x1.75-6g",
        "--coating",
        "5um..9um",
        "--coating-state",
        "after",
        "--json",
    ]);
    // 10.829 less 36 um, 10.679 less 20 um.
    let before = json!({ "max": 10.793, "min": 10.659 });
    assert_eq!(after["coating"]["before"]["pitch_diameter"], before);
}

/// Nothing that people read is wider than 78 columns.
#[test]
fn people_read_no_more_than_78_columns() {
    for arguments in [
        &["gauges", "1/4-20 UNC-2A", "M10-6g", "3/4-10 UNC-2B"][..],
        &["identify", "--major", "2.45mm"],
        &["identify", "--major", "2.4in", "--per-inch", "12"],
        &["identify", "--major", "299.9mm"],
        &[
            "identify",
            "--major",
            "9.9mm",
            "--pitch",
            "1.5mm",
            "--pitch-diameter",
            "8.4mm",
        ],
        &[
            "limits",
            "3/4-10 UNC-2A",
            "--coating",
            "0.000213in..0.000398in",
        ],
        &["limits", "M12x1.75-6g", "--coating", "8um..12um"],
        &["limits", "M12x1.75-6G", "--coating", "1um..2um"],
    ] {
        let run = Bench::new().run(arguments);
        assert!(!run.out.is_empty(), "{}", run.err);
        for line in run.out.lines() {
            assert!(line.chars().count() <= 78, "{arguments:?}: {line}");
        }
    }
}

/// A designation is nothing that was measured.
#[test]
fn identify_asks_for_measurements() {
    let run = Bench::new().run(&["identify", "Tr20x4"]);
    run.refused(&["identify.is-known", "midflank limits \"Tr20x4\""]);
}
