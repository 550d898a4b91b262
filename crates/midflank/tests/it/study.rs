//! `midflank study`: its documents, its words and its refusals. What the numbers are is tested in `metrology`.

use crate::bench::Bench;
use crate::said::{assert_says, assert_silent};

/// Every command with a table that it takes, and keys of its document.
const STUDIES: &[(&[&str], &str, &[&str])] = &[
    (
        &["summary"],
        "value\n1\n2\n4\n",
        &["n", "mean", "standard_deviation", "autocorrelation"],
    ),
    (
        &["one-way"],
        "group,value\na,1\na,2\nb,3\nb,5\n",
        &[
            "between",
            "within",
            "f",
            "p",
            "r_squared",
            "residual_standard_deviation",
        ],
    ),
    (
        &["repeatability", "--tolerance", "4mm", "--method", "anova"],
        GAUGE,
        &[
            "method",
            "repeatability",
            "reproducibility",
            "interaction",
            "gauge_rr",
            "part",
            "total",
            "percent_of_total",
            "percent_of_tolerance",
            "distinct_categories",
            "anova",
        ],
    ),
    (
        &["repeatability", "--method", "range"],
        GAUGE,
        &["constants", "gauge_rr"],
    ),
    (
        &["type-1", "--reference", "10mm", "--tolerance", "1mm"],
        VALUES,
        &["cg", "cgk", "bias"],
    ),
    (
        &["bias", "--reference", "10mm"],
        VALUES,
        &["bias", "by_deviation", "by_range"],
    ),
    (
        &["linearity"],
        "reference,value\n1,1.1\n2,2.3\n3,3.2\n4,4.6\n",
        &["slope", "zero_within"],
    ),
    (&["stability"], VALUES, &["limits", "signals", "trend"]),
    (
        &["chart"],
        VALUES,
        &["limits", "signals", "average_run_length"],
    ),
    (
        &["chart"],
        "subgroup,value\na,1\na,2\nb,1\nb,3\n",
        &["range_limits", "standard_deviation"],
    ),
    (
        &["agreement"],
        "part,rater,rating\n1,a,ok\n2,a,no\n1,b,ok\n2,b,ok\n",
        &["pairs", "fleiss", "unanimous"],
    ),
    (
        &["comparison"],
        "participant,value,expanded_uncertainty,reference,reference_expanded_uncertainty\na,1,0.1,1.1,0.1\n",
        &["participants"],
    ),
    (
        &[
            "capability",
            "--lower",
            "9.5mm",
            "--upper",
            "10.5mm",
            "--standard-uncertainty",
            "5um",
        ],
        VALUES,
        &[
            "n",
            "mean",
            "standard_deviation_within",
            "standard_deviation_overall",
            "cp",
            "cpk",
            "pp",
            "ppk",
            "ppk_interval",
            "without_measurement",
            "tolerance_interval",
            "normality",
        ],
    ),
];

#[test]
fn one_limit_has_a_one_sided_tolerance_limit() {
    let bench = Bench::new();
    let file = bench.file("values.csv", VALUES);
    let of = |limits: &[&str]| {
        let asked = [
            &["study", "capability", &file, "--unit", "mm", "--json"],
            limits,
        ]
        .concat();
        bench.run(&asked).json()["tolerance_limit"].clone()
    };
    // k of ten values, 99 % with 95 % confidence: 3.981 (NIST/SEMATECH e-Handbook, 7.2.6.3, and printed tables).
    let (upper, lower) = (of(&["--upper", "10.1mm"]), of(&["--lower", "9.9mm"]));
    let close = |value: &serde_json::Value| (value.as_f64().unwrap() - 3.981).abs() < 0.0006;
    assert!(close(&upper["factor"]) && close(&lower["factor"]));
    assert!(upper["at"].as_f64() > Some(10.003) && lower["at"].as_f64() < Some(10.003));
    assert!(of(&["--lower", "9.9mm", "--upper", "10.1mm"]).is_null());
}

/// Subgroups of twelve values.
#[test]
fn large_subgroups_are_charted_by_their_standard_deviations() {
    let bench = Bench::new();
    let rows: String = (0..36)
        .map(|i| format!("{},{}\n", i / 12, 10.0 + 0.001 * f64::from(i * 7 % 11)))
        .collect();
    let file = bench.file("values.csv", &format!("subgroup,value\n{rows}"));
    let document = bench.run(&["study", "chart", &file, "--json"]).json();
    assert_eq!(document["kind"], "means-and-deviations");
    assert!(document["range_limits"].is_null());
    assert!(document["deviation_limits"]["lower"].as_f64() > Some(0.0));
    let told = bench.run(&["study", "chart", &file]);
    assert!(told.out.contains("standard deviations"), "{}", told.out);
}

const VALUES: &str = "value\n10.01\n10.02\n9.98\n10.00\n10.03\n9.97\n10.01\n9.99\n10.02\n10.00\n";
const GAUGE: &str = "part,operator,trial,value\n1,a,1,1.0\n1,a,2,1.1\n2,a,1,2.0\n2,a,2,2.1\n1,b,1,1.2\n1,b,2,1.1\n2,b,1,2.2\n2,b,2,2.3\n";

#[test]
fn every_study_answers_in_json_and_in_words() {
    let bench = Bench::new();
    for (command, table, keys) in STUDIES {
        let file = bench.file("readings.csv", table);
        let all = [&["study"], *command, &[&file]].concat();
        let document = bench.run(&[&all[..], &["--json"]].concat()).json();
        for key in *keys {
            assert!(!document[key].is_null(), "{command:?}: {key} in {document}");
        }
        let text = bench.run(&all);
        assert_eq!(text.status, 0, "{command:?} {}", text.err);
        // A place without a value would show its name.
        assert!(
            !text.out.is_empty() && !text.out.contains('{'),
            "{}",
            text.out
        );
    }
}

/// What is wrong in a table is told with its place, and nothing is answered.
#[test]
fn every_study_refuses_what_is_no_table() {
    let bench = Bench::new();
    let wrong: [(&str, &str); 10] = [
        ("", "table.empty"),
        ("HEADER\n", "table.no-rows"),
        ("x\n1\n", "table.no-column"),
        ("value,value\n1,2\n", "table.doubled-column"),
        ("value,x\n1\n", "table.width"),
        ("value,x\n9,98,a\n", "table.decimal-comma"),
        ("value,x\n\"1\n", "table.open-quote"),
        ("value,x\n1,\"a\n2,b\n", "table.open-quote"),
        ("value\ntwo\n", "table.not-a-number"),
        ("value\nNaN\n", "table.not-finite"),
    ];
    for (command, table, _) in STUDIES {
        let header = table.lines().next().unwrap();
        for (text, key) in wrong {
            let only_value = header == "value";
            if text.starts_with("value") && !only_value {
                continue;
            }
            let file = bench.file("wrong.csv", &text.replace("HEADER", header));
            let run = bench.run(&[&["study"], *command, &[&file]].concat());
            assert_eq!(run.status, 2, "{command:?} {text:?} {}", run.out);
            assert!(run.out.is_empty());
            assert_says(&run.err, key);
        }
    }
    let missing = bench.run(&["study", "summary", "nowhere.csv"]);
    assert_eq!(missing.status, 2);
}

#[test]
fn lengths_carry_their_unit() {
    let bench = Bench::new();
    let file = bench.file("readings.csv", VALUES);
    let capability = |lower: &str, upper: &str| {
        bench.run(&[
            "study",
            "capability",
            &file,
            "--lower",
            lower,
            "--upper",
            upper,
            "--json",
        ])
    };
    assert_eq!(capability("9.5", "10.5").status, 2);
    let one = capability("9.5mm", "10.5mm").json();
    let other = capability("9.5mm", "10500um").json();
    assert_eq!(one, other);
    assert_eq!(one["unit"], "mm");
}

#[test]
fn studies_that_cannot_be_evaluated() {
    let bench = Bench::new();
    let refused = |command: &[&str], table: &str, key: &str| {
        let file = bench.file("readings.csv", table);
        let run = bench.run(&[&["study"], command, &[&file]].concat());
        assert_eq!(run.status, 2, "{command:?} {}", run.out);
        assert_says(&run.err, key);
    };
    let one_operator = "part,operator,trial,value\n1,a,1,1.0\n1,a,2,1.1\n2,a,1,2.0\n2,a,2,2.1\n";
    refused(&["repeatability"], one_operator, "study.one-operator");
    let missing = GAUGE.replace("2,b,1,2.2\n2,b,2,2.3\n", "");
    refused(&["repeatability"], &missing, "study.missing-cell");
    let unbalanced = GAUGE.replace("2,b,2,2.3\n", "");
    refused(&["repeatability"], &unbalanced, "study.unbalanced.one");
    refused(&["repeatability", "--alpha", "2"], GAUGE, "study.alpha");
    refused(
        &["repeatability", "--design", "nested"],
        GAUGE,
        "study.shared-part",
    );
    refused(&["one-way"], "group,value\na,1\na,2\n", "study.one-group");
    let constant = "value\n1\n1\n1\n1\n";
    refused(
        &["capability", "--lower", "0mm"],
        constant,
        "study.constant",
    );
    refused(&["capability"], VALUES, "study.no-limit");
    refused(
        &["capability", "--lower", "2mm", "--upper", "1mm"],
        VALUES,
        "study.limits",
    );
    let hidden = [
        "capability",
        "--lower",
        "0mm",
        "--standard-uncertainty",
        "1mm",
    ];
    refused(&hidden, VALUES, "study.hidden");
    refused(&["chart"], "value\n1\n2\n", "study.too-few");
    refused(
        &["agreement"],
        "part,rater,rating\n1,a,ok\n",
        "study.one-rater",
    );
    refused(
        &["linearity"],
        "reference,value\n1,1\n1,2\n1,3\n",
        "study.one-reference",
    );
}

/// The sheet of every study says what the terminal says, and brings its document and its readings along.
#[test]
fn a_study_on_paper_has_what_the_terminal_has() {
    let bench = Bench::new();
    for (arguments, table, _) in STUDIES {
        let file = bench.file("readings.csv", table);
        let study = |more: &[&str]| {
            let all = [&["study"], &arguments[..1], &[&file], &arguments[1..], more].concat();
            let run = bench.run(&all);
            assert_eq!(run.status, 0, "{arguments:?}: {}", run.err);
            run
        };
        let text = study(&[]).out;
        let html = study(&["--html", "-"]).out;
        study(&["--pdf", "study.pdf", "--replace"]);
        let told = |tool: &str, arguments: &[&str]| {
            let mut command = std::process::Command::new(tool);
            let run = command.args(arguments).current_dir(bench.path("."));
            let output = run.output().ok()?;
            assert!(output.status.success(), "{output:?}");
            Some(String::from_utf8_lossy(&output.stdout).into_owned())
        };
        let pdf = told("pdftotext", &["-layout", "study.pdf", "-"]);
        for form in [Some(&html), pdf.as_ref()].into_iter().flatten() {
            for word in text.split_whitespace() {
                let form = form
                    .replace("&amp;", "&")
                    .replace("&gt;", ">")
                    .replace("&lt;", "<");
                assert!(form.contains(word), "{arguments:?}, {word}: {form}");
            }
        }
        if let Some(checked) = told("qpdf", &["--check", "study.pdf"]) {
            assert!(
                checked.contains("No syntax or stream encoding errors"),
                "{checked}"
            );
        }
        if told("pdfdetach", &["-saveall", "study.pdf"]).is_some() {
            let read = |name: &str| std::fs::read_to_string(bench.path(name)).unwrap();
            let attached: serde_json::Value = serde_json::from_str(&read("study.json")).unwrap();
            assert_eq!(attached, study(&["--json"]).json());
            assert_eq!(read("readings.csv"), *table);
        }
        let drawn = html.contains("<svg class=\"drawn\"");
        assert_eq!(
            drawn,
            !["one-way", "agreement"].contains(&arguments[0]),
            "{arguments:?}"
        );
    }
}

/// What is on the record, as a workbook and on paper.
#[test]
fn recorded_sizes_are_a_workbook_and_a_sheet() {
    let bench = crate::lot::with_lot();
    let study = ["study", "recorded", "--lot", crate::lot::LOT];
    let text = bench.run(&study);
    assert_eq!(text.status, 0, "{}", text.err);
    for more in [&["--html", "r.html"][..], &["--pdf", "r.pdf"]] {
        let run = bench.run(&[&study, more].concat());
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let html = std::fs::read_to_string(bench.path("r.html")).unwrap();
    for word in text.out.split_whitespace() {
        assert!(html.contains(word), "{word}: {html}");
    }
    let run = bench.run(&[&study[..], &["--xlsx", "r.xlsx"]].concat());
    if cfg!(feature = "sheets") {
        assert_eq!(run.status, 0, "{}", run.err);
        assert!(
            std::fs::read(bench.path("r.xlsx"))
                .unwrap()
                .starts_with(b"PK")
        );
    } else {
        assert_says(&run.err, "sheet.not-built");
    }
}

/// A piece of a lot counts once, with its latest result; what is in doubt is left out; pieces of a lot make subgroups.
#[test]
fn recorded_sizes_are_charted_by_piece_and_lot() {
    let bench = Bench::new();
    let plan = crate::bench::demo_file("lot/plan.toml");
    let put = |lot: &str, day: &str, pieces: &[(&str, [&str; 3])], closed: bool| {
        let set_up = crate::lot::set_up()
            .replace(crate::lot::LOT, lot)
            .replace("2026-03-10T09", day);
        let readings = crate::lot::file(pieces, closed);
        let run = crate::lot::measure(&bench, &plan, &readings, &set_up, &["--record"]);
        assert!(run.status == 0, "{}", run.err);
    };
    let piece = |name: &'static str, reading: &'static str| (name, [reading; 3]);
    let first = [
        piece("1", "8.929"),
        piece("2", "8.931"),
        piece("3", "8.928"),
        piece("4", "8.930"),
        piece("5", "8.932"),
    ];
    let second = [
        piece("1", "8.927"),
        piece("2", "8.929"),
        piece("3", "8.930"),
        piece("4", "8.933"),
    ];
    put("L-1", "2026-03-10T09", &first, true);
    put("L-2", "2026-03-10T10", &second, true);
    // Piece 1 of the first lot again, and one whose zero was not checked at the end.
    put("L-1", "2026-03-10T11", &[piece("1", "8.934")], true);
    let study = |more: &[&str]| {
        let run = bench.run(&[&["study", "recorded", "--json"], more].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        run.json()
    };
    let found = study(&[]);
    assert_eq!(found["n"], 9);
    assert_eq!((&found["repeats"], &found["lots"]), (&1.into(), &2.into()));
    assert_eq!(found["chart"]["kind"], "individuals");
    assert_eq!(found["chart"]["n"], 9);
    // The size that stands of the piece is the later one: the greatest of all.
    let text = bench.run(&["study", "recorded"]);
    assert_says(&text.out, "studied.recorded-repeats");
    let pairs = study(&["--subgroup", "2"]);
    // Two pairs of the four other pieces of the first lot and the one measured again: one is left over.
    assert_eq!(
        (&pairs["n"], &pairs["in_no_subgroup"]),
        (&9.into(), &1.into())
    );
    assert_eq!(pairs["chart"]["kind"], "means-and-ranges");
    assert_eq!(pairs["chart"]["n"], 4);
    // By hand: ranges of 8.931, 8.928 and 8.930, 8.932 and of 8.927, 8.929 and 8.930, 8.933; d2 of two values is 2/√π.
    let within = pairs["standard_deviation_within"].as_f64().unwrap();
    let by_hand = (0.003 + 0.002 + 0.002 + 0.003) / 4.0 / std::f64::consts::FRAC_2_SQRT_PI;
    assert!((within - by_hand).abs() < 1e-6, "{within} {by_hand}");
}

/// A plan that asks the same of two places of a part has two processes.
#[test]
fn two_numbers_of_a_plan_are_not_one_process() {
    let bench = Bench::new();
    let plan = crate::bench::demo_file("lot/plan.toml");
    let twice = plan.replacen("number = \"2\"", "number = \"9\"", 1);
    assert_ne!(plan, twice);
    let head = twice.split("[[characteristic]]").next().unwrap().to_owned();
    let first = twice.split("[[characteristic]]").nth(1).unwrap();
    let again = first.replacen("number = \"1\"", "number = \"7\"", 1);
    let both = format!("{head}[[characteristic]]{first}[[characteristic]]{again}");
    let path = bench.file("ip.toml", &both);
    let kept = bench.run(&["plan", &path, "--person", "A. Quill"]);
    assert_eq!(kept.status, 0, "{}", kept.err);
    let pieces = ["1", "2", "3", "4"].map(|piece| (piece, crate::lot::GOOD));
    let one = crate::lot::file(&pieces, true);
    let other = one.replace(",1,", ",7,");
    for (readings, hour) in [(one, "09"), (other, "10")] {
        let set_up = crate::lot::set_up().replace("T09", &format!("T{hour}"));
        let run = crate::lot::measure(&bench, &both, &readings, &set_up, &["--record"]);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let run = bench.run(&["study", "recorded"]);
    assert_eq!(run.status, 2, "{}", run.out);
    assert_says(&run.err, "process.two-numbers");
    for (number, status) in [("7", 2), ("1", 2), ("8", 2)] {
        let run = bench.run(&["study", "recorded", "--number", number]);
        assert_eq!(run.status, status, "{}", run.err);
        // All alike, they have no capability; of the other number there is nothing.
        let why = if number == "8" {
            "studied.nothing-recorded"
        } else {
            "study.constant"
        };
        assert_says(&run.err, why);
    }
}

/// Readings that are all alike, in every study that asks how they differ; no number that is none in what is answered.
#[test]
fn constant_readings_are_refused() {
    let bench = Bench::new();
    let values = format!("value\n{}", "10.001\n".repeat(25));
    let file = bench.file("alike.csv", &values);
    let known = ["--reference", "10mm", "--tolerance", "0.1mm"];
    for command in [
        &["type-1", &file, known[0], known[1], known[2], known[3]][..],
        &["bias", &file, known[0], known[1]],
        &["chart", &file],
        &["stability", &file],
    ] {
        let run = bench.run(&[&["study"], command].concat());
        assert_eq!(run.status, 2, "{command:?} {}", run.out);
        assert_says(&run.err, "study.constant");
    }
    let groups = "subgroup,value\na,10.1\na,10.1\nb,10.3\nb,10.3\n";
    let file = bench.file("groups.csv", groups);
    let run = bench.run(&["study", "chart", &file]);
    assert_says(&run.err, "study.no-spread-within");
    let biases = "reference,value\n2,2.1\n2,2.1\n4,4.1\n4,4.1\n";
    let file = bench.file("biases.csv", biases);
    let run = bench.run(&["study", "linearity", &file]);
    assert_says(&run.out, "studied.no-test");
    let document = bench.run(&["study", "linearity", &file, "--json"]).json();
    assert!(document["slope_t"].is_null() && document["slope_p"].is_null());
    let rising: String = (0..10).map(|n| format!("10.00{n}\n")).collect();
    let file = bench.file("rising.csv", &format!("value\n{rising}"));
    let run = bench.run(&["study", "stability", &file]);
    assert_says(&run.out, "studied.trend-alone");
}

/// Thirty values whose mean is 3/5 on paper; in doubles it came out a digit above, and 0.6 lay below it.
#[test]
fn a_mean_that_comes_out_even_has_no_run_beside_it() {
    let bench = Bench::new();
    let values = "-0.5 -0.2 1.5 2.4 2.7 -0.1 1.0 0.9 -0.0 0.2 0.6 1.4 -1.3 0.3 2.8 -1.0 0.9 0.5 0.6 0.5 -1.0 -1.7 -0.9 \
        0.5 -0.1 1.5 1.8 0.5 1.5 2.7";
    let file = bench.file(
        "even.csv",
        &format!(
            "value\n{}\n",
            values.split_whitespace().collect::<Vec<_>>().join("\n")
        ),
    );
    let document = bench.run(&["study", "chart", &file, "--json"]).json();
    assert_eq!(document["limits"]["centre"], 0.6);
    assert_eq!(document["signals"], serde_json::json!([]));
}

/// A tolerance of a tenth of a millimetre, however it is written, against readings in millimetres; and a file that says inches.
#[test]
fn readings_have_one_unit() {
    let bench = Bench::new();
    let file = bench.file("gauge.csv", GAUGE);
    let of =
        |file: &str, more: &[&str]| bench.run(&[&["study", "repeatability", file], more].concat());
    let json = |file: &str, more: &[&str]| of(file, &[more, &["--json"]].concat()).json();
    let written = json(&file, &["--tolerance", "0.1mm"]);
    assert_eq!(written, json(&file, &["--tolerance", "100um"]));
    assert_eq!(written["unit"], "mm");
    let share = |document: &serde_json::Value| {
        document["percent_of_tolerance"]["gauge_rr"]
            .as_f64()
            .unwrap()
    };
    let micrometres = json(&file, &["--tolerance", "100um", "--unit", "um"]);
    assert!((share(&written) / share(&micrometres) - 1000.0).abs() < 1e-6);
    assert_says(
        &of(&file, &["--tolerance", "100um"]).out,
        "studied.in-unit-tolerance",
    );
    let with_unit = |unit: &str| {
        let lines = GAUGE.lines().enumerate();
        let lines = lines.map(|(at, line)| match at {
            0 => format!("{line},unit\n"),
            8 => format!("{line},{unit}\n"),
            _ => format!("{line},in\n"),
        });
        lines.collect::<String>()
    };
    let inches = bench.file("inches.csv", &with_unit("in"));
    let found = json(&inches, &["--tolerance", "25.4mm"]);
    assert_eq!(found["unit"], "in");
    assert!((share(&found) / share(&json(&file, &["--tolerance", "1mm"])) - 1.0).abs() < 1e-12);
    let refused = |file: &str, more: &[&str], key: &str| {
        let run = of(file, more);
        assert_eq!(run.status, 2, "{}", run.out);
        assert_says(&run.err, key);
    };
    refused(&inches, &["--unit", "mm"], "studied.other-unit");
    refused(
        &bench.file("mixed.csv", &with_unit("mm")),
        &[],
        "studied.units",
    );
    refused(
        &bench.file("other.csv", &with_unit("kg")),
        &[],
        "studied.no-unit",
    );
}

/// A length below zero is refused by its study, not by the reader of options.
#[test]
fn negative_lengths_are_answered_in_the_words_of_the_study() {
    let bench = Bench::new();
    let file = bench.file("gauge.csv", GAUGE);
    let run = bench.run(&["study", "repeatability", &file, "--tolerance", "-0.1mm"]);
    assert_eq!(run.status, 2);
    assert_says(&run.err, "study.tolerance");
    let run = bench.run(&["study", "repeatability", &file, "--alpha", "-0.1"]);
    assert_says(&run.err, "study.alpha");
}

/// Dates that fall, in a study that goes by the order of its rows.
#[test]
fn a_series_is_in_order_of_time() {
    let bench = Bench::new();
    let rows: String = (1..=9)
        .map(|day| format!("2026-05-0{},9.00{day}\n", 10 - day))
        .collect();
    let file = bench.file("series.csv", &format!("date,value\n{rows}"));
    for study in ["stability", "chart"] {
        let run = bench.run(&["study", study, &file]);
        assert_eq!(run.status, 2, "{}", run.out);
        assert_says(&run.err, "study.order");
    }
}

/// A range beyond its limit, on the chart of ranges: the other chart has none.
#[test]
fn a_signal_names_its_chart() {
    let bench = Bench::new();
    let group = |name: usize| {
        let half = if name == 5 { 9 } else { 1 };
        format!("{name},10.0{:02}\n{name},10.0{:02}\n", 20 - half, 20 + half)
    };
    let rows: String = (0..12).map(group).collect();
    let file = bench.file("groups.csv", &format!("subgroup,value\n{rows}"));
    let document = bench.run(&["study", "chart", &file, "--json"]).json();
    let signal = serde_json::json!([{"at": 6, "what": "beyond", "chart": "ranges"}]);
    assert_eq!(document["signals"], signal);
    let told = bench.run(&["study", "chart", &file]);
    assert_says(&told.out, "studied.signal-on");
}

/// The means of subgroups have the same rules as single values: eight on one side, six rising. A spread has its limits alone.
#[test]
fn means_of_subgroups_signal_by_runs() {
    let bench = Bench::new();
    let group = |name: usize| {
        let mean = 100 + name;
        format!("{name},10.{:03}\n{name},10.{:03}\n", mean - 15, mean + 15)
    };
    let rows: String = (0..20).map(group).collect();
    let file = bench.file("rise.csv", &format!("subgroup,value\n{rows}"));
    let document = bench.run(&["study", "chart", &file, "--json"]).json();
    let signals = document["signals"].as_array().unwrap();
    let at = |n: usize| {
        let found = signals.iter().find(|signal| signal["at"] == n);
        found.map(|signal| signal["what"].as_str().unwrap())
    };
    assert_eq!(at(5), None);
    assert_eq!(at(6), Some("drift"));
    assert_eq!(at(8), Some("eight-on-one-side"));
    assert!(signals.iter().all(|signal| signal["chart"] == "means"));
    // Two charts of the same subgroups: 0.00915 of ranges of two values beside the 1/122 of means.
    let length = document["average_run_length"].as_f64().unwrap();
    assert!((55.0..65.0).contains(&length), "{length}");
}

/// A mean that is the centre line itself can signal nothing.
#[test]
fn one_subgroup_is_no_chart() {
    let bench = Bench::new();
    let file = bench.file("one.csv", "subgroup,value\n1,8.92\n1,8.93\n1,8.91\n");
    let run = bench.run(&["study", "chart", &file]);
    assert_eq!(run.status, 2, "{}", run.out);
    assert_says(&run.err, "study.few-subgroups");
    let file = bench.file(
        "two.csv",
        "subgroup,value\n1,8.92\n1,8.93\n2,8.91\n2,8.92\n",
    );
    assert_says(
        &bench.run(&["study", "chart", &file]).out,
        "studied.few-subgroups",
    );
}

/// Twelve readings in two days and one every sixty days afterwards: the trend is over the days, not over their order.
#[test]
fn the_trend_of_dated_readings_is_over_the_days() {
    let bench = Bench::new();
    let dated = "date,value\n2026-01-01,10.000\n2026-01-01,10.001\n2026-01-02,10.000\n2026-01-02,10.001\n\
                 2026-01-03,10.000\n2026-01-03,10.001\n2026-05-01,10.003\n2026-09-01,10.006\n";
    let file = bench.file("dated.csv", dated);
    let trend = bench.run(&["study", "stability", &file, "--json"]).json()["trend"].clone();
    assert_eq!(trend["per"], "day");
    // numpy.polyfit over the days 0, 0, 1, 1, 2, 2, 120, 243.
    let slope = trend["slope"].as_f64().unwrap();
    assert!((slope - 2.245_792_461e-5).abs() < 1e-13, "{slope}");
    let told = bench.run(&["study", "stability", &file]);
    assert_says(&told.out, "studied.trend-by-day");
    let bare = bench.file("bare.csv", &dated.replace("date,", "on,"));
    let trend = bench.run(&["study", "stability", &bare, "--json"]).json()["trend"].clone();
    assert_eq!(trend["per"], "reading");
}

#[test]
fn the_range_method_has_no_interaction() {
    let bench = Bench::new();
    let file = bench.file("gauge.csv", GAUGE);
    let of = |method: &str| {
        bench
            .run(&["study", "repeatability", &file, "--method", method])
            .out
    };
    assert_silent(&of("range"), "studied.interaction");
    assert_says(&of("anova"), "studied.interaction");
    assert_says(&of("range"), "studied.no-ranges");
}

#[test]
fn plain_statistics_take_no_two_units() {
    let bench = Bench::new();
    let file = bench.file(
        "u.csv",
        "group,value,unit\na,10,mm\na,11,mm\nb,1,in\nb,2,in\n",
    );
    for study in ["summary", "one-way"] {
        let run = bench.run(&["study", study, &file]);
        assert_eq!(run.status, 2, "{}", run.out);
        assert_says(&run.err, "studied.units");
    }
}

#[test]
fn a_gauge_without_any_spread_is_shown_nothing_of() {
    let bench = Bench::new();
    let mut text = "part,operator,trial,value\n".to_owned();
    for operator in ["A", "B"] {
        for (part, value) in [("a", 1), ("b", 2)] {
            for trial in 1..=2 {
                text += &format!("{part},{operator},{trial},{value}\n");
            }
        }
    }
    let file = bench.file("r.csv", &text);
    let run = bench.run(&["study", "repeatability", &file]);
    assert_says(&run.out, "studied.no-repeatability");
    assert_says(&run.out, "studied.no-categories");
}
