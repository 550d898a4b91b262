//! What one owns, by the keyboard alone.

use crate::browser::{Browser, ENTER};
use crate::support::{Bench, Folder};

const TAB: &str = "\u{e004}";
const DOWN: &str = "\u{e015}";

/// Presses Tab until the focus is where `wanted` selects.
#[track_caller]
pub fn tab_to(browser: &Browser, wanted: &str) {
    let there = format!("return document.activeElement.matches('{wanted}')");
    for _ in 0..80 {
        if browser.run(&there) == true {
            return;
        }
        browser.keys(TAB);
    }
    panic!("{wanted} is not reached: {}", browser.text());
}

/// Types into fields, one after the other, from where the focus is.
pub fn fill(browser: &Browser, fields: &[(&str, &str)]) {
    for (field, text) in fields {
        tab_to(browser, &format!("#{field}"));
        browser.keys(text);
    }
}

#[test]
fn a_pair_is_added_changed_and_set_apart() {
    let folder = Folder::new("register-browser");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    browser.open(&format!("http://{}/equipment", bench.host()));
    browser.look("40-equipment");
    tab_to(&browser, "a[href=\"/equipment/new/contacts\"]");
    browser.keys(ENTER);
    browser.wait_for("Add a contact pair");
    // The typing begins at once.
    assert_eq!(browser.run("return document.activeElement.id"), "id");
    browser.keys("vc-60-4");
    fill(
        &browser,
        &[
            ("kind", "V and"),
            ("members", "V-60-4"),
            ("included_angle", "60"),
            ("pitch_range", "1mm to 1.75mm"),
            ("person", "A. Quill"),
        ],
    );
    browser.look("41-equipment-new");
    browser.keys(ENTER);
    browser.wait_for("Two values are required");
    // It is marked by its edge, not only by the words under it.
    let edge =
        "const edge = (id) => getComputedStyle(document.getElementById(id)).borderBottomWidth;
        return edge('members') + ' ' + edge('pitch_range')";
    assert_eq!(browser.run(edge), "3px 1px");
    browser.look("42-equipment-wrong");
    // The focus is at what is wrong, and all the rest is still there.
    assert_eq!(browser.run("return document.activeElement.id"), "members");
    let kept = "return document.getElementById('pitch_range').value + document.getElementById('kind').value";
    assert_eq!(browser.run(kept), "1mm to 1.75mmv-and-cone");
    browser.keys("\u{e010}");
    browser.keys(&format!(" + C-60-4{ENTER}"));
    browser.wait_for("Entries for this item");
    browser.wait_for("V-60-4 + C-60-4");

    fill(
        &browser,
        &[
            ("state", DOWN),
            ("reason", "a flank is chipped"),
            ("person", "A. Quill"),
        ],
    );
    browser.keys(ENTER);
    browser.wait_for("a flank is chipped");
    browser.look("43-equipment-piece");
    tab_to(&browser, "a[href$=\"/change\"]");
    browser.keys(ENTER);
    browser.wait_for("Change vc-60-4");
    assert_eq!(
        browser.run("return document.activeElement.id"),
        "certificate"
    );
    browser.look("44-equipment-change");
    browser.keys("K-2301");
    fill(
        &browser,
        &[("reason", "lapped and calibrated"), ("person", "A. Quill")],
    );
    browser.keys(ENTER);
    browser.wait_for("lapped and calibrated");
    // A new certificate does not bring it back into use.
    browser.wait_for("quarantined");
    for width in [320, 640, 768] {
        browser.size(width, 640);
        let fits = "return document.documentElement.scrollWidth <= innerWidth";
        assert_eq!(browser.run(fits), true, "{width}");
    }
}
