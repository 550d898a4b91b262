//! The gauge room by the keyboard alone: a study with a reload, a calibration, another status, and a recall with its decision.

use std::path::Path;
use std::process::Command;

use crate::browser::{Browser, ENTER};
use crate::register::{fill, tab_to};
use crate::support::{Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO, between};

/// A command on the ledger of a bench.
#[track_caller]
fn command(folder: &Folder, arguments: &[&str]) {
    let done = Command::new(env!("CARGO_BIN_EXE_midflank"))
        .arg("--ledger")
        .arg(folder.path().join("ledger.db"))
        .args(arguments)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{arguments:?}: {said}");
}

/// A page fits a telephone without sideways scrolling.
#[track_caller]
fn fits(browser: &Browser) {
    for width in [320, 768] {
        browser.size(width, 640);
        browser.fits(&width.to_string());
    }
    browser.size(1280, 800);
}

#[test]
fn a_study_is_run_and_approved_by_keys() {
    let folder = Folder::new("study-browser");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    let page = |path: &str| browser.open(&format!("http://{}{path}", bench.host()));
    page("/studies");
    fill(
        &browser,
        &[
            ("characteristic", "M10x1.5-6g"),
            ("operators", "Anna, Ben"),
            ("parts", "2"),
            ("trials", "2"),
        ],
    );
    browser.look("90-studies");
    fits(&browser);
    browser.keys(ENTER);
    browser.wait("the set-up is asked for", || {
        browser.question().contains("set-up")
    });
    for line in ["mic-04", "vc-60-3", "rod-10", ""] {
        browser.enter(line);
    }
    browser.enter_all(&ZERO);
    let mut read = Vec::new();
    for nth in 0..8 {
        let question = browser.question();
        assert!(
            question.ends_with(&format!("(reading {} of 8)", nth + 1)),
            "{question}"
        );
        let part: usize = between(&question, ": part ", " ").parse().unwrap();
        read.push(format!("8.{}", 910 + 7 * part + nth));
        browser.enter(&read[nth]);
        if nth == 2 {
            // What was read is hidden, and a window that is loaded again asks for the next part.
            let next = browser.question();
            browser.reload();
            browser.wait("the same is asked", || browser.question() == next);
            browser.is_in_field();
            let text = browser.text();
            assert!(read.iter().all(|reading| !text.contains(reading)), "{text}");
            browser.look("92-study-reading");
            // R takes the last one back, and no other.
            browser.keys("r");
            browser.wait("it is asked again", || {
                browser.question().starts_with("Again")
            });
            browser.enter(&read[nth]);
            assert_eq!(browser.question(), next);
        }
    }
    browser.enter_all(&ZERO);
    browser.wait_for("gauge R&R");
    browser.look("93-study-result");
    fits(&browser);
    browser.sign("A. Quill");
    browser.wait_for("Recorded as");
    let address = "return document.querySelector('a[href^=\"/studies/\"]').getAttribute('href')";
    let address = browser.run(address).as_str().unwrap().to_owned();
    page(&address);
    browser.look("94-study");
    fits(&browser);
    fill(
        &browser,
        &[
            ("person", "A. Quill"),
            ("reason", "as the plan asks"),
            ("review_due", "29.11.2099"),
        ],
    );
    browser.keys(ENTER);
    // The field that is wrong has the focus.
    browser.wait("the wrong field has the focus", || {
        let focus = "return document.activeElement.id + document.activeElement.ariaInvalid";
        browser.run(focus).as_str() == Some("review_duetrue")
    });
    browser.run("document.activeElement.value = ''");
    fill(&browser, &[("review_due", "2099-12-31")]);
    browser.keys(ENTER);
    browser.wait_for("To withdraw it");
}

#[test]
fn a_micrometer_is_calibrated_and_set_apart_by_keys() {
    let folder = Folder::new("calibrate-browser");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let blocks = std::fs::read_to_string(root.join("demo/gauge-room/blocks.toml")).unwrap();
    let file = folder.path().join("blocks.toml");
    std::fs::write(&file, blocks.replace("due = 2031-01-12\n", "")).unwrap();
    command(&folder, &["certificate", "add", file.to_str().unwrap()]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    let set_up = [
        "calibrate mic-04",
        "gb-1",
        "span 4um simple",
        "IN-1",
        "clock workshop",
        "",
        "1 0.3",
    ];
    browser.enter_all(&set_up);
    browser.look("95-calibration-points");
    browser.enter("0 5.1 10.3 25");
    for at in ["0.00", "5.10", "10.30", "25.00"] {
        for last in ["0", "1", "2"] {
            browser.enter(&format!("{at}{last}"));
        }
    }
    browser.enter_all(&["none", "none", "no"]);
    browser.enter("2098-03-02");
    browser.look("96-calibration-verdict");
    fits(&browser);
    browser.sign("A. Quill");
    browser.wait_for("Recorded");
    let own = format!("http://{}/equipment/instrument/mic-04", bench.host());
    browser.open(&own);
    browser.wait_for("IN-1");
    browser.look("97-calibrated");
    fill(
        &browser,
        &[
            ("status-status", "qu"),
            ("status-reason", "dropped"),
            ("status-person", "A. Quill"),
        ],
    );
    browser.keys(ENTER);
    browser.wait("its status changed", || {
        let facts = "return document.querySelector('dl.facts').innerText";
        browser.run(facts).as_str().unwrap().contains("quarantined")
    });
}

#[test]
fn a_recall_is_begun_and_decided_by_keys() {
    let folder = Folder::new("recall-browser");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    for lines in [&SET_UP[..], &ZERO, &READINGS, &TO_THE_RECORD[..3]] {
        browser.enter_all(lines);
    }
    browser.sign("A. Quill");
    browser.open(&format!("http://{}/recalls", bench.host()));
    let today = jiff::Timestamp::now().to_string()[..10].to_owned();
    fill(
        &browser,
        &[
            ("piece", "se"),
            ("id", "rod-10"),
            ("error", "90um"),
            ("found", &today),
            ("since", "2020-01-01"),
            ("person", "A. Quill"),
        ],
    );
    browser.look("98-recalls");
    tab_to(&browser, "button[value=save]");
    browser.keys(ENTER);
    browser.wait_for("All recalls");
    browser.look("99-recall");
    fits(&browser);
    tab_to(&browser, "input[name=every]");
    browser.keys(" ");
    fill(
        &browser,
        &[
            ("decided", "in"),
            ("person", "A. Quill"),
            ("note", "told by telephone"),
        ],
    );
    browser.keys(ENTER);
    browser.wait("nothing is open", || {
        let facts = "return document.querySelector('dl.facts').innerText";
        let facts = browser.run(facts).as_str().unwrap().to_owned();
        facts.trim_end().ends_with('0')
    });
}
