//! Equipment that the gauge room sets apart while a job is under way.

use super::support::{Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO};
use crate::bench::Bench as Desk;
use crate::said::assert_says;

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
