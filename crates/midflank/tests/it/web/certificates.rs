//! A certificate from outside is recorded on the page of its piece: typed, or filled in from a digital one.

use super::beside::on;
use super::support::{self, Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO, between};
use crate::said::{assert_says, assert_silent};

const FORM: &str = "/equipment/standard/rod-10/certificate";
const VALUES: &str =
    "quantity;value;unit;expanded_uncertainty;coverage_factor\nsize;9,9993;mm;0,0006;2\n";

fn fields<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut all = vec![
        ("number", "K-77"),
        ("date", "2026-11-02"),
        ("due", "2098-11-02"),
        ("issuer", "Length Room"),
        ("accreditation_body", "AB"),
        ("accreditation_number", "12"),
        ("values", VALUES),
        ("person", "A. Quill"),
    ];
    all.retain(|(key, _)| more.iter().all(|(other, _)| other != key));
    all.extend_from_slice(more);
    all
}

#[test]
fn a_certificate_is_recorded_and_taken_by_the_register() {
    let folder = Folder::new("certificate");
    let bench = Bench::start(&folder, 0, &[]);
    assert!(bench.get("/equipment/standard/rod-10").body.contains(FORM));
    assert_eq!(
        bench.get("/equipment/standard/rod-99/certificate").status,
        404
    );
    let kept = support::post(&bench, FORM, FORM, &fields(&[]));
    assert_eq!(kept.status, 200, "{}", kept.body);
    assert_says(&kept.body, "certificate-page.recorded");
    let shown = on(
        &folder,
        &["certificate", "show", "standard", "rod-10", "--json"],
    );
    let shown = shown.json();
    let certificates = shown["certificates"].as_array().unwrap();
    let last = certificates
        .iter()
        .find(|one| one["heading"]["number"] == "K-77")
        .unwrap();
    assert_eq!(last["values"][0]["value"], 9.9993);
    assert_eq!(last["traceability"], "accredited");
    for doubt in ["certificate.unused", "certificate.not-registered"] {
        assert_silent(&kept.body, doubt);
    }
    // The same again, as a reload sends it, records nothing twice.
    let again = support::post(&bench, FORM, FORM, &fields(&[]));
    assert_eq!(again.status, 422);
    assert_says(&again.body, "certificate.known");
    // One that does not state its item to conform says what became of it.
    let failed = fields(&[
        ("number", "K-78"),
        ("date", "2026-11-03"),
        ("conformity", "fail"),
    ]);
    let failed = support::post(&bench, FORM, FORM, &failed);
    assert_eq!(failed.status, 200, "{}", failed.body);
    assert_says(&failed.body, "certificate.set-apart");
}

/// What the record will withhold is withheld at the bench, from the last reading on.
#[test]
fn a_verdict_that_a_certificate_withholds_is_none_at_the_bench() {
    let folder = Folder::new("certificate-withholds");
    let bench = Bench::start(&folder, 0, &[]);
    let other =
        "quantity;value;unit;expanded_uncertainty;coverage_factor\nsize;9.9980;mm;0.0006;2\n";
    let kept = support::post(&bench, FORM, FORM, &fields(&[("values", other)]));
    assert_eq!(kept.status, 200, "{}", kept.body);
    let mut window = bench.window();
    for lines in [&SET_UP[..], &ZERO, &READINGS] {
        window.enter_all(lines);
    }
    assert!(
        window.page.contains("class=\"page undecided"),
        "{}",
        window.page
    );
    window.enter_all(&TO_THE_RECORD);
    assert!(
        window.page.contains("class=\"page undecided"),
        "{}",
        window.page
    );
    let latest = on(&folder, &["ledger", "list", "--limit", "1", "--json"]).json();
    let mut subjects = latest["subjects"].as_array().unwrap().iter();
    assert!(subjects.any(|one| *one == serde_json::json!(["verdict", "undecided"])));
}

#[test]
fn every_wrong_field_of_a_certificate_is_told_and_nothing_is_recorded() {
    let folder = Folder::new("certificate-wrong");
    let bench = Bench::start(&folder, 0, &[]);
    let count = || {
        let run = on(&folder, &["ledger", "list", "--json", "--limit", "1000"]);
        run.out.lines().count()
    };
    let before = count();
    let wrong = fields(&[
        ("number", ""),
        ("date", "2.11.2026"),
        ("accreditation_number", ""),
        (
            "values",
            "quantity,value,unit,expanded_uncertainty,coverage_factor\nsize,nine,mm,0.0006,2\n",
        ),
        ("person", " "),
    ]);
    let told = support::post(&bench, FORM, FORM, &wrong);
    assert_eq!(told.status, 422);
    for field in ["number", "date", "accreditation_number", "values", "person"] {
        let input = between(&told.body, &format!("id=\"{field}\""), ">");
        assert!(input.contains("aria-invalid=\"true\""), "{field}: {input}");
    }
    assert_says(&told.body, "table.not-a-number");
    assert!(
        told.body.contains("value=\"2.11.2026\""),
        "what was typed stays"
    );
    let stale = support::hand_in(&bench, &format!("{FORM}/read"), &[("token", "old")], &[]);
    assert_eq!(stale.status, 403);
    assert_eq!(count(), before);
}

#[test]
fn a_digital_certificate_fills_in_the_form() {
    let folder = Folder::new("certificate-digital");
    let bench = Bench::start(&folder, 0, &[]);
    let text = crate::exchange::dcc::of_micrometer();
    let form = "/equipment/instrument/mic-04/certificate";
    let page = bench.get(form).body;
    let token = between(&page, "name=\"token\" value=\"", "\"").to_owned();
    let read = format!("{form}/read");
    let with = |content: &[u8]| {
        let file = [("file", "c.xml", content)];
        support::hand_in(&bench, &read, &[("token", &token)], &file)
    };
    let filled = with(text.as_bytes());
    assert_eq!(filled.status, 200, "{}", filled.body);
    let taken = on(
        &folder,
        &["certificate", "read", &written(&folder, &text), "--json"],
    )
    .json();
    let number = taken["heading"]["number"].as_str().unwrap();
    assert!(filled.body.contains(&format!("value=\"{number}\"")));
    let values = between(&filled.body, "id=\"values\"", "</textarea>");
    let rows = values.lines().count();
    assert_eq!(
        rows,
        taken["values"].as_array().unwrap().len() + 1,
        "{values}"
    );
    for (content, sentence) in [
        (&b""[..], "certificate-page.no-file"),
        (b"\xff", "study-file.not-utf-8"),
        (b"<a/>", "dcc.no-certificate"),
    ] {
        let wrong = with(content);
        assert_eq!(wrong.status, 422);
        assert_says(&wrong.body, sentence);
    }
}

fn written(folder: &Folder, text: &str) -> String {
    let path = folder.path().join("c.xml");
    std::fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}
