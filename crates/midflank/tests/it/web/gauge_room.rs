//! The gauge room on its pages, by plain form posts.

use std::path::Path;
use std::process::Command;

use super::support::{self, Answer, Bench, Folder, SET_UP, between};
use crate::bench::root;
use crate::said::{assert_says, assert_silent, heard};

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
    heard(String::from_utf8_lossy(&done.stdout).into_owned())
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

pub fn status(bench: &Bench, piece: &str, fields: &[(&str, &str)]) -> Answer {
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
pub fn facts(page: &str) -> &str {
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
    // Its record has the curve right under its own title: no heading skips a level.
    let record = between(&page, "href=\"/record/", "\"").to_owned();
    let record = bench.get(&format!("/record/{record}")).body;
    assert_says(&record, "gauge-page.last-calibration");
    assert!(!record.contains("<h3"), "{record}");
    // Its certificate as a file, by the link on the page.
    let pdf = between(&page, "href=\"/records/", "\"");
    let pdf = bench.get(&format!("/records/{pdf}"));
    assert_eq!(pdf.header("content-type"), Some("application/pdf"));
}

/// The entries of the gauge room say on their page what they hold; what is stored stands folded below.
#[test]
fn a_record_reads_as_what_it_says() {
    let folder = Folder::new("gauge-room-records");
    let bench = Bench::start(&folder, 0, &[]);
    status(&bench, "instrument/mic-04", &[("status", "quarantined")]);
    command(
        &folder,
        &["certificate", "add", &file(&folder, "gauge", &[])],
    );
    let listed = command(&folder, &["ledger", "list", "--json"]);
    let mut shown = 0;
    for line in listed.lines() {
        let entry: serde_json::Value = serde_json::from_str(line).unwrap();
        let (kind, id) = (entry["kind"].as_str(), entry["id"].as_str().unwrap());
        let page = bench.get(&format!("/record/{id}")).body;
        let (said, stored) = page.split_once("<details>").unwrap();
        assert!(stored.contains("<pre"), "{page}");
        let expected = match kind {
            Some("status") => &["mic-04", "looked at"][..],
            Some("certificate") => &["go-plug-12", "9.0285"],
            _ => continue,
        };
        for text in expected {
            assert!(said.contains(text), "{text}: {page}");
        }
        shown += 1;
    }
    assert_eq!(shown, 2, "{listed}");
}

#[test]
fn what_the_register_does_not_have_has_a_page_too() {
    let folder = Folder::new("piece-gauge");
    let bench = Bench::start(&folder, 0, &[]);
    let own = "/equipment/gauge/go-plug-77";
    assert_eq!(bench.get(own).status, 404);
    let first = [
        ("2026-02-10", "2025-02-10"),
        ("2027-02-10", "2026-02-10"),
        ("C-5512", "C-5511"),
        ("9.0285", "9.0300"),
        ("go-plug-12", "go-plug-77"),
    ];
    for changes in [&first[..], &first[4..]] {
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
        status(&bench, "gauge/go-plug-77", &[("status", "lost")]).status,
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
            &[("status", "limited"), ("limited_to", "rough")],
            "limited_to",
            "status-error.no-such-use",
        ),
        (
            &[("status", "in-use"), ("limited_to", "size")],
            "limited_to",
            "status-error.not-limited",
        ),
        (
            &[("status", "in-use"), ("due", "1.3.2027")],
            "due",
            "bench.no-date",
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
    // The list says for what, too.
    let row = bench.get("/equipment").body;
    let row = between(&row, "href=\"/equipment/instrument/mic-04\"", "</tr>");
    assert!(row.contains("tube-wall and size"), "{row}");
    let extended = [
        ("status", "in-use"),
        ("due", "2025-03-01"),
        ("extend_until", "2099-03-01"),
        ("check", "two blocks"),
    ];
    assert_eq!(status(&bench, of, &extended).status, 303);
    for list in ["/equipment", "/due"] {
        let row = bench.get(list).body;
        let row = between(&row, "href=\"/equipment/instrument/mic-04\"", "</tr>");
        assert!(row.contains("2025-03-01"), "{list}: {row}");
        assert!(row.contains("2099-03-01"), "{list}: {row}");
    }
    let changes = bench.get(MICROMETER).body;
    let changes = &changes[changes.find("id=\"status\"").unwrap()..];
    assert_says(changes, "gauge-page.extended");
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

/// Readings of nine points, as in the file of the demonstration.
const READ: [&str; 27] = [
    "-0.001", "0.000", "0.001", "2.501", "2.502", "2.501", "5.101", "5.102", "5.101", "7.702",
    "7.701", "7.702", "10.302", "10.301", "10.302", "12.902", "12.903", "12.901", "15.001",
    "15.002", "15.003", "17.602", "17.603", "17.602", "25.002", "25.003", "25.002",
];

/// A micrometer is calibrated at the bench, parked on the way and taken up again; register, status and page have it then.
#[test]
fn a_micrometer_is_calibrated_at_the_bench() {
    let folder = Folder::new("calibrate");
    let bench = Bench::start(&folder, 0, &[]);
    let blocks = file(&folder, "blocks", &[("due = 2031-01-12\n", "")]);
    command(&folder, &["certificate", "add", &blocks]);
    assert_says(&bench.get(MICROMETER).body, "calibrate.begin");
    let mut window = bench.window();
    assert_ne!(window.enter("calibrate mic-40"), 303);
    assert_says(&window.page, "bench.no-such-piece");
    window.enter_all(&["calibrate mic-04"]);
    assert_says(window.question(), "calibration-ask.blocks");
    assert_says(&bench.get(MICROMETER).body, "calibrate.busy");
    window.enter_all(&["", "span 4um simple", "IN-1", "clock workshop", "", "1 0.3"]);
    assert_says(&window.page, "calibrate.not-made");
    window.enter_all(&[""]);
    window.shows("1.5 + 1");
    window.enter_all(&READ[..4]);
    assert_ne!(window.enter("5.101"), 303);
    assert_says(&window.page, "calibration-wanted.far-off");
    window.enter_all(&["/park"]);
    let parked = bench.get("/").body;
    assert_says(&parked, "calibrate.job");
    window.enter_all(&["/take"]);
    window.enter_all(&READ[4..]);
    assert_says(window.question(), "calibration-ask.flatness");
    window.enter_all(&["bands 1 1.5 0.6um", "bands 4 0.6um", ""]);
    assert_says(window.question(), "calibration-ask.due");
    window.enter_all(&["2098-03-02"]);
    for shown in [
        "calibrate.will-be",
        "calibrate.curve-goes",
        "paper-calibration.curve",
    ] {
        assert_says(&window.page, shown);
    }
    assert_eq!(window.page.matches("class=\"dot\"").count(), 9);
    window.enter_all(&["/sign A. Quill"]);
    assert_says(&window.page, "calibrate.recorded");
    // Its record shows the curve and what it is held against, before what is stored.
    let record = between(&window.page, "/record/", "\"").to_owned();
    let record = bench.get(&format!("/record/{record}")).body;
    let picture = between(&record, "<svg class=\"run\"", "</svg>");
    assert_eq!(picture.matches("class=\"dot\"").count(), 9, "{picture}");
    for shown in ["gauge-page.criterion", "calibrate.faces", "bench.inputs"] {
        assert_says(&record, shown);
    }
    let page = bench.get(MICROMETER).body;
    for shown in ["IN-1", "2098-03-02", "span of the errors"] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    // The same entries as by command, and they verify.
    let equipment = command(&folder, &["equipment", "show", "mic-04", "--json"]);
    let equipment: serde_json::Value = serde_json::from_str(&equipment).unwrap();
    assert_eq!(equipment["certificate"], "IN-1");
    assert_eq!(
        equipment["item"]["errors"]["curve"]["points"]
            .as_array()
            .unwrap()
            .len(),
        9
    );
    command(&folder, &["status", "show", "instrument", "mic-04"]);
    command(&folder, &["ledger", "verify"]);
    // What was stated is offered again; a number is taken once.
    window.enter_all(&["", "calibrate mic-04", "", ""]);
    assert_ne!(window.enter("IN-1"), 303);
    assert_says(&window.page, "calibration-wanted.known");
    window.shows("IN-1");
}

/// One that was begun after somebody set the micrometer apart lifts that; one that was under way then does not.
#[test]
fn a_calibration_at_the_bench_lifts_a_quarantine_from_before_it() {
    let folder = Folder::new("calibrate-lifts");
    let bench = Bench::start(&folder, 0, &[]);
    let blocks = file(&folder, "blocks", &[("due = 2031-01-12\n", "")]);
    command(&folder, &["certificate", "add", &blocks]);
    let mut window = bench.window();
    let apart = || status(&bench, "instrument/mic-04", &[("status", "quarantined")]);
    // Times are kept to the second.
    let a_second = || std::thread::sleep(std::time::Duration::from_millis(1600));
    let last = ["bands 1 1.5 0.6um", "bands 4 0.6um", "", "2098-03-02"];
    assert_eq!(apart().status, 303);
    a_second();
    window.enter_all(&["calibrate mic-04"]);
    window.enter_all(&[
        "",
        "span 4um simple",
        "IN-1",
        "clock workshop",
        "",
        "1 0.3",
        "",
    ]);
    window.enter_all(&READ);
    window.enter_all(&last);
    window.enter_all(&["/sign A. Quill"]);
    assert_says(facts(&bench.get(MICROMETER).body), "status.in-use");
    window.enter_all(&["", "calibrate mic-04", "", "", "IN-2", "", "", "", ""]);
    a_second();
    assert_eq!(apart().status, 303);
    window.page = bench.get("/").body;
    window.enter_all(&READ);
    window.enter_all(&last);
    window.enter_all(&["/sign A. Quill"]);
    assert_says(&window.page, "status-set.quarantined");
    assert_says(facts(&bench.get(MICROMETER).body), "status.quarantined");
}

/// After a calibration that was not passed one over a part of the range leaves the micrometer quarantined, and the page says so
/// before it is signed.
#[test]
fn before_the_signature_the_status_is_what_it_will_be() {
    let folder = Folder::new("calibrate-part");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    let mut calibrated = |number: &str, last: [&str; 3]| {
        let criterion = "either-way 3um simple";
        let lines = ["calibrate mic-04", "grade 0 1 1.5 4", criterion, number];
        window.enter_all(&lines);
        window.enter_all(&["clock workshop", "", "", "0 2.5 5"]);
        window.enter_all(&["0.000", "0.001", "0.000", "2.500", "2.501", "2.500"]);
        window.enter_all(&last);
        window.enter_all(&["", "", "", "none"]);
        let shown = window.page.clone();
        window.enter_all(&["/sign A. Quill", ""]);
        shown
    };
    let out = calibrated("IN-1", ["5.010", "5.011", "5.010"]);
    assert_says(&out, "status-set.quarantined");
    assert_silent(&out, "calibrate.good-in-part");
    let in_part = calibrated("IN-2", ["5.000", "5.001", "5.000"]);
    assert_says(&in_part, "calibrate.good-in-part");
    assert_says(&in_part, "status-set.quarantined");
    assert_says(facts(&bench.get(MICROMETER).body), "status.quarantined");
}

/// A set that is set apart proves nothing, and an error curve outside its criterion quarantines the micrometer.
#[test]
fn what_is_found_out_is_quarantined_from_the_bench() {
    let folder = Folder::new("calibrate-out");
    let bench = Bench::start(&folder, 0, &[]);
    let blocks = file(&folder, "blocks", &[("due = 2031-01-12\n", "")]);
    command(&folder, &["certificate", "add", &blocks]);
    assert_eq!(
        status(&bench, "gauge-blocks/gb-1", &[("status", "quarantined")]).status,
        303
    );
    let mut window = bench.window();
    window.enter_all(&["calibrate mic-04"]);
    assert_ne!(window.enter("gb-1"), 303);
    assert_says(&window.page, "calibration-wanted.unfit-blocks");
    assert_eq!(
        status(&bench, "gauge-blocks/gb-1", &[("status", "in-use")]).status,
        303
    );
    window.page = bench.get("/").body;
    window.enter_all(&[
        "gb-1",
        "either-way 1um",
        "IN-9",
        "clock workshop",
        "",
        "",
        "0 5 10 25",
    ]);
    assert_says(&window.page, "calibrate.one-phase");
    window.enter_all(&["0.000"]);
    window.enter_all(&["0.000"]);
    // Sent twice at once: it is asked about before another stack is wrung.
    assert_says(window.question(), "bench.question-flagged");
    window.enter_all(&["0.001", "0.000"]);
    for at in ["5.00", "10.00", "25.00"] {
        for last in ["4", "5", "4"] {
            window.enter_all(&[&format!("{at}{last}")]);
        }
    }
    window.enter_all(&["", "", "", "none"]);
    assert_says(&window.page, "calibration-note.whole-turns");
    window.enter_all(&["/sign A. Quill"]);
    assert_says(facts(&bench.get(MICROMETER).body), "status.quarantined");
}

/// A standard that was found to be out: shown first, saved as a case, and decided result by result.
#[test]
fn a_recall_is_begun_saved_and_decided_on_its_pages() {
    let folder = Folder::new("recall-pages");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    let today = jiff::Timestamp::now().to_string()[..10].to_owned();
    let ask = |fields: &[(&str, &str)]| {
        let mut all = vec![
            ("found", today.as_str()),
            ("person", "A. Quill"),
            ("act", "look"),
        ];
        all.retain(|(key, _)| fields.iter().all(|(other, _)| other != key));
        all.extend_from_slice(fields);
        support::post(&bench, "/recalls", "/recalls", &all)
    };
    let of_mic = [
        ("piece", "instrument"),
        ("id", "mic-04"),
        ("since", "2020-01-01"),
    ];
    let with = |more: &[(&'static str, &'static str)]| {
        let mut all = of_mic.to_vec();
        all.retain(|(key, _)| more.iter().all(|(other, _)| other != key));
        all.extend_from_slice(more);
        ask(&all)
    };
    for (more, says) in [
        (&[][..], "recall-case.both-needed"),
        (&[("error", "3um")], "recall-case.error-of-micrometer"),
        (
            &[
                ("at_part", "3um"),
                ("at_standard", "1um"),
                ("found", "2098-01-01"),
                ("act", "save"),
            ],
            "recall.found-in-future",
        ),
        (&[("at_part", "3um")], "recall-case.both-needed"),
        (
            &[("at_part", "3um"), ("at_standard", "3um")],
            "recall-case.no-difference",
        ),
        (
            &[("at_part", "3um"), ("at_standard", "1um"), ("found", "")],
            "page.needed",
        ),
        (
            &[
                ("at_part", "3um"),
                ("at_standard", "1um"),
                ("history", "step"),
            ],
            "recall-case.step-needed",
        ),
        (
            &[
                ("at_part", "3um"),
                ("at_standard", "1um"),
                ("step", "2026-01-01"),
            ],
            "recall-case.step-alone",
        ),
        (
            &[("at_part", "3um"), ("at_standard", "1um"), ("id", "mic-99")],
            "recall.never-used",
        ),
        (
            &[
                ("at_part", "3um"),
                ("at_standard", "1um"),
                ("act", "save"),
                ("person", ""),
            ],
            "page.no-person",
        ),
    ] {
        let answer = with(more);
        assert_eq!(answer.status, 422, "{more:?}");
        assert_says(&answer.body, says);
    }
    let both = [("at_part", "71um"), ("at_standard", "1um")];
    let shown = with(&both);
    assert_eq!(shown.status, 200, "{}", shown.body);
    // 70 µm is what is left at the parts, and nothing is on the record yet.
    assert!(shown.body.contains("70 µm"), "{}", shown.body);
    assert_says(&shown.body, "recall-case.affected");
    assert_says(&bench.get("/recalls").body, "recall-case.none");
    let missing = [
        ("piece", "instrument"),
        ("found", ""),
        ("person", ""),
        ("act", "save"),
    ];
    let missing = ask(&missing).body;
    assert_eq!(missing.matches("aria-invalid").count(), 5, "{missing}");
    assert_eq!(missing.matches(" autofocus").count(), 1, "{missing}");
    let saved = with(&[both[0], both[1], ("act", "save")]);
    assert_eq!(saved.status, 303, "{}", saved.body);
    let case = saved.header("location").unwrap().to_owned();
    assert!(
        bench
            .get("/recalls")
            .body
            .contains(&format!("href=\"{case}\""))
    );
    let page = bench.get(&case).body;
    assert!(page.contains("71 µm and 1 µm"), "{page}");
    // The micrometer is still in use, and nobody's name stands in the form.
    assert_says(&page, "recall-case.quarantine");
    let person_field = between(&page, "<input id=\"person\"", ">");
    assert!(person_field.contains("value=\"\""), "{person_field}");
    let result = between(&page, "name=\"result\" value=\"", "\"").to_owned();
    let decide = |fields: &[(&str, &str)]| support::post(&bench, &case, &case, fields);
    let person = ("person", "A. Quill");
    let all_wrong = decide(&[("decided", "forgotten"), ("note", "a\u{200b}b")]).body;
    assert_eq!(all_wrong.matches("aria-invalid").count(), 4, "{all_wrong}");
    assert_eq!(all_wrong.matches(" autofocus").count(), 1, "{all_wrong}");
    for (fields, says) in [
        (
            &[("decided", "informed"), person][..],
            "recall-case.none-marked",
        ),
        (
            &[("decided", "forgotten"), person, ("every", "1")],
            "recall-case.no-decision",
        ),
        (
            &[("decided", "informed"), ("person", " "), ("every", "1")],
            "page.no-person",
        ),
        (
            &[("decided", "informed"), person, ("result", "9-0000")],
            "recall-case.no-result",
        ),
    ] {
        let answer = decide(fields);
        assert_eq!(answer.status, 422, "{fields:?}");
        assert_says(&answer.body, says);
    }
    let decided = decide(&[
        ("decided", "measured-again"),
        person,
        ("note", "with mic-07"),
        ("result", &result),
    ]);
    assert_eq!(decided.status, 303, "{}", decided.body);
    let page = bench.get(decided.header("location").unwrap()).body;
    assert!(page.contains("with mic-07"), "{page}");
    assert_says(&page, "recall-decision.measured-again");
    let open = format!("{case}?open=1");
    assert!(
        !bench
            .get(&open)
            .body
            .contains(&format!("value=\"{result}\""))
    );
    assert_eq!(bench.get("/recalls/1").status, 404);
    assert_eq!(bench.get("/recalls/nothing").status, 404);
    command(&folder, &["ledger", "verify"]);
}
