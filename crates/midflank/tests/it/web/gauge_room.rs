//! The gauge room on its pages, by plain form posts.

use std::path::Path;
use std::process::Command;

use super::support::{self, Answer, Bench, Folder, SET_UP, between};
use crate::bench::root;
use crate::said::assert_says;

/// A command on the ledger of a bench.
#[track_caller]
pub fn command(folder: &Folder, arguments: &[&str]) -> String {
    let done = Command::new(env!("CARGO_BIN_EXE_midflank"))
        .arg("--ledger")
        .arg(folder.path().join("ledger.db"))
        .args(arguments)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{arguments:?}: {said}");
    String::from_utf8_lossy(&done.stdout).into_owned()
}

/// A file of the demonstration's gauge room with something changed in it.
pub fn file(folder: &Folder, name: &str, changes: &[(&str, &str)]) -> String {
    let path = root().join("demo/gauge-room").join(format!("{name}.toml"));
    let mut text = std::fs::read_to_string(path).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "no {from:?} in {name}");
        text = text.replace(from, to);
    }
    let path = folder.path().join("file.toml");
    std::fs::write(&path, text).unwrap();
    shown(&path)
}

fn shown(path: &Path) -> String {
    path.to_str().unwrap().to_owned()
}

const MICROMETER: &str = "/equipment/instrument/mic-04";

fn status(bench: &Bench, piece: &str, fields: &[(&str, &str)]) -> Answer {
    let own = format!("/equipment/{piece}");
    let mut all = vec![("person", "A. Quill"), ("reason", "looked at")];
    all.extend_from_slice(fields);
    support::post(bench, &own, &format!("{own}/status"), &all)
}

/// What is complained of at a field of the form for another status.
fn complaint<'a>(page: &'a str, field: &str) -> &'a str {
    let begin = format!("<span id=\"status-{field}-wrong\" role=\"alert\">");
    between(page, &begin, "</span>")
}

/// What holds of a piece now.
fn facts(page: &str) -> &str {
    between(page, "<dl class=\"facts\">", "</dl>")
}

#[test]
fn a_micrometer_shows_its_calibrations_with_the_error_curve() {
    let folder = Folder::new("piece-curve");
    let bench = Bench::start(&folder, 0, &[]);
    let before = bench.get(MICROMETER);
    assert_eq!(before.status, 200);
    assert!(!before.body.contains("id=\"calibrations\""));
    let first = [
        ("2026-03-02", "2025-03-03"),
        ("2027-03-02", "2026-03-03"),
        ("IN-2026-04", "IN-2025-04"),
    ];
    for changes in [&first[..], &[]] {
        let file = file(&folder, "calibration", changes);
        command(&folder, &["calibrate", &file, "--record"]);
    }
    let page = bench.get(MICROMETER).body;
    for shown in [
        "IN-2025-04",
        "IN-2026-04",
        "2027-03-02",
        "25.0000",
        "2.54 µm",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    assert_says(&page, "gauge-page.last-calibration");
    // The curve of nine points, and the one before behind it.
    let picture = between(&page, "<svg class=\"run\"", "</svg>");
    assert_says(picture, "paper-calibration.curve");
    assert_eq!(picture.matches("class=\"dot\"").count(), 9, "{picture}");
    assert_eq!(picture.matches("class=\"hollow\"").count(), 9, "{picture}");
    assert_says(picture, "gauge-page.span-limit");
    // Its certificate as a file, by the link on the page.
    let pdf = between(&page, "href=\"/records/", "\"");
    let pdf = bench.get(&format!("/records/{pdf}"));
    assert_eq!(pdf.header("content-type"), Some("application/pdf"));
}

#[test]
fn what_the_register_does_not_have_has_a_page_too() {
    let folder = Folder::new("piece-gauge");
    let bench = Bench::start(&folder, 0, &[]);
    let own = "/equipment/gauge/go-plug-12";
    assert_eq!(bench.get(own).status, 404);
    let first = [
        ("2026-02-10", "2025-02-10"),
        ("2027-02-10", "2026-02-10"),
        ("C-5512", "C-5511"),
        ("9.0285", "9.0300"),
    ];
    for changes in [&first[..], &[]] {
        let file = file(&folder, "gauge", changes);
        command(&folder, &["certificate", "add", &file]);
    }
    for list in ["/equipment", "/due"] {
        let body = bench.get(list).body;
        assert!(body.contains(&format!("href=\"{own}\"")), "{list}: {body}");
    }
    let page = bench.get(own).body;
    for shown in ["C-5511", "C-5512", "9.03 mm", "9.0285 mm", "0.0015 mm"] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    assert_says(&page, "certificate.drift");
    assert_says(&page, "gauge-page.wear-limit");
    let picture = between(&page, "<svg class=\"run\"", "</svg>");
    assert_eq!(picture.matches("class=\"dot\"").count(), 2, "{picture}");
    assert_eq!(
        status(&bench, "gauge/go-plug-12", &[("status", "lost")]).status,
        303
    );
    assert_says(facts(&bench.get(own).body), "status.lost");
}

/// The form makes the checks of `midflank status set`, and keeps what was typed.
#[test]
fn another_status_is_set_on_the_page_and_holds_at_the_bench() {
    let folder = Folder::new("piece-status");
    let bench = Bench::start(&folder, 0, &[]);
    let of = "instrument/mic-04";
    for (fields, field, says) in [
        (
            &[("status", "limited")][..],
            "limited_to",
            "status-error.limited-to-nothing",
        ),
        (
            &[("status", "in-use"), ("limited_to", "size")],
            "limited_to",
            "status-error.not-limited",
        ),
        (
            &[("status", "in-use"), ("due", "1.3.2027")],
            "due",
            "jobfile.no-date",
        ),
        (
            &[("status", "in-use"), ("extend_until", "2099-01-31")],
            "check",
            "status-error.half-extension",
        ),
        (
            &[("status", "in-use"), ("check", "two blocks")],
            "extend_until",
            "gauge-page.extend-no-day",
        ),
        (
            &[
                ("status", "lost"),
                ("extend_until", "2099-01-31"),
                ("check", "two blocks"),
            ],
            "extend_until",
            "status-error.extends-nothing",
        ),
        (
            &[("status", "in-use"), ("reason", " ")],
            "reason",
            "page.no-reason",
        ),
        (
            &[("status", "in-use"), ("person", "")],
            "person",
            "page.no-person",
        ),
        (&[("status", "worn")], "status", "status-error.no-status"),
    ] {
        let answer = status(&bench, of, fields);
        assert_eq!(answer.status, 422, "{fields:?}");
        assert_says(complaint(&answer.body, field), says);
    }
    let kept = status(
        &bench,
        of,
        &[("status", "limited"), ("holder", "bench <2>")],
    )
    .body;
    assert!(kept.contains("bench &lt;2&gt;"), "{kept}");
    assert!(!bench.get(MICROMETER).body.contains("id=\"changes\""));
    let limited = [
        ("status", "limited"),
        ("limited_to", "tube-wall, size"),
        ("holder", "bench 2"),
        ("due", "2098-03-01"),
    ];
    let answer = status(&bench, of, &limited);
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert_eq!(answer.header("location"), Some(MICROMETER));
    let page = bench.get(MICROMETER).body;
    for shown in [
        "bench 2",
        "2098-03-01",
        "tube-wall and size",
        "value=\"tube-wall size\"",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    let quarantined = status(
        &bench,
        of,
        &[("status", "quarantined"), ("reason", "dropped")],
    );
    assert_eq!(quarantined.status, 303, "{}", quarantined.body);
    let mut window = bench.window();
    window.enter_all(&SET_UP[..6]);
    assert_ne!(window.enter("mic-04"), 303);
    assert_says(&window.page, "state.quarantined");
    assert_eq!(status(&bench, of, &[("status", "in-use")]).status, 303);
    assert_eq!(window.enter("mic-04"), 303);
    assert_eq!(
        status(&bench, "instrument/mic-99", &[("status", "lost")]).status,
        404
    );
    let stale = [("token", "x".to_owned()), ("status", "lost".to_owned())];
    let kind = ("Content-Type", "application/x-www-form-urlencoded");
    let refused = bench.request(
        "POST",
        &format!("{MICROMETER}/status"),
        &[kind],
        &support::form(&stale),
    );
    assert_eq!(refused.status, 422);
    assert_says(facts(&bench.get(MICROMETER).body), "status.in-use");
}
