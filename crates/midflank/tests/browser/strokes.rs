//! How much a job asks of the hands.

use std::cell::Cell;

use crate::browser::Browser;
use crate::support::{Bench, Folder, READINGS, ZERO};

/// A first part of a lot, of a part that is on the record, takes at most fourteen Enters to its last reading, and the next
/// part at most seven. The closing check adds three to each; the signature is no Enter.
#[test]
fn enters_of_a_first_and_of_a_next_part() {
    let folder = Folder::new("strokes");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    let enters = Cell::new(0);
    let enter_all = |lines: &[&str]| {
        browser.enter_all(lines);
        enters.set(enters.get() + lines.len());
    };
    let read = || {
        browser.wait_for("Reading 1 of 6");
        enter_all(&READINGS);
        browser.wait_for("ACCEPT");
        enters.replace(0)
    };
    let close = || {
        enter_all(&ZERO);
        browser.wait_for("Signature");
        browser.sign("A. Quill");
        browser.wait_for("Recorded as");
        assert_eq!(enters.replace(0), 3);
    };
    // Nobody has measured this part before: more is asked.
    enter_all(&[
        "M10x1.5-6g",
        "rating screw",
        "TC-0412 rev C",
        "cs-118 / 4 of 12",
    ]);
    enter_all(&["", "", "", "21.4 20.9 brass"]);
    enter_all(&ZERO);
    println!("a part that was never measured: {} Enters", read());
    close();

    enter_all(&[""]);
    let next = read();
    println!("the next part of its lot: {next} Enters");
    assert!(next <= 7, "{next}");
    close();

    browser.keys("n");
    browser.wait_for("Which thread or feature");
    // The closing check of a moment ago opens this job.
    enter_all(&["M10x1.5-6g", "rating screw", "", "cs-119 / 1 of 8", ""]);
    let first = read();
    println!("the first part of another lot: {first} Enters");
    assert!(first <= 14, "{first}");
}
