//! An inspection plan, line by line, by the keyboard alone.

use crate::browser::{Browser, ENTER};
use crate::support::{Bench, Folder};

const TAB: &str = "\u{e004}";

#[test]
fn a_plan_is_typed_checked_and_kept() {
    let folder = Folder::new("plan-browser");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    browser.open(&format!("http://{}/plans/new", bench.host()));
    let at = |id: &str| assert_eq!(browser.run("return document.activeElement.id"), id);
    at("head-part");
    // Of the sampling, what belongs to the way that is chosen.
    let seen = |take: &str| {
        browser.run(&format!(
            "document.getElementById('head-take').value = '{take}'"
        ));
        let all = ["n", "aql", "accept", "risk"];
        all.map(|key| {
            let field = format!("return document.getElementById('head-{key}').checkVisibility()");
            browser.run(&field) == true
        })
    };
    assert_eq!(seen("105e"), [false, true, false, false]);
    assert_eq!(seen("zero-acceptance"), [false, false, false, true]);
    assert_eq!(seen("fixed"), [true, false, true, false]);
    assert_eq!(seen("all"), [false, false, true, false]);
    for text in ["bush", TAB, "TC-9", TAB, "A", TAB, "IP-9", ENTER] {
        browser.keys(text);
    }
    browser.wait("the first line", || {
        browser.run("return document.activeElement.id") == "requirement-0"
    });
    browser.keys("M10x1.5-6g");
    browser.keys(TAB);
    browser.keys("near the head; middle");
    browser.keys(ENTER);
    browser.wait_for("8.862 to 8.994 mm");
    at("requirement-1");
    browser.keys("tube wall 2.05 ± 0.15");
    browser.keys(ENTER);
    // The typing goes on at what is wrong.
    browser.wait_for("`bore` is missing");
    at("requirement-1");
    browser.look("60-plan-wrong");
    browser.keys("\u{e010}; bore 9.9");
    browser.keys(ENTER);
    browser.wait_for("1.90 to 2.20 mm");
    at("requirement-2");
    // The note is split by its button, which is behind the line.
    browser.run("document.querySelector('[value=split-0]').focus()");
    browser.keys(ENTER);
    browser.wait_for("The thread note was replaced");
    browser.look("61-plan-split");
    browser.size(390, 844);
    browser.look("62-plan-narrow");
    browser.fits("62-plan-narrow");
    browser.size(1280, 800);
    browser.run("document.getElementById('person').focus()");
    browser.keys("A. Quill");
    browser.run("document.querySelector('.buttons [value=keep]').focus()");
    browser.keys(ENTER);
    browser.wait_for("On record as entry");
    browser.look("63-plan");
}
