//! The thermometer at the bench: behind the temperatures, offered again with them, and on its own page what it was used for.

use super::beside::on;
use super::support::{Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO};
use crate::said::assert_says;

const OTHER: [&str; 9] = [
    "M10x1.5-6g",
    "other screw",
    "",
    "cs-200 / 1 of 9",
    "",
    "",
    "mic-04",
    "vc-60-3",
    "rod-10",
];

fn set(folder: &Folder, status: &str) {
    let start = ["status", "set", "thermometer", "th-2", status];
    let by = ["--reason", "dropped", "--person", "A. Quill"];
    let told = on(folder, &[&start[..], &by].concat());
    assert_eq!(told.status, 0, "{}", told.err);
}

#[test]
fn it_is_named_offered_again_and_found_by_its_page() {
    let folder = Folder::new("thermometer");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP[..9]);
    assert_ne!(window.enter("21.4 20.9 brass th-3"), 303);
    window.shows("21.4 20.9 brass th-2");
    window.enter_all(&["21.4 20.9 brass TH-2"]);
    window.shows("th-2");
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.enter_all(&TO_THE_RECORD);
    let page = bench.get("/equipment/thermometer/th-2").body;
    assert!(page.contains("rating screw"), "{page}");

    // Within the hour, for another part: offered, and Enter takes it as it was.
    window.enter_all(&["n"]);
    window.enter_all(&OTHER);
    window.shows("21.4 20.9 brass th-2");
    window.enter_all(&[""]);
    window.shows("th-2");
    window.shows("21.4");
    window.enter_all(&["/back"]);
    window.shows("21.4 20.9 brass th-2");

    // Set apart meanwhile: refused with what it is, and the temperatures alone are taken.
    set(&folder, "quarantined");
    assert_ne!(window.enter("21.4 20.9 brass th-2"), 303);
    assert_says(&window.page, "state.quarantined");
    window.enter_all(&["21.4 20.9 brass", ZERO[0]]);
    let verified = on(&folder, &["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
}

/// What is set apart before the job is signed leaves readings of a trial, as with any piece.
#[test]
fn set_apart_before_the_signature_it_leaves_a_trial() {
    let folder = Folder::new("thermometer-trial");
    let bench = Bench::start(&folder, 0, &[]);
    let mut window = bench.window();
    window.enter_all(&SET_UP[..9]);
    window.enter_all(&["21.4 20.9 brass th-2"]);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    set(&folder, "quarantined");
    window.enter_all(&TO_THE_RECORD);
    assert_says(&bench.get("/").body, "trial.kept");
    let verified = on(&folder, &["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}{}", verified.out, verified.err);
    let page = bench.get("/equipment/thermometer/th-2").body;
    assert!(!page.contains("rating screw"), "{page}");
}

/// A thermometer has no lengths, so its form asks for no unit of them; that of a micrometer does.
#[test]
fn no_unit_of_length_is_asked_for() {
    let folder = Folder::new("thermometer-form");
    let bench = Bench::start(&folder, 0, &[]);
    let form = |kind: &str| bench.get(&format!("/equipment/new/{kind}")).body;
    assert!(!form("thermometer").contains("name=\"unit\""));
    assert!(form("instrument").contains("name=\"unit\""));
    // What the form asks for is enough.
    let fields = [
        ("id", "th-9"),
        ("error", "0.05"),
        ("expanded_uncertainty", "0.1"),
        ("coverage_factor", "2"),
        ("person", "A. Quill"),
    ];
    let answer = super::support::post(
        &bench,
        "/equipment/new/thermometer",
        "/equipment/thermometer",
        &fields,
    );
    assert_eq!(answer.status, 303, "{}", answer.body);
    let page = bench.get("/equipment/thermometer/th-9").body;
    assert!(page.contains("0.05"), "{page}");
}
