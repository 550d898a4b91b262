//! The whole job by plain form posts.

use super::support::{Bench, Folder, NEXT, READINGS, SET_UP, TO_THE_RECORD, ZERO, between};
use crate::shown::text_of;

#[test]
fn a_part_is_accepted_and_recorded() {
    let folder = Folder::new("accepted");
    accepts_and_records(&Bench::start(&folder, 0, &[]));
}

/// The whole job of a good part.
pub fn accepts_and_records(bench: &Bench) {
    let mut window = bench.window();
    assert!(window.question().starts_with("Which thread"));
    window.enter_all(&SET_UP[..1]);
    // Limits at once, in both units (ISO 965-1, M10x1.5-6g pitch diameter 8.862 to 8.994 mm).
    window.shows("8.862");
    window.shows("8.994");
    window.shows("0.34890");
    window.enter_all(&SET_UP[1..]);
    assert_eq!(
        window.question(),
        "Zero check, reading 1 of 3: measure setting standard rod-10 (9.9994\u{202f}mm)."
    );
    window.shows("% of the tolerance");
    window.enter_all(&ZERO);
    assert_eq!(window.question(), "Reading 1 of 6: near the head, 0°.");
    window.enter_all(&READINGS);
    window.shows("ACCEPT");
    window.shows("The worst position, ");
    window.enter_all(&["10.002", "10.002", "10.001"]);
    assert!(window.question().starts_with("Signature"));
    // A cable sends Enter, and a name alone is no signature.
    assert_eq!(window.enter(""), 422);
    assert_eq!(window.enter("A. Quill"), 422);
    window.enter_all(&["/sign A. Quill"]);
    window.shows("Recorded as");
    let id = between(&window.page, "/record/", "\"").to_owned();
    let record = bench.get(&format!("/record/{id}"));
    assert_eq!(record.status, 200);
    assert!(record.body.contains("A. Quill") && record.body.contains("cs-118"));
    assert!(record.body.contains("8,931 mm"), "digits are kept as typed");
}

/// Numbers with a decimal point in what a page says, without those that were typed or stand in a name.
fn with_a_point(page: &str, typed: &[&str]) -> Vec<String> {
    let text = text_of(page);
    let is_part = |letter: char| letter.is_ascii_alphanumeric() || "./-".contains(letter);
    text.split(|letter: char| !is_part(letter))
        .map(|word| word.trim_matches(|letter: char| "./-".contains(letter)))
        .filter(|word| {
            word.split_once('.').is_some_and(|(before, after)| {
                before.ends_with(|digit: char| digit.is_ascii_digit())
                    && after.starts_with(|digit: char| digit.is_ascii_digit())
            })
        })
        .filter(|word| {
            let digits = word.trim_end_matches("mm");
            !typed.iter().any(|line| line.contains(digits))
        })
        .map(str::to_owned)
        .collect()
}

#[test]
fn numbers_are_shown_as_the_reader_writes_them() {
    let folder = Folder::new("comma");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    let german = |path: &str| {
        let comma = ("Accept-Language", "de-DE,en;q=0.5");
        let page = bench.request("GET", path, &[comma], "");
        assert_eq!(page.status, 200, "{path}");
        page.body
    };
    let mut typed = vec![
        "127.0.0.1",
        env!("CARGO_PKG_VERSION"),
        "block-2.5",
        "M10x1.5-6H",
    ];
    for lines in [&SET_UP[..], &ZERO, &READINGS, &TO_THE_RECORD] {
        typed.extend(lines);
    }
    let mut wrong = Vec::new();
    let mut look = |what: &str, page: &str| {
        for found in with_a_point(page, &typed) {
            wrong.push(format!("{what}: {found}"));
        }
    };
    window.enter_all(&SET_UP);
    assert!(german("/").contains("9,9994"), "{}", german("/"));
    window.shows("9.9994");
    for line in ZERO.iter().chain(&READINGS).chain(&TO_THE_RECORD[..4]) {
        look(&format!("before {line}"), &german("/?show=budget"));
        look(&format!("before {line}"), &german("/?show=tolerance"));
        window.enter_all(&[line]);
    }
    window.enter_all(&TO_THE_RECORD[4..]);
    look("at the end", &german("/"));
    let entry = between(&window.page, "/record/", "\"").to_owned();
    for path in [
        "/history",
        "/lot/cs-118",
        "/contacts/vc-60-3",
        "/equipment",
        &format!("/record/{entry}"),
    ] {
        look(path, &german(path));
    }
    // The limits beside the run chart and the histogram of the lot.
    let lot = german("/lot/cs-118");
    assert_eq!(lot.matches("8,9940 mm").count(), 2, "{lot}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn an_answer_taken_back_is_there_to_be_put_right() {
    let folder = Folder::new("back");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP[..2]);
    window.shows("class=\"offer\"");
    window.enter_all(&SET_UP[2..3]);
    window.enter_all(&["/back"]);
    assert_eq!(window.question(), "Drawing and revision?");
    window.shows("value=\"TC-0412 rev C\"");
    window.shows("Esc clears the field; then Enter answers: none.");
    window.enter_all(&["TC-0412 rev D"]);
    assert!(!window.page.contains("value=\"TC-0412"), "{}", window.page);
}

#[test]
fn a_job_is_not_given_up_by_one_word() {
    let folder = Folder::new("drop");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS[..2]);
    assert_eq!(window.enter("/drop"), 422);
    window.shows("An abandoned job and its 2 readings are not recorded");
    window.shows("value=\"/drop it\"");
    assert_eq!(window.question(), "Reading 3 of 6: middle, 0°.");
    window.enter_all(&["/drop it"]);
    assert!(window.question().starts_with("Which thread"));
}

#[test]
fn the_next_part_keeps_the_set_up() {
    let folder = Folder::new("next");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    // The next sample of the lot is known; taken back, it is asked for.
    window.enter_all(&["", "/back"]);
    assert_eq!(window.question(), "Next part of the lot: lot and sample?");
    window.shows("cs-118 / 5 of 12");
    window.enter_all(&["cs-118 / 5 of 12"]);
    // The closing check of the part before is the opening check of this one.
    assert_eq!(window.question(), "Reading 1 of 6: near the head, 0°.");
    window.enter_all(&READINGS);
    window.enter_all(&["10.002", "10.002", "10.001", "/sign"]);
    let history = bench.get("/history?lot=cs-118").body;
    assert_eq!(history.matches("rating screw").count(), 2, "{history}");
    let lot = bench.get("/lot/cs-118");
    assert_eq!(lot.status, 200);
    assert!(
        lot.body.contains("12 corrected readings from 2 records"),
        "{}",
        lot.body
    );
    let checks = bench.get("/contacts/vc-60-3");
    assert!(
        checks
            .body
            .contains("Control limits are drawn from 8 checks on")
    );
    assert!(
        bench
            .get("/history?since=2020-13-01")
            .body
            .contains("is not a date")
    );
}

/// The check that closed one job is the opening check of another with the same set-up, and of no other.
#[test]
fn a_zero_check_just_made_opens_the_next_job() {
    let folder = Folder::new("check-kept");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    window.enter_all(&["/new"]);
    window.enter_all(&SET_UP);
    assert_eq!(window.question(), "Reading 1 of 6: near the head, 0°.");
    // Whoever takes the set-up back takes the check back with it.
    window.enter_all(&["/back"]);
    assert!(window.question().starts_with("Temperature"));
    window.enter_all(&SET_UP[9..]);
    window.shows("The zero check that was just made with this set-up counts here");
    assert_eq!(window.question(), "Reading 1 of 6: near the head, 0°.");
    window.enter_all(&["/zero"]);
    assert!(window.question().starts_with("Zero check, reading 1 of 3"));
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.enter_all(&["/drop it"]);
    // The part of the job that was dropped was measured since, and no check came after it.
    window.enter_all(&SET_UP);
    assert!(window.question().starts_with("Zero check, reading 1 of 3"));
}

#[test]
fn a_turn_of_the_thimble_is_asked_about_and_taken_again() {
    let folder = Folder::new("turn");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&["8.929", "8.930", "8.427", "8.931", "8.926", "8.928"]);
    assert_eq!(
        window.question(),
        "Reading 3 (middle, 0°) looks like a mistake. Repeat the reading."
    );
    window.shows("one thimble turn (0.5 mm)");
    window.enter_all(&["8.927"]);
    window.shows("ACCEPT");
    window.enter_all(&TO_THE_RECORD);
    let id = between(&window.page, "/record/", "\"").to_owned();
    let record = bench.get(&format!("/record/{id}")).body;
    assert!(
        record.contains("8.427 mm") && record.contains("repeated, now 8.927 mm"),
        "{record}"
    );
}

/// A flagged reading is left for a reason that is typed, and Enter alone leaves nothing.
#[test]
fn enter_alone_lets_no_flagged_reading_stand() {
    let folder = Folder::new("flagged");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&["8.929", "8.930", "8.427"]);
    // A reading that was to be taken again may stay as it was; that answers no flag.
    window.enter_all(&["r", "", "8.931", "8.926", "8.928"]);
    for line in ["", "ok", "r"] {
        assert_eq!(window.enter(line), 422, "{line}");
        window.shows("Repeat this reading, or enter a reason for keeping it");
    }
    window.enter_all(&["seen twice, a dent"]);
    window.enter_all(&TO_THE_RECORD);
    let id = between(&window.page, "/record/", "\"").to_owned();
    let record = bench.get(&format!("/record/{id}")).body;
    assert!(record.contains("8.427 mm: seen twice, a dent"), "{record}");
}

/// A check in doubt stands only for a reason, and the record tells it.
#[test]
fn a_doubtful_zero_stands_only_for_a_reason() {
    let folder = Folder::new("doubt");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.enter_all(&["10.006", "10.006", "10.006"]);
    window.shows("Zero moved by");
    assert_eq!(window.enter(""), 422);
    assert_eq!(window.enter("ok"), 422);
    window.shows("the reason is printed on the report");
    window.enter_all(&[
        "both readings agree within the tolerance of the drawing",
        "/sign A. Quill",
    ]);
    let id = between(&window.page, "/record/", "\"").to_owned();
    let record = bench.get(&format!("/record/{id}")).body;
    assert!(record.contains("both readings agree within"), "{record}");
}

/// Another standard between the contacts than the one that was chosen, and a zero that moved since the last record with the
/// same micrometer, pair and standard: both are asked about before anything is read.
#[test]
fn a_zero_that_is_not_where_it_stood_is_asked_about() {
    let folder = Folder::new("far");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    for far in ["10.101", "9.899"] {
        window.enter_all(&[far; 3]);
        assert_eq!(window.enter(""), 422, "{far}");
    }
    window.enter_all(&["10.013", "10.013", "10.012"]);
    window.shows("from the certified size of rod-10");
    window.enter_all(&["the display was preset by hand, and rod-10 is engraved"]);
    window.enter_all(&["8.940", "8.941", "8.938", "8.942", "8.937", "8.939"]);
    window.enter_all(&["10.013", "10.013", "10.012", "/sign A. Quill"]);
    let id = between(&window.page, "/record/", "\"").to_owned();
    let record = bench.get(&format!("/record/{id}")).body;
    assert!(record.contains("preset by hand"), "{record}");
    assert!(record.contains("ACCEPT"), "{record}");
    window.enter_all(&NEXT);
    window.enter_all(&["/zero"]);
    window.enter_all(&ZERO);
    window.shows("since the last zero check of this pair");
    assert_eq!(window.enter(""), 422);
    window.enter_all(&["set to the rod this morning"]);
    assert!(
        window.question().starts_with("Reading 1"),
        "{}",
        window.question()
    );
}

#[test]
fn an_undecided_part_is_told_what_would_settle_it() {
    let folder = Folder::new("undecided");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&["8.865", "8.866", "8.865", "8.867", "8.866", "8.865"]);
    window.shows("UNDECIDED");
    window.shows("no single budget line is enough");
    window.enter_all(&["more"]);
    assert!(
        window.question().starts_with("Reading 7 of 8"),
        "{}",
        window.question()
    );
}

/// Limits of a class that nobody wrote are shown with what was taken.
#[test]
fn a_class_that_was_taken_stands_beside_the_verdict_on_the_page() {
    let folder = Folder::new("class");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&["M10x1.5"]);
    window.enter_all(&SET_UP[1..]);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.shows("ACCEPT");
    window.shows("<p class=\"standing\">Class not stated: 6g, the default of ISO 965-1.</p>");
}

#[test]
fn killed_in_the_middle_it_goes_on_where_it_stood() {
    let folder = Folder::new("killed");
    let mut bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS[..3]);
    let old = window.page.clone();
    let port = bench.port;
    bench.kill();
    let bench = Bench::start(&folder, port, &[]);
    let mut window = bench.window();
    assert_eq!(window.question(), "Reading 4 of 6: middle, 90°.");
    for reading in &READINGS[..3] {
        window.shows(reading);
    }
    // A form of the old process is not obeyed, and what was typed is not lost without a word.
    window.page = old;
    assert_eq!(window.enter("8.931"), 403);
    window.shows("from an older version of the program");
    window.enter_all(&READINGS[3..]);
    window.shows("ACCEPT");
}

#[test]
fn of_two_windows_the_late_one_takes_nothing() {
    let folder = Folder::new("windows");
    let bench = Bench::start(&folder, 0, &[]);
    let mut first = bench.window();
    first.enter_all(&SET_UP);
    first.enter_all(&ZERO);
    let mut second = bench.window();
    first.enter_all(&["8.929"]);
    assert_eq!(second.enter("8.930"), 409);
    second.shows("continued in another window");
    assert_eq!(second.question(), "Reading 2 of 6: near the head, 90°.");
    second.enter_all(&["8.930"]);
    assert_eq!(second.question(), "Reading 3 of 6: middle, 0°.");
}

#[test]
fn what_is_not_fit_is_shown_with_its_reason_and_refused() {
    let folder = Folder::new("unfit");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP[..6]);
    window.shows("it was due for calibration on");
    assert_eq!(window.enter("mic-04-old"), 422);
    window.enter_all(&["mic-04"]);
    assert_eq!(window.enter("vc-55-3"), 422);
    window.shows("the pair is for 55°, the thread has 60°");
    window.enter_all(&["vc-60-3"]);
    assert_eq!(window.enter("rod-10-b"), 422);
    window.shows("it is quarantined");
}

#[test]
fn answers_that_are_wrong_take_nothing_and_say_why() {
    let folder = Folder::new("wrong");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    assert_eq!(window.enter("M10x1.7-6g"), 422);
    window.shows("class=\"suggestions\"");
    window.enter_all(&SET_UP);
    for (wrong, why) in [
        ("8..9", "more than one decimal sign"),
        ("0.3515in", "this job is in mm"),
        ("89.29", "outside the range"),
        ("", "No reading received"),
        ("x", "neither a reading nor a command"),
        ("8.93O", "write 8.930"),
        ("O.893", "write 0.893"),
    ] {
        assert_eq!(window.enter(wrong), 422, "{wrong}");
        window.shows(why);
    }
    assert_eq!(window.enter("limits M8"), 200);
    window.shows("7.042");
    for (line, shows) in [
        ("wires M10x1.5-6g", "0.86603 mm"),
        ("wires M10x1.5-6g", "0.034095 in"),
        ("gauges M10x1.5-6H", "ISO 1502"),
        ("gauges 1/4-20 UNC-2A", "GO ring"),
        ("identify 0.247in 20tpi", "1/4-20"),
        ("identify 9.97 mm 1.5 mm", "M10x1.5"),
        ("identify 9.97mm", "Enter the pitch"),
        ("wires M10x1.7-6g", "no pitch 1.7"),
    ] {
        assert_eq!(window.enter(line), 200, "{line}");
        window.shows(shows);
    }
    assert!(window.question().starts_with("Zero check, reading 1"));
    // The unit key of the micrometer, pressed in the middle of the job, is caught by the value.
    window.enter_all(&ZERO);
    window.enter_all(&["8.929", "8.930"]);
    assert_eq!(window.enter("0.3515"), 422);
    window.shows("0.3515 in is 8.928 mm, near what is measured");
}
