//! `midflank inspect`: the demo jobs, and every way a job file can be wrong.

use std::fs;

use crate::bench::{Bench, root};
use crate::said::{assert_says, assert_silent, says, warns};

/// Numbers without quotes keep their digits, in the result and on the record: 8.920 is not 8.92.
#[test]
fn digits_of_bare_numbers_are_kept() {
    let bench = Bench::new();
    let bare = [
        // Fewer digits than a stated display shows would be asked about.
        ("resolution = \"0.001\"", "#"),
        ("\"8.929\", \"8.930\"", "8.920, 8.930"),
        ("\"8.927\", \"8.928\"", "8.92, 8.9280"),
        ("size = \"9.9994\"", "size = 9.99940"),
    ];
    let job = bench.demo("1-rating-screw.toml", &bare);
    let job = job.to_str().unwrap();
    let result = bench.run(&["inspect", job, "--json"]).json();
    let read: Vec<&str> = (0..4)
        .map(|index| result["readings"][index]["as_read"].as_str().unwrap())
        .collect();
    assert_eq!(read, ["8.920mm", "8.930mm", "8.92mm", "8.9280mm"]);
    let left = "[[readings.left]]\nreading = 8.92\nreason = \"a dent\"\n\n[temperature]";
    let left = [&bare[..], &[("[temperature]", left)]].concat();
    let job = bench.demo("1-rating-screw.toml", &left);
    let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let report = bench.run(&["report", "1"]).out;
    for digits in [
        " 8.920 mm ",
        " 8.92 mm ",
        " 8.9280 mm ",
        "certified 9.99940 mm",
    ] {
        assert!(report.contains(digits), "{digits}: {report}");
    }
}

/// Contacts closed on each other have no certificate, and none is asked for.
#[test]
fn zero_on_closed_contacts_needs_no_certificate() {
    let bench = Bench::new();
    let screw = std::fs::read_to_string(bench.demo("1-rating-screw.toml", &[])).unwrap();
    let (before, after) = screw.split_once("[standard]").unwrap();
    let (_, after) = after.split_once("[zero]").unwrap();
    let closed = format!("{before}[standard]\nid = \"closed\"\nform = \"closed\"\n\n[zero]{after}")
        .replace("\"10.00", "\"0.00");
    let job = bench.file("closed.toml", &closed);
    let run = bench.run(&["inspect", &job]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_says(&run.out, "warning.closed-zero");
    assert_silent(&run.out, "warning.no-due-date");
    let evidence = "closed, contacts closed together\n";
    assert!(run.out.contains(evidence), "{}", run.out);
}

#[test]
fn the_verdict_comes_first_in_78_columns() {
    let bench = Bench::new();
    let job = bench.demo("1-rating-screw.toml", &[]);
    let run = bench.run(&["inspect", job.to_str().unwrap()]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert!(
        run.out
            .starts_with("ACCEPT\npendulum rating screw, sample 1: M10x1.5-6g, pitch diameter\n"),
        "{}",
        run.out
    );
    for line in run.out.lines() {
        assert!(line.chars().count() <= 78, "{line}");
    }
    assert!(!run.out.contains('\u{1b}'), "colour in a pipe");
}

/// A part of another size must not press the tolerance together until nothing of it can be seen.
#[test]
fn the_bar_is_broken_out_before_a_size_far_out() {
    let bench = Bench::new();
    let job = bench.demo(
        "1-rating-screw.toml",
        &[
            ("[\"8.929\", \"8.930\"]", "[\"9.529\", \"9.530\"]"),
            ("[\"8.927\", \"8.928\"]", "[\"9.527\", \"9.528\"]"),
            ("[\"8.931\", \"8.930\"]", "[\"9.531\", \"9.530\"]"),
        ],
    );
    let run = bench.run(&["inspect", job.to_str().unwrap()]);
    let bar = run.out.lines().find(|line| line.contains("~~")).unwrap();
    let at = |mark| bar.rfind(mark).unwrap();
    assert!(at('|') < at('~') && at('~') < at('o'), "{bar}");
    assert!(at('|') - bar.find('|').unwrap() > 20, "{bar}");
    assert!(run.out.contains("~ scale broken"), "{}", run.out);
    let near = bench.demo("1-rating-screw.toml", &[]);
    let near = bench.run(&["inspect", near.to_str().unwrap()]);
    assert!(!near.out.contains('~'), "{}", near.out);
}

/// Mean and corrections of the demo worked by hand: readings 8.9285, zero +2.1 µm, curve at 8.93 less curve at 10.00.
#[test]
fn the_document_as_promised() {
    let bench = Bench::new();
    let job = bench.demo("1-rating-screw.toml", &[]);
    let document = bench
        .run(&["inspect", job.to_str().unwrap(), "--json"])
        .json();
    assert_eq!(document["limits"]["max"], 8.994);
    assert_eq!(document["limits"]["min"], 8.862);
    assert_eq!(document["unit"], "mm");
    // ((10.001 + 10.002 + 10.001)/3 + (10.002 + 10.002 + 10.001)/3)/2 - 9.9994
    let zero = document["zero_error"]["value"].as_f64().unwrap();
    assert!((zero - 0.0021).abs() < 1e-9, "{zero}");
    assert_eq!(document["zero_error"]["n"], 6);
    assert_eq!(document["readings"][0]["as_read"], "8.929mm");
    assert_eq!(document["readings"][0]["flags"], serde_json::json!([]));
    let names: Vec<_> = document["corrections"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c["name"].as_str().unwrap())
        .collect();
    assert_eq!(
        names,
        [
            "zero",
            "error-curve",
            "lead-angle",
            "temperature",
            "measuring-force"
        ]
    );
    let sum: f64 = document["corrections"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c["value"].as_f64().unwrap())
        .sum();
    let size = document["size"]["value"].as_f64().unwrap();
    assert!((8.9285 + sum - size).abs() < 1e-9);
    let shares: f64 = document["budget"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| line["share"].as_f64().unwrap())
        .sum();
    assert!((shares - 1.0).abs() < 1e-9);
    assert_eq!(document["decision"]["decision"], "accept");
    assert_eq!(document["decision"]["rule"], "iso14253-1");
    let u = document["size"]["standard_uncertainty"].as_f64().unwrap();
    let k = document["size"]["coverage_factor"].as_f64().unwrap();
    assert!((document["size"]["expanded_uncertainty"].as_f64().unwrap() - k * u).abs() < 1e-12);
}

#[test]
fn undecided_near_a_limit_and_another_thread() {
    let bench = Bench::new();
    std::fs::copy(
        crate::bench::root().join("demo/2-cock-screw.csv"),
        bench.path("2-cock-screw.csv"),
    )
    .unwrap();
    let near = bench.demo("2-cock-screw.toml", &[]);
    let other = bench.demo("3-dial-bolt.toml", &[]);
    let run = bench.run(&[
        "inspect",
        near.to_str().unwrap(),
        other.to_str().unwrap(),
        "--json",
    ]);
    let documents = run.documents();
    assert_eq!(documents[0]["decision"]["decision"], "undecided");
    assert_eq!(documents[0]["readings"][1]["place"], "near the head, 90°");
    assert_eq!(documents[1]["decision"]["decision"], "reject");
    assert!(
        warns(&documents[1], "other-thread"),
        "{}",
        documents[1]["warnings"]
    );
}

/// Each names the file, the line and what would be right, in one sentence; nothing is recorded.
#[test]
fn wrong_job_files() {
    /// What is changed in the file, and what is told of it.
    type Case<'a> = (&'a [(&'a str, &'a str)], &'a [&'a str]);
    let cases: &[Case<'_>] = &[
        (
            &[("rule = \"iso14253-1\"", "rule = \"feeling\"")],
            &["decision.unknown-rule"],
        ),
        (
            &[("[\"0\", \"25\"]", "[\"0\", \"five\"]")],
            &[
                "1-rating-screw.toml:23:15: ",
                "`five`",
                "entry.not-a-number",
            ],
        ),
        (&[("unit = \"mm\" ", "# ")], &["entry.no-unit"]),
        (
            &[("unit = \"mm\" ", "unit = \"furlong\" ")],
            &["jobfile.no-unit"],
        ),
        (&[("person = ", "persn = ")], &["jobfile.unknown-key-near"]),
        (
            &[("[part]\nname = \"pendulum rating screw\"\n", "[part]\n")],
            &["jobfile.missing-key"],
        ),
        (
            &[(
                "designation = \"M10x1.5-6g\" ",
                "designation = \"M10x1.5-6k\" ",
            )],
            &["designation.unknown-class"],
        ),
        (
            &[(
                "values = [\"8.929\", \"8.930\"]",
                "values = [\"8.929\", \"0.3515in\"]",
            )],
            &["jobfile.mixed-units"],
        ),
        (
            &[("values = [\"8.929\", \"8.930\"]", "values = [8.929, 8.93O]")],
            &["jobfile.not-toml"],
        ),
        (
            &[("2026-03-09T09:40:00Z", "\"9.3.2026\"")],
            &["jobfile.no-time"],
        ),
        (
            &[("due = 2026-09-30", "due = \"next year\"")],
            &["jobfile.no-date"],
        ),
        (&[("[zero] ", "[ze")], &["1-rating-screw.toml:"]),
        (
            &[(
                "[instrument.error_curve] ",
                "maximum_permissible_error = \"4um\"\n[instrument.error_curve] ",
            )],
            &["jobfile.instrument-errors"],
        ),
        (
            &[(
                "designation = \"M10x1.5-6g\" ",
                "designation = \"M10x1.5-6g\"\nname = \"x\" ",
            )],
            &["jobfile.name-beside-designation"],
        ),
        (
            &[("size = \"9.9994\" ", "size = \"30\" ")],
            &["job.standard-outside-range"],
        ),
        (
            &[("part_material = \"brass\"", "part_material = \"cheese\"")],
            &["job.material"],
        ),
    ];
    for (changes, expected) in cases {
        let bench = Bench::new();
        let job = bench.demo("1-rating-screw.toml", changes);
        let run = bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
        run.refused(expected);
        assert_eq!(run.err.lines().count(), 1, "{}", run.err);
        assert_eq!(run.out, "");
        assert!(!bench.path("data/midflank/ledger.db").exists());
    }
}

#[test]
fn files_that_are_no_job() {
    let bench = Bench::new();
    let run = bench.run(&["inspect", "nowhere.toml"]);
    assert_eq!(run.status, 2);
    assert!(run.err.contains("cannot read nowhere.toml"), "{}", run.err);
    let binary = bench.write("binary.toml", b"unit = \"mm\"\n\xff\xfe");
    let run = bench.run(&["inspect", binary.to_str().unwrap()]);
    assert_eq!(run.status, 2);
    assert!(
        says(&run.err, "jobfile.not-utf-8") && run.err.contains("binary.toml:2"),
        "{}",
        run.err
    );
    let folder = bench.run(&["inspect", "."]);
    assert_eq!(folder.status, 2, "{}", folder.err);
    let empty = bench.write("empty.toml", "");
    let run = bench.run(&["inspect", empty.to_str().unwrap()]);
    assert!(
        says(&run.err, "jobfile.missing-section") && run.err.contains("[part]"),
        "{}",
        run.err
    );
}

/// Readings as a data cable leaves them: with and without header, semicolons with decimal commas, a byte-order mark.
#[test]
fn readings_from_a_file() {
    let good = [
        "0.2129\n0.2130\n0.2129\n",
        "0.2129 in\r\n0.2130 in\r\n0.2129 in\r\n",
        "\u{feff}reading;angle\n0,2129;0\n0,2130;90\n0,2129;180\n",
        "n\treading\tunit\n1\t0.2129\tin\n2\t0.2130\tin\n3\t0.2129\tin\n",
    ];
    for text in good {
        let bench = Bench::new();
        let job = bench.demo("2-cock-screw.toml", &[]);
        bench.write("2-cock-screw.csv", text);
        let document = bench
            .run(&["inspect", job.to_str().unwrap(), "--json"])
            .json();
        assert_eq!(document["readings"].as_array().unwrap().len(), 3, "{text}");
    }
    let bad: &[(&str, &[&str])] = &[
        (
            "0.2129\n0.21x\n",
            &["2-cock-screw.csv:2: ", "`0.21x`", "entry.unknown-unit"],
        ),
        ("reading,colour\n0.2129,red\n", &["jobfile.unknown-column"]),
        ("reading,angle\n0,2129,0\n", &["jobfile.fields"]),
        ("reading,angle\n0.2129,north\n", &["number-given.none"]),
        ("reading,angle\n0.2129,1e308\n", &["number-given.outside"]),
        (
            "reading,along\n0.2129,a\u{202e}b\n",
            &["text-given.direction"],
        ),
        (
            "reading,unit\n0.2129,in\n5.41,mm\n",
            &["jobfile.mixed-units"],
        ),
        ("0.2129\n0.2130\n0.2", &["jobfile.cut-line"]),
        (
            "reading,unit,along\n0.2129,in,\"head\n0.2230,in,end\n",
            &["jobfile.open-quote", "2"],
        ),
        ("reading\n", &["job.no-readings"]),
        ("", &["job.no-readings"]),
    ];
    for (text, expected) in bad {
        let bench = Bench::new();
        let job = bench.demo("2-cock-screw.toml", &[]);
        bench.write("2-cock-screw.csv", text);
        let run = bench.run(&["inspect", job.to_str().unwrap()]);
        run.refused(expected);
    }
    let bench = Bench::new();
    let job = bench.demo("2-cock-screw.toml", &[]);
    let run = bench.run(&["inspect", job.to_str().unwrap()]);
    assert!(
        run.err.contains("cannot read") && run.err.contains("2-cock-screw.csv"),
        "{}",
        run.err
    );
}

/// The same seed gives the same digits, whatever the threads; the interval is near that of the budget; what is recorded
/// is computed again.
#[test]
fn by_monte_carlo() {
    let bench = Bench::new();
    let job = bench.demo("1-rating-screw.toml", &[]);
    let job = job.to_str().unwrap();
    let run = |more: &[&str]| bench.run(&[&["inspect", job], more].concat());
    let document = run(&["--monte-carlo", "--seed", "7", "--json"]).json();
    let found = &document["monte_carlo"];
    assert_eq!(found["seed"], 7);
    assert_eq!(found["stabilized"], true);
    let number = |value: &serde_json::Value| value.as_f64().unwrap();
    let (size, u) = (
        number(&document["size"]["value"]),
        number(&document["size"]["standard_uncertainty"]),
    );
    assert!((number(&found["value"]) - size).abs() < u / 10.0, "{found}");
    let low = number(&found["interval"]["lower"]);
    let high = number(&found["interval"]["upper"]);
    // The flank angles are a rectangle and most of u, so that less than 1.96 u is enough.
    assert!(
        low < size - 1.8 * u && high > size + 1.8 * u && high - low < 8.0 * u,
        "{found}"
    );
    assert_eq!(
        found["validation"]["valid"],
        number(&found["validation"]["lower"]) <= number(&found["validation"]["tolerance"])
            && number(&found["validation"]["upper"]) <= number(&found["validation"]["tolerance"])
    );
    assert_eq!(
        document["monte_carlo"],
        run(&["--monte-carlo", "--seed", "7", "--json"]).json()["monte_carlo"]
    );
    assert_ne!(
        document["monte_carlo"],
        run(&["--monte-carlo", "--seed", "8", "--json"]).json()["monte_carlo"]
    );
    assert!(run(&["--json"]).json().get("monte_carlo").is_none());
    let words = run(&["--monte-carlo", "--record"]);
    assert!(words.out.contains("Monte Carlo"), "{}", words.out);
    for line in words.out.lines() {
        assert!(line.chars().count() <= 78, "{line}");
    }
    let verified = bench.run(&["ledger", "verify"]);
    assert!(
        verified.out.contains("1 recalculated with the same result"),
        "{}",
        verified.out
    );
    assert!(bench.run(&["report", "1"]).out.contains("shortest"));
    assert_eq!(run(&["--seed", "7"]).status, 2);
    let few = run(&["--monte-carlo", "--trials", "3"]);
    assert_eq!(
        (few.status, few.err.contains("trials")),
        (2, true),
        "{}",
        few.err
    );
}

/// The job of a screw near its limit, with its readings beside it.
fn near_its_limit(bench: &Bench) -> std::path::PathBuf {
    bench.write(
        "2-cock-screw.csv",
        std::fs::read(crate::bench::root().join("demo/2-cock-screw.csv")).unwrap(),
    );
    bench.demo("2-cock-screw.toml", &[])
}

#[test]
fn what_would_settle_it() {
    let bench = Bench::new();
    let near = near_its_limit(&bench);
    let near = near.to_str().unwrap();
    let settle = bench.run(&["inspect", near, "--json"]).json()["settle"].clone();
    assert_eq!(settle["way"], "several-lines", "{settle}");
    let words = bench.run(&["inspect", near]).out;
    assert_says(&words, "settle.several-lines");
    let well = bench.demo("1-rating-screw.toml", &[]);
    let well = bench
        .run(&["inspect", well.to_str().unwrap(), "--json"])
        .json();
    assert!(well.get("settle").is_none());
}

/// What is owned is told at the bench; it is no input of the record, which is computed again without it.
#[test]
fn what_is_at_hand_to_settle_it() {
    let bench = Bench::new();
    let near = near_its_limit(&bench);
    let near = near.to_str().unwrap();
    let settle = bench.run(&["inspect", near, "--json"]).json()["settle"].clone();
    assert!(settle.get("at_hand").is_none(), "{settle}");
    let equipment = crate::bench::root().join("demo/features/equipment.toml");
    let added = bench.run(&["equipment", "add", equipment.to_str().unwrap()]);
    assert_eq!(added.status, 0, "{}", added.err);
    let settle = bench.run(&["inspect", near, "--json"]).json()["settle"].clone();
    let at_hand = settle["at_hand"].as_str().unwrap();
    let told = |text: &str| {
        let codes = ["nothing", "not-good-enough", "would-do"];
        codes
            .iter()
            .any(|code| says(text, &format!("at-hand.{code}")))
    };
    assert!(told(at_hand), "{at_hand}");
    let recorded = bench.run(&["inspect", near, "--record"]);
    assert!(told(&recorded.out), "{}", recorded.out);
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

/// Until zero was checked again, and was where it had been.
#[test]
fn provisional_until_a_good_closing_check() {
    let bench = Bench::new();
    let after = "after = [\"10.002\", \"10.002\", \"10.001\"]";
    let run = |now: &str| {
        let job = bench.demo("1-rating-screw.toml", &[(after, now)]);
        bench
            .run(&["inspect", job.to_str().unwrap(), "--json"])
            .json()["decision"]
            .clone()
    };
    assert_eq!(run(after).get("provisional"), None);
    let open = run("");
    assert_eq!(
        (&open["decision"], &open["provisional"]),
        (&"accept".into(), &true.into())
    );
    let moved = run("after = [\"10.012\", \"10.012\", \"10.011\"]");
    assert_eq!(
        (&moved["decision"], &moved["provisional"]),
        (&"undecided".into(), &true.into())
    );
}

/// Four degrees of freedom carry the budget of this job: the trials do not confirm it, and the report names the line. A size
/// that lies nearer to the end of its zone than the two intervals lie apart stays open.
#[test]
fn a_budget_that_the_trials_do_not_confirm() {
    let bench = Bench::new();
    let run = |shift: bool| {
        // Two of the six places: few degrees of freedom.
        let job = fs::read_to_string(root().join("demo/4-winding-square.toml")).unwrap();
        let (before, after) = job
            .split_once("[[readings.place]]\nalong = \"near the head\"")
            .unwrap();
        let (_, after) = after.split_once("[temperature]").unwrap();
        let mut job = format!("{before}[temperature]{after}");
        if shift {
            // Up by 60.4 µm.
            job = job
                .replace("\"10.22", "\"10.28")
                .replace("\"10.00004\"", "\"10.00044\"");
        }
        let job = bench.file("job.toml", &job);
        let run = |more: &[&str]| bench.run(&[&["inspect", &job], more].concat());
        (
            run(&["--monte-carlo"]).out,
            run(&["--monte-carlo", "--json"]).json(),
            run(&["--json"]).json(),
        )
    };
    let (text, trials, _) = run(false);
    assert_says(&text, "monte-carlo.differs-by");
    assert!(warns(&trials, "trials-differ"), "{trials}");
    assert_eq!(trials["decision"]["decision"], "accept");

    let (_, trials, budget) = run(true);
    assert_eq!(budget["decision"]["decision"], "accept");
    assert_eq!(trials["decision"]["decision"], "undecided");
    assert_eq!(trials["decision"]["because"], "trials-differ");
}

/// No flank is without error: half a minute is the least that a measurement of one leaves.
#[test]
fn flanks_without_any_error_are_refused() {
    let bench = Bench::new();
    for (key, within) in [("flank_angle", "0"), ("flank_angle", "0.4")] {
        let job = bench.demo(
            "1-rating-screw.toml",
            &[("[prior]", &format!("[prior]\n{key} = {within}"))],
        );
        let run = bench.run(&["inspect", job.to_str().unwrap()]);
        assert_eq!(run.status, 2, "{}", run.out);
        assert!(
            run.err.contains("0.5") && run.err.contains("120"),
            "{}",
            run.err
        );
    }
}

/// The drift of the zero that is put up with is another one on an inch micrometer.
#[test]
fn the_default_of_the_drift_is_listed_for_both_units() {
    let listed = Bench::new().run(&["default", "list"]).out;
    let drift = listed
        .lines()
        .find(|line| line.starts_with("drift-limit "))
        .unwrap();
    assert!(
        drift.contains("2.0 µm") && drift.contains("0.00010 in"),
        "{drift}"
    );
}
