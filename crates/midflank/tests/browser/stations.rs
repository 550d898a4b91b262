//! Two stations of one ledger, each in a window of its own.

use crate::browser::Browser;
use crate::support::{Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO};

/// Light and dark, as wide as a screen and as a telephone.
fn look(browser: &Browser, name: &str) {
    browser.look(name);
    browser.size(390, 844);
    browser.fits(name);
    browser.look(&format!("{name}-390"));
    browser.size(1280, 800);
}

#[test]
fn a_job_is_parked_in_one_window_and_taken_up_in_the_other() {
    let folder = Folder::new("two-stations");
    let at = |name: &str| Bench::start_closed(&folder, 0, &["--station", name]);
    let (a, b) = (at("gauge room"), at("line 2"));
    let browser = Browser::start();
    browser.enter_bench(&a);
    let at_a = browser.tab();
    let at_b = browser.new_tab();
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    browser.enter_all(&READINGS[..2]);
    look(&browser, "70-under-way");

    // The other window shows nothing of it, and has a job of its own.
    browser.switch(&at_b);
    browser.enter_bench(&b);
    assert!(!browser.text().contains("rating screw"));
    browser.enter_all(&["shank 8.90 to 8.95 mm", "shank"]);
    browser.keys("/park");
    browser.enter("");
    browser.wait_for("Parked jobs");

    browser.switch(&at_a);
    browser.wait_for("Reading 3 of 6");
    assert!(!browser.text().contains("shank"));
    browser.keys("p");
    browser.wait_for("/take 1");
    browser.wait_for("/take 2");
    browser.is_in_field();
    look(&browser, "71-parked");
    browser.enter_all(&["M8x1.25-6g"]);

    // It is listed in the other window without a reload, and goes on there by the keyboard alone.
    browser.switch(&at_b);
    browser.wait_for("Readings, 2 of 6");
    browser.open(&format!("http://{}/history", b.host()));
    look(&browser, "72-history-parked");
    browser.open(&format!("http://{}/job/1", b.host()));
    browser.wait_for("Parked since");
    browser.is_in_field();
    look(&browser, "73-parked-job");
    browser.open(&format!("http://{}/", b.host()));
    browser.enter("/take 1");
    browser.wait_for("Reading 3 of 6");
    browser.enter_all(&READINGS[2..]);
    browser.wait_for("ACCEPT");
    browser.enter_all(&TO_THE_RECORD);
    browser.wait_for("Recorded as");
    look(&browser, "74-recorded");
    let record = browser.run("return document.querySelector('.recorded a').pathname");
    browser.open(&format!("http://{}/history", b.host()));
    look(&browser, "75-history");
    browser.open(&format!("http://{}{}", b.host(), record.as_str().unwrap()));
    browser.wait_for("by A. Quill at line 2");
    browser.look("76-record");

    browser.switch(&at_a);
    assert!(browser.question().starts_with("Part name"));
    browser.open(&format!("http://{}/job/1", a.host()));
    browser.wait_for("The job is recorded");
}
