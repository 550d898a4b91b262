//! The register: what one owns, by command line.

use crate::bench::{Bench, changed, demo};
use crate::said::warns;

#[test]
fn added_listed_changed_and_kept() {
    let bench = Bench::new().with_equipment();
    let listed = bench.run(&["equipment", "list", "--json"]);
    let pieces: Vec<serde_json::Value> = listed
        .out
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    let ball = pieces
        .iter()
        .find(|piece| piece["kind"] == "balls")
        .unwrap();
    assert_eq!(ball["item"]["diameter"], "0.8663mm");
    let pair = pieces.iter().find(|piece| piece["id"] == "sph-15").unwrap();
    assert_eq!(pair["item"]["kind"], "sphere-and-flat");
    assert_eq!(pair["item"]["members"][0], "S-07");
    let overdue = pieces.iter().find(|piece| piece["id"] == "mic-09").unwrap();
    assert_eq!(overdue["overdue"], true);

    // The same file again changes nothing; another certificate wants a reason and amends.
    let again = bench.run(&[
        "equipment",
        "add",
        &bench.file("e.toml", &demo("equipment")),
    ]);
    assert!(
        again.out.lines().all(|line| line.starts_with("unchanged")),
        "{}",
        again.out
    );
    let text = changed(
        "equipment",
        "certificate = \"K-2231\"",
        "certificate = \"K-2999\"",
    );
    let file = bench.file("e.toml", &text);
    bench
        .run(&["equipment", "add", &file])
        .refused(&["mic-04", "register.other-values"]);
    let now = bench.run(&["equipment", "add", &file, "--reason", "calibrated"]);
    assert!(
        now.out
            .lines()
            .any(|line| line.starts_with("changed ") && line.contains("instrument mic-04")),
        "{}",
        now.out
    );
    let shown = bench.run(&["equipment", "show", "mic-04", "--json"]).json();
    assert_eq!(shown["certificate"], "K-2999");
    assert_eq!(shown["history"].as_array().unwrap().len(), 2);
    assert_eq!(shown["history"][1]["reason"], "calibrated");
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}

#[test]
fn another_contact_is_another_pair() {
    let bench = Bench::new().with_equipment();
    let text = changed(
        "equipment",
        "members = [\"V-60-3\", \"C-60-3\"]",
        "members = [\"V-60-3\", \"C-60-9\"]",
    );
    let file = bench.file("e.toml", &text);
    bench
        .run(&["equipment", "add", &file, "--reason", "new cone"])
        .refused(&["vc-60-3", "register.other-pair"]);
}

#[test]
fn errors_name_file_and_line() {
    let bench = Bench::new();
    let add = |text: &str| bench.run(&["equipment", "add", &bench.file("e.toml", text)]);
    add("person = \"A\"\n[[instrument]]\nid = \"m\"\nrange = [\"0mm\", \"25mm\"]\n")
        .refused(&["e.toml:3:6", "jobfile.instrument-errors"]);
    // What another kind has is refused here, beside the identity alone too.
    add("person = \"A\"\n[[contacts]]\nid = \"c\"\nkind = \"flat\"\nspindle_turns = true\n")
        .refused(&["e.toml:5:1", "jobfile.unknown-key", "spindle_turns"]);
    add("person = \"A\"\nunit = \"mm\"\n[[standard]]\nid = \"s\"\nsize = \"10\"\n").refused(&[
        "e.toml:4:6",
        "expanded_uncertainty",
        "jobfile.not-described",
    ]);
    add("person = \"A\"\n[[contacts]]\nid = \"c\"\nkind = \"spoon\"\n").refused(&[
        "e.toml:4:8",
        "jobfile.unknown-word",
        "spoon",
        "v-and-cone",
    ]);
    add("person = \"A\"\n[[contacts]]\nid = \"c\"\nkind = \"flat\"\nforce = -3.0\n").refused(&[
        "e.toml:5:9",
        "`force` must be",
        "(got -3.0)",
        "number-given.outside",
    ]);
    add("person = \"A\"\n[[contacts]]\nid = \"c\"\nkind = \"flat\"\n[[contacts]]\nid = \"c\"\nkind = \"flat\"\n")
        .refused(&["e.toml:6", "jobfile.piece-twice"]);
    add("person = \"A\"\n").refused(&["jobfile.no-equipment"]);
    add("[[contacts]]\nid = \"c\"\nkind = \"flat\"\n").refused(&["register.no-person"]);
    let bench = bench.with_equipment();
    bench
        .run(&["equipment", "show", "x"])
        .refused(&["register.unknown", "`x`"]);
    bench
        .run(&[
            "equipment",
            "state",
            "mic-04",
            "broken",
            "--reason",
            "r",
            "--person",
            "p",
        ])
        .refused(&["state-error.unknown", "`broken`"]);
}

#[test]
fn a_job_names_equipment_by_identity() {
    let bench = Bench::new();
    bench
        .inspect(&demo("by-identity"))
        .refused(&["job.toml:23", "mic-04", "jobfile.unregistered"]);
    let bench = bench.with_equipment();
    let result = bench.inspect(&demo("by-identity")).json();
    assert_eq!(result["decision"]["decision"], "accept");
    // Contacts of two pairs.
    bench
        .inspect(&changed(
            "by-identity",
            "members = [\"F-21\", \"F-22\"]",
            "members = [\"F-21\", \"F-23\"]",
        ))
        .refused(&["job.toml:26", "F-23", "jobfile.mixed-pair"]);
    // A zero of another pair.
    bench
        .inspect(&changed(
            "by-identity",
            "contacts = \"fl-6\" ",
            "contacts = \"sf-2\" ",
        ))
        .refused(&["job.zero-of-other-pair"]);
}

#[test]
fn quarantine_and_due_dates_block() {
    let bench = Bench::new().with_equipment();
    let state = |to| {
        bench.run(&[
            "equipment",
            "state",
            "mic-04",
            to,
            "--reason",
            "dropped",
            "--person",
            "A. Quill",
        ])
    };
    assert_eq!(state("quarantined").status, 0);
    bench
        .inspect(&demo("by-identity"))
        .refused(&["barred.registered", "state.quarantined"]);
    // Also where the job describes the micrometer in full.
    bench
        .inspect(&demo("plain-diameter"))
        .refused(&["barred.registered", "state.quarantined"]);
    let reason = "\n[override]\nequipment = \"checked on blocks this morning\"\n[decision]\n";
    // What is quarantined gives no verdict whatever the reason.
    bench
        .inspect(&changed("by-identity", "\n[decision]\n", reason))
        .refused(&["barred.registered", "state.quarantined"]);
    assert_eq!(state("reference-only").status, 0);
    bench.inspect(&demo("by-identity")).refused(&[
        "job.blocked",
        "warning.out-of-use",
        "state.reference-only",
    ]);
    let result = bench
        .inspect(&changed("by-identity", "\n[decision]\n", reason))
        .json();
    for code in ["out-of-use", "overridden"] {
        assert!(warns(&result, code), "{code}: {}", result["warnings"]);
    }
    bench
        .inspect(&changed(
            "by-identity",
            "\n[decision]\n",
            "\n[override]\nequipment = \" \"\n[decision]\n",
        ))
        .refused(&["job.empty-reason", "overridden.equipment"]);
    assert_eq!(state("active").status, 0);
    let result = bench.inspect(&demo("by-identity")).json();
    assert_eq!(result["decision"]["decision"], "accept");
    let overdue = changed("plain-diameter", "due = 2027-09-30", "due = 2025-09-30");
    let result = bench.inspect(&overdue).json();
    assert_eq!(result["decision"]["decision"], "undecided");
    assert_eq!(result["decision"]["because"], "overdue");
}

/// Three jobs of one moment: overdue is what was so by the clock on the wall of the bench.
#[test]
fn the_day_of_a_due_date_is_that_of_the_offset_written() {
    let bench = Bench::new().with_equipment();
    let job = |time: &str| {
        let job = changed("plain-diameter", "due = 2027-09-30", "due = 2026-04-13");
        assert!(job.contains("2026-04-14T09:20:00Z"));
        bench
            .inspect(&job.replace("2026-04-14T09:20:00Z", time))
            .json()
    };
    for (time, because) in [
        ("2026-04-14T01:00:00+09:00", Some("overdue")),
        ("2026-04-13T16:00:00+00:00", None),
        ("2026-04-13T11:00:00-05:00", None),
    ] {
        let decision = &job(time)["decision"];
        assert_eq!(decision["because"].as_str(), because, "{time}");
    }
}

#[test]
fn a_whole_job_is_no_equipment_file() {
    let bench = Bench::new();
    let job = bench.file("job.toml", &crate::bench::demo("land"));
    bench
        .run(&["equipment", "add", &job])
        .refused(&["jobfile.is-a-job"]);
}

/// Seven pairs that are made for other features are refused in one breath.
#[test]
fn one_reason_for_many_pairs_is_said_once() {
    let run = Bench::new().with_equipment().run(&["setup", "M10x1.5-6g"]);
    assert_eq!(
        run.out.matches("do not seat on a").count(),
        1,
        "{}",
        run.out
    );
    assert!(
        run.out.contains("bl-075 (blades), bp-1 (blade and point)"),
        "{}",
        run.out
    );
}

/// What an inspection would refuse is not taken either, and no piece of such a file is.
#[test]
fn nonsense_is_not_registered() {
    let bench = Bench::new();
    let head = "person = \"A\"\nunit = \"mm\"\n[[standard]]\nid = \"good\"\nsize = \"10\"\nexpanded_uncertainty = \"1um\"\ncoverage_factor = 2\n";
    let add = |section: &str| {
        let text = format!("{head}{section}\n");
        bench.run(&["equipment", "add", &bench.file("e.toml", &text)])
    };
    let micrometer = "[[instrument]]\nid = \"m\"\nrange = [\"0\", \"25\"]\nresolution = \"0.001\"\n\
                      maximum_permissible_error = \"2um\"";
    let standard = "[[standard]]\nid = \"s\"\nsize = \"5\"\nexpanded_uncertainty = \"1um\"\ncoverage_factor = 2";
    let wires = "[[wires]]\nid = \"w\"\ndiameter = \"0.866\"\nexpanded_uncertainty = \"0.5um\"\ncoverage_factor = 2";
    let pair = "[[contacts]]\nid = \"c\"\nkind = \"v-and-cone\"\nincluded_angle = 60\npitch_range = [\"1mm\", \"1.75mm\"]";
    let curve = "[[instrument]]\nid = \"m\"\nrange = [\"0\", \"25\"]\n[instrument.error_curve]\n\
                 points = [[\"0\", \"0um\"], [\"25\", \"1um\"]]\nexpanded_uncertainty = \"1um\"\ncoverage_factor = 2";
    let cases = [
        (
            micrometer,
            "resolution = \"0.001\"",
            "resolution = \"-1\"",
            "job.not-positive",
        ),
        (
            micrometer,
            "resolution = \"0.001\"",
            "resolution = \"1\"",
            "job.too-large",
        ),
        (
            micrometer,
            "[\"0\", \"25\"]",
            "[\"25\", \"0\"]",
            "job.range",
        ),
        (micrometer, "\"2um\"", "\"-2um\"", "job.not-positive"),
        (micrometer, "\"2um\"", "\"0um\"", "job.not-positive"),
        (micrometer, "\"2um\"", "\"2\"", "job.too-large"),
        (curve, "\"25\", \"1um\"", "\"25\", \"1\"", "job.too-large"),
        (
            curve,
            "\"0\", \"0um\"",
            "\"30\", \"0um\"",
            "error-curve.not-rising",
        ),
        (
            curve,
            "coverage_factor = 2",
            "coverage_factor = 95",
            "number-given.outside",
        ),
        (
            standard,
            "size = \"5\"",
            "size = \"-10\"",
            "job.not-positive",
        ),
        (standard, "\"1um\"", "\"-1um\"", "job.not-positive"),
        (standard, "\"1um\"", "\"0um\"", "job.not-positive"),
        (standard, "\"1um\"", "\"0.8\"", "job.too-large"),
        (
            standard,
            "coverage_factor = 2",
            "coverage_factor = -2",
            "number-given.outside",
        ),
        (
            standard,
            "coverage_factor = 2",
            "coverage_factor = 95",
            "number-given.outside",
        ),
        (wires, "\"0.866\"", "\"-0.866\"", "job.not-positive"),
        (pair, "= 60", "= -60", "number-given.outside"),
        (
            pair,
            "\"1mm\", \"1.75mm\"",
            "\"1.75mm\", \"1mm\"",
            "jobfile.pitch-range",
        ),
        (
            pair,
            "\"1mm\", \"1.75mm\"",
            "\"24tpi\", \"0tpi\"",
            "job.pitch-range",
        ),
        (
            pair,
            "= 60",
            "= 60\ntip_radius = \"-1\"",
            "field.tip-radius",
        ),
    ];
    for (piece, from, to, code) in cases {
        assert!(piece.contains(from), "{from}");
        let run = add(&piece.replacen(from, to, 1));
        run.refused(&["e.toml:", code]);
        // On the line of what is wrong, not of the piece.
        assert!(!run.err.contains("e.toml:9:"), "{}", run.err);
    }
    assert!(!bench.path("data").exists(), "something was written");
    for piece in [micrometer, standard, wires, pair, curve] {
        let bench = Bench::new();
        let file = bench.file("e.toml", &format!("{head}{piece}\n"));
        let run = bench.run(&["equipment", "add", &file]);
        assert_eq!(run.status, 0, "{}", run.err);
    }
}

/// The same piece in other letters does not lead past what the register says of it.
#[test]
fn letter_case_and_blanks_make_no_other_piece() {
    let bench = Bench::new().with_equipment();
    let out = [
        "equipment",
        "state",
        "mic-04",
        "out",
        "--reason",
        "dropped",
        "--person",
        "A",
    ];
    assert_eq!(bench.run(&out).status, 0);
    for demo in ["by-identity", "plain-diameter"] {
        let job =
            |id: &str| bench.inspect(&changed(demo, "id = \"mic-04\"", &format!("id = \"{id}\"")));
        job("MIC-04").refused(&["job.toml:", "register.alike", "`MIC-04`"]);
        job(" mic-04 ").refused(&["mic-04", "job.blocked", "warning.out-of-use"]);
    }
    let add = |id: &str| {
        let text = changed(
            "equipment",
            "\nid = \"mic-04\"",
            &format!("\nid = \"{id}\""),
        );
        bench.run(&["equipment", "add", &bench.file("e.toml", &text)])
    };
    add("Mic-04").refused(&["register.alike", "`Mic-04`"]);
    let again = add("mic-04 ");
    assert!(
        again.out.contains("unchanged instrument mic-04  (out"),
        "{}{}",
        again.out,
        again.err
    );
    bench
        .run(&["equipment", "show", "MIC-04"])
        .refused(&["register.unknown-near", "`mic-04`"]);
    let twice = "person = \"A\"\n[[contacts]]\nid = \"c\"\nkind = \"flat\"\n[[contacts]]\nid = \"C\"\nkind = \"flat\"\n";
    bench
        .run(&["equipment", "add", &bench.file("e.toml", twice)])
        .refused(&["e.toml:6", "jobfile.piece-twice"]);
}

/// A job that describes a piece otherwise than the register says in what.
#[test]
fn contradictions_of_job_and_register_are_said() {
    let bench = Bench::new();
    let job = changed("plain-diameter", "due = 2027-09-30", "due = 2027-12-31")
        .replacen("size = \"9.99993\"", "size = \"10.00043\"", 1)
        .replacen(
            "coverage_factor = 2\ncertificate = \"K-2101\"",
            "coverage_factor = 2",
            1,
        )
        .replacen("range = [\"0\", \"25\"]", "range = [\"0.00\", \"25.0\"]", 1);
    // Nothing to contradict.
    let run = bench.inspect(&job);
    assert_eq!((run.status, run.err.as_str()), (0, ""));
    let bench = bench.with_equipment();
    let run = bench.inspect(&job);
    assert_eq!(run.status, 0, "{}", run.err);
    let lines: Vec<&str> = run.err.lines().collect();
    let [micrometer, standard] = lines.as_slice() else {
        panic!("two warnings, one a piece: {}", run.err)
    };
    for words in [
        "job.toml: micrometer mic-04",
        "due 2027-12-31 (register: 2027-09-30)",
        "maximum_permissible_error",
    ] {
        assert!(micrometer.contains(words), "{micrometer}");
    }
    assert!(
        standard.contains("block-10")
            && standard.contains("size 10.00043mm (register: 9.99993mm);"),
        "{standard}"
    );
    // The same size in other digits is no contradiction, and what is left out neither.
    assert!(!micrometer.contains("range") && !standard.contains("certificate"));
    // The record verifies: what the register says today is not in it.
    let file = bench.file("job.toml", &job);
    assert_eq!(bench.run(&["inspect", &file, "--record"]).status, 0);
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

#[test]
fn a_blank_reason_is_said_to_be_blank() {
    let bench = Bench::new().with_equipment();
    let state = [
        "equipment",
        "state",
        "rod-10",
        "out",
        "--reason",
        " ",
        "--person",
        "A",
    ];
    bench
        .run(&state)
        .refused(&["register.no-reason", "rod-10 becomes out"]);
}

/// A newcomer begins from the file that the help names and the demonstration writes, and from the shortest one of the
/// documentation.
#[test]
fn there_is_a_file_to_begin_from() {
    let bench = Bench::new();
    let run = bench.run(&["demo", "--folder", "demo"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let help = bench.run(&["equipment", "add", "--help"]).out;
    let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
    for named in ["demo/features/equipment.toml", "equipment.toml"] {
        assert!(help.contains(named), "{help}");
    }
    let written = bench.path("demo/equipment.toml");
    let added = bench.run(&["equipment", "add", written.to_str().unwrap()]);
    assert_eq!(added.status, 0, "{}", added.err);
    let docs = std::fs::read_to_string(crate::bench::root().join("docs/job-file.md")).unwrap();
    let (_, after) = docs
        .split_once("The shortest one for a micrometer")
        .unwrap();
    let shortest = after.split("```").nth(1).unwrap();
    let shortest = shortest.strip_prefix("toml").unwrap();
    let added = bench.run(&["equipment", "add", &bench.file("first.toml", shortest)]);
    assert_eq!(added.status, 0, "{}", added.err);
    let shown = bench.run(&["equipment", "show", "mic-01", "--json"]).json();
    assert_eq!(shown["status"], "in-use");
}
