//! What a scanner types: badges, lots, labels; and the number of a suggestion.

use std::process::Command;

use super::support::{Answer, Bench, Folder, READINGS, SET_UP, Window, ZERO, between, form};
use crate::said::{assert_says, heard};

fn midflank(folder: &Folder, arguments: &[&str]) -> String {
    let done = Command::new(env!("CARGO_BIN_EXE_midflank"))
        .arg("--ledger")
        .arg(folder.path().join("ledger.db"))
        .args(arguments)
        .output()
        .unwrap();
    let said = [done.stdout, done.stderr].concat();
    format!(
        "{} {}",
        done.status.code().unwrap(),
        heard(String::from_utf8(said).unwrap())
    )
}

#[test]
fn a_badge_signs_and_the_record_says_that_it_was_one() {
    let folder = Folder::new("badge");
    let bench = Bench::start(&folder, 0, &[]);
    // It could be a reading.
    for code in ["4417", "44.17", "/sign"] {
        let refused = midflank(
            &folder,
            &["badge", "add", code, "A. Quill", "--person", "Q. Lead"],
        );
        assert!(refused.starts_with('2'), "{refused}");
    }
    let added = midflank(
        &folder,
        &["badge", "add", "B-4417", "B. Reed", "--person", "Q. Lead"],
    );
    assert!(added.starts_with('0'), "{added}");
    // It went to somebody else: a new entry in the place of the first.
    midflank(
        &folder,
        &["badge", "add", "B-4417", "A. Quill", "--person", "Q. Lead"],
    );
    let listed = midflank(&folder, &["badge", "list"]);
    assert!(
        listed.contains("A. Quill") && !listed.contains("B. Reed"),
        "{listed}"
    );

    let mut window = bench.window();
    window.enter_all(&SET_UP[..1]);
    // It is nobody's part.
    assert_eq!(window.enter("B-4417"), 422);
    window.shows("the badge of A. Quill");
    window.enter_all(&SET_UP[1..]);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.enter_all(&["10.002", "10.002", "10.001"]);
    window.shows("Scanning a badge signs too.");
    window.enter_all(&["B-4417"]);
    window.shows("Recorded as");
    let id = between(&window.page, "/record/", "\"").to_owned();
    assert!(
        bench
            .get(&format!("/record/{id}"))
            .body
            .contains("A. Quill (badge)")
    );
    let shown = midflank(&folder, &["ledger", "show", &id, "--json"]);
    assert!(
        shown.contains(r#""how": "badge""#) || shown.contains(r#""how":"badge""#),
        "{shown}"
    );
    let verified = midflank(&folder, &["ledger", "verify"]);
    assert!(verified.starts_with("0 sound"), "{verified}");
}

#[test]
fn the_code_of_a_lot_states_its_next_sample() {
    let folder = Folder::new("lot-code");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    assert_eq!(window.enter("cs-118"), 422);
    window.measure_a_screw();
    window.enter_all(&["/new"]);
    window.enter_all(&["cs-118"]);
    assert_eq!(window.question(), "Which set-up?");
    for stated in ["5 of 12", "rating screw", "TC-0412 rev C", "M10x1.5-6g"] {
        window.shows(stated);
    }
    // The label of a pair takes the best set-up with it.
    window.enter_all(&["VC-60-3"]);
    window.shows("rod-10");
    window.enter_all(&["/drop it"]);
    // A lot that is through has no next sample.
    window.enter_all(&["M10x1.5-6g", "rating screw", "", "cs-119 / 2 of 2"]);
    window.enter_all(&SET_UP[6..]);
    window.enter_all(&READINGS);
    window.enter_all(&["10.002", "10.002", "10.001", "/sign A. Quill", "/new"]);
    assert_eq!(window.enter("cs-119"), 422);
    window.shows("2 of 2");
}

/// A lot is known by its number however its letters are typed: the one on the record is offered.
#[test]
fn a_lot_in_other_letters_is_the_lot_that_is_known() {
    let folder = Folder::new("lot-letters");
    let bench = Bench::start(&folder, 0, &[]);
    let kept = midflank(&folder, &["plan", &plan(&folder), "--person", "A. Quill"]);
    assert!(kept.starts_with('0'), "{kept}");
    let begin = ["lot", "L 1", "--begin", "IP-1", "--person", "A. Quill"];
    let begun = midflank(&folder, &begin);
    assert!(begun.starts_with('0'), "{begun}");
    let mut window = bench.window();
    for line in ["l-1", "lot l1"] {
        assert_eq!(window.enter(line), 422);
        assert!(window.page.contains("L 1"), "{line}: {}", window.page);
    }
    window.enter_all(&SET_UP[..3]);
    for line in ["l 1 / 3", "L1/3"] {
        assert_eq!(window.enter(line), 422, "{line}");
        assert_says(&window.page, "lots.known-as");
        let suggested = window.hidden("suggested");
        assert_eq!(suggested, "L 1 / 3", "{line}");
    }
    window.enter_all(&["L 1 / 3"]);
    window.enter_all(&["/drop it"]);
    // Of a lot that was only measured, and not begun, it is told.
    window.measure_a_screw();
    window.enter_all(&["/new", "M10x1.5-6g", "rating screw", "", "CS-118 / 5 of 12"]);
    assert_says(&window.page, "bench.lot-almost");
    let history = bench.get("/history?lot=l1").body;
    assert!(history.contains("href=\"/history?lot=L%201\""), "{history}");
    for page in ["/lots/l%201", "/lot/l%201"] {
        let page = bench.get(page);
        assert_eq!(page.status, 404);
        assert!(page.body.contains("href=\"/lots/L%201\""), "{}", page.body);
    }
}

fn plan(folder: &Folder) -> String {
    let text = "[part]\nname = \"screw\"\ndrawing = \"D-1\"\nplan = \"IP-1\"\n[pieces]\ntake = \"all\"\nlot_size = 2\n\
                [[characteristic]]\nnumber = \"1\"\n[characteristic.measure]\ndesignation = \"M10x1.5-6g\"\n";
    let path = folder.path().join("plan.toml");
    std::fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

/// A feature is stated again with what is known of every such part, and without what was measured of one.
#[test]
fn the_code_of_a_lot_of_walls_states_the_feature() {
    let folder = Folder::new("lot-of-walls");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&[
        "tube wall 2.05 ± 0.15 mm",
        "14 mm",
        "run-out 0.20 mm",
        "body",
    ]);
    window.enter_all(&["", "tw-1 / 1 of 9", "", "", ""]);
    window.enter_all(&[""]);
    let zero = between(window.question(), "(", "\u{202f}mm").to_owned();
    window.enter_all(&[&zero, &zero, &zero]);
    window.enter_all(&[
        "2.050", "2.060", "2.080", "2.100", "2.060", "2.050", "2.040", "2.070",
    ]);
    window.enter_all(&[&zero, &zero, &zero, "/sign A. Quill", "/new", "tw-1"]);
    assert_eq!(window.question(), "Which set-up?");
    window.shows("2 of 9");
    window.shows("tube wall");
}

#[test]
fn a_number_takes_what_was_suggested() {
    let folder = Folder::new("suggested");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    assert_eq!(window.enter("M10x1.7-6g"), 422);
    let suggested = window.hidden("suggested");
    assert!(suggested.lines().count() > 1, "{suggested}");
    let second = suggested.lines().nth(1).unwrap().to_owned();
    let answer = number(&window, "2", &suggested);
    assert_eq!(answer.status, 303);
    assert!(bench.get("/").body.contains(&second));
}

/// The form as the page sends it.
fn number(window: &Window, line: &str, suggested: &str) -> Answer {
    let mut fields = window.fields(line).to_vec();
    fields.push(("suggested", suggested.to_owned()));
    let kind = ("Content-Type", "application/x-www-form-urlencoded");
    window
        .bench
        .request("POST", "/answer", &[kind], &form(&fields))
}

#[test]
fn rules_are_a_list_with_their_zones() {
    let folder = Folder::new("rules");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP[..4]);
    // Simple acceptance: the limits as they stand (ISO 965-1, M10x1.5-6g).
    window.shows("accepts 8.8620 to 8.9940 mm, rejects the rest");
    window.enter_all(&["2"]);
    window.enter_all(&SET_UP[5..]);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.enter_all(&["10.002", "10.002", "10.001", "/sign A. Quill"]);
    let id = between(&window.page, "/record/", "\"").to_owned();
    assert!(bench.get(&format!("/record/{id}")).body.contains("simple"));
}
