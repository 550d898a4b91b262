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
        browser.fits(&width.to_string());
    }
}

/// A list handed in: what is wrong with it, what is understood of it, and one button that keeps it; with and without script.
#[test]
fn a_list_is_handed_in_looked_at_and_kept() {
    const LIST: &str = "kind;id;unit;range;maximum_permissible_error;certificate;due\n\
         instrument;mic-21;mm;0 to 25;0,003;K-3001;2098-09-30\n\
         instrument;mic-04;mm;0 to 25;0,003;K-2999;2098-09-30\n";
    let folder = Folder::new("list-browser");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    let file = folder.path().join("list.csv");
    for is_script_on in [true, false] {
        browser.scripts(is_script_on);
        std::fs::write(
            &file,
            LIST.replace("0 to 25;0,003;K-3001", "wide;0,003;K-3001"),
        )
        .unwrap();
        browser.open(&format!("http://{}/equipment", bench.host()));
        tab_to(&browser, "a[href=\"/equipment/list\"]");
        browser.keys(ENTER);
        browser.wait_for("Equipment from a list");
        assert_eq!(browser.run("return document.activeElement.id"), "list");
        let submit = |name: &str| {
            browser.choose("#list", &file);
            browser.run("document.getElementById('list').focus()");
            browser.keys(TAB);
            browser.keys(ENTER);
            browser.wait_for(name);
        };
        if is_script_on {
            browser.look("45-list");
        }
        submit("one mistake");
        browser.wait_for("character 22");
        if is_script_on {
            browser.look("46-list-wrong");
        }
        std::fs::write(&file, LIST).unwrap();
        submit(if is_script_on {
            "1 new, 1 changed"
        } else {
            "the register has all of it"
        });
        if !is_script_on {
            break;
        }
        browser.look("47-list-understood");
        for width in [320, 768] {
            browser.size(width, 800);
            browser.fits(&width.to_string());
            browser.picture(&format!("47-list-understood-{width}"));
        }
        browser.size(1280, 800);
        tab_to(&browser, "#person");
        browser.keys(&format!("A. Quill{ENTER}"));
        browser.wait_for("nter a reason");
        assert_eq!(browser.run("return document.activeElement.id"), "reason");
        browser.keys(&format!("calibrated{ENTER}"));
        browser.wait_for("Recorded: 1 new, 1 changed");
        browser.look("48-list-kept");
    }
}
