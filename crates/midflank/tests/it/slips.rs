//! Slips that a newcomer made at the bench and that once went through without a word.

use crate::bench::{Bench, changed, demo, demo_file};
use crate::said::{assert_says, assert_silent, warns};

fn inspect(bench: &Bench, changes: &[(&str, &str)]) -> crate::bench::Run {
    let job = bench.demo("1-rating-screw.toml", changes);
    bench.run(&["inspect", job.to_str().unwrap()])
}

/// 9 for 9um.
#[test]
fn an_error_curve_without_units() {
    inspect(
        &Bench::new(),
        &[("[\"10.3\", \"0.9um\"]", "[\"10.3\", \"9\"]")],
    )
    .refused(&["job.too-large", "field.curve-error"]);
}

#[test]
fn zero_readings_that_spread() {
    let run = inspect(
        &Bench::new(),
        &[(
            "before = [\"10.001\", \"10.002\", \"10.001\"]",
            "before = [\"10.001\", \"10.009\", \"9.998\"]",
        )],
    );
    assert_says(&run.out, "doubt.do-not-sign");
    assert_says(&run.out, "doubt.zero-range");
}

/// 8.9 among readings of three digits.
#[test]
fn a_reading_that_lost_its_last_digits() {
    let run = inspect(&Bench::new(), &[("\"8.928\"", "\"8.9\"")]);
    assert_says(&run.out, "doubt.readings");
}

/// `8.99` where the display of 0.001 mm shows 8.999, which is outside: no verdict, in text, document and on the record, until
/// all digits are written or the flag is answered. A bare number keeps its digits. Common practice, no source.
#[test]
fn a_reading_with_fewer_decimals_than_the_display() {
    let bench = Bench::new();
    let job = |readings: &str| {
        let screw = demo_file("1-rating-screw.toml");
        let (before, after) = screw.split_once("[[readings.place]]").unwrap();
        let (_, after) = after.split_once("[temperature]").unwrap();
        let rule = after.replacen("\"iso14253-1\"", "\"simple\"", 1);
        format!("{before}[readings]\nvalues = [{readings}]\n\n[temperature]{rule}")
    };
    for readings in ["\"8.99\", \"8.99\", \"8.99\"", "8.99, 8.99, 8.99"] {
        let result = bench.inspect(&job(readings)).json();
        assert_eq!(result["decision"]["decision"], "undecided", "{result}");
        assert_eq!(result["decision"]["because"], "fewer-decimals", "{result}");
        assert_eq!(result["readings"][2]["flags"][0]["kind"], "fewer-decimals");
    }
    let file = bench.file("job.toml", &job("8.99, 8.99, 8.99"));
    let run = bench.run(&["inspect", &file]);
    assert_says(&run.out, "withheld.flagged");
    assert_says(&run.out, "doubt.readings");
    bench
        .run(&["inspect", &file, "--record"])
        .refused(&["withheld.flagged"]);
    let whole = bench.inspect(&job("8.990, 8.990, 8.990")).json();
    assert_eq!(whole["decision"]["decision"], "accept", "{whole}");
    let reject = bench.inspect(&job("8.999, 8.999, 8.999")).json();
    assert_eq!(reject["decision"]["decision"], "reject", "{reject}");
}

/// Three readings below the limit struck as slips, and two good ones: told in text, document and report, and nothing is accepted.
/// Common practice, no source.
#[test]
fn struck_readings_that_agree() {
    let bench = Bench::new();
    let job = |struck: [&str; 3], readings: &str| {
        let screw = demo_file("1-rating-screw.toml");
        let (before, after) = screw.split_once("[[readings.place]]").unwrap();
        let (_, after) = after.split_once("[temperature]").unwrap();
        let struck: String = struck
            .iter()
            .map(|one| format!("[[readings.struck]]\nreading = \"{one}\"\nreason = \"slip\"\n\n"))
            .collect();
        format!("{before}[readings]\nvalues = [{readings}]\n{struck}[temperature]{after}")
    };
    let low = ["8.850", "8.852", "8.851"];
    let two = bench.inspect(&job(low, "8.927, 8.928")).json();
    assert_eq!(two["decision"]["decision"], "undecided", "{two}");
    assert_eq!(two["decision"]["because"], "struck-outweigh", "{two}");
    assert!(warns(&two, "struck-outweigh"), "{two}");
    let file = bench.file("job.toml", &job(low, "8.927, 8.928"));
    let run = bench.run(&["inspect", &file]);
    assert_says(&run.out, "warning.struck-outweigh");
    assert_says(&run.out, "doubt.struck-outweigh");
    // More of them count: told, and on the report.
    let four = job(low, "8.927, 8.928, 8.926, 8.929");
    let result = bench.inspect(&four).json();
    assert_eq!(result["decision"]["decision"], "accept", "{result}");
    assert!(warns(&result, "struck-agree"), "{result}");
    let file = bench.file("job.toml", &four);
    assert_eq!(bench.run(&["inspect", &file, "--record"]).status, 0);
    let report = bench.run(&["report", "1"]).out;
    assert_says(&report, "warning.struck-agree.report");
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
    // Turns of the thimble are slips; others that would each be rejected count against as few, whether they agree or not.
    let slips = ["8.427", "8.428", "8.429"];
    let result = bench.inspect(&job(slips, "8.927, 8.928")).json();
    assert_eq!(result["decision"]["decision"], "accept", "{result}");
    let apart = job(["8.850", "8.700", "8.760"], "8.927, 8.928");
    let result = bench.inspect(&apart).json();
    assert_eq!(
        result["decision"]["because"], "struck-beyond-outweigh",
        "{result}"
    );
    let file = bench.file("job.toml", &apart);
    let run = bench.run(&["inspect", &file]);
    assert_says(&run.out, "warning.struck-beyond-outweigh");
    assert_says(&run.out, "doubt.struck-beyond-outweigh");
}

/// The screw turns on beyond 10 mm, and no certificate says how well: nothing is accepted. By a tenth it is as good as at its end.
#[test]
fn readings_beyond_the_range_of_the_micrometer_prove_nothing() {
    let bench = Bench::new();
    let to = |range: &str| {
        let screw = demo_file("1-rating-screw.toml");
        let screw = screw.replace("[\"0\", \"25\"]", &format!("[\"0\", \"{range}\"]"));
        let screw = screw.replace("size = \"9.9994\"", "size = \"8.4994\"");
        screw.replace("\"10.00", "\"8.50")
    };
    let beyond = bench.inspect(&to("8.7")).json();
    assert_eq!(beyond["decision"]["because"], "beyond-range", "{beyond}");
    assert!(warns(&beyond, "beyond-range"));
    let near = bench.inspect(&to("8.9")).json();
    assert!(!warns(&near, "beyond-range"), "{near}");
    let file = bench.file("job.toml", &to("8.7"));
    let run = bench.run(&["inspect", &file]);
    assert_says(&run.out, "warning.beyond-range");
    assert_says(&run.out, "doubt.beyond-range");
}

/// Recorded once it is answered, and then the answer stands on the report in the place of the caution.
#[test]
fn a_flagged_reading_is_answered_before_it_is_recorded() {
    let bench = Bench::new();
    let slip = ("\"8.928\"", "\"8.9\"");
    let job = bench.demo("1-rating-screw.toml", &[slip]);
    let ledger = bench.path("ledger.db");
    let record = |job: &str| {
        let ledger = ledger.to_str().unwrap();
        bench.run(&["inspect", job, "--record", "--new", "--ledger", ledger])
    };
    record(job.to_str().unwrap()).refused(&["withheld.flagged"]);

    let left = |reason: &str| {
        let left =
            format!("[[readings.left]]\nreading = \"8.9\"\nreason = \"{reason}\"\n\n[temperature]");
        bench.demo("1-rating-screw.toml", &[slip, ("[temperature]", &left)])
    };
    record(left(" ").to_str().unwrap()).refused(&["job.left-without-reason"]);
    // Its number is no reading.
    let number = "[[readings.left]]\nreading = \"4\"\nreason = \"a dent\"\n\n[temperature]";
    let number = bench.demo("1-rating-screw.toml", &[slip, ("[temperature]", number)]);
    record(number.to_str().unwrap()).refused(&["job.left-not-read"]);
    let run = record(left("a dent, seen under the glass").to_str().unwrap());
    assert_eq!(run.status, 0, "{}", run.err);
    assert!(run.out.starts_with("ACCEPT\n"), "{}", run.out);
    assert_silent(&run.out, "doubt.do-not-sign");
    let report = bench.run(&["report", "1", "--ledger", ledger.to_str().unwrap()]);
    let answer = "8.9 mm: a dent, seen under the glass";
    assert!(report.out.contains(answer), "{}", report.out);
}

/// One mistake is one error, whether the micrometer could have shown such readings or not.
#[test]
fn readings_that_are_all_in_the_other_unit() {
    let bench = Bench::new();
    let screw = std::fs::read_to_string(bench.demo("1-rating-screw.toml", &[])).unwrap();
    let whole_job = screw.replace("unit = \"mm\"", "unit = \"in\"");
    bench.inspect(&whole_job).refused(&["job.other-unit", "mm"]);

    let (before, after) = screw.split_once("# Readings on the part").unwrap();
    let (_, after) = after.split_once("[temperature]").unwrap();
    let read = |readings: &str| {
        let job = format!("{before}[readings]\nfile = \"cable.csv\"\n\n[temperature]{after}");
        bench.write("cable.csv", readings);
        bench.inspect(&job)
    };
    for (readings, meant) in [
        (
            "0.35154\n0.35157\n0.35150\n",
            "all 3 readings look like in, but the file says mm",
        ),
        (
            "reading,unit\n8.929,in\n8.930,in\n",
            "all 2 readings look like mm, but the file says in",
        ),
    ] {
        read(readings).refused(&["job.other-unit", meant]);
    }
    // One of them is a slip of its own.
    let run = read("0.35154\n8.930\n8.929\n");
    assert_says(&run.out, "doubt.readings");
}

/// What was struck and stands all the same counts: told, and refused where it looks like a mistake as well.
#[test]
fn a_struck_reading_that_still_counts() {
    let bench = Bench::new();
    let struck = |reading: &str, changes: &[(&str, &str)]| {
        let struck = format!(
            "[[readings.struck]]\nreading = \"{reading}\"\nreason = \"taken again\"\n\n[temperature]"
        );
        let changes = [changes, &[("[temperature]", &struck)]].concat();
        let job = bench.demo("1-rating-screw.toml", &changes);
        bench.run(&["inspect", job.to_str().unwrap()])
    };
    let slip = ("\"8.928\"", "\"8.428\", \"8.928\"");
    struck("8.428", &[slip]).refused(&["job.struck-counts", "8.428 mm"]);
    let run = struck("8.931", &[]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_says(&run.out, "warning.struck-counts");
    assert_silent(&struck("8.431", &[]).out, "warning.struck-counts");
}

#[test]
fn half_a_tube() {
    let run = Bench::new().inspect(&demo("tube-wall").replace(
        "\"2.117\", \"2.099\", \"2.052\", \"1.998\", \"1.975\", \"1.996\", \"2.049\", \"2.096\"",
        "\"2.117\", \"2.099\", \"2.052\", \"1.998\", \"1.975\"",
    ));
    assert!(warns(&run.json(), "not-all-around"), "{}", run.out);
}

/// Eight readings once around a wall, and a step of 90°: the fifth is at the place of the first again and reads 142 µm less.
#[test]
fn a_step_that_goes_round_twice() {
    let bench = Bench::new();
    let twice = changed("tube-wall", "step = 45 ", "step = 90 ");
    let run = bench.inspect(&twice);
    assert_says(&run.err, "jobfile.same-position");
    assert!(run.err.contains("45°"), "{}", run.err);
    let result = run.json();
    let place = |index: usize| result["readings"][index]["place"].clone();
    assert_eq!(place(0), place(1));
    assert_ne!(place(1), place(2));
    assert_eq!(result["readings"][1]["as_read"], "1.975mm");
    assert!(warns(&result, "prior-exceeded"), "{}", result["warnings"]);
    assert_ne!(result["decision"]["decision"], "accept", "{result}");
    // A reading that closes the turn is a repeat, and nothing to wonder about.
    let closed = changed("tube-wall", "\"2.096\"]", "\"2.096\", \"2.118\"]");
    let run = bench.inspect(&closed);
    assert_silent(&run.err, "jobfile.same-position");
    let result = run.json();
    assert_eq!(result["readings"][1]["as_read"], "2.118mm");
    assert_eq!(result["decision"]["decision"], "accept", "{result}");
    // However the places are stated.
    let demo = demo("tube-wall");
    let (before, after) = demo.split_once("[readings]").unwrap();
    let (_, after) = after.split_once("[temperature]").unwrap();
    let of = |readings: &str| {
        let job = format!("{before}{readings}\n[temperature]{after}");
        bench.inspect(&job).json()
    };
    let walls = ["2.117", "2.052", "1.975", "2.049", "2.116"];
    let places: Vec<(usize, &str)> = (0..).step_by(90).zip(walls).collect();
    let stated: String = places
        .iter()
        .map(|(angle, value)| {
            format!("[[readings.place]]\nangle = {angle}\nvalues = [\"{value}\"]\n")
        })
        .collect();
    let rows: String = places
        .iter()
        .map(|(angle, value)| format!("{angle},{value}\n"))
        .collect();
    bench.write("wall.csv", format!("angle,reading\n{rows}"));
    for result in [of(&stated), of("[readings]\nfile = \"wall.csv\"\n")] {
        assert_eq!(result["readings"][1]["as_read"], "2.116mm", "{result}");
        let place = |index: usize| result["readings"][index]["place"].clone();
        assert_eq!(place(0), place(1));
    }
}

/// A groove of 13.74 mm in a land of 14.985 mm is 0.62 mm deep.
#[test]
fn a_depth_that_the_land_does_not_give() {
    let bench = Bench::new();
    let groove = |from: &str, to: &str| changed("groove-diameter", from, to);
    let out = ["feature-error.depth-ruled-out"];
    bench
        .inspect(&groove("depth = \"0.6\"", "depth = \"6\""))
        .refused(&out);
    bench
        .inspect(&groove("\"14.985\"", "\"14.085\""))
        .refused(&out);
    bench
        .inspect(&groove("\"14.985\"", "\"16.985\""))
        .refused(&out);
    let other = bench.inspect(&groove("\"14.985\"", "\"15.485\"")).json();
    assert!(warns(&other, "other-depth"), "{}", other["warnings"]);
    let good = bench.inspect(&demo("groove-diameter")).json();
    assert!(!warns(&good, "other-depth"), "{}", good["warnings"]);
}

#[test]
fn a_land_below_the_floor() {
    Bench::new()
        .inspect(&demo("groove-diameter").replace("\"14.985\"", "\"13.0\""))
        .refused(&["feature-error.land-not-larger"]);
}

/// Felt under a small face: what is left is not a matter of a modulus.
#[test]
fn soft_sheet_pressed_flat() {
    Bench::new()
        .inspect(&demo("soft-thickness").replace("face = \"20\"", "face = \"4\""))
        .refused(&["feature-error.strain"]);
}

#[test]
fn a_size_over_wires_that_cannot_be() {
    let bench = Bench::new();
    let run = bench.run(&["wires", "M10-6g", "--over-wires", "10.1mm"]);
    assert!(run.out.contains("below the lower limit"), "{}", run.out);
    let run = bench.run(&["wires", "M10-6g", "--over-wires", "10.2in"]);
    assert!(
        run.out.contains("check reading, unit and wire"),
        "{}",
        run.out
    );
    // 10.2 mm over 0.866 mm: 8.89926 mm as read, 1.54 µm more without the deformation by 2.5 N.
    let run = bench.run(&[
        "wires",
        "M10-6g",
        "--wire",
        "0.866mm",
        "--over-wires",
        "10.2mm",
        "--force",
        "2.5",
    ]);
    assert!(run.out.contains("8.90080 mm"), "{}", run.out);
}

/// A file that says nothing of the state brings nothing back into use.
#[test]
fn a_micrometer_taken_out_stays_out() {
    let bench = Bench::new().with_equipment();
    let out = [
        "equipment",
        "state",
        "mic-04",
        "out",
        "--reason",
        "dropped",
        "--person",
        "J. Mill",
    ];
    assert_eq!(bench.run(&out).status, 0);
    let file = bench.file(
        "equipment.toml",
        &demo("equipment").replace("\"9.9994\"", "\"9.9993\""),
    );
    let again = bench.run(&["equipment", "add", &file, "--reason", "certified again"]);
    assert_eq!(again.status, 0, "{}", again.err);
    let shown = bench.run(&["equipment", "show", "mic-04", "--json"]).json();
    assert_eq!(shown["state"], "out");
}

/// At the bench Whit is the coarse thread; ISO 7-1 gives Rc a quarter turn more than R: 1 1/4 × 1.814 / 16 = 0.142.
#[test]
fn whit_and_rc() {
    let bench = Bench::new();
    let limits = |designation| bench.run(&["limits", designation]).out;
    assert!(limits("1/4 Whit").contains("BSW"), "{}", limits("1/4 Whit"));
    assert!(limits("1/4-26 Whit").contains("BSF"));
    assert!(limits("Rc 1/2").contains("0.142"), "{}", limits("Rc 1/2"));
}

/// What is missing, twice or impossible in a job file is said as that.
#[test]
fn words_for_a_wrong_job_file() {
    let bench = Bench::new();
    let refused =
        |changes: &[(&str, &str)], words: &[&str]| inspect(&bench, changes).refused(words);
    refused(
        &[("\npart = 2", "\n# 2")],
        &["jobfile.missing-key", "`part`", "[temperature]"],
    );
    refused(
        &[("\nid = \"mic-04\"", "\nid = \"mic-05\"\nid = \"mic-04\"")],
        &["jobfile.twice", "`id`"],
    );
    refused(
        &[("due = 2026-09-30", "due = 2027-02-31")],
        &["jobfile.no-such-day", "2027-02-31"],
    );
    refused(
        &[("degrees_of_freedom = ", "# ")],
        &["jobfile.no-degrees-of-freedom"],
    );
    refused(
        &[("person = \"A. Quill\"", "person = 12")],
        &["jobfile.not-text"],
    );
}
