//! The gauge room: calibration, certificates, status, what is due.

use crate::bench::{Bench, changed, demo, demo_file, root};
use crate::said::{assert_says, assert_silent};

fn of_gauge_room(name: &str) -> String {
    let path = root().join("demo/gauge-room").join(format!("{name}.toml"));
    std::fs::read_to_string(path).unwrap()
}

#[test]
fn a_calibration_is_computed_recorded_and_taken_by_the_register() {
    let bench = Bench::new().with_equipment();
    let file = bench.file("c.toml", &of_gauge_room("calibration"));
    let told = bench.run(&["calibrate", &file, "--json"]).json();
    assert_eq!(told["verdict"], "accept");
    assert_eq!(told["traceability"], "in-house");
    let points = told["found"]["points"].as_array().unwrap();
    assert_eq!(points.len(), 9);
    // 15 mm: 15.001333 less 15 mm and 0.06 µm.
    let at_15 = points.iter().find(|point| point["at_mm"] == 15.0).unwrap();
    let error = at_15["error_um"].as_f64().unwrap();
    assert!((error - (4.0 / 3.0 - 0.06)).abs() < 1e-6, "{error}");
    let judged = told["found"]["judged"].as_array().unwrap();
    assert_eq!(judged[0]["norm"], "own");
    assert_eq!(judged[1]["norm"], "din-863-1");
    assert_eq!(judged[2]["norm"], "asme-b89.1.13");
    assert_eq!(judged[2]["limit_um"].as_f64().unwrap(), 2.54);

    let recorded = bench
        .run(&["calibrate", &file, "--record", "--json"])
        .json();
    assert!(recorded["recorded"]["register"].is_string());
    let piece = bench.run(&["equipment", "show", "mic-04", "--json"]).json();
    assert_eq!(piece["certificate"], "IN-2026-04");
    assert!(piece["item"]["errors"]["curve"]["points"].is_array());
    let due = bench.run(&["due", "--on", "2026-04-01", "--json", "--intervals"]);
    let line = due
        .out
        .lines()
        .find(|line| line.contains("mic-04"))
        .unwrap();
    let line: serde_json::Value = serde_json::from_str(line).unwrap();
    assert_eq!(line["status"], "in-use");
    assert_eq!(line["due"], "2027-03-02");
    let days = line["intervals"]["staircase"]["days"].as_f64().unwrap();
    assert!((days - 401.5).abs() < 1e-9, "{days}");
    bench
        .run(&["calibrate", &file, "--record"])
        .refused(&["calibration-record.known"]);
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
    let entry = recorded["recorded"]["calibration"].as_str().unwrap();
    let report = bench.run(&["report", entry]);
    assert!(
        report.out.contains("IN-2026-04"),
        "{}{}",
        report.out,
        report.err
    );
}

#[test]
fn what_is_out_is_quarantined_and_gives_no_verdict() {
    let bench = Bench::new().with_equipment();
    let text = of_gauge_room("calibration").replace("limit = \"4um\"", "limit = \"1um\"");
    let file = bench.file("c.toml", &text);
    let told = bench
        .run(&["calibrate", &file, "--record", "--json"])
        .json();
    assert_eq!(told["verdict"], "reject");
    assert!(told["recorded"]["register"].is_null());
    let notes = told["notes"].to_string();
    assert!(notes.contains("calibration-note.found-out"), "{notes}");
    let by_override = changed(
        "by-identity",
        "\n[decision]\n",
        "\n[override]\nequipment = \"at hand\"\n[decision]\n",
    );
    bench
        .inspect(&by_override)
        .refused(&["barred.piece", "mic-04", "state.quarantined"]);
    let set = |status: &str| {
        bench.run(&[
            "status",
            "set",
            "instrument",
            "mic-04",
            status,
            "--reason",
            "looked at",
            "--person",
            "A. Quill",
        ])
    };
    // That somebody looked at it does not undo what was measured of it.
    set("in-use").refused(&["status-error.failed", "2026-03-02"]);
    let again = of_gauge_room("calibration")
        .replace("IN-2026-04", "IN-2026-05")
        .replace("on = 2026-03-02", "on = 2026-03-03");
    let again = bench.file("again.toml", &again);
    let told = bench
        .run(&["calibrate", &again, "--record", "--json"])
        .json();
    assert_eq!(told["verdict"], "accept");
    assert_eq!(set("in-use").status, 0);
    let result = bench.inspect(&demo("by-identity")).json();
    assert_eq!(result["decision"]["decision"], "accept");
    assert_eq!(set("lost").status, 0);
    bench
        .inspect(&demo("by-identity"))
        .refused(&["barred.piece", "state.lost"]);
}

/// A calibration of this number and day, and with other changes; whether it is recorded.
fn calibrated(
    bench: &Bench,
    number: &str,
    on: &str,
    changes: &[(&str, &str)],
) -> serde_json::Value {
    let mut text = of_gauge_room("calibration")
        .replace("IN-2026-04", number)
        .replace("on = 2026-03-02", &format!("on = {on}"));
    for (from, to) in changes {
        assert!(text.contains(from), "no {from}");
        text = text.replace(from, to);
    }
    let file = bench.file("calibrated.toml", &text);
    let run = bench.run(&["calibrate", &file, "--record", "--json"]);
    assert_eq!(run.status, 0, "{}", run.err);
    run.json()
}

fn status_of_mic(bench: &Bench) -> serde_json::Value {
    let due = bench.run(&["due", "--on", "2026-04-01", "--json"]);
    let line = due.out.lines().find(|line| line.contains("mic-04"));
    serde_json::from_str(line.unwrap()).unwrap()
}

const TIGHT: (&str, &str) = ("limit = \"4um\"", "limit = \"1um\"");

/// By the day of calibration, whatever came on the record first.
#[test]
fn an_older_calibration_changes_nothing() {
    let bench = Bench::new().with_equipment();
    let out = calibrated(&bench, "IN-2", "2026-03-10", &[TIGHT]);
    assert_eq!(out["verdict"], "reject");
    assert_eq!(status_of_mic(&bench)["status"], "quarantined");
    let older = calibrated(&bench, "IN-1", "2026-03-02", &[]);
    assert_eq!(older["verdict"], "accept");
    assert!(older["recorded"]["calibration"].is_string());
    assert!(older["recorded"]["status"].is_null() && older["recorded"]["register"].is_null());
    assert_eq!(status_of_mic(&bench)["status"], "quarantined");
    let now = calibrated(&bench, "IN-3", "2026-03-20", &[]);
    assert!(now["recorded"]["register"].is_string());
    let older = calibrated(
        &bench,
        "IN-0",
        "2026-03-01",
        &[("due = 2027-03-02", "due = 2026-05-01")],
    );
    assert!(older["recorded"]["register"].is_null());
    let piece = bench.run(&["equipment", "show", "mic-04", "--json"]).json();
    assert_eq!(piece["certificate"], "IN-3");
    assert_eq!(status_of_mic(&bench)["due"], "2027-03-02");
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

/// What was measured before somebody set a micrometer apart, or limited it, says nothing of why.
#[test]
fn a_calibration_from_before_a_quarantine_does_not_lift_it() {
    let bench = Bench::new().with_equipment();
    let set = |status: &str, more: &[&str]| {
        let command = ["status", "set", "instrument", "mic-04", status];
        let by = ["--person", "A. Quill", "--reason", "dropped on the floor"];
        let told = bench.run(&[&command[..], &by, more].concat());
        assert_eq!(told.status, 0, "{}", told.err);
    };
    set("quarantined", &[]);
    let text = of_gauge_room("calibration");
    let file = bench.file("c.toml", &text);
    let run = bench.run(&["calibrate", &file, "--record"]);
    assert_says(&run.out, "calibration.status-stays");
    let line = bench.run(&["status", "show", "instrument", "mic-04"]).out;
    assert_says(&line, "calibration.reason-before");
    bench
        .inspect(&demo("by-identity"))
        .refused(&["barred.piece", "mic-04", "state.quarantined"]);
    // Nor does one more, and the curve is in the register all the same.
    let told = calibrated(&bench, "IN-5", "2026-03-20", &[]);
    assert!(told["recorded"]["register"].is_string());
    assert_eq!(status_of_mic(&bench)["status"], "quarantined");
    set("limited", &["--for", "size"]);
    calibrated(&bench, "IN-6", "2026-03-21", &[]);
    let line = bench.run(&["status", "show", "instrument", "mic-04", "--json"]);
    let line = line.documents().pop().unwrap();
    assert_eq!(line["status"], "limited");
    assert_eq!(line["limited_to"][0], "size");
    assert_eq!(line["calibration"], "IN-6");
    set("in-use", &[]);
    calibrated(&bench, "IN-7", "2026-03-22", &[]);
    assert_eq!(status_of_mic(&bench)["status"], "in-use");
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

/// One that decides nothing is not said to have failed, and one over a part of the range does not undo a rejection.
#[test]
fn a_calibration_sets_the_status_that_it_shows() {
    let bench = Bench::new().with_equipment();
    let near = [
        ("limit = \"4um\"", "limit = \"2.4um\""),
        ("guard = \"simple\"", "guard = \"guarded\""),
    ];
    let told = calibrated(&bench, "IN-1", "2026-03-02", &near);
    assert_eq!(told["verdict"], "undecided", "{told}");
    let line = bench.run(&["status", "show", "instrument", "mic-04"]).out;
    assert!(
        line.contains("undecided") && !line.contains("outside"),
        "{line}"
    );
    calibrated(&bench, "IN-2", "2026-03-03", &[TIGHT]);
    let part = [(
        "[[found]]\nat = 25\nreadings = [25.002, 25.003, 25.002]\n",
        "",
    )];
    let told = calibrated(&bench, "IN-3", "2026-03-04", &part);
    assert_eq!(told["verdict"], "accept");
    assert_eq!(status_of_mic(&bench)["status"], "quarantined");
    let set = [
        "status",
        "set",
        "instrument",
        "mic-04",
        "in-use",
        "--reason",
        "x",
        "--person",
        "A. Quill",
    ];
    bench
        .run(&set)
        .refused(&["status-error.failed", "2026-03-03"]);
    calibrated(&bench, "IN-4", "2026-03-05", &[]);
    assert_eq!(status_of_mic(&bench)["status"], "in-use");
}

#[test]
fn what_rests_on_a_withdrawn_calibration_gives_no_verdict() {
    let bench = Bench::new().with_equipment();
    let told = calibrated(&bench, "IN-1", "2026-03-02", &[]);
    let entry = told["recorded"]["calibration"].as_str().unwrap();
    let amend = [
        "ledger",
        "amend",
        entry,
        "--reason",
        "wrong blocks",
        "--person",
        "A. Quill",
    ];
    let run = bench.run(&amend);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_says(&run.out, "ledger.withdrawn-calibration");
    assert!(!run.out.contains("--job"), "{}", run.out);
    assert_eq!(status_of_mic(&bench)["status"], "quarantined");
    let set = [
        "status",
        "set",
        "instrument",
        "mic-04",
        "in-use",
        "--reason",
        "x",
        "--person",
        "A. Quill",
    ];
    bench.run(&set).refused(&["status-error.withdrawn", "IN-1"]);
    calibrated(&bench, "IN-2", "2026-03-02", &[]);
    assert_eq!(status_of_mic(&bench)["status"], "in-use");
    assert_eq!(bench.run(&set).status, 0);
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

/// What is computed of these readings at 7.7 mm, or of other changes of the demonstration file.
fn looked_at(bench: &Bench, changes: &[(&str, &str)]) -> crate::bench::Run {
    let mut text = of_gauge_room("calibration");
    for (from, to) in changes {
        assert!(text.contains(from), "no {from}");
        text = text.replacen(from, to, 1);
    }
    let file = bench.file("looked-at.toml", &text);
    bench.run(&["calibrate", &file, "--json"])
}

#[test]
fn readings_that_contradict_each_other_are_taken_again() {
    let bench = Bench::new();
    let at = "[7.702, 7.701, 7.702]";
    let with = |readings: &str| looked_at(&bench, &[(at, readings)]);
    with("[7.702, 7.690, 7.714]").refused(&["calibration-entry.scattered", "7.700"]);
    // A display of 0.001 mm shows three decimals: 7.704 read as 7.70 would pass.
    with("[7.70, 7.70, 7.70]").refused(&["calibration-entry.lost-digit", "7.700"]);
    with("[7.702, 7.701, 7.7]").refused(&["calibration-entry.lost-digit"]);
    // As far apart as readings of a thousandth lie.
    assert_eq!(with("[7.702, 7.700, 7.703]").json()["verdict"], "accept");
    // What is rejected all the same is put on record.
    let rejected = looked_at(&bench, &[(at, "[7.702, 7.690, 7.714]"), TIGHT]);
    assert_eq!(rejected.json()["verdict"], "reject");
    with("[7.702, 8.201, 7.702]").refused(&["calibration.turn-off", "reading 2"]);
    with("[7.702, 7.701, 7.302]").refused(&["calibration.one-far-off", "reading 3"]);
    with("[8.202, 8.201, 8.202]").refused(&["calibration.far-off"]);
    looked_at(&bench, &[("\"0.6um\"", "\"600um\"")]).refused(&["calibration-file.wavelength"]);
    let wide = [
        ("limit = \"4um\"", "limit = \"2.4um\""),
        (
            "expanded_uncertainty = \"0.12um\"",
            "expanded_uncertainty = \"9um\"",
        ),
    ];
    let told = looked_at(&bench, &wide);
    assert_eq!(told.json()["wider_than_limit"], true);
    assert_says(&told.err, "calibration.wide");
    assert_eq!(looked_at(&bench, &[]).json()["wider_than_limit"], false);
}

/// Where the uncertainty of the difference is larger than its limit the verdict on a pair says little.
#[test]
fn an_uncertainty_beyond_the_limit_of_a_pair_is_told() {
    let bench = Bench::new();
    let told = |uncertainty: &str| {
        let text = of_gauge_room("pair").replace("\"1um\"", uncertainty);
        let file = bench.file("pair.toml", &text);
        bench.run(&["calibrate", &file, "--json"])
    };
    assert_eq!(told("\"1um\"").json()["wider_than_limit"], false);
    let wide = told("\"4um\"");
    assert_eq!(wide.json()["wider_than_limit"], true);
    assert_says(&wide.err, "calibration.wide");
}

/// As at the bench: the set that the chain names may be used, and its blocks are as its certificate has them.
#[test]
fn a_calibration_is_held_against_the_certificate_of_its_blocks() {
    let bench = Bench::new().with_equipment();
    let blocks = bench.file("blocks.toml", &of_gauge_room("blocks"));
    let added = bench.run(&["certificate", "add", &blocks]);
    assert_eq!(added.status, 0, "{}", added.err);
    assert_eq!(looked_at(&bench, &[]).status, 0);
    looked_at(
        &bench,
        &[("deviation = \"0.04um\"", "deviation = \"40um\"")],
    )
    .refused(&["calibration-entry.other-block", "K-1190"]);
    let set = [
        "status",
        "set",
        "gauge-blocks",
        "gb-1",
        "quarantined",
        "--reason",
        "dropped",
        "--person",
        "A. Quill",
    ];
    let set = bench.run(&set);
    assert_eq!(set.status, 0, "{}", set.err);
    looked_at(&bench, &[]).refused(&["calibration-entry.unfit-blocks", "gb-1"]);
    // The pair is marked for 1 mm to 1.75 mm.
    let pair = of_gauge_room("pair").replace("pitch = 1.5", "pitch = 2.5");
    let pair = bench.file("pair.toml", &pair);
    bench
        .run(&["calibrate", &pair])
        .refused(&["calibration-entry.other-pitch", "plug-10x1.5"]);
}

/// As at the bench: a plug that is registered may be used, and is as large as the register has it.
#[test]
fn a_check_of_a_pair_is_held_against_its_registered_plugs() {
    let bench = Bench::new().with_equipment();
    let check = || {
        bench.run(&[
            "calibrate",
            &bench.file("pair.toml", &of_gauge_room("pair")),
        ])
    };
    let register = |size: &str, reason: &[&str]| {
        let plug = format!(
            "person = \"A. Quill\"\nunit = \"mm\"\n[[standard]]\nid = \"plug-8x1\"\nform = \"thread-plug\"\n\
             size = {size}\nexpanded_uncertainty = \"1um\"\ncoverage_factor = 2\n"
        );
        let file = bench.file("plug.toml", &plug);
        let added = bench.run(&[&["equipment", "add", &file][..], reason].concat());
        assert_eq!(added.status, 0, "{}", added.err);
    };
    register("7.3562", &[]);
    check().refused(&["calibration-entry.other-plug", "plug-8x1"]);
    register("7.3510", &["--reason", "certificate misread"]);
    assert_eq!(check().status, 0);
    let set = ["status", "set", "standard", "plug-8x1", "quarantined"];
    let why = ["--reason", "dropped", "--person", "A. Quill"];
    assert_eq!(bench.run(&[set.as_slice(), &why].concat()).status, 0);
    check().refused(&["calibration-entry.unfit-plug", "plug-8x1"]);
}

/// A GO plug wears smaller: one that is certified below its wear limit is said to be worn out when its certificate is put in.
#[test]
fn a_gauge_past_its_wear_limit_is_told() {
    let bench = Bench::new().with_equipment();
    let add = |number: &str, size: &str| {
        let text = of_gauge_room("gauge")
            .replace("C-5512", number)
            .replace("9.0285", size);
        let file = bench.file("gauge.toml", &text);
        let run = bench.run(&["certificate", "add", &file]);
        assert_eq!(run.status, 0, "{}", run.err);
        run.err
    };
    assert!(!add("C-1", "9.0285").contains("wear limit"));
    assert_says(&add("C-2", "9.0100"), "certificate.gauge-worn");
    // One that accepts parts beyond the limit is told too.
    let text = of_gauge_room("gauge").replace("go-plug-12", "not-go-ring-10");
    let file = bench.file("ring.toml", &text.replace("9.0285", "8.8000"));
    let run = bench.run(&["certificate", "add", &file]);
    assert_says(&run.err, "certificate.gauge-past-limit");
}

#[test]
fn overdue_equipment_gives_a_result_only_by_an_extension() {
    let bench = Bench::new().with_equipment();
    let set = |more: &[&str]| {
        let mut arguments = vec![
            "status",
            "set",
            "instrument",
            "mic-04",
            "in-use",
            "--person",
            "A. Quill",
            "--reason",
            "laboratory late",
        ];
        arguments.extend(more);
        bench.run(&arguments)
    };
    assert_eq!(set(&["--due", "2025-01-31"]).status, 0);
    let result = bench.inspect(&demo("by-identity")).json();
    assert_eq!(result["decision"]["decision"], "undecided");
    assert_eq!(result["decision"]["because"], "overdue");
    set(&["--extend-until", "2099-01-31"]).refused(&[]);
    set(&["--extend-until", "2025-03-01", "--check", "two blocks"])
        .refused(&["status-error.extension-past"]);
    let extended = set(&[
        "--extend-until",
        "2099-01-31",
        "--check",
        "blocks of 5 and 20 mm",
    ]);
    assert_eq!(extended.status, 0, "{}", extended.err);
    let result = bench.inspect(&demo("by-identity")).json();
    assert_eq!(result["decision"]["decision"], "accept");
    let file = bench.file("job.toml", &demo("by-identity"));
    let report = bench.run(&["inspect", &file]);
    let words = report.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("blocks of 5 and 20 mm"), "{words}");
    // The due date and the end of the extension are told apart, in every format.
    let recorded = bench.run(&["inspect", &file, "--record"]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let entries = bench.run(&["ledger", "list", "--limit", "1", "--json"]);
    let entry = entries.json()["id"].as_str().unwrap().to_owned();
    let html = bench.run(&["report", &entry, "--html", "-"]).out;
    for told in [&report.out, &html] {
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains("due 2025-01-31"), "{told}");
        assert!(!told.contains("due 2099-01-31"), "{told}");
        assert_says(&told, "due.extended");
    }
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);

    // An extension that is not needed yet is no due date either.
    let again = [
        "--due",
        "2027-01-31",
        "--extend-until",
        "2099-01-31",
        "--check",
        "two blocks",
    ];
    assert_eq!(set(&again).status, 0);
    let told = bench.run(&["inspect", &file]).out;
    assert!(told.contains("2027-01-31"), "{told}");
    assert!(!told.contains("2099"), "{told}");
    // On the label of the micrometer it is none.
    let shown = bench.run(&["equipment", "show", "mic-04", "--json"]).json();
    assert_eq!(shown["due"], "2027-01-31");
}

#[test]
fn limited_equipment_says_what_it_may_be_used_for() {
    let bench = Bench::new().with_equipment();
    let set = |what: &[&str]| {
        let mut arguments = vec![
            "status",
            "set",
            "instrument",
            "mic-04",
            "limited",
            "--person",
            "A. Quill",
            "--reason",
            "worn near 20 mm",
        ];
        arguments.extend(what);
        bench.run(&arguments)
    };
    set(&[]).refused(&["status-error.limited-to-nothing"]);
    set(&["--for", "size", "rough-work"]).refused(&[
        "status-error.no-such-use",
        "rough-work",
        "pitch-diameter",
    ]);
    assert_eq!(set(&["--for", "tube-wall"]).status, 0);
    let result = bench.inspect(&demo("by-identity")).json();
    assert_eq!(result["decision"]["because"], "limited");
}

#[test]
fn points_and_stacks_are_proposed_and_whole_turns_warned_of() {
    let bench = Bench::new();
    let text = of_gauge_room("calibration");
    let (head, _) = text.split_once("\n[[found]]").unwrap();
    let file = bench.file("c.toml", head);
    let plan = bench.run(&["calibrate", &file, "--json"]).json();
    let points = plan["points"].as_array().unwrap();
    assert_eq!(points[1]["at_mm"].as_f64().unwrap(), 2.5);
    assert_eq!(points[2]["blocks"][0], "4.0mm");
    assert_eq!(plan["widest_gap"].as_f64().unwrap(), 0.2);
    bench
        .run(&["calibrate", &file, "--record"])
        .refused(&["calibration.nothing-found"]);
    let whole = format!(
        "{head}\n{}",
        "[[found]]\nat = 4\nreadings = [4.000, 4.001]\n\n[[found]]\nat = 15\nreadings = [15.001, 15.001]\n\n[[found]]\nat = 25\nreadings = [25.001, 25.001]\n"
    );
    let file = bench.file("w.toml", &whole);
    let told = bench.run(&["calibrate", &file, "--json"]).json();
    let notes = told["notes"].to_string();
    assert!(notes.contains("calibration-note.whole-turns"), "{notes}");
    let wrong = whole.replace("at = 15", "blocks = [14]");
    bench
        .run(&["calibrate", &bench.file("x.toml", &wrong)])
        .refused(&["calibration.no-block"]);
}

#[test]
fn a_pair_on_two_plugs() {
    let bench = Bench::new().with_equipment();
    let text = of_gauge_room("pair");
    let run = |text: &str| bench.run(&["calibrate", &bench.file("p.toml", text), "--json"]);
    let told = run(&text).json();
    assert_eq!(told["verdict"], "accept");
    let worn = run(&text.replace("[7.350, 7.349, 7.350]", "[7.341, 7.342, 7.341]")).json();
    assert_eq!(worn["verdict"], "reject");
    run(&text.replace("pitch = 1.0", "pitch = 1.5")).refused(&["calibration.one-pitch"]);
}

#[test]
fn certificates_keep_their_history_and_show_drift_and_wear() {
    let bench = Bench::new();
    let add = |number: &str, date: &str, value: &str| {
        let text = of_gauge_room("gauge")
            .replace("C-5512", number)
            .replace("date = 2026-02-10", &format!("date = {date}"))
            .replace("value = 9.0285", &format!("value = {value}"));
        bench.run(&["certificate", "add", &bench.file("g.toml", &text)])
    };
    assert_eq!(add("C-1", "2024-02-10", "9.0305").status, 0);
    assert_eq!(add("C-2", "2025-02-10", "9.0290").status, 0);
    assert_eq!(add("C-3", "2026-02-10", "9.0275").status, 0);
    add("C-3", "2026-02-10", "9.0275").refused(&["certificate.known"]);
    add("C-4", "2027-03-10", "9.0275").refused(&["certificate.ahead"]);
    let shown = bench
        .run(&["certificate", "show", "gauge", "go-plug-12", "--json"])
        .json();
    assert_eq!(shown["certificates"].as_array().unwrap().len(), 3);
    let drift = &shown["drift"][0];
    let rate = drift["slope_per_year"].as_f64().unwrap();
    assert!((rate + 0.0015).abs() < 1e-5, "{rate}");
    assert_eq!(drift["worn"], false);
    assert_eq!(&drift["worn_on"].as_str().unwrap()[..4], "2029");
    bench
        .run(&["certificate", "show", "gauge", "go-plug-13"])
        .refused(&["certificate.none"]);
    bench
        .run(&["certificate", "show", "hammer", "h"])
        .refused(&["gauge-room.no-kind"]);
    // A word of the shop is answered with the kind that it means, everywhere alike.
    for (typed, kind) in [
        ("micrometer", "instrument"),
        ("pair", "contacts"),
        ("wire set", "wires"),
        ("ring", "standard or gauge"),
    ] {
        let by = ["--reason", "r", "--person", "A. Quill"];
        let set = ["status", "set", typed, "x", "lost"];
        let of_gauge_room = [
            &["certificate", "show", typed, "x"][..],
            &["status", "show", typed, "x"],
        ];
        let set = [&set[..], &by].concat();
        for command in of_gauge_room.into_iter().chain([&set[..]]) {
            bench
                .run(command)
                .refused(&["gauge-room.kind-meant", typed, kind]);
        }
        for command in [
            &["equipment", "list", "--kind", typed][..],
            &["equipment", "show", "x", "--kind", typed],
        ] {
            bench
                .run(command)
                .refused(&["register.kind-meant", typed, kind]);
        }
    }
    let named = of_gauge_room("gauge").replace("kind = \"gauge\"", "kind = \"plug gauge\"");
    bench
        .run(&["certificate", "add", &bench.file("p.toml", &named)])
        .refused(&["gauge-room.kind-meant", "did you mean gauge?"]);
    let named = "person = \"A\"\n[[micrometer]]\nid = \"m\"\n";
    bench
        .run(&["equipment", "add", &bench.file("m.toml", named)])
        .refused(&["m.toml:2", "jobfile.unknown-key-near", "`instrument`"]);
    let bare = of_gauge_room("gauge")
        .replace("accreditation_body = \"national body\"\n", "")
        .replace("accreditation_number = \"LAB-0417\"\n", "")
        .replace("C-5512", "C-9");
    let run = bench.run(&["certificate", "add", &bench.file("b.toml", &bare)]);
    assert_eq!(run.status, 0);
    assert_says(&run.err, "traced.not-shown");
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

#[test]
fn intervals_of_a_file() {
    let bench = Bench::new();
    let file = bench.file(
        "i.csv",
        "date,error_um\n2022-01-01,0.5\n2023-01-01,1.1\n2024-01-01,1.9\n2025-01-01,2.4\n",
    );
    let told = bench
        .run(&[
            "interval",
            &file,
            "--limit",
            "4um",
            "--expanded-uncertainty",
            "0.8um",
            "--json",
        ])
        .json();
    assert!((told["staircase"]["days"].as_f64().unwrap() - 365.0 * 1.1_f64.powi(4)).abs() < 1e-9);
    assert!((told["staircase"]["long_run"].as_f64().unwrap() - 0.893).abs() < 5e-4);
    let chart = &told["control_chart"];
    assert!((chart["bound_um"].as_f64().unwrap() - 3.2).abs() < 1e-6);
    assert!(told["control_chart_before"]["days"].is_number());
    // Where the chart finds the limit reached there are no days left, whatever the staircase gives.
    let reached = bench.file(
        "r.csv",
        "date,error_um\n2022-01-10,0.5\n2023-01-12,3.9\n2024-01-09,-1.4\n2025-01-15,1.8\n",
    );
    let told = bench
        .run(&["interval", &reached, "--limit", "4um", "--json"])
        .json();
    assert_eq!(told["control_chart"]["error"], "interval.beyond");
    assert_eq!(told["shorter_days"], 0.0);
    assert_eq!(told["next_due"], "2025-01-15");
    let wrong = bench.file("w.csv", "date,error_um\n2025-01-01,0.5\n2024-01-01,1.1\n");
    bench
        .run(&["interval", &wrong, "--limit", "4um"])
        .refused(&["interval.order"]);
}

#[test]
fn a_recall_is_kept_and_decided() {
    let bench = Bench::new().with_equipment();
    for sample in ["1", "2", "3"] {
        let text = changed(
            "by-identity",
            "sample = \"2\"",
            &format!("sample = \"{sample}\""),
        );
        let run = bench.run(&["inspect", &bench.file("j.toml", &text), "--record"]);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let ask = [
        "recall",
        "--instrument",
        "mic-04",
        "--error",
        "4um",
        "--found",
        "2026-11-20",
    ];
    bench.run(&[&ask[..], &["--save"]].concat());
    let run = bench.run(&[&ask[..], &["--save", "--person", "A. Quill", "--json"]].concat());
    assert_eq!(run.status, 0, "{}", run.err);
    assert_eq!(run.documents().len(), 3);
    let listed = bench.run(&["recalls", "list", "--json"]).json();
    assert_eq!(listed["open"], 3);
    let entry = listed["entry"].as_str().unwrap().to_owned();
    let paper = bench.run(&["report", &entry, "--pdf", "case.pdf"]);
    assert_eq!(paper.status, 0, "{}", paper.err);
    assert!(
        std::fs::read(bench.path("case.pdf"))
            .unwrap()
            .starts_with(b"%PDF-1.7")
    );
    let result = listed["results"][0]["entry"].as_str().unwrap().to_owned();
    let decide = |result: &str, what: &str| {
        bench.run(&[
            "recalls", "decide", &entry, what, result, "--person", "A. Quill", "--note", "letter 7",
        ])
    };
    assert_eq!(decide(&result, "informed").status, 0);
    assert_eq!(decide(&result, "scrapped").status, 0);
    decide("999", "informed").refused(&["recall-case.no-result"]);
    let shown = bench.run(&["recalls", "show", &entry, "--json"]).json();
    assert_eq!(shown["open"], 2);
    assert_eq!(shown["decisions"].as_array().unwrap().len(), 2);
    let csv = bench.run(&["recalls", "show", &entry, "--csv"]);
    assert_eq!(csv.out.lines().count(), 4);
    assert!(csv.out.lines().next().unwrap().ends_with("note,lot,piece"));
    assert_eq!(
        bench.run(&["recalls"]).out,
        bench.run(&["recalls", "list"]).out
    );
    assert!(
        csv.out.contains("scrapped,A. Quill,letter 7"),
        "{}",
        csv.out
    );
    // That a result still conforms which without the error is rejected is not said without a word why.
    let mut far = ask;
    far[4] = "90um";
    let far = [&far[..], &["--save", "--person", "A. Quill", "--json"]].concat();
    let far = bench.run(&far).documents();
    let listed = bench.run(&["recalls", "list", "--json"]).documents();
    let (case, result) = (&listed[0]["entry"], &far[0]);
    assert_eq!(
        (&result["before"], &result["after"]),
        (&"accept".into(), &"reject".into())
    );
    let (case, result) = (case.as_str().unwrap(), result["id"].as_str().unwrap());
    let good = [
        "recalls",
        "decide",
        case,
        "still-good",
        result,
        "--person",
        "A. Quill",
    ];
    let report = bench.run(&["report", result]);
    assert_says(&report.out, "report.recalled");
    bench
        .run(&["report", result, "--qif", "one.qif"])
        .refused(&["exchange.recalled"]);
    bench.run(&good).refused(&["recall-case.not-good"]);
    let why = [&good[..], &["--note", "measured again by another way"]].concat();
    assert_eq!(bench.run(&why).status, 0);
    assert_silent(&bench.run(&["report", result]).out, "report.recalled");
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}

/// A certificate of wires, which the register keeps without a date, is the last good check of a recall.
#[test]
fn a_certificate_ends_a_recall() {
    let bench = Bench::new().with_equipment();
    let run = bench.run(&[
        "inspect",
        &bench.file("j.toml", &demo("by-identity")),
        "--record",
    ]);
    assert_eq!(run.status, 0, "{}", run.err);
    let contacts = [
        "recall",
        "--contacts",
        "fl-6",
        "--error",
        "2um",
        "--found",
        "2026-11-20",
    ];
    let linear = [&contacts[..], &["--history", "linear"]].concat();
    bench.run(&linear).refused(&["recall.no-check"]);
    let text = of_gauge_room("gauge")
        .replace("kind = \"gauge\"", "kind = \"contacts\"")
        .replace("go-plug-12", "fl-6")
        .replace("\ndue = 2027-02-10", "")
        .replace("date = 2026-02-10", "date = 2026-01-10");
    let added = bench.run(&["certificate", "add", &bench.file("c.toml", &text)]);
    assert_eq!(added.status, 0, "{}", added.err);
    assert_eq!(bench.run(&linear).status, 0);
}

#[test]
fn wear_of_a_file_and_of_records() {
    let bench = Bench::new().with_equipment();
    let rows: Vec<String> = (0..12)
        .map(|week| {
            let day = jiff::civil::date(2026, 1, 5)
                .checked_add(jiff::Span::new().days(7 * week))
                .unwrap();
            let scatter = if week % 2 == 0 { 0.2 } else { -0.2 };
            format!("{day},{}", -0.2 * week as f64 + scatter)
        })
        .collect();
    let file = bench.file("z.csv", &format!("date,error_um\n{}\n", rows.join("\n")));
    let told = bench
        .run(&["wear", "--file", &file, "--limit", "5um", "--json"])
        .json();
    let slope = told["slope_um_per_year"].as_f64().unwrap();
    assert!((slope + 0.2 * 365.25 / 7.0).abs() < 1.0, "{slope}");
    assert!(told["p"].as_f64().unwrap() < 1e-6);
    let forecast = &told["forecast"];
    assert_eq!(forecast["limit_um"], -5.0);
    let days = ["earliest", "on", "latest"].map(|key| forecast[key].as_str().unwrap().to_owned());
    assert!(days.is_sorted(), "{days:?}");
    let run = bench.run(&[
        "inspect",
        &bench.file("j.toml", &demo("by-identity")),
        "--record",
    ]);
    assert_eq!(run.status, 0);
    let records = bench.run(&["wear", "fl-6", "--json"]).json();
    assert_eq!(records["instrument"], "mic-04");
    assert!(records["n"].as_u64().unwrap() >= 1);
    bench.run(&["wear", "fl-99"]).refused(&["zero-checks.none"]);
    bench
        .run(&["wear", "--file", &file, "--limit", "0um"])
        .refused(&["wear.no-limit"]);
}

#[test]
fn a_check_part_out_of_its_limits_blocks_the_set_up() {
    let bench = Bench::new().with_equipment();
    let check = |reading: &str, day: u32| {
        let at = format!("2026-02-{day:02}T07:00:00Z");
        bench.run(&[
            "check",
            "cp-1",
            reading,
            reading,
            "--instrument",
            "mic-04",
            "--contacts",
            "fl-6",
            "--person",
            "A. Quill",
            "--at",
            &at,
            "--json",
        ])
    };
    for day in 1..=8 {
        let reading = if day % 2 == 0 { "12.001mm" } else { "12.000mm" };
        assert_eq!(check(reading, day).status, 0);
    }
    check("12.5mm", 9).refused(&["check-error.other-part"]);
    let out = check("12.012mm", 9).json();
    assert_eq!(out["out"], true);
    let result = bench.inspect(&demo("by-identity")).json();
    assert_eq!(result["decision"]["because"], "check-out");
    // Another part says nothing of the one that was out.
    let other = [
        "check",
        "cp-2",
        "14.000mm",
        "--instrument",
        "mic-04",
        "--contacts",
        "fl-6",
    ];
    let other = [
        &other[..],
        &["--person", "A. Quill", "--at", "2026-02-09T08:00:00Z"],
    ]
    .concat();
    assert_eq!(bench.run(&other).status, 0);
    let result = bench.inspect(&demo("by-identity")).json();
    assert_eq!(result["decision"]["because"], "check-out");
    // The gauge room may give the part up; for what was measured before, it stays as it was.
    let set = [
        "status",
        "set",
        "check-part",
        "cp-1",
        "retired",
        "--reason",
        "fell",
    ];
    let set = bench.run(&[&set[..], &["--person", "A. Quill"]].concat());
    assert_eq!(set.status, 0, "{}", set.err);
    let result = bench.inspect(&demo("by-identity")).json();
    assert_eq!(result["decision"]["because"], "check-out");
    let now = changed(
        "by-identity",
        "2026-04-14T09:50:00Z",
        &jiff::Timestamp::now().to_string(),
    );
    assert!(bench.inspect(&now).json()["decision"]["because"].is_null());
    let good = check("12.001mm", 10).json();
    assert_eq!(good["out"], false);
    let result = bench.inspect(&demo("by-identity")).json();
    assert_eq!(result["decision"]["decision"], "accept");
}

/// `mic-O4` for `mic-04` would begin a chart of its own, and the set-up that is out of its limits would stay in use.
#[test]
fn a_check_with_equipment_that_nobody_has_is_refused() {
    let bench = Bench::new().with_equipment();
    let check = |instrument: &str, contacts: &str| {
        let with = ["--instrument", instrument, "--contacts", contacts];
        let check = ["check", "cp-1", "12.001mm", "--person", "A. Quill"];
        bench.run(&[&check[..], &with].concat())
    };
    check("mic-O4", "fl-6").refused(&["not-known.near", "mic-04"]);
    check("MIC-04", "fl-6").refused(&["not-known.near", "mic-04"]);
    check("mic-04", "fl-66").refused(&["not-known.near", "fl-6"]);
    check("caliper", "fl-6").refused(&["not-known.nobody"]);
    assert_eq!(check("mic-04", "fl-6").status, 0);
    let room = |thermometer: &str| {
        let room = ["room", "add", "--celsius", "20.4", "--person", "A. Quill"];
        bench.run(&[&room[..], &["--thermometer", thermometer]].concat())
    };
    room("th-22").refused(&["not-known.near", "th-2"]);
    assert_eq!(room("th-2").status, 0);
    // Without a register there is nothing to hold it against.
    let other = Bench::new();
    let check = ["check", "cp-1", "12.001mm", "--person", "A. Quill"];
    let with = ["--instrument", "mic-O4", "--contacts", "fl-6"];
    assert_eq!(other.run(&[&check[..], &with].concat()).status, 0);
}

#[test]
fn the_room_by_hand_and_from_a_logger() {
    let bench = Bench::new();
    let add = bench.run(&[
        "room",
        "add",
        "--thermometer",
        "th-2",
        "--celsius",
        "20.4",
        "--humidity",
        "48",
        "--person",
        "A. Quill",
    ]);
    assert_eq!(add.status, 0, "{}", add.err);
    let log = "time,celsius,humidity\n2026-03-01T06:00:00Z,20.1,45\n2026-03-01T07:00:00Z,20.6,46\n";
    let import = |text: &str| {
        let file = bench.file("log.csv", text);
        bench.run(&[
            "room",
            "import",
            &file,
            "--thermometer",
            "th-2",
            "--person",
            "A. Quill",
        ])
    };
    assert_eq!(import(log).status, 0);
    import(&log.replace("07:00", "05:00")).refused(&["check-error.order"]);
    import(&log.replace("20.6", "206")).refused(&["number-given.outside"]);
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

#[test]
fn a_year_of_an_invented_gauge_room() {
    let bench = Bench::new();
    let filled = bench.run(&["demo", "--year"]);
    assert_eq!(filled.status, 0, "{}{}", filled.out, filled.err);
    let ledger = bench.path("data/midflank/demo/year.db");
    let ledger = ledger.to_str().unwrap();
    let run = |arguments: &[&str]| bench.run(&[&["--ledger", ledger], arguments].concat());
    let wear = run(&["wear", "fl-6", "--json"]).json();
    assert!(wear["slope_um_per_year"].as_f64().unwrap() < 0.0);
    assert!(wear["p"].as_f64().unwrap() < 0.01);
    let due = run(&["due", "--intervals", "--json"]).documents();
    for status in ["in-use", "due-soon", "limited", "lost"] {
        assert!(due.iter().any(|one| one["status"] == status), "{status}");
    }
    assert!(
        run(&["recalls", "list", "--json"]).json()["listed"]
            .as_u64()
            .unwrap()
            > 10
    );
    let verified = run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
    let studies = run(&["study", "list", "--json"]).json();
    assert_eq!(studies[0]["readings"], 90);
    let study = studies[0]["entry"].as_str().unwrap();
    let approved = run(&["default", "list", "--json"]).documents();
    assert!(approved.iter().any(|one| one["study"] == study));
    bench.run(&["demo", "--year"]).refused(&["year.not-empty"]);
}

fn certificate(
    bench: &Bench,
    kind: &str,
    id: &str,
    number: &str,
    (date, quantity, mm): (&str, &str, &str),
) {
    let text = format!(
        r#"person = "A. Quill"
kind = "{kind}"
id = "{id}"
date = {date}
[certificate]
issuer = "laboratory of the county"
number = "{number}"
[[value]]
quantity = "{quantity}"
value = {mm}
unit = "mm"
expanded_uncertainty = 0.0001
coverage_factor = 2
"#
    );
    let run = bench.run(&["certificate", "add", &bench.file("certificate.toml", &text)]);
    assert_eq!(run.status, 0, "{}", run.err);
}

/// By hand, with certificates of which the later is a year younger: 0.4 µm in a year, a year old, rectangular. Three wires
/// count three times at a 60° thread (1 + 1/sin 30°), a setting standard once.
#[test]
fn drift_between_certificates_is_a_line_of_the_budget() {
    let bench = Bench::new().with_equipment();
    let mut job = std::fs::read_to_string(root().join("demo/4-winding-square.toml")).unwrap();
    for (section, id) in [("wires", "w-0866"), ("standard", "block-10")] {
        let (before, rest) = job.split_once(&format!("[{section}]")).unwrap();
        let (_, after) = rest.split_once("\n\n").unwrap();
        job = format!("{before}[{section}]\nid = \"{id}\"\n\n{after}");
    }
    let budget = || {
        let result = bench.inspect(&job).json();
        result["budget"].as_array().unwrap().clone()
    };
    let line = |budget: &[serde_json::Value], name: &str| {
        let line = budget.iter().find(|line| line["name"] == name)?;
        Some((
            line["contribution"].as_f64().unwrap() * 1000.0,
            line["note"].to_string(),
        ))
    };
    let before = budget();
    assert_eq!(line(&before, "wires-drift"), None);
    let (usual, _) = line(&before, "standard-drift").unwrap();
    assert!(
        (usual - 0.2 * 365.0 / 365.25 / 3_f64.sqrt()).abs() < 1e-3,
        "{usual}"
    );

    // One certificate shows no drift, and one of another quantity none either.
    certificate(
        &bench,
        "wires",
        "w-0866",
        "W-1",
        ("2024-03-10", "diameter", "0.8656"),
    );
    certificate(
        &bench,
        "wires",
        "w-0866",
        "W-9",
        ("2024-09-10", "roundness", "0.0002"),
    );
    certificate(
        &bench,
        "standard",
        "block-10",
        "B-1",
        ("2024-03-10", "length", "9.99953"),
    );
    assert_eq!(line(&budget(), "wires-drift"), None);
    certificate(
        &bench,
        "wires",
        "w-0866",
        "W-2",
        ("2025-03-10", "diameter", "0.8660"),
    );
    certificate(
        &bench,
        "standard",
        "block-10",
        "B-2",
        ("2025-03-10", "length", "9.99993"),
    );
    let after = budget();
    let (wires, note) = line(&after, "wires-drift").unwrap();
    assert!((wires - 3.0 * 0.4 / 3_f64.sqrt()).abs() < 2e-3, "{wires}");
    assert!(
        note.contains("note.since-certificates") || note.contains("2 certificates"),
        "{note}"
    );
    let (standard, _) = line(&after, "standard-drift").unwrap();
    assert!((standard - 0.4 / 3_f64.sqrt()).abs() < 1e-3, "{standard}");
    // A certificate of a later day than the measurement is not known to it.
    certificate(
        &bench,
        "wires",
        "w-0866",
        "W-3",
        ("2026-05-10", "diameter", "0.8690"),
    );
    assert_eq!(line(&budget(), "wires-drift").unwrap().0, wires);

    let file = bench.file("recorded.toml", &job);
    let recorded = bench.run(&["inspect", &file, "--record"]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}

/// What was measured while a micrometer was set apart or limited is judged by that, after it was set in use again.
#[test]
fn the_status_at_the_time_of_measurement_counts() {
    let bench = Bench::new().with_equipment();
    let set = |status: &str, more: &[&str]| {
        let command = ["status", "set", "instrument", "mic-04", status];
        let by = ["--person", "A. Quill", "--reason", "looked at"];
        let told = bench.run(&[&command[..], &by, more].concat());
        assert_eq!(told.status, 0, "{}", told.err);
    };
    let of_now = || {
        // The record says when in seconds.
        let a_second = || std::thread::sleep(std::time::Duration::from_millis(1100));
        a_second();
        let now = jiff::Timestamp::now().to_string();
        a_second();
        changed("by-identity", "2026-04-14T09:50:00Z", &now)
    };
    set("quarantined", &[]);
    let apart = of_now();
    set("limited", &["--for", "pitch-diameter"]);
    let limited = of_now();
    set("in-use", &[]);
    let good = of_now();
    bench
        .inspect(&apart)
        .refused(&["barred.then", "mic-04", "state.quarantined"]);
    let of = |job: &str| bench.inspect(job).json()["decision"].clone();
    assert_eq!(of(&limited)["because"], "limited");
    assert_eq!(of(&good)["decision"], "accept");
}

/// What nobody has is refused; what only records know is warned of.
#[test]
fn a_status_is_of_an_identity_that_somebody_has() {
    let bench = Bench::new().with_equipment();
    let of = |kind: &str, id: &str| {
        let command = ["status", "set", kind, id, "quarantined"];
        bench.run(
            &[
                &command[..],
                &["--person", "A. Quill", "--reason", "dropped"],
            ]
            .concat(),
        )
    };
    let set = |id: &str| of("instrument", id);
    set("MIC-04").refused(&["status-error.alike", "mic-04"]);
    // A letter that only looks like the right one, with its place.
    set("mi\u{441}-04").refused(&[
        "status-error.unknown-near",
        "given.foreign-letter",
        "letter 3",
    ]);
    let job = changed("by-identity", "id = \"mic-04\"", "id = \"m\u{456}c-04\"");
    bench.inspect(&job).refused(&[
        "jobfile.unregistered-near",
        "given.foreign-letter",
        "letter 2",
    ]);
    set("mic-40").refused(&[
        "status-error.unknown-near",
        "`mic-04`",
        "status-error.register-it",
    ]);
    set("height-3").refused(&["status-error.unknown", "status-error.register-it"]);
    of("gauge-blocks", "gb-1")
        .refused(&["status-error.unknown", "status-error.record-certificate"]);
    of("check-part", "cp-1").refused(&["status-error.unknown", "status-error.record-check"]);
    assert_eq!(bench.run(&["due", "--json"]).err, "");
    assert!(!bench.run(&["due"]).out.contains("height-3"));

    // A job that describes a micrometer in full is on record.
    let job = changed("plain-diameter", "id = \"mic-04\"", "id = \"height-3\"");
    let job = bench.file("own.toml", &job);
    let recorded = bench.run(&["inspect", &job, "--record"]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let told = set("height-3");
    assert_eq!(told.status, 0, "{}", told.err);
    assert_says(&told.err, "status.not-registered");
    // What the register cannot have is known by its certificate.
    let blocks = bench.file("blocks.toml", &of_gauge_room("blocks"));
    assert_eq!(bench.run(&["certificate", "add", &blocks]).status, 0);
    let told = of("gauge-blocks", "gb-1");
    assert_eq!((told.status, told.err.as_str()), (0, ""));
    of("gauge-blocks", "gb-11").refused(&["status-error.unknown-near", "`gb-1`"]);
}

/// The register knows the due date of a certificate: a job that describes the micrometer itself, with that certificate, is judged by
/// it too, and no later date of the gauge room lifts it without a check.
#[test]
fn what_is_overdue_by_its_certificate_stays_so() {
    let bench = Bench::new();
    let long_ago = |text: String| text.replacen("due = 2027-09-30", "due = 2025-01-31", 1);
    let equipment = demo_file("features/equipment.toml");
    let changed = long_ago(equipment.clone());
    assert_ne!(changed, equipment);
    let added = bench.run(&["equipment", "add", &bench.file("equipment.toml", &changed)]);
    assert_eq!(added.status, 0, "{}", added.err);
    let own = demo_file("1-rating-screw.toml");
    let stated = "due = 2026-09-30\n";
    assert!(own.contains(stated), "{own}");
    let decided = |text: &str| {
        let file = bench.file("job.toml", text);
        bench.run(&["inspect", &file, "--json"]).json()["decision"]["because"].clone()
    };
    for due in ["", "due = 2099-01-01\n"] {
        assert_eq!(decided(&own.replacen(stated, due, 1)), "overdue", "{due:?}");
    }
    // Neither another spelling of its number nor one that nobody knows puts that off; one on record does.
    for number in ["k 2231", "K-9999"] {
        assert_eq!(decided(&own.replacen("K-2231", number, 1)), "overdue");
    }
    let certificate = of_gauge_room("gauge")
        .replace("kind = \"gauge\"", "kind = \"instrument\"")
        .replace("go-plug-12", "mic-04");
    let (head, _) = certificate.split_once("[[value]]").unwrap();
    let number = head
        .lines()
        .find(|line| line.starts_with("number"))
        .unwrap();
    let points = ["0", "25"].map(|at| {
        format!(
            "[[value]]\nquantity = \"error\"\nat = {at}\nvalue = 0.001\nunit = \"mm\"\n\
             expanded_uncertainty = 0.0008\ncoverage_factor = 2\n"
        )
    });
    let later = format!(
        "{}{}",
        head.replace(number, "number = \"K-9999\""),
        points.concat()
    );
    let added = bench.run(&["certificate", "add", &bench.file("c.toml", &later)]);
    assert_eq!(added.status, 0, "{}", added.err);
    let known = decided(&own.replacen("K-2231", "K-9999", 1));
    assert_ne!(known, "overdue");
    let by = ["--person", "A. Quill", "--reason", "label says so"];
    let set = |more: &[&str]| {
        let first = ["status", "set", "instrument", "mic-04", "in-use"];
        bench.run(&[&first[..], more, &by].concat())
    };
    set(&["--due", "2099-01-01"]).refused(&["status-error.put-off", "2025-01-31"]);
    assert_eq!(set(&["--due", "2024-12-31"]).status, 0);
    let until = ["--extend-until", "2099-01-01", "--check", "two blocks"];
    assert_eq!(set(&until).status, 0);
}

/// What the gauge room set is told by the register too, and what the register sets apart by the calendar.
#[test]
fn register_and_calendar_tell_the_same_status() {
    let bench = Bench::new().with_equipment();
    let because = ["--person", "A. Quill", "--reason", "laboratory late"];
    let set = |what: &[&str]| {
        let run = bench.run(&[&["status", "set", "instrument", "mic-04"], what, &because].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        let shown = bench.run(&["equipment", "show", "mic-04", "--json"]).json();
        (shown, bench.run(&["equipment", "show", "mic-04"]).out)
    };
    let of_calendar = || {
        let due = bench.run(&["due", "--json"]).out;
        let all = due.lines().map(|line| serde_json::from_str(line).unwrap());
        let mut all = all.filter(|one: &serde_json::Value| one["id"] == "mic-04");
        all.next().unwrap()
    };
    let (shown, text) = set(&[
        "in-use",
        "--due",
        "2025-01-31",
        "--extend-until",
        "2099-01-31",
        "--check",
        "two blocks",
    ]);
    assert_eq!(shown["status"], "extended");
    assert_eq!(shown["due"], "2025-01-31");
    assert_eq!(shown["extended_until"], "2099-01-31");
    assert_eq!(shown["item"]["due"], "2025-01-31");
    assert_eq!(of_calendar()["due"], shown["due"]);
    assert_eq!(of_calendar()["extended_until"], "2099-01-31");
    let first = text.lines().next().unwrap();
    assert!(
        first.contains("2025-01-31") && first.contains("2099-01-31"),
        "{first}"
    );
    let (shown, text) = set(&["limited", "--for", "size", "--due", "2099-01-31"]);
    assert_eq!(shown["status"], "limited");
    assert_eq!(shown["state"], "active");
    assert_eq!(shown["limited_to"], serde_json::json!(["size"]));
    let history = shown["history"].as_array().unwrap();
    assert_eq!(history.len(), 3);
    assert_eq!(history[2]["state"], "limited");
    assert_eq!(history[2]["reason"], "laboratory late");
    assert!(text.lines().next().unwrap().contains(" limited "), "{text}");
    // What was extended and limited, in the history.
    assert_eq!(history[1]["extension"]["check"], "two blocks");
    assert_eq!(history[1]["extension"]["by"], "A. Quill");
    assert_eq!(history[2]["limited_to"], serde_json::json!(["size"]));
    for told in [
        "status.extension",
        "status.for",
        "2099-01-31",
        "two blocks",
        "for size",
    ] {
        assert!(crate::said::tells(&text, told), "{told}: {text}");
    }
    // One word for what may be used, in every list; the code stays as it is.
    let listed = bench.run(&["equipment", "list"]).out;
    let due = bench.run(&["due"]).out;
    let entries = bench.run(&["ledger", "list"]).out;
    for told in [&text, &listed, &due, &entries] {
        assert!(!told.contains("active"), "{told}");
        assert_says(told, "status.in-use");
    }
    let put = |state: &str| {
        let run = bench.run(&[&["equipment", "state", "mic-05", state], &because[..]].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        bench.run(&["equipment", "show", "mic-05", "--json"]).json()["state"].clone()
    };
    assert_eq!(put("out"), "out");
    assert_eq!(put("in-use"), "active");
    assert_eq!(put("active"), "active");
    for state in ["out", "reference-only", "quarantined"] {
        let run = bench.run(&[&["equipment", "state", "mic-04", state], &because[..]].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        assert_eq!(of_calendar()["status"], state);
    }
}

/// A size that a certificate contradicts by more than its uncertainty gives no verdict: of wires and of a standard, stated in the
/// job, or on a later certificate on the record.
#[test]
fn a_size_that_a_certificate_contradicts_gives_no_verdict() {
    let bench = Bench::new().with_equipment();
    let because = |job: &str| bench.inspect(job).json()["decision"]["because"].clone();
    let by_identity = demo("by-identity");
    assert!(because(&by_identity).is_null());
    let stated = |size: &str, certificate: &str| {
        let standard = format!(
            "id = \"block-10\"\nform = \"plain\"\nsize = \"{size}\"\nexpanded_uncertainty = \"0.12um\"\n\
             coverage_factor = 2\n{certificate}\n"
        );
        changed("by-identity", "id = \"block-10\"\n", &standard)
    };
    let same = "certificate = \"K-2101\"";
    assert!(because(&stated("9.99999", same)).is_null());
    assert_eq!(because(&stated("10.0030", same)), "other-certificate");
    assert_eq!(because(&stated("10.0030", "")), "other-certificate");
    // The number is the same however it is written.
    let written = "certificate = \"k 2101\"";
    assert_eq!(because(&stated("10.0030", written)), "other-certificate");
    // Of a certificate that nobody has put on the record only what the job says is known.
    let unknown = "certificate = \"K-9\"";
    assert_eq!(because(&stated("10.0030", unknown)), "other-in-register");
    assert!(because(&stated("9.99999", unknown)).is_null());
    let noted = bench
        .inspect(&stated("9.99999", unknown))
        .json()
        .to_string();
    assert!(noted.contains("K-9"), "{noted}");
    let certificate = of_gauge_room("gauge")
        .replace("kind = \"gauge\"", "kind = \"standard\"")
        .replace("go-plug-12", "block-10");
    let (head, _) = certificate.split_once("[[value]]").unwrap();
    let value = "quantity = \"length\"\nvalue = 10.0030\nunit = \"mm\"\nexpanded_uncertainty = 0.0001\ncoverage_factor = 2\n";
    let certificate = format!("{head}[[value]]\n{value}");
    let added = bench.run(&["certificate", "add", &bench.file("c.toml", &certificate)]);
    assert_eq!(added.status, 0, "{}", added.err);
    assert_eq!(because(&by_identity), "other-certificate");
    let added = |number: &str, value: &str| {
        let bench = Bench::new().with_equipment();
        let head = head.replacen("number = \"", &format!("number = \"{number}"), 1);
        let certificate = format!(
            "{head}[[value]]\nquantity = \"length\"\nunit = \"mm\"\ncoverage_factor = 2\n{value}"
        );
        let added = bench.run(&["certificate", "add", &bench.file("c.toml", &certificate)]);
        assert_eq!(added.status, 0, "{}", added.err);
        assert_says(&added.err, "certificate.contradicts");
        bench.inspect(&by_identity).json()["decision"]["because"].clone()
    };
    // However far the length is off, and where its uncertainty is larger than the job has it.
    let far = "value = 9.9\nexpanded_uncertainty = 0.0001\n";
    assert_eq!(added("far-", far), "other-certificate");
    let vague = "value = 9.99998\nexpanded_uncertainty = 0.03\n";
    assert_eq!(added("vague-", vague), "smaller-uncertainty");
}

/// A certificate of a micrometer with this error at 12 mm and no other.
fn errors_of_mic(bench: &Bench, number: &str, micrometres: f64) -> crate::bench::Run {
    let head = format!(
        "person = \"A. Quill\"\nkind = \"instrument\"\nid = \"mic-04\"\ndate = 2026-03-20\n\
         [certificate]\nissuer = \"laboratory of the county\"\nnumber = \"{number}\"\nnational_institute = true\n"
    );
    let values = [
        (0.0, 0.0),
        (10.0, 0.0),
        (12.0, micrometres),
        (14.0, 0.0),
        (25.0, 0.0),
    ];
    let values = values.map(|(at, error)| {
        format!(
            "[[value]]\nquantity = \"error\"\nat = {at}\nvalue = {}\nunit = \"mm\"\n\
             expanded_uncertainty = 0.0008\ncoverage_factor = 2\n",
            error / 1000.0
        )
    });
    let file = bench.file("errors.toml", &format!("{head}{}", values.concat()));
    let run = bench.run(&["certificate", "add", &file]);
    assert_eq!(run.status, 0, "{}", run.err);
    run
}

/// A limit of the errors in the register is held against the curve of a certificate, also of the certificate that it names.
#[test]
fn a_limit_of_errors_is_held_against_the_curve_on_record() {
    let equipment = demo("equipment");
    let (before, rest) = equipment.split_once("[instrument.error_curve]").unwrap();
    let (_, after) = rest.split_once("coverage_factor = 2\n").unwrap();
    let limit = format!("{before}maximum_permissible_error = \"0.003\"\n{after}");
    let bench = || {
        let bench = Bench::new();
        let added = bench.run(&["equipment", "add", &bench.file("equipment.toml", &limit)]);
        assert_eq!(added.status, 0, "{}", added.err);
        bench
    };
    let decided = |bench: &Bench| bench.inspect(&demo("by-identity")).json()["decision"].clone();
    for number in ["K-7", "K-2231"] {
        let within = bench();
        let told = errors_of_mic(&within, number, 2.0);
        assert_says(&told.err, "certificate.held-against");
        assert_eq!(decided(&within)["decision"], "accept");
        let beyond = bench();
        errors_of_mic(&beyond, number, 6.0);
        assert_eq!(decided(&beyond)["because"], "other-errors", "{number}");
    }
}

/// What a calibration in house found of a micrometer holds also where the register does not take its curve.
#[test]
fn a_calibration_that_was_not_passed_is_held_against_the_job() {
    let bench = Bench::new().with_equipment();
    let worn = [
        ("[12.902, 12.902, 12.901]", "[12.912, 12.912, 12.911]"),
        ("[15.001, 15.001, 15.002]", "[15.011, 15.011, 15.012]"),
    ];
    let told = calibrated(&bench, "IN-1", "2026-03-02", &worn);
    assert_eq!(told["verdict"], "reject");
    let set = |status: &[&str]| {
        let command = ["status", "set", "instrument", "mic-04"];
        let by = ["--person", "A. Quill", "--reason", "good enough"];
        let told = bench.run(&[&command[..], status, &by].concat());
        assert_eq!(told.status, 0, "{}", told.err);
    };
    set(&["limited", "--for", "plain-diameter"]);
    let decision = bench.inspect(&demo("by-identity")).json()["decision"].clone();
    assert_eq!(decision["because"], "other-errors", "{decision}");
}

/// The gauge room sets apart, or limits, also what only records know.
#[test]
fn a_status_holds_without_the_register() {
    let bench = Bench::new();
    let job = demo_file("1-rating-screw.toml");
    let file = bench.file("own.toml", &job);
    let recorded = bench.run(&["inspect", &file, "--record"]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let set = |status: &[&str]| {
        let command = ["status", "set", "instrument", "mic-04"];
        let by = ["--person", "A. Quill", "--reason", "dropped on the floor"];
        let told = bench.run(&[&command[..], status, &by].concat());
        assert_eq!(told.status, 0, "{}", told.err);
    };
    set(&["quarantined"]);
    bench
        .inspect(&job)
        .refused(&["barred.piece", "mic-04", "dropped on the floor"]);
    set(&["limited", "--for", "size"]);
    assert_eq!(bench.inspect(&job).json()["decision"]["because"], "limited");
    set(&["in-use"]);
    assert_eq!(bench.inspect(&job).json()["decision"]["decision"], "accept");
}

/// Error curve, uncertainty, limits and marks that the register has otherwise for the same certificate give no verdict; a number
/// that nobody knows does not help.
#[test]
fn a_job_that_contradicts_the_register_gives_no_verdict() {
    let bench = Bench::new().with_equipment();
    let job = std::fs::read_to_string(root().join("demo/1-rating-screw.toml")).unwrap();
    let because = |changes: &[(&str, &str)]| {
        let job = changes.iter().fold(job.clone(), |job, (from, to)| {
            assert!(job.contains(from), "{from}");
            job.replace(from, to)
        });
        let run = bench.inspect(&job);
        assert_eq!(run.status, 0, "{}", run.err);
        let because = run.json()["decision"]["because"].clone();
        because.as_str().unwrap_or_default().to_owned()
    };
    let curve = ("[\"7.7\", \"1.1um\"]", "[\"7.7\", \"-8um\"]");
    let number = |number: &'static str| ("\"K-2231\"", number);
    assert_eq!(because(&[]), "");
    assert_eq!(because(&[curve]), "other-errors");
    assert_eq!(because(&[curve, number("\"k2231\"")]), "other-errors");
    assert_eq!(because(&[curve, number("\"K-7777\"")]), "other-errors");
    assert_eq!(
        because(&[("[\"7.7\", \"1.1um\"]", "[\"7.7\", \"1.3um\"]")]),
        ""
    );
    let smaller = (
        "expanded_uncertainty = \"0.8um\"",
        "expanded_uncertainty = \"0.2um\"",
    );
    assert_eq!(because(&[smaller]), "smaller-uncertainty");
    let of_standard = (
        "expanded_uncertainty = \"0.6um\"",
        "expanded_uncertainty = \"0.1um\"",
    );
    assert_eq!(because(&[of_standard]), "smaller-uncertainty");
    let half_angle = |limit: &'static str| ("half_angle_limit = 3 ", limit);
    assert_eq!(
        because(&[half_angle("half_angle_limit = 1 ")]),
        "other-description"
    );
    assert_eq!(because(&[half_angle("half_angle_limit = 3.5 ")]), "");
    let wider = ("[\"1mm\", \"1.75mm\"]", "[\"1mm\", \"3mm\"]");
    assert_eq!(because(&[wider]), "other-description");
    let form = ("form = \"v-and-cone-rod\"", "form = \"thread-plug\"");
    assert_eq!(because(&[form]), "other-description");
}

/// A contact of a pair that is set apart does not become good in another pair; the gauge room may say that it is.
#[test]
fn a_contact_of_a_quarantined_pair_gives_no_verdict() {
    let bench = Bench::new().with_equipment();
    let pair = "person = \"A. Quill\"\nunit = \"mm\"\n[[contacts]]\nid = \"vc-60-9\"\nkind = \"v-and-cone\"\n\
                included_angle = 60\npitch_range = [\"1\", \"1.75\"]\nmembers = [\"V-60-3\", \"C-60-9\"]\n";
    let registered = bench.run(&["equipment", "add", &bench.file("pair.toml", pair)]);
    assert_eq!(registered.status, 0, "{}", registered.err);
    let job = std::fs::read_to_string(root().join("demo/1-rating-screw.toml")).unwrap();
    let (head, rest) = job.split_once("[contacts]").unwrap();
    let (_, rest) = rest.split_once("[standard]").unwrap();
    let job = format!("{head}[contacts]\nid = \"vc-60-9\"\n[standard]{rest}");
    let because = || bench.inspect(&job).json()["decision"]["because"].clone();
    assert!(because().is_null());
    let set = |pair: &str, status: &str| {
        let set = [
            "status", "set", "contacts", pair, status, "--reason", "chipped",
        ];
        let set = bench.run(&[&set[..], &["--person", "A. Quill"]].concat());
        assert_eq!(set.status, 0, "{}", set.err);
    };
    set("vc-60-3", "quarantined");
    assert_eq!(because(), "member-quarantined");
    set("vc-60-9", "in-use");
    assert!(because().is_null());
}

/// A finding is kept before any result is: what is recorded later of that time is withheld by it.
#[test]
fn a_finding_is_kept_without_results() {
    let bench = Bench::new().with_equipment();
    let recall = |id: &str| {
        let recall = [
            "recall",
            "--standard",
            id,
            "--error",
            "60um",
            "--found",
            "2026-05-01",
        ];
        bench.run(&[&recall[..], &["--save", "--person", "A. Quill"]].concat())
    };
    recall("block-99").refused(&["recall.never-used"]);
    let saved = recall("block-10");
    assert_eq!(saved.status, 0, "{}", saved.err);
    let because = bench.inspect(&demo("by-identity")).json()["decision"]["because"].clone();
    assert_eq!(because, "found-out");
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}

/// Nothing is decided with what a recall found out, in the time for which it holds and after it, until it is put back into use.
#[test]
fn what_a_recall_found_out_gives_no_verdict() {
    let bench = Bench::new().with_equipment();
    let job = demo("by-identity");
    let recorded = bench.run(&["inspect", &bench.file("job.toml", &job), "--record"]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let recall = ["recall", "--standard", "block-10", "--error", "60um"];
    let save = ["--found", "2026-05-01", "--save", "--person", "A. Quill"];
    let saved = bench.run(&[&recall[..], &save].concat());
    assert_eq!(saved.status, 0, "{}", saved.err);
    let because = |job: &str| bench.inspect(job).json()["decision"]["because"].clone();
    assert_eq!(because(&job), "found-out");
    let day = |day: &str| changed("by-identity", "2026-04-14T09:50:00Z", day);
    let after = day("2026-06-14T09:50:00Z");
    assert_eq!(because(&after), "found-out");
    let set = [
        "status", "set", "standard", "block-10", "in-use", "--reason",
    ];
    let set = bench.run(&[&set[..], &["checked", "--person", "A. Quill"]].concat());
    assert_eq!(set.status, 0, "{}", set.err);
    // What was measured before it was put back into use stays in doubt.
    assert_eq!(because(&job), "found-out");
    assert_eq!(because(&after), "found-out");
    let now = jiff::Timestamp::now().to_string();
    assert!(because(&day(&now)).is_null());
}

/// What is known by its records alone is found out like what is registered.
#[test]
fn what_is_not_registered_is_found_out_too() {
    let bench = Bench::new();
    let job = std::fs::read_to_string(bench.demo("1-rating-screw.toml", &[])).unwrap();
    let recorded = bench.run(&["inspect", &bench.file("job.toml", &job), "--record"]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let recall = ["recall", "--standard", "rod-10", "--error", "40um"];
    let save = ["--found", "2026-11-02", "--save", "--person", "A. Quill"];
    let saved = bench.run(&[&recall[..], &save].concat());
    assert_eq!(saved.status, 0, "{}", saved.err);
    let because = || bench.inspect(&job).json()["decision"]["because"].clone();
    assert_eq!(because(), "found-out");
}

/// A quotation mark that is not closed, days that are none with their line, and a limit below zero, in files of errors.
#[test]
fn files_of_errors_are_refused_with_the_place() {
    let bench = Bench::new();
    let file = |rows: &str| bench.file("errors.csv", &format!("date,error_um,note\n{rows}"));
    let open = file("2026-01-01,0.1,a\n2026-02-01,0.3,\"b\n2026-03-01,4.0,c\n");
    bench
        .run(&["wear", "--file", &open])
        .refused(&["table.open-quote"]);
    bench
        .run(&["interval", &open, "--limit", "4um"])
        .refused(&["table.open-quote"]);
    let day = file("2026-01-01,0.1,a\nJanuary,0.3,b\n");
    bench
        .run(&["wear", "--file", &day])
        .refused(&["command.no-date"]);
    let run = bench.run(&["interval", &day, "--limit", "4um"]);
    assert!(run.err.contains('3'), "{}", run.err);
    let good = file("2026-01-01,0.1,a\n");
    bench
        .run(&["interval", &good, "--limit", "-4um"])
        .refused(&["wear.no-limit"]);
    bench
        .run(&["wear", "--file", &good, "--limit", "-4um"])
        .refused(&["wear.no-limit"]);
}

/// Twelve checks without a slope (p = 0.74) name no day.
#[test]
fn checks_without_a_slope_forecast_no_day() {
    let bench = Bench::new();
    let errors = [
        0.05, -0.06, -0.76, -0.16, -0.01, 0.03, -0.46, -0.14, -0.29, -0.24, 0.32, -0.24,
    ];
    let rows = errors.iter().enumerate();
    let rows = rows.map(|(month, error)| format!("2025-{:02}-06,{error}\n", month + 1));
    let file = bench.file(
        "c.csv",
        &format!("date,error_um\n{}", rows.collect::<String>()),
    );
    let run = bench.run(&["wear", "--file", &file, "--limit", "5um"]);
    assert_says(&run.out, "wear.forecast-unproven");
}

/// An error of exactly eight tenths of the limit, in either unit: 365 days and a tenth.
#[test]
fn an_error_at_the_bound_of_the_staircase_is_good() {
    let bench = Bench::new();
    for (limit, error) in [("0.7um", "0.56"), ("0.0014mm", "1.12"), ("2.3um", "1.84")] {
        let file = bench.file(
            "errors.csv",
            &format!("date,error_um\n2024-01-01,{error}\n"),
        );
        let document = bench
            .run(&["interval", &file, "--limit", limit, "--json"])
            .json();
        let days = document["staircase"]["days"].as_f64().unwrap();
        assert!((days - 401.5).abs() < 1e-9, "{limit}: {days}");
    }
}

#[test]
fn a_zero_beyond_its_limit_is_told_now() {
    let bench = Bench::new();
    let rows = "2026-01-01,7.0\n2026-02-01,6.8\n2026-03-01,6.7\n2026-04-01,6.6\n2026-05-01,6.3\n";
    let file = bench.file("checks.csv", &format!("date,error_um\n{rows}"));
    let told = bench.run(&["wear", "--file", &file]);
    assert_says(&told.out, "wear.beyond");
    let document = bench.run(&["wear", "--file", &file, "--json"]).json();
    assert!(document["forecast"].is_null());
    let beyond = serde_json::json!({"limit_um": 5.0, "on": "2026-05-01", "error_um": 6.3});
    assert_eq!(document["beyond"], beyond);
}

/// A limit without a unit is in the unit of the file: 4 mm, where µm were meant. And a point that nobody read.
#[test]
fn a_calibration_limit_in_millimetres_is_implausible() {
    let bench = Bench::new();
    let text = of_gauge_room("calibration");
    let bare = text.replace("limit = \"4um\"", "limit = 4");
    assert_ne!(bare, text);
    let file = bench.file("bare.toml", &bare);
    bench
        .run(&["calibrate", &file])
        .refused(&["job.too-large", "4 µm"]);
    let (head, _) = text.split_once("\n[[found]]").unwrap();
    let points = [("4", "4.000"), ("15", ""), ("25", "25.001")];
    let points = points.map(|(at, read)| format!("[[found]]\nat = {at}\nreadings = [{read}]\n"));
    let file = bench.file("unread.toml", &format!("{head}\n{}", points.concat()));
    bench
        .run(&["calibrate", &file])
        .refused(&["calibration.no-readings"]);
}
