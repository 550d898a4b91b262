//! Every feature once, by the keyboard alone, each step looked at.

use crate::browser::{Browser, ENTER};
use crate::feature_jobs::JOBS;
use crate::job::legible;
use crate::support::{Bench, Folder};

#[test]
fn every_feature_by_keyboard() {
    let folder = Folder::new("features");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    for (index, job) in JOBS.iter().enumerate() {
        let look = |step: &str| browser.look(&format!("30-{}-{step}", job.file));
        if index > 0 {
            browser.keys("n");
            browser.wait_for("Which thread or feature");
        }
        let (first, rest) = job.feature.split_first().unwrap();
        browser.enter(first);
        look("1-asked");
        browser.enter_all(rest);
        browser.enter_all(&[job.file, "", "", "", ""]);
        browser.enter(job.instrument);
        // Why a piece does not fit is told on request.
        browser.keys(&format!("/unfit{ENTER}"));
        browser.wait_for(job.unfit);
        look("2-contacts");
        browser.enter_all(&[job.contacts, job.standard, job.temperature]);
        // A good closing check with the same set-up, a moment ago, is the opening check of this job.
        if browser.question().starts_with("Zero check") {
            browser.enter_all(&job.zero);
        }
        let (first, rest) = job.readings.split_first().unwrap();
        browser.enter(first);
        look("3-readings");
        browser.enter_all(rest);
        browser.wait_for("ACCEPT");
        browser.wait_for(job.tells);
        look("4-verdict");
        legible(&browser);
        browser.enter_all(&job.zero);
        browser.sign("A. Quill");
        browser.wait_for("Recorded as");
    }
}

/// Flat faces ask for wires, and the picture seats them.
#[test]
fn a_screw_over_wires() {
    let folder = Folder::new("wires");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    browser.enter_all(&[
        "M10x1.5-6g",
        "rating screw",
        "",
        "",
        "",
        "lifting",
        "mic-04",
        "fl-6",
    ]);
    browser.wait_for("Which wires are used");
    browser.look("31-wires-1-chosen");
    browser.enter_all(&["w-0866", "block-10", ""]);
    browser.enter_all(&["10.001", "10.002", "10.001"]);
    browser.enter("10.229");
    browser.look("31-wires-2-readings");
    browser.enter_all(&["10.230", "10.227", "10.231", "10.226", "10.228"]);
    browser.wait_for("ACCEPT");
    browser.wait_for("Lifting service");
    browser.look("31-wires-3-verdict");
}
