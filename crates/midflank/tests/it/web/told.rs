//! What the pages tell beside a question, so that nobody is left to guess: the drift before the signature, why the set-ups stand
//! in their order, a reading in the other unit, what was parked, ended or not found, and what to do about a zero that fails.

use ledger::Ledger;
use workshop::lots::{self, LotsRead};

use super::beside::on;
use super::support::{Bench, Folder, READINGS, SET_UP, Window, ZERO, between};
use crate::said::{assert_says, assert_silent};

fn bench(name: &str) -> (Folder, Bench) {
    let folder = Folder::new(name);
    let bench = Bench::start(&folder, 0, &["--station", "gauge room"]);
    (folder, bench)
}

/// Closures of 10.001, 10.002, 10.001 and then 10.002, 10.002, 10.001: the means differ by 0.33 µm, told as 0.3 µm.
#[test]
fn drift_and_warnings_stand_before_the_signature() {
    let (_folder, bench) = bench("told-drift");
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    assert!(!window.page.contains("Zero moved by"), "{}", window.page);
    window.enter_all(&["10.002", "10.002", "10.001"]);
    window.shows("Zero moved by 0.3 µm during the job, within the limit of 2.0 µm.");
    let at = |text: &str| {
        window
            .page
            .find(text)
            .unwrap_or_else(|| panic!("no {text}"))
    };
    assert!(at("<h2>Warnings") < at("class=\"bar\""));
    assert!(at("<h2>Warnings") < at("id=\"question\""));
}

/// A drift beyond the limit that was accepted stands with its reason.
#[test]
fn an_accepted_drift_stands_with_its_reason() {
    let (_folder, bench) = bench("told-kept");
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.enter_all(&["10.007", "10.007", "10.007"]);
    assert!(!window.page.contains("has failed"), "{}", window.page);
    // In doubt it is neither within its limit nor final.
    assert!(!window.page.contains("within the limit"), "{}", window.page);
    assert_says(&window.page, "bench.doubt-drift");
    assert_says(&window.page, "bench.provisional-in-doubt");
    assert!(window.page.contains(" provisional\""), "{}", window.page);
    window.enter_all(&["10.007", "10.007", "10.007"]);
    window.shows("The zero check has failed 2 times.");
    window.shows("/drop the job");
    // Beside the word, above the question.
    let verdict = between(&window.page, "class=\"verdict short to-do\"", "</section>");
    assert_says(verdict, "bench.zero-failed-park");
    assert_says(&window.page, "doubt.do-not-sign");
    // A reason is words, and the field is as wide as that.
    window.shows("class=\"field number reason\"");
    assert_eq!(window.enter("no"), 422);
    assert!(!window.page.contains("then Or"), "{}", window.page);
    window.enter_all(&["knocked while closing"]);
    window.shows("(limit 2.0 µm); the check was accepted: knocked while closing.");
    assert_says(&window.page, "doubt.accepted");
    assert_silent(&window.page, "doubt.do-not-sign");
    window.enter_all(&["/sign A. Quill"]);
    // On record the caution is past, and nothing beside the withheld verdict reads as one.
    let id = between(&window.page, "href=\"/record/", "\"");
    let report = bench.get(&format!("/record/{id}")).body;
    assert_says(&report, "doubt.recorded");
    assert_silent(&report, "doubt.do-not-sign");
    assert_says(&report, "report.statement-withheld");
    assert!(!report.contains("<dt>Margin</dt>"), "{report}");
    assert_silent(&report, "report.size-conforms-with");
}

/// Who decides on release, and what the drawing requires beside the size, stand with the question for the signature.
#[test]
fn what_is_to_be_known_stands_beside_the_signature() {
    let (_folder, bench) = bench("told-signature");
    let mut window = bench.window();
    let safety = SET_UP.map(|line| line).to_vec();
    let (before, after) = safety.split_at(5);
    window.enter_all(before);
    window.enter_all(&["safety"]);
    window.enter_all(&after[1..]);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.enter_all(&ZERO);
    let dock = between(&window.page, "class=\"dock\"", "</footer>");
    assert_says(dock, "caution.safety");
    assert_eq!(window.page.matches("class=\"caution\"").count(), 1);
}

/// Temperatures that were taken back are asked for again, also where a set-up would have brought them along; a number alone is a key
/// that was hit twice, and 2 °C is no room to measure in.
#[test]
fn temperatures_taken_back_are_not_used_again() {
    let (_folder, bench) = bench("told-temperature");
    let mut window = bench.window();
    window.enter_all(&SET_UP[..6]);
    window.enter_all(&[""]);
    assert_says(window.question(), "bench.question-temperature");
    assert_eq!(window.enter("2"), 422);
    assert_says(&window.page, "bench.temperature-alone");
    assert_eq!(window.enter("2 2"), 422);
    assert_says(&window.page, "job.too-cold");
    window.enter_all(&["21.4 20.9 brass"]);
    assert_says(window.question(), "bench.question-zero-check");
    window.enter_all(&["/back", "/back"]);
    assert_says(window.question(), "bench.question-set-up");
    window.enter_all(&[""]);
    assert_says(window.question(), "bench.question-temperature");
    assert!(
        !window.page.contains("Enter accepts 21.4"),
        "{}",
        window.page
    );
}

/// A command that is not available is named by its key and by what it does.
#[test]
fn a_key_that_does_nothing_is_named_as_it_stands_on_the_keyboard() {
    let (_folder, bench) = bench("told-key");
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&["10.001"]);
    assert_eq!(window.enter("r"), 422);
    window.shows("R (repeat a reading) is not available");
}

#[test]
fn set_ups_say_why_they_stand_in_this_order() {
    let (folder, bench) = bench("told-order");
    let mut window = bench.window();
    window.enter_all(&SET_UP[..6]);
    assert_eq!(window.question(), "Which set-up?");
    // The pair made for the thread leads, with 8.3 µm before 4.0 µm of wires between flat faces.
    window.shows("The contacts made for this part first, then by expected U;");
    // Without the wires it leads by its uncertainty too.
    let away = ["w-0866", "out", "--reason", "lent", "--person", "A. Quill"];
    let run = on(&folder, &[&["equipment", "state"], &away[..]].concat());
    assert_eq!(run.status, 0, "{}", run.err);
    let window = bench.window();
    window.shows("By expected U, the smallest first.");
}

/// The command lists first what Enter accepts on the page, and says the same of the order.
#[test]
fn page_and_command_put_the_same_set_up_first() {
    let (folder, bench) = bench("told-same-order");
    let mut window = bench.window();
    window.enter_all(&SET_UP[..6]);
    let run = on(&folder, &["setup", "M10x1.5-6g", "--all", "--json"]);
    let advice: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    let first = &advice["set_ups"][0];
    let [instrument, contacts, standard] =
        ["instrument", "contacts", "standard"].map(|key| first[key].as_str().unwrap());
    assert_eq!(
        (contacts, &first["wires"]),
        ("vc-60-3", &serde_json::Value::Null)
    );
    window.shows(&format!(
        "Enter accepts {instrument} · {contacts} · {standard}"
    ));
    // What the micrometer will show is the same number on the page.
    let expected = first["expected_reading"].as_f64().unwrap();
    window.enter_all(&[""]);
    window.shows(&format!("about {expected:.3} mm"));
    // The wires behind it promise less: the order is not that of the uncertainty, and says so.
    let all = advice["set_ups"].as_array().unwrap();
    let u = |one: &serde_json::Value| one["expanded_uncertainty"].as_f64().unwrap();
    let wires = all.iter().find(|one| !one["wires"].is_null()).unwrap();
    assert!(u(wires) < u(first), "{advice}");
    let told = on(&folder, &["setup", "M10x1.5-6g"]).out;
    crate::said::assert_says(&told, "setup.order-suited-first");
}

/// 8.427 is a turn of the thimble, half a millimetre, below the others and far outside the limits of 8.862 to 8.994: it stands at
/// the end of the scale with its value, and the mean says that it counts. The mean of 8.929 and 8.930 with the corrections of the
/// job is 8.9277; with it the mean is a sixth of a millimetre less.
#[test]
fn a_reading_off_the_scale_is_marked_and_told_with_the_mean() {
    let (_folder, bench) = bench("told-off-scale");
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&["8.929", "8.930"]);
    assert!(!window.page.contains("off-scale"), "{}", window.page);
    window.enter_all(&["8.427"]);
    let told = |window: &Window, key: &str| crate::said::assert_says(&window.page, key);
    told(&window, "report.off-scale-flagged");
    told(&window, "report.mean-includes");
    assert_eq!(window.page.matches("class=\"off flagged\"").count(), 1);
    assert_eq!(window.page.matches("class=\"dot\"").count(), 2);
    assert!(window.page.contains("8.9277 ± "), "{}", window.page);
    window.enter_all(&["8.931", "8.926", "8.928", "it was read twice"]);
    // Beside the verdict too, and at the end of the tolerance bar.
    told(&window, "report.mean-includes");
    told(&window, "report.off-scale-end");
    let verdict = between(&window.page, "class=\"verdict\"", "</section>");
    assert!(verdict.contains("class=\"off flagged\""), "{verdict}");
    // Taken again it is neither flagged nor off the scale.
    window.enter_all(&["/r3", "8.927"]);
    assert!(!window.page.contains("off flagged"), "{}", window.page);
}

/// 10.000 mm is 0.39370 in; 8.930 mm is 0.35157 in.
#[test]
fn a_reading_in_the_other_unit_is_told_and_not_converted() {
    let (_folder, bench) = bench("told-unit");
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    let asked = window.question().to_owned();
    assert_eq!(window.enter("0.3937"), 422);
    window.shows("0.3937 in is 10.000 mm, near what is measured: does the micrometer show in?");
    window.shows("value=\"/unit\"");
    assert_eq!(window.question(), asked);
    // What would be neither is refused as before.
    assert_eq!(window.enter("0.4537"), 422);
    assert!(
        !window.page.contains("near what is measured"),
        "{}",
        window.page
    );
    window.enter_all(&ZERO);
    // At the first reading as at a later one, and at one that is taken again.
    for before in [None, Some("8.929"), Some("/r1")] {
        window.enter_all(&before.into_iter().collect::<Vec<_>>());
        let asked = window.question().to_owned();
        assert_eq!(window.enter("0.3516"), 422);
        window.shows("0.3516 in is 8.931 mm, near what is measured: does the micrometer show in?");
        window.shows("no reading was entered");
        assert_eq!(window.question(), asked);
    }
    // In the middle of the readings the unit stays.
    let mut window = bench.window();
    window.enter_all(&["/drop it"]);
    window.enter_all(&SET_UP);
    window.enter_all(&["/unit"]);
    assert_eq!(window.enter("10.001"), 422);
    window.shows("10.001 mm is 0.3937 in, near what is measured: does the micrometer show mm?");
    window.enter_all(&["0.39373", "0.39373", "0.39374"]);
    assert_eq!(window.enter("8.929"), 422);
    window.shows("8.929 mm is 0.3515 in, near what is measured");
    assert!(!window.page.contains("value=\"/unit\""), "{}", window.page);
    assert!(window.question().starts_with("Reading 1 of 6"));
}

#[test]
fn a_new_flag_stands_under_the_field_and_then_at_its_reading() {
    let (_folder, bench) = bench("told-flag");
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&["8.427"]);
    let told = |page: &str| page.matches("one thimble turn").count();
    let (above, below) = window.page.split_once("id=\"help\"").unwrap();
    assert_eq!((told(above), told(below)), (1, 0), "{}", window.page);
    // What is shown meanwhile answers nothing.
    assert_eq!(window.enter("?"), 200);
    window.shows("class=\"doubt\"");
    window.enter_all(&["8.930"]);
    let (above, below) = window.page.split_once("id=\"help\"").unwrap();
    assert_eq!((told(above), told(below)), (0, 1), "{}", window.page);
}

/// `8.93` on a display of 0.001 mm, on the part and on the standard: asked like every flag, and answered by all of its digits.
#[test]
fn a_reading_with_fewer_decimals_than_the_display_is_asked_about() {
    let (_folder, bench) = bench("told-decimals");
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&["10.001", "10.00", "10.001"]);
    assert_says(&window.page, "suspicion.fewer-decimals");
    window.enter_all(&ZERO);
    window.enter_all(&["8.93"]);
    assert_says(&window.page, "suspicion.fewer-decimals");
    window.enter_all(&["8.930", "8.931", "8.929", "8.930", "8.931"]);
    assert_says(window.question(), "bench.question-flagged");
    assert_eq!(window.enter(""), 422);
    window.enter_all(&["8.932"]);
    assert_silent(&window.page, "suspicion.fewer-decimals");
    assert_silent(window.question(), "bench.question-flagged");
}

#[test]
fn the_keys_are_shown_at_every_question_and_words_that_are_nothing_are_told() {
    let (_folder, bench) = bench("told-keys");
    let mut window = bench.window();
    for line in SET_UP {
        assert_eq!(window.enter("?"), 200, "{}", window.question());
        window.shows("<h2>All keys</h2>");
        window.shows("/r3");
        assert!(!window.page.contains("/piece 7"), "{}", window.page);
        window.enter_all(&[line]);
    }
    window.enter_all(&["/drop it"]);
    assert_eq!(window.enter("foo bar"), 422);
    window.shows("`foo bar` is not a thread, a feature or the number of a lot");
}

#[test]
fn the_history_says_that_a_reading_was_not_entered_and_how_to_clear_it() {
    let (_folder, bench) = bench("told-history");
    let mut window = bench.window();
    window.measure_a_screw();
    let page = bench.get("/history?part=9.953").body;
    assert!(page.contains("9.953 looks like a reading."), "{page}");
    assert!(page.contains("Esc goes back to the bench"), "{page}");
    assert!(page.contains("No record matches Part `9.953`."), "{page}");
    let page = bench.get("/history?lot=nothing&person=nobody").body;
    assert!(
        page.contains("No record matches Lot `nothing`, Person `nobody`."),
        "{page}"
    );
    assert!(
        page.contains("href=\"/history\">show all records"),
        "{page}"
    );
    assert!(!page.contains("looks like a reading"), "{page}");
    let page = bench.get("/history?part=rating+screw").body;
    assert!(!page.contains("No record matches"), "{page}");
}

#[test]
fn a_lot_that_there_is_not_is_told_with_the_nearest() {
    let (folder, bench) = bench("told-lot");
    let mut window = bench.window();
    // Without any lot that is said all the same.
    assert_eq!(window.enter("L-7"), 422);
    window.shows("There is no lot L-7 on this ledger");
    begin(&folder, "L-2026-12");
    assert_eq!(window.enter("L-2026-21 / 3"), 422);
    window.shows("There is no lot L-2026-21 on this ledger");
    window.shows("value=\"L-2026-12\"");
    assert_eq!(window.enter("KX-9"), 422);
    window.shows("There is no lot KX-9 on this ledger");
    window.shows("value=\"L-2026-12\"");
    // A thread with a mistake is no lot, and one with limits is no plain size.
    assert_eq!(window.enter("M10x1.7-6g"), 422);
    assert!(!window.page.contains("There is no lot"), "{}", window.page);
    assert_eq!(window.enter("M10x1.5-6q 8.9 to 8.95"), 422);
    assert_eq!(window.enter("M10x1.5-6q 8.9 to 8.95 mm"), 422);
    window.shows("has limits and looks like a thread");
    assert_eq!(
        window.question(),
        "Which thread or feature, as on the drawing?"
    );
}

#[test]
fn what_was_parked_is_found_again_also_after_another_job_was_asked_for() {
    let (_folder, bench) = bench("told-parked");
    let mut window = bench.window();
    window.enter_all(&SET_UP[..4]);
    window.enter_all(&["/park"]);
    window.shows("Job 1 is parked. /take 1 at the first question resumes it");
    window.shows("cs-118 / 4 of 12");
    window.measure_a_screw();
    window.shows("<kbd>N</kbd> another job");
    window.enter_all(&["N"]);
    assert_eq!(
        window.question(),
        "Which thread or feature, as on the drawing?"
    );
    window.shows("value=\"/take 1\"");
    window.enter_all(&["/take 1"]);
    assert_eq!(window.question(), "Decision rule agreed?");
}

/// Four pieces, one characteristic that is measured and one that is looked at.
const PLAN: &str = r#"
unit = "mm"
[part]
name = "bush"
drawing = "TC-0431"
revision = "B"
plan = "IP-0431-9"
[pieces]
take = "all"
lot_size = 4
accept = 1
[[characteristic]]
number = "1"
places = ["middle 0°", "middle 90°"]
[characteristic.measure]
name = "shank"
lower = "9.90"
upper = "10.00"
[[characteristic]]
number = "2"
way = "by-eye"
says = "free of burrs"
"#;

fn begin(folder: &Folder, number: &str) {
    let file = folder.path().join("plan.toml");
    std::fs::write(&file, PLAN).unwrap();
    let person = ["--person", "A. Quill"];
    let plan = on(
        folder,
        &[&["plan", file.to_str().unwrap()], &person[..]].concat(),
    );
    assert_eq!(plan.status, 0, "{}", plan.err);
    let begin = ["lot", number, "--begin", "IP-0431-9"];
    let lot = on(folder, &[&begin[..], &person[..]].concat());
    assert_eq!(lot.status, 0, "{}", lot.err);
}

/// Has a nonconforming piece reworked.
fn rework(folder: &Folder, lot: &str, piece: &str) {
    let decided = ["nonconforming", "decide", lot, piece, "rework"];
    let run = on(folder, &[&decided[..], &["--person", "Q. Lead"]].concat());
    assert_eq!(run.status, 0, "{}", run.err);
}

/// To the first reading of a piece.
fn to_first_reading(window: &mut Window<'_>, line: &str) {
    window.enter_all(&[line]);
    loop {
        let question = window.question().to_owned();
        let answer = if question.starts_with("Temperature") {
            "20.4 20.4 brass"
        } else if question.contains("ero check, reading") {
            "10.001"
        } else if question.starts_with("Piece ") {
            return;
        } else {
            ""
        };
        window.enter_all(&[answer]);
    }
}

#[test]
fn a_run_says_what_it_came_to_when_it_is_ended() {
    let (folder, bench) = bench("told-ended");
    begin(&folder, "L-9");
    let mut window = bench.window();
    to_first_reading(&mut window, "L-9");
    window.enter_all(&["9.950", "9.951", "10.050", "10.051", ""]);
    // Read aloud or copied, no two cells run together.
    assert_eq!(window.enter("/pieces"), 200);
    window.shows("char. 1 <br><span class=\"soft\">2 of 4 pieces</span>");
    window.shows("</td> <td>");
    window.enter_all(&["Z", "10.001", "10.002", "10.001", "/end"]);
    window.shows(
        "Run ended: lot L-9, characteristic 1, 2 pieces with a result (1 accepted, 1 rejected, 0 undecided, 0 provisional).",
    );
    window.shows("2 pieces are left: L-9 / 1 at this question goes on with them.");
    // The rejected one is reworked: the page says how it is measured again, and so it is.
    rework(&folder, "L-9", "2");
    let page = bench.get("/nonconforming").body;
    assert!(
        page.contains(
            "After the work: enter L-9 / 1 at the bench, then /piece 2 measures it again."
        ),
        "{page}"
    );
    to_first_reading(&mut window, "L-9 / 1");
    window.enter_all(&["/piece 2"]);
    assert!(
        window.question().starts_with("Piece 2, reading 1"),
        "{}",
        window.question()
    );
}

#[test]
fn a_zero_check_that_fails_twice_in_a_lot_says_what_to_do() {
    let (folder, bench) = bench("told-zero");
    begin(&folder, "L-9");
    let mut window = bench.window();
    to_first_reading(&mut window, "L-9");
    window.enter_all(&["9.950", "9.951", "Z", "10.008", "10.008", "10.008"]);
    window.shows("Zero moved by");
    assert!(!window.page.contains("has failed"), "{}", window.page);
    window.shows("Or enter the reason: the pieces since the last zero check are undecided then");
    window.enter_all(&["10.008", "10.008", "10.008"]);
    window.shows("The zero check has failed 2 times.");
    window.shows("/park parks it as it is");
    window.shows("/end ends the run");
    // As it says: the reason leaves the piece undecided, and the run can be ended.
    window.enter_all(&["the pair was knocked"]);
    window.shows("Zero had moved");
    window.shows("piece 1 is undecided and will be repeated");
    window.enter_all(&["10.008", "10.008", "10.008"]);
    assert!(
        window.question().starts_with("Piece 2, reading 1"),
        "{}",
        window.question()
    );
    window.enter_all(&["/end"]);
    window.shows("one piece with a result (0 accepted, 0 rejected, 1 undecided, 0 provisional)");
}

/// What is added to a lot that was read already is what the whole of it reads as: results, a check that failed, a decision, work
/// after it, an amendment.
#[test]
fn a_lot_that_goes_on_reads_as_it_would_anew() {
    let (folder, bench) = bench("told-read");
    begin(&folder, "L-9");
    let ledger = Ledger::open_read_only(folder.path().join("ledger.db")).unwrap();
    let known = LotsRead::default();
    let lot = lots::find(&ledger, "L-9").unwrap().unwrap();
    let same = |rows: usize| {
        let added = known.matrix(&ledger, &lot, &[]).unwrap();
        let anew = lots::matrix(&ledger, &lot, &[]).unwrap();
        assert_eq!(format!("{added:#?}"), format!("{anew:#?}"));
        let pieces = known.nonconforming(&ledger, &lot).unwrap();
        let all = lots::nonconforming(&ledger, &lot).unwrap();
        assert_eq!(format!("{pieces:?}"), format!("{all:?}"));
        let pieces = known.all_nonconforming(&ledger).unwrap();
        let all = lots::all_nonconforming(&ledger).unwrap();
        assert_eq!(format!("{pieces:?}"), format!("{all:?}"));
        assert_eq!(added.rows.len(), rows);
        added
    };
    same(0);
    let mut window = bench.window();
    to_first_reading(&mut window, "L-9");
    window.enter_all(&["9.950", "9.951", "Z", "10.001", "10.002", "10.001"]);
    same(1);
    window.enter_all(&["10.050", "10.051", "", "Z", "10.001", "10.002", "10.001"]);
    same(2);
    window.enter_all(&[
        "9.951",
        "9.952",
        "Z",
        "10.008",
        "10.008",
        "10.008",
        "the pair was knocked",
    ]);
    let moved = same(3);
    let third = moved.rows[2].cells[0].as_ref().unwrap();
    assert_eq!(third.because.as_deref(), Some("zero-moved"));
    rework(&folder, "L-9", "2");
    same(3);
    to_first_reading(&mut window, "10.001");
    window.enter_all(&[
        "/piece 2", "9.953", "9.954", "Z", "10.001", "10.002", "10.001",
    ]);
    let after = same(3);
    assert_eq!(after.after_work.len(), 1);
    window.enter_all(&["/char 2"]);
    window.enter_all(&["y", "y", "y", "y"]);
    let all = same(4);
    let first = all.rows[0].cells[0].as_ref().unwrap().entry.unwrap();
    let withdraw = [
        "ledger",
        "amend",
        &first.to_string(),
        "--reason",
        "wrong piece",
        "--person",
        "A. Quill",
    ];
    let run = on(&folder, &withdraw);
    assert_eq!(run.status, 0, "{}", run.err);
    let withdrawn = same(4);
    assert!(withdrawn.rows[0].cells[0].is_none());
}
