//! Form between places: from the default, from earlier records of the part, or as stated.

use crate::bench::Bench;
use crate::said::assert_says;

/// The note and the contribution of the line of form.
fn form(bench: &Bench, changes: &[(&str, &str)]) -> (String, f64) {
    let job = bench.demo("1-rating-screw.toml", changes);
    let document = bench
        .run(&["inspect", job.to_str().unwrap(), "--json"])
        .json();
    let budget = document["budget"].as_array().unwrap().clone();
    let line = budget
        .into_iter()
        .find(|line| line["quantity"] == "form-seen")
        .unwrap_or_else(|| panic!("no line of form: {document}"));
    let note = line["note"].as_str().unwrap().to_owned();
    (note, line["contribution"].as_f64().unwrap())
}

/// Four places within 3.3 µm show less than the default of 3 µm; four records of the same part, drawing and characteristic
/// (twelve degrees of freedom, 1.7 µm between places) that were measured before take its place. One piece recorded again and
/// again does not, nor do records of another drawing, nor any beside what is stated or approved and larger.
#[test]
fn records_of_the_part_take_the_place_of_the_default() {
    let bench = Bench::new();
    let (note, usual) = form(&bench, &[]);
    assert_says(&note, "note.form-usual");
    let record = |day: u32| {
        let at = format!("measured_at = 2026-03-0{day}");
        let job = bench.demo("1-rating-screw.toml", &[("measured_at = 2026-03-09", &at)]);
        let run = bench.run(&["inspect", job.to_str().unwrap(), "--record", "--again"]);
        assert_eq!(run.status, 0, "{}", run.err);
    };
    for _ in 0..4 {
        record(1);
    }
    assert_says(&form(&bench, &[]).0, "note.form-usual");
    for day in [2, 3, 4] {
        record(day);
    }
    // A slip that was left is no form of the part.
    let left = "[[readings.left]]\nreading = \"8.4\"\nreason = \"left\"\n\n[temperature]";
    let slip = [
        ("2026-03-09", "2026-03-05"),
        ("\"8.928\"", "\"8.4\""),
        ("[temperature]", left),
    ];
    let slip = bench.demo("1-rating-screw.toml", &slip);
    let run = bench.run(&["inspect", slip.to_str().unwrap(), "--record"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let (note, known) = form(&bench, &[]);
    assert_says(&note, "note.form-history");
    // The report names the records: those of four days, and of the first the last that was recorded.
    let job = bench.demo("1-rating-screw.toml", &[]);
    let text = bench.run(&["inspect", job.to_str().unwrap()]).out;
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_says(&words, "rests-on.form-records");
    for record in ["4-", "5-", "6-", "7-"] {
        assert!(words.contains(&format!(" {record}")), "{text}");
    }
    assert!(known < usual, "{known} of {usual}");
    let other = form(&bench, &[("TC-0412 rev C", "TC-0412 rev D")]);
    assert_says(&other.0, "note.form-usual");
    assert_eq!(other.1, usual);
    let stated = form(&bench, &[("[prior]", "[prior]\nform = \"2um\"")]);
    assert_says(&stated.0, "note.readings");
    let before = [("measured_at = 2026-03-09", "measured_at = 2026-02-09")];
    assert_says(&form(&bench, &before).0, "note.form-usual");
    let approve = [
        "default",
        "approve",
        "form",
        "--value",
        "8um",
        "--evidence",
        "study 4",
        "--person",
        "A. Quill",
    ];
    let approved = bench.run(&[&approve[..], &["--review-due", "2099-12-31"]].concat());
    assert_eq!(approved.status, 0, "{}", approved.err);
    // It counts from today on.
    assert_says(&form(&bench, &[]).0, "note.form-history");
    let now = format!("measured_at = {}", jiff::Timestamp::now());
    let of_today = [
        ("measured_at = 2026-03-09T09:40:00Z", now.as_str()),
        ("due = 2026-09-30", "due = 2099-09-30"),
        ("due = 2026-11-15", "due = 2099-11-15"),
    ];
    assert_says(&form(&bench, &of_today).0, "note.approved");

    // What was known then stays with the record.
    let job = bench.demo("1-rating-screw.toml", &[]);
    bench.run(&["inspect", job.to_str().unwrap(), "--record"]);
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}

/// A zero 5 µm from where the records of micrometer, pair and standard have it has no verdict until it is answered; the same job
/// with another pair is none of them.
#[test]
fn a_zero_is_held_to_where_the_records_have_it() {
    let bench = Bench::new();
    let record = |changes: &[(&str, &str)]| {
        let job = bench.demo("1-rating-screw.toml", changes);
        bench.run(&["inspect", job.to_str().unwrap(), "--record", "--json"])
    };
    let earlier = ("measured_at = 2026-03-09", "measured_at = 2026-03-01");
    let first = record(&[earlier]);
    assert_eq!(first.status, 0, "{}", first.err);
    let stepped = [
        (
            "before = [\"10.001\", \"10.002\", \"10.001\"]",
            "before = [\"10.007\", \"10.007\", \"10.007\"]",
        ),
        (
            "after = [\"10.002\", \"10.002\", \"10.001\"]",
            "after = [\"10.007\", \"10.007\", \"10.007\"]",
        ),
    ];
    let job = bench.demo("1-rating-screw.toml", &stepped);
    let open = bench.run(&["inspect", job.to_str().unwrap(), "--json"]);
    let decision = &open.json()["decision"];
    assert_eq!(decision["decision"], "undecided");
    assert_eq!(decision["because"], "zero-stepped");
    let left = (
        "[temperature]",
        "[[readings.left]]\nreading = \"10.007\"\nreason = \"set to the rod anew\"\n\n[temperature]",
    );
    let [one, other] = stepped;
    let answered = record(&[one, other, left]);
    assert_eq!(answered.status, 0, "{}", answered.err);
    assert_eq!(answered.json()["decision"]["decision"], "accept");
    // The next one stands where that stood.
    let next = record(&[
        one,
        other,
        ("measured_at = 2026-03-09", "measured_at = 2026-03-10"),
    ]);
    assert_eq!(next.status, 0, "{}", next.err);
}
