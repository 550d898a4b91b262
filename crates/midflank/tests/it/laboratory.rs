//! What a laboratory answers for: approved defaults, uncertainties of its own, the certificates of a piece.

use crate::bench::Bench;
use crate::said::{assert_says, assert_silent};

fn approve(bench: &Bench, name: &str, value: &str, due: &str) -> crate::bench::Run {
    bench.run(&[
        "default",
        "approve",
        name,
        "--value",
        value,
        "--evidence",
        "study 12",
        "--person",
        "A. Quill",
        "--review-due",
        due,
    ])
}

fn note_of<'a>(result: &'a serde_json::Value, quantity: &str) -> &'a str {
    let lines = result["budget"].as_array().unwrap();
    let line = lines.iter().find(|line| line["quantity"] == quantity);
    line.unwrap()["note"].as_str().unwrap()
}

#[test]
fn an_approved_default_counts_is_named_and_verifies_for_ever() {
    let bench = Bench::new();
    let job = &bench.demo_of_today(&[]);
    let before = bench.run(&["inspect", job, "--json"]).json();
    assert_says(note_of(&before, "flank-angle"), "note.half-angles-usual");

    let approved = approve(&bench, "flank-angle-rolled", "8", "2099-12-31");
    assert_eq!(approved.status, 0, "{}", approved.err);
    let listed = bench.run(&["default", "list"]).out;
    assert_says(&listed, "approval.by");
    assert_says(&listed, "approval.listed");
    let documents = bench.run(&["default", "list", "--json"]).documents();
    let one = |name: &str| {
        let mut all = documents.iter();
        all.find(|one| one["name"] == name).unwrap().clone()
    };
    assert_eq!(one("flank-angle-rolled")["approved"]["value"], 8.0);
    assert_eq!(one("flank-angle-rolled")["approved"]["overdue"], false);
    assert!(one("form")["approved"].is_null());

    let after = bench.run(&["inspect", job, "--json"]).json();
    let note = note_of(&after, "flank-angle");
    assert_says(note, "note.approved");
    assert!(
        note.contains("A. Quill") && note.contains("2099-12-31"),
        "{note}"
    );
    assert_silent(note, "note.half-angles-usual");
    let u = |result: &serde_json::Value| result["size"]["expanded_uncertainty"].as_f64().unwrap();
    assert!(u(&after) < u(&before));
    assert_eq!(after["rests_on"][0]["code"], "approved");
    assert_eq!(after["rests_on"][0]["what"], "flank-angle-rolled");
    assert_eq!(after["rests_on"][0]["evidence"], "study 12");
    // The report says on what evidence.
    let text = bench.run(&["inspect", job]).out;
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_says(&words, "rests-on.approved");
    assert!(
        words.contains("A. Quill") && words.contains("(study 12)"),
        "{text}"
    );
    // What was measured before the approval was given has the program's.
    let earlier = bench.demo("1-rating-screw.toml", &[]);
    let earlier = bench.run(&["inspect", earlier.to_str().unwrap(), "--json"]);
    assert_says(
        note_of(&earlier.json(), "flank-angle"),
        "note.half-angles-usual",
    );
    let job = &bench.demo_of_today(&[]);

    // A later approval, and the withdrawal of both, change no record.
    bench.run(&["inspect", job, "--record"]);
    let again = approve(&bench, "flank-angle-rolled", "12", "2099-12-31");
    assert_eq!(again.status, 0, "{}", again.err);
    let changed = bench.run(&["inspect", job, "--json"]).json();
    assert!(u(&changed) > u(&after));
    let withdrawn = bench.run(&[
        "ledger",
        "amend",
        "3",
        "--reason",
        "study was wrong",
        "--person",
        "A. Quill",
    ]);
    assert_eq!(withdrawn.status, 0, "{}", withdrawn.err);
    let now = bench.run(&["inspect", job, "--json"]).json();
    assert_eq!(u(&now), u(&before));
    let sound = bench.run(&["ledger", "verify"]);
    assert_eq!(sound.status, 0, "{}{}", sound.out, sound.err);
    let page = bench.run(&["report", "2", "--html", "-"]).out;
    assert_says(&page, "note.approved");
    assert_says(&page, "rests-on.approved");
    assert_says(&bench.run(&["ledger", "list"]).out, "approval.by");
}

#[test]
fn an_approval_wants_its_unit_evidence_person_and_a_day_to_come() {
    let bench = Bench::new();
    approve(&bench, "form", "2", "2099-12-31").refused(&["unit"]);
    approve(&bench, "form", "0um", "2099-12-31").refused(&["above"]);
    approve(&bench, "flank-angle-cut", "300", "2099-12-31").refused(&["--value"]);
    approve(&bench, "room", "18", "2099-12-31").refused(&["approval.two-temperatures"]);
    approve(&bench, "room", "22..18", "2099-12-31").refused(&["approval.two-temperatures"]);
    approve(&bench, "room", "20..20", "2099-12-31").refused(&["approval.two-temperatures"]);
    approve(&bench, "flank-angle-cut", "0", "2099-12-31").refused(&["approval.of-nothing"]);
    approve(&bench, "form", "2um", "2020-12-31").refused(&["approval.review-past"]);
    approve(&bench, "luck", "2um", "2099-12-31").refused(&["luck"]);
    let blank = bench.run(&[
        "default",
        "approve",
        "form",
        "--value",
        "2um",
        "--evidence",
        " ",
        "--person",
        "A. Quill",
        "--review-due",
        "2099-12-31",
    ]);
    blank.refused(&["approval.missing"]);
    assert_eq!(approve(&bench, "room", "18..22", "2099-12-31").status, 0);
}

#[test]
fn the_larger_of_two_uncertainties_decides_and_an_approved_one_always() {
    let bench = Bench::new();
    let own = |expanded: &str| {
        let stated = format!(
            "[prior]\nexpanded_uncertainty = \"{expanded}\"\ncoverage_factor = 2\nsource = \"budget 7, rev. 2\"\n"
        );
        bench.demo_of_today(&[("[prior]", &stated)])
    };
    let inspect = |job: &str| bench.run(&["inspect", job, "--json"]).json();
    let small = inspect(&own("0.5um"));
    assert_eq!(small["uncertainty"]["decides"], "program");
    assert_eq!(small["size"], small["uncertainty"]["program"]);
    let job = own("40um");
    let large = inspect(&job);
    assert_eq!(large["uncertainty"]["decides"], "laboratory");
    let u = large["size"]["expanded_uncertainty"].as_f64().unwrap();
    assert!((u - 0.040).abs() < 1e-9, "{u}");
    let text = bench.run(&["inspect", &job]).out;
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_says(&words, "decides.laboratory");
    assert!(words.contains("budget 7, rev. 2"), "{text}");

    let approved = bench.run(&self::own(&[]));
    assert_eq!(approved.status, 0, "{}", approved.err);
    let decided = inspect(&job);
    assert_eq!(decided["uncertainty"]["decides"], "approved");
    assert_eq!(decided["uncertainty"]["approval"]["person"], "A. Quill");
    let u = decided["size"]["expanded_uncertainty"].as_f64().unwrap();
    assert!((u - 0.003).abs() < 1e-9, "{u}");
    bench.run(&["inspect", &job, "--record"]);
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
    let page = bench.run(&["report", "2", "--html", "-"]).out;
    assert_says(&page, "report.decides-approved");
    // Another set-up has none.
    let other = bench.demo_of_today(&[("id = \"vc-60-3\"", "id = \"vc-60-4\"")]);
    assert!(inspect(&other)["uncertainty"].is_null());
}

/// What is approved for a whole set-up cannot be less than what one certificate in it says.
#[test]
fn an_approved_uncertainty_below_a_certificate_is_not_used() {
    let bench = Bench::new();
    let value = |value: &'static str| {
        let mut own = own(&[]);
        *own.iter_mut().find(|one| **one == "3um").unwrap() = value;
        bench.run(&own)
    };
    let approved = value("0.1um");
    assert_eq!(approved.status, 0, "{}", approved.err);
    let job = bench.demo_of_today(&[]);
    let result = bench.run(&["inspect", &job, "--json"]).json();
    assert_eq!(result["uncertainty"]["decides"], "program");
    let told = bench.run(&["inspect", &job]).out;
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_says(&told, "not-found-at.certificate");
    bench.run(&["inspect", &job, "--record"]);
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

#[test]
fn an_uncertainty_of_ones_own_needs_its_factor_and_its_source() {
    let bench = Bench::new();
    let alone = [("[prior]", "[prior]\nexpanded_uncertainty = \"2um\"\n")];
    let job = bench.demo("1-rating-screw.toml", &alone);
    bench
        .run(&["inspect", job.to_str().unwrap()])
        .refused(&["1-rating-screw.toml:", "jobfile.own-uncertainty-alone"]);
}

#[test]
fn certificates_are_kept_and_show_the_drift() {
    let bench = Bench::new();
    let standard = |size: &str, number: &str, date: &str| {
        format!(
            "person = \"A. Quill\"\nunit = \"mm\"\n[[standard]]\nid = \"rod-25\"\nsize = \"{size}\"\nform = \"plain\"\nexpanded_uncertainty = \"0.2um\"\ncoverage_factor = 2\ncertificate = \"{number}\"\ncertificate_date = {date}\ndue = 2099-01-01\n"
        )
    };
    let add = |text: &str| {
        let file = bench.file("e.toml", text);
        let run = bench.run(&["equipment", "add", &file, "--reason", "new certificate"]);
        assert_eq!(run.status, 0, "{}", run.err);
    };
    add(&standard("25.0003", "K-1", "2023-03-01"));
    let show = || bench.run(&["equipment", "show", "rod-25", "--json"]).json();
    assert!(show()["drift_per_year"].is_null());
    add(&standard("25.0005", "K-2", "2024-03-01"));
    // A slip put right is no other certificate.
    add(&standard("25.0006", "K-2", "2024-03-01"));
    let shown = show();
    let certificates = shown["certificates"].as_array().unwrap();
    assert_eq!(certificates.len(), 2, "{shown}");
    assert_eq!(certificates[0]["certificate"], "K-1");
    assert_eq!(certificates[0]["size"], "25.0003mm");
    assert_eq!(certificates[1]["date"], "2024-03-01");
    // 0.3 µm in 366 days.
    assert_eq!(shown["drift_per_year"], "0.0002994mm");
    let text = bench.run(&["equipment", "show", "rod-25"]).out;
    assert_says(&text, "register.shows-drift");
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);

    let job = r#"
unit = "mm"
person = "A. Quill"
measured_at = 2025-03-01T09:00:00Z
[part]
name = "pin"
[measure]
name = "diameter"
lower = "24.99"
upper = "25.02"
scope = "place"
[instrument]
id = "m"
range = ["0", "50"]
maximum_permissible_error = "2um"
[contacts]
id = "f"
kind = "flat"
[standard]
id = "rod-25"
[zero]
before = ["25.000", "25.001"]
after = ["25.000", "25.001"]
[readings]
values = ["25.003", "25.004", "25.003"]
[temperature]
held = "table"
"#;
    let file = bench.file("job.toml", job);
    let result = bench.run(&["inspect", &file, "--json"]).json();
    assert_says(
        note_of(&result, "standard-drift"),
        "note.since-certificates",
    );
    let lines = result["budget"].as_array().unwrap();
    let of = |quantity: &str| lines.iter().find(|line| line["quantity"] == quantity);
    let drift = of("standard-drift").unwrap()["standard_uncertainty"]
        .as_f64()
        .unwrap();
    assert!(
        (drift - 0.0002994 * 365.0 / 365.25 / 3f64.sqrt()).abs() < 1e-9,
        "{drift}"
    );
    assert!(of("part-gradient").is_none());
}

fn own<'a>(more: &[&'a str]) -> Vec<&'a str> {
    let set_up = [
        "default",
        "uncertainty",
        "--instrument",
        "mic-04",
        "--with",
        "vc-60-3",
        "--of",
        "pitch-diameter",
        "--value",
        "3um",
        "--evidence",
        "comparison 4",
        "--person",
        "A. Quill",
        "--review-due",
        "2099-12-31",
    ];
    [&set_up[..], more].concat()
}

#[test]
fn an_approved_uncertainty_states_the_sizes_and_the_room_it_was_found_at() {
    let bench = Bench::new();
    bench
        .run(&own(&["--sizes", "8mm"]))
        .refused(&["approval.two-sizes"]);
    bench
        .run(&own(&["--sizes", "9mm..8mm"]))
        .refused(&["approval.two-sizes"]);
    bench.run(&own(&["--sizes", "8..9"])).refused(&["unit"]);
    bench
        .run(&own(&["--room", "21..19"]))
        .refused(&["--room", "approval.two-temperatures"]);

    let job = &bench.demo_of_today(&[]);
    let approve = |more: &[&str]| {
        let run = bench.run(&own(&[more, &["--json"]].concat()));
        assert_eq!(run.status, 0, "{}", run.err);
        run.documents()[0].clone()
    };
    let decides = || {
        let found = bench.run(&["inspect", job, "--json"]).json();
        found["uncertainty"]["decides"].as_str().unwrap().to_owned()
    };
    let document = approve(&["--sizes", "8mm..10mm", "--room", "15..25"]);
    assert_eq!(document["sizes"], serde_json::json!(["8mm", "10mm"]));
    assert_eq!(document["room"], serde_json::json!([15.0, 25.0]));
    assert_eq!(decides(), "approved");
    assert_says(&bench.run(&["default", "list"]).out, "approval.for-sizes");
    approve(&["--sizes", "10mm..12mm"]);
    assert_ne!(decides(), "approved");
    let text = bench.run(&["inspect", job]).out;
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_says(&words, "warning.own-not-held");
    approve(&["--room", "15..25"]);
    assert_eq!(decides(), "approved");
    bench.run(&["inspect", job, "--record"]);
    assert_eq!(bench.run(&["ledger", "verify"]).status, 0);
}

const ROD: &str = "person = \"A. Quill\"\nunit = \"mm\"\n[[standard]]\nid = \"rod-25\"\nsize = \"25\"\nform = \"plain\"\nexpanded_uncertainty = \"0.2um\"\ncoverage_factor = 2\ncertificate = \"K-1\"\n";

#[test]
fn a_certificate_is_neither_to_come_nor_older_than_its_kind() {
    let bench = Bench::new();
    let add = |date: &str| {
        let file = bench.file("e.toml", &format!("{ROD}certificate_date = {date}\n"));
        bench.run(&["equipment", "add", &file])
    };
    let place = "e.toml:10:20:";
    add("1949-12-31").refused(&[place, "jobfile.certificate-too-early"]);
    add("2099-01-01").refused(&[place, "jobfile.certificate-ahead"]);
    assert_eq!(add("1950-01-01").status, 0);
    // A job is held to the day of its measurement.
    let job = |date: &str| {
        let dated = format!("certificate = \"K-2187\"\ncertificate_date = {date}");
        let job = bench.demo(
            "1-rating-screw.toml",
            &[("certificate = \"K-2187\"", &dated)],
        );
        bench.run(&["inspect", job.to_str().unwrap()])
    };
    job("1066-10-14").refused(&["1-rating-screw.toml:", "jobfile.certificate-too-early"]);
    job("2026-03-10").refused(&["1-rating-screw.toml:", "jobfile.certificate-after"]);
    assert_eq!(job("2026-03-09").status, 0);
}

#[test]
fn a_date_put_right_under_one_number_replaces_what_stood_there() {
    let bench = Bench::new();
    let add = |number: &str, size: &str, date: &str| {
        let text = format!("{ROD}certificate_date = {date}\n")
            .replace("K-1", number)
            .replace("size = \"25\"", &format!("size = \"{size}\""));
        let file = bench.file("e.toml", &text);
        let run = bench.run(&["equipment", "add", &file, "--reason", "put right"]);
        assert_eq!(run.status, 0, "{}", run.err);
    };
    add("K-1", "25.0003", "2023-03-01");
    add("K-2", "25.0005", "2024-03-01");
    add("K-3", "25.0006", "2025-03-01");
    let show = || bench.run(&["equipment", "show", "rod-25", "--json"]).json();
    let dates = |shown: &serde_json::Value| -> Vec<String> {
        let all = shown["certificates"].as_array().unwrap();
        all.iter()
            .map(|one| one["date"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(dates(&show()), ["2023-03-01", "2024-03-01", "2025-03-01"]);
    add("K-3", "25.0006", "2025-09-01");
    assert_eq!(dates(&show()), ["2023-03-01", "2024-03-01", "2025-09-01"]);
    // In June 2025 K-2 held: K-3 came in September.
    let job = r#"
unit = "mm"
person = "A. Quill"
measured_at = 2025-06-01T09:00:00Z
part.name = "pin"
measure = { name = "diameter", lower = "24.99", upper = "25.02", scope = "place" }
instrument = { id = "m", range = ["0", "50"], maximum_permissible_error = "2um" }
contacts = { id = "f", kind = "flat" }
standard.id = "rod-25"
zero = { before = ["25.000", "25.001"], after = ["25.000", "25.001"] }
readings.values = ["25.003", "25.004", "25.003"]
"#;
    let file = bench.file("job.toml", job);
    let result = bench.run(&["inspect", &file, "--json"]).json();
    assert!(note_of(&result, "standard").contains("K-2"), "{result}");
}
