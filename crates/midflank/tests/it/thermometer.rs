//! The thermometer that the temperatures of a job were read with: its certificate in the budget, its status in the verdict, its
//! name on the record.

use serde_json::Value;

use crate::bench::{Bench, changed};
use crate::said::assert_says;

/// The job by identity, with temperatures and what else stands beside them.
fn job(more: &str) -> String {
    let temperatures = format!(
        "\n[temperature]\npart = 21.0\nstandard = 20.6\nstandard_uncertainty = 0.3\npart_material = \"steel\"\n{more}\n[decision]\n"
    );
    changed("by-identity", "\n[decision]\n", &temperatures)
}

const NAMED: &str = "thermometer = \"th-2\"";

/// The standard uncertainty of the temperature of the part, kelvins.
fn of_part(result: &Value) -> f64 {
    let budget = result["budget"].as_array().unwrap();
    let named = |line: &&Value| line["name"] == "part-temperature";
    let line = budget.iter().find(named).unwrap();
    line["standard_uncertainty"].as_f64().unwrap()
}

fn set(bench: &Bench, status: &str, more: &[&str]) {
    let first = ["status", "set", "thermometer", "th-2", status];
    let by = ["--person", "A. Quill", "--reason", "looked at"];
    let told = bench.run(&[&first[..], &by, more].concat());
    assert_eq!(told.status, 0, "{}", told.err);
}

/// A certificate from outside with one error at 20 °C, of a day.
fn certificate(bench: &Bench, date: &str, error: f64) {
    let text = crate::bench::demo_file("gauge-room/thermometer.toml")
        .replace("date = 2026-04-10", &format!("date = {date}"))
        .replace("T-0562", &format!("T-{date}"))
        .replace("value = 0.13", &format!("value = {error}"));
    let file = bench.file("certificate.toml", &text);
    let added = bench.run(&["certificate", "add", &file]);
    assert_eq!(added.status, 0, "{}", added.err);
}

/// 0.3 K for the reading, 0.05 K and 0.12 K by the certificate of 2026-02-16, and 0.05 K a year for 57 days.
#[test]
fn its_certificate_and_its_drift_are_in_the_budget() {
    let bench = Bench::new().with_equipment();
    let plain = bench.inspect(&job("")).json();
    assert!((of_part(&plain) - 0.3).abs() < 1e-12);
    let named = bench.inspect(&job(NAMED)).json();
    let drift = 0.05 * 57.0 / 365.25;
    let expected = f64::sqrt(0.09 + 0.0025 + 0.0144 + drift * drift / 3.0);
    assert!((of_part(&named) - expected).abs() < 1e-12, "{named}");
    let u = |result: &Value| result["size"]["standard_uncertainty"].as_f64().unwrap();
    assert!(u(&named) > u(&plain));
    assert_eq!(named["size"]["value"], plain["size"]["value"]);

    let report = bench.run(&["inspect", &bench.file("job.toml", &job(NAMED))]);
    assert!(
        report.out.contains("th-2") && report.out.contains("T-0418"),
        "{}",
        report.out
    );
    let note = named["budget"].to_string();
    assert_says(&note, "note.thermometer-named");

    let recorded = bench.run(&["inspect", &bench.file("job.toml", &job(NAMED)), "--record"]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    // The register says otherwise later; the record stays as it was.
    certificate(&bench, "2026-04-20", 0.9);
    let verified = bench.run(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
    let again = bench
        .run(&["inspect", &bench.file("job.toml", &job(NAMED)), "--json"])
        .json();
    assert!((of_part(&again) - expected).abs() < 1e-3, "{again}");
}

/// The certificate that held on the day of measurement counts, and two of them show the drift where nobody states it.
#[test]
fn a_later_certificate_counts_from_its_day() {
    let bench = Bench::new();
    let stated = crate::bench::demo("equipment");
    let without = stated.replace("drift_per_year = 0.05  ", "# drift_per_year = 0.05  ");
    assert_ne!(stated, without);
    let file = bench.file("equipment.toml", &without);
    let added = bench.run(&["equipment", "add", &file]);
    assert_eq!(added.status, 0, "{}", added.err);
    let of_certificate = |u: f64, e: f64| f64::sqrt(0.09 + u * u + e * e);
    let one = bench.inspect(&job(NAMED)).json();
    assert!((of_part(&one) - of_certificate(0.05, 0.12)).abs() < 1e-12);
    certificate(&bench, "2026-04-10", 0.2);
    let later = bench.inspect(&job(NAMED)).json();
    // 0.08 K in less than half a year counts as over half a year; the certificate is four days old.
    let drift = 0.08 / 180.0 * 4.0;
    let expected = f64::sqrt(0.09 + 0.0064 + 0.04 + drift * drift / 3.0);
    assert!((of_part(&later) - expected).abs() < 1e-12, "{later}");
    let piece = bench.run(&["equipment", "show", "th-2", "--json"]).json();
    assert_eq!(piece["certificate"], "T-2026-04-10");
    assert_eq!(piece["certificates"][1]["error_kelvins"], 0.2);
    assert!(piece["drift_per_year"].as_str().unwrap().ends_with('K'));
}

#[test]
fn its_status_acts_as_that_of_other_equipment() {
    let bench = Bench::new().with_equipment();
    let file = bench.file("job.toml", &job(NAMED));
    let decided = |because: &str| {
        let result = bench.run(&["inspect", &file, "--json"]).json();
        assert_eq!(result["decision"]["decision"], "undecided", "{because}");
        assert_eq!(result["decision"]["because"], because);
    };
    set(&bench, "in-use", &["--due", "2026-03-31"]);
    decided("overdue");
    let until = [
        "--due",
        "2026-03-31",
        "--extend-until",
        "2099-01-31",
        "--check",
        "against th-1",
    ];
    set(&bench, "in-use", &until);
    let extended = bench.run(&["inspect", &file]);
    assert_says(&extended.out, "status-note.extended");
    set(
        &bench,
        "limited",
        &["--due", "2099-01-31", "--for", "pitch-diameter"],
    );
    decided("limited");
    for barred in ["quarantined", "retired", "lost"] {
        set(&bench, barred, &[]);
        let state = format!("state.{barred}");
        let told = bench.run(&["inspect", &file, "--json"]);
        told.refused(&["barred.piece", "piece.thermometer", "th-2", &state]);
    }
    let trial = bench.run(&["inspect", &file, "--trial", "--record"]);
    assert_eq!(trial.status, 0, "{}", trial.err);
    for said in ["trial.temperatures", "trial.thermometer"] {
        assert_says(&trial.out, said);
    }
    set(&bench, "in-use", &["--due", "2099-01-31"]);
    let result = bench.run(&["inspect", &file, "--json"]).json();
    assert_eq!(result["decision"]["decision"], "accept");
}

/// A due date of the gauge room holds for what was measured before the next certificate, and not after it.
#[test]
fn a_due_date_that_was_set_ends_with_the_next_certificate() {
    let bench = Bench::new().with_equipment();
    let decided = || bench.inspect(&job(NAMED)).json()["decision"]["decision"].clone();
    set(&bench, "in-use", &["--due", "2026-03-31"]);
    assert_eq!(decided(), "undecided");
    // Of a day after the measurement: it was overdue then.
    certificate(&bench, "2026-04-20", 0.13);
    assert_eq!(decided(), "undecided");
    certificate(&bench, "2026-04-10", 0.13);
    assert_eq!(decided(), "accept");
    let of = || {
        let mut all = bench.run(&["due", "--json"]).documents();
        all.retain(|one| one["id"] == "th-2");
        all.remove(0)
    };
    assert_eq!(of()["due"], "2099-01-31");
    // Who has it says nothing of when it is due.
    set(&bench, "in-use", &["--holder", "bench 3"]);
    assert_eq!(of()["due"], "2099-01-31");
    assert_eq!(of()["status"], "in-use");
}

/// An extension belongs to the certificate that was extended, and a change of today says nothing of an earlier certificate.
#[test]
fn what_was_set_belongs_to_its_certificate() {
    let bench = Bench::new().with_equipment();
    let of = || bench.inspect(&job(NAMED)).json()["decision"].clone();
    set(&bench, "in-use", &["--due", "2026-03-31"]);
    // The job is of 2026-04-14: it stays overdue whatever is set under later certificates.
    certificate(&bench, "2026-05-20", 0.13);
    for more in [["--holder", "bench 3"], ["--due", "2027-05-20"]] {
        set(&bench, "in-use", &more);
        assert_eq!(of()["because"], "overdue", "{more:?}");
    }
    certificate(&bench, "2026-06-20", 0.13);
    assert_eq!(of()["because"], "overdue");
    // A certificate of before the job is the one it is judged by.
    certificate(&bench, "2026-04-01", 0.13);
    assert_eq!(of()["decision"], "accept");
}

/// Who has a piece says nothing of an extension, which does not go over to the next certificate.
#[test]
fn another_holder_carries_no_extension_to_the_next_certificate() {
    let bench = Bench::new().with_equipment();
    let until = [
        "--due",
        "2026-03-31",
        "--extend-until",
        "2099-01-31",
        "--check",
        "th-1",
    ];
    set(&bench, "in-use", &until);
    certificate(&bench, "2026-05-20", 0.13);
    set(&bench, "in-use", &["--holder", "bench 3"]);
    let shown = bench.run(&["status", "show", "thermometer", "th-2", "--json"]);
    let last = shown.documents().pop().unwrap();
    assert_eq!(last["extension"], Value::Null, "{last}");
    assert_eq!(last["due"], Value::Null, "{last}");
}

#[test]
fn an_extension_does_not_end_a_limitation() {
    let bench = Bench::new().with_equipment();
    let more = [
        "--for",
        "size",
        "--due",
        "2026-03-31",
        "--extend-until",
        "2099-01-31",
        "--check",
        "th-1",
    ];
    set(&bench, "limited", &more);
    let result = bench.inspect(&job(NAMED)).json();
    assert_eq!(result["decision"]["because"], "limited", "{result}");
}

/// An extension stays where only the holder changes, and ends with another due date.
#[test]
fn an_extension_is_not_lost_by_another_change() {
    let bench = Bench::new().with_equipment();
    let file = bench.file("job.toml", &job(NAMED));
    let until = [
        "--due",
        "2026-03-31",
        "--extend-until",
        "2099-01-31",
        "--check",
        "against th-1",
    ];
    set(&bench, "in-use", &until);
    set(&bench, "in-use", &["--holder", "bench 3"]);
    let extended = bench.run(&["inspect", &file]);
    assert_says(&extended.out, "status-note.extended");
    set(&bench, "in-use", &["--due", "2026-04-01"]);
    let result = bench.run(&["inspect", &file, "--json"]).json();
    assert_eq!(result["decision"]["because"], "overdue");
}

/// What the register sets apart stays so, and the refusal gives no reason of another change.
#[test]
fn in_use_does_not_end_what_the_register_bars() {
    let bench = Bench::new().with_equipment();
    let by = ["--reason", "dropped", "--person", "A. Quill"];
    let told = bench.run(&[&["equipment", "state", "th-2", "quarantined"][..], &by].concat());
    assert_eq!(told.status, 0, "{}", told.err);
    let found = ["--reason", "found good", "--person", "A. Quill"];
    let command = ["status", "set", "thermometer", "th-2", "in-use"];
    let told = bench.run(&[&command[..], &found].concat());
    assert_says(&told.err, "status.register-bars");
    let told = bench.inspect(&job(NAMED));
    told.refused(&["barred.registered", "th-2", "state.quarantined"]);
    assert!(!told.err.contains("found good"), "{}", told.err);
}

/// One clear error each, and nothing recorded.
#[test]
fn a_thermometer_that_cannot_be_taken() {
    let bench = Bench::new().with_equipment();
    let refused = |text: &str, codes: &[&str]| bench.inspect(text).refused(codes);
    refused(
        &job("thermometer = \"th-7\""),
        &["jobfile.no-thermometer-near", "th-2"],
    );
    refused(
        &job("thermometer = \"thirtieth\""),
        &["jobfile.no-thermometer", "thirtieth"],
    );
    refused(&job("thermometer = \"TH-2\""), &["register.alike", "th-2"]);
    refused(&job("thermometer = \" \""), &["jobfile.no-identity"]);
    let alone = format!("\n[temperature]\n{NAMED}\n[decision]\n");
    let alone = changed("by-identity", "\n[decision]\n", &alone);
    refused(&alone, &["jobfile.thermometer-alone", "th-2"]);
}
