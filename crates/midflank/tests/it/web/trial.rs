//! Equipment that the gauge room sets apart while a job is under way.

use super::room::PLAN;
use super::support::{Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO};
use crate::bench::Bench as Desk;
use crate::said::assert_says;

/// The pieces of a run since the last check: none of them counts in the lot.
#[test]
fn a_run_whose_micrometer_is_lost_meanwhile_keeps_its_pieces_as_trials() {
    let folder = Folder::new("trial-lot");
    let bench = Bench::start(&folder, 0, &[]);
    let path = folder.path().join("ledger.db");
    let on = |arguments: &[&str]| {
        let run = Desk::new().run(&[&["--ledger", path.to_str().unwrap()], arguments].concat());
        assert_eq!(run.status, 0, "{}{}", run.out, run.err);
        run
    };
    let file = folder.path().join("plan.toml");
    let plan = PLAN.replace("[room]\ntemperature = [19, 21]\n", "");
    std::fs::write(&file, plan).unwrap();
    on(&["plan", file.to_str().unwrap(), "--person", "A. Quill"]);
    on(&["lot", "L-7", "--begin", "IP-1", "--person", "A. Quill"]);
    let mut window = bench.window();
    window.enter_all(&["L-7", "", "", "10.001", "10.002", "10.001"]);
    for _ in 0..2 {
        window.enter_all(&["8.929", "8.930", "8.931"]);
    }
    on(&[
        "status",
        "set",
        "instrument",
        "mic-04",
        "lost",
        "--reason",
        "not in its box",
        "--person",
        "B. Tallow",
    ]);
    window.enter_all(&["10.001", "10.002"]);
    window.enter("10.001");
    assert_says(&bench.get("/").body, "trial.kept");
    let listed = on(&["ledger", "list", "--json"]).documents();
    let count = |kind: &str| listed.iter().filter(|entry| entry["kind"] == kind).count();
    assert_eq!(
        (count("trial"), count("inspection"), count("zero-check")),
        (2, 0, 0)
    );
    let lot = on(&["lot", "L-7", "--json"]).documents().pop().unwrap();
    assert_eq!(lot["lot"]["accept"], 0);
    assert_eq!(lot["lot"]["verdict"], "undecided");
    assert_eq!(on(&["ledger", "verify"]).status, 0);
}

#[test]
fn a_job_whose_micrometer_is_quarantined_meanwhile_ends_as_a_trial() {
    let folder = Folder::new("trial");
    let bench = Bench::start(&folder, 0, &[]);
    let path = folder.path().join("ledger.db");
    let on = |arguments: &[&str]| {
        Desk::new().run(&[&["--ledger", path.to_str().unwrap()], arguments].concat())
    };
    let mut window = bench.window();
    window.enter_all(&SET_UP);
    window.enter_all(&ZERO);
    window.enter_all(&READINGS);
    window.enter_all(&TO_THE_RECORD[..3]);
    let set = on(&[
        "status",
        "set",
        "instrument",
        "mic-04",
        "quarantined",
        "--reason",
        "dropped",
        "--person",
        "B. Tallow",
    ]);
    assert_eq!(set.status, 0, "{}", set.err);
    window.enter(TO_THE_RECORD[3]);
    let page = bench.get("/").body;
    assert_says(&page, "trial.kept");
    let listed = on(&["ledger", "list", "--json"]).documents();
    let kinds: Vec<&str> = listed
        .iter()
        .filter_map(|entry| entry["kind"].as_str())
        .collect();
    assert!(
        kinds.contains(&"trial") && !kinds.contains(&"inspection"),
        "{kinds:?}"
    );
    let verified = on(&["ledger", "verify"]);
    assert_eq!(verified.status, 0, "{}", verified.out);
}

/// Equipment that is set apart is not taken for a job, and the refusal says how its readings can be kept.
#[test]
fn a_set_up_that_is_barred_says_how_readings_can_be_kept() {
    let folder = Folder::new("trial-set-up");
    let bench = Bench::start(&folder, 0, &[]);
    let path = folder.path().join("ledger.db");
    let set = [
        "status",
        "set",
        "instrument",
        "mic-04",
        "quarantined",
        "--reason",
        "dropped",
        "--person",
        "B. Tallow",
    ];
    let set = Desk::new().run(&[&["--ledger", path.to_str().unwrap()], &set[..]].concat());
    assert_eq!(set.status, 0, "{}", set.err);
    let mut window = bench.window();
    let named = SET_UP.iter().position(|line| *line == "mic-04").unwrap();
    window.enter_all(&SET_UP[..named]);
    assert_eq!(window.enter("mic-04"), 422);
    assert_says(&window.page, "bench.barred");
}
