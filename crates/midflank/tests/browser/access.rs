//! For everybody: every question of a job under the checker, forced colours, reduced motion, 200 % zoom.

use std::process::{Command, Stdio};

use crate::browser::{Browser, ENTER};
use crate::support::{Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO};

fn begin(name: &str) -> (Folder, Bench, Browser) {
    let folder = Folder::new(name);
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    (folder, bench, browser)
}

/// A whole job, from the first question to the next part; `see` looks at every question before it is answered.
fn every_question(browser: &Browser, see: impl Fn(&str)) {
    let closing = &TO_THE_RECORD[..3];
    for line in SET_UP.iter().chain(&ZERO).chain(&READINGS).chain(closing) {
        browser.is_in_field();
        see(&browser.question());
        browser.enter(line);
    }
    see(&browser.question());
    browser.sign("A. Quill");
    see(&browser.question());
    browser.enter("");
    see(&browser.question());
}

#[test]
fn the_checker_finds_nothing_at_any_question() {
    let (_folder, _bench, browser) = begin("questions");
    every_question(&browser, |question| {
        for dark in [false, true] {
            browser.dark(dark);
            let found = browser.violations();
            assert!(found.is_empty(), "{question}, dark {dark}: {found:#?}");
        }
    });
}

/// The focus never leaves the field, so a screen reader hears of a new question by what is said aloud.
#[test]
fn every_question_is_read_aloud_and_the_field_stays() {
    let (_folder, _bench, browser) = begin("aloud");
    browser.run("document.getElementById('line').own = 'the first field'");
    every_question(&browser, |question| {
        let aloud = browser.run("return document.getElementById('aloud').textContent");
        let aloud = aloud.as_str().unwrap();
        // The first question is read with the field, when the page opens.
        assert!(
            aloud.ends_with(question) || question.starts_with("Which thread"),
            "{question}: {aloud}"
        );
        if question.starts_with("Closing zero check") {
            assert!(aloud.starts_with("ACCEPT"), "{aloud}");
        }
        assert_eq!(
            browser.run("return document.getElementById('line').own"),
            "the first field",
            "{question}"
        );
    });
}

/// 200 % zoom of a window of 1280 by 800: half as many CSS pixels of twice the size.
#[test]
fn nothing_scrolls_sideways_at_twice_the_size() {
    let (_folder, bench, browser) = begin("zoom");
    browser.zoom(1280, 800, 2);
    assert_eq!(
        browser.run("return [innerWidth, devicePixelRatio].join()"),
        "640,2"
    );
    every_question(&browser, |name| browser.fits(name));
    for path in [
        "/history",
        "/record/13",
        "/lot/cs-118",
        "/contacts/vc-60-3",
        "/equipment",
        "/equipment/contacts/vc-60-3",
        "/equipment/instrument/mic-04/change",
        "/equipment/new/standard",
        "/room",
        "/checks",
    ] {
        browser.open(&format!("http://127.0.0.1:{}{path}", bench.port));
        browser.fits(path);
        browser.picture(&format!("60-zoom{}", path.replace('/', "-")));
    }
}

/// Measures a screw and signs it; the address of its record.
fn recorded(browser: &Browser) -> String {
    for lines in [&SET_UP[..], &ZERO, &READINGS, &TO_THE_RECORD[..3]] {
        browser.enter_all(lines);
    }
    browser.sign("A. Quill");
    browser.wait_for("Recorded as");
    let record = browser.run("return document.querySelector('.recorded a').getAttribute('href')");
    record.as_str().unwrap().to_owned()
}

/// On a telephone the page itself never scrolls sideways, and what scrolls by itself has a name and takes the focus.
#[test]
fn nothing_scrolls_sideways_on_a_telephone() {
    let (_folder, bench, browser) = begin("telephone");
    let record = recorded(&browser);
    browser.size(390, 844);
    let pages = [
        "/",
        "/history",
        &record,
        &format!("{record}/report"),
        &format!("{record}/amend"),
        &format!("{record}/verify"),
        "/lot/cs-118",
        "/lots",
        "/plans/new",
        "/nonconforming",
        "/equipment",
        "/equipment/instrument/mic-04",
        "/equipment/new/instrument",
        "/contacts/vc-60-3",
        "/due",
        "/recalls",
        "/studies",
        "/checks",
        "/room",
    ];
    for path in pages {
        browser.open(&format!("http://127.0.0.1:{}{path}", bench.port));
        browser.fits(path);
        let out_of_reach = browser.run(
            "return [...document.querySelectorAll('main *:not(textarea)')].filter(part =>
                part.scrollWidth > part.clientWidth + 1
                && ['auto', 'scroll'].includes(getComputedStyle(part).overflowX)
                && !(part.tabIndex >= 0 && part.getAttribute('aria-label'))
            ).map(part => part.outerHTML.slice(0, 100))",
        );
        assert_eq!(out_of_reach, serde_json::json!([]), "{path}");
    }
    // Each value of a long table is in sight.
    for path in ["/due", "/history"] {
        browser.open(&format!("http://127.0.0.1:{}{path}", bench.port));
        browser.fits(path);
        let cut = browser.run(
            "const cells = [...document.querySelectorAll('.cards td')];
             if (!cells.length) return ['there are no cards'];
             return cells.filter(cell => cell.getBoundingClientRect().right > innerWidth).map(cell => cell.innerText)",
        );
        assert_eq!(cut, serde_json::json!([]), "{path}");
    }
}

/// A record prints as its report, one screw on one sheet, from its page and from the page to print.
#[test]
fn a_record_prints_on_one_sheet() {
    let (_folder, bench, browser) = begin("printed");
    let record = recorded(&browser);
    for path in [record.clone(), format!("{record}/report")] {
        browser.open(&format!("http://{}{path}", bench.host()));
        browser.picture("67-printed");
        assert_eq!(browser.sheets(), 1, "{path}");
    }
}

/// No identity, designation or day is broken at its hyphen; every table has a name, and no heading skips a level.
#[test]
fn identities_are_whole_and_tables_have_names() {
    const BROKEN: &str = "
        const broken = [];
        const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
        while (texts.nextNode()) {
            const text = texts.currentNode;
            if (!text.parentElement.checkVisibility() || text.parentElement.closest('pre, textarea, option, svg, .hash')) continue;
            for (const word of text.data.matchAll(/[\\p{L}\\d.]+-[\\p{L}\\d.-]+/gu)) {
                if (!/\\d/.test(word[0])) continue;
                const range = document.createRange();
                range.setStart(text, word.index);
                range.setEnd(text, word.index + word[0].length);
                if (new Set([...range.getClientRects()].map(part => Math.round(part.top))).size > 1) broken.push(word[0]);
            }
        }
        return broken";
    const UNNAMED: &str = "
        const tables = [...document.querySelectorAll('table')].filter(table => !table.caption && !table.getAttribute('aria-label'));
        let last = 0;
        const skips = [...document.querySelectorAll('h1, h2, h3, h4')].filter(heading => {
            const level = Number(heading.tagName[1]);
            const is = level > last + 1;
            last = level;
            return is;
        });
        return [...tables, ...skips].map(part => part.outerHTML.slice(0, 100))";
    let none = serde_json::json!([]);
    let (_folder, bench, browser) = begin("whole");
    let looked_at = |name: &str| {
        for (width, height) in [(1280, 800), (1024, 768), (390, 844)] {
            browser.size(width, height);
            browser.fits(name);
            assert_eq!(browser.run(BROKEN), none, "{name} at {width}");
        }
        browser.size(1280, 800);
        assert_eq!(browser.run(UNNAMED), none, "{name}");
    };
    for line in SET_UP.iter().chain(&ZERO).chain(&READINGS) {
        browser.enter(line);
        looked_at(line);
    }
    browser.enter_all(&TO_THE_RECORD[..3]);
    browser.sign("A. Quill");
    browser.wait_for("Recorded as");
    for path in [
        "/history",
        "/lots",
        "/equipment",
        "/equipment/contacts/vc-60-3",
        "/due",
        "/nonconforming",
        "/room",
    ] {
        browser.open(&format!("http://{}{path}", bench.host()));
        looked_at(path);
    }
}

/// Enter in a drop-down takes what is chosen and records nothing.
#[test]
fn enter_in_a_drop_down_records_nothing() {
    let (_folder, bench, browser) = begin("drop-down");
    let own = "/equipment/instrument/mic-04";
    browser.open(&format!("http://{}{own}", bench.host()));
    browser.run("document.getElementById('state').focus()");
    browser.keys("\u{e015}");
    browser.keys(ENTER);
    std::thread::sleep(std::time::Duration::from_millis(300));
    assert_eq!(browser.run("return location.pathname"), own);
    assert_eq!(browser.run("return document.activeElement.id"), "state");
    // In a line it sends the form.
    browser.run("document.getElementById('reason').focus()");
    browser.keys(ENTER);
    browser.wait("the form is sent", || {
        browser.run("return location.pathname") == format!("{own}/state")
    });
}

/// Verdict, how many warnings there are with the first of them, and the field are in sight together: at 200 % zoom of a window
/// of 1024 by 768, and on a telephone.
#[test]
fn warnings_are_in_sight_with_verdict_and_field_on_a_small_screen() {
    let (_folder, _bench, browser) = begin("in-brief");
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    browser.enter_all(&["8.865", "8.866", "8.865", "8.867", "8.866", "8.865"]);
    browser.wait_for("UNDECIDED");
    let together = |name: &str| {
        for (width, height, times) in [(1024, 768, 2), (390, 844, 1)] {
            browser.zoom(width, height, times);
            browser.picture(&format!("65-{name}-{width}"));
            let out_of_sight = browser.run(
                "const dock = document.querySelector('.dock').getBoundingClientRect();
                 return ['.verdict .word', '.verdict .in-brief', '#line'].filter(part => {
                     const at = document.querySelector(part).getBoundingClientRect();
                     const lowest = part === '#line' ? innerHeight : dock.top;
                     return !(at.height > 0 && at.left >= 0 && at.right <= innerWidth && at.top >= 0 && at.bottom <= lowest);
                 })",
            );
            assert_eq!(out_of_sight, serde_json::json!([]), "{name} at {width}");
        }
        browser.size(1280, 800);
    };
    together("closing");
    browser.enter_all(&["10.002", "10.002", "10.001"]);
    browser.wait_for("Signature");
    together("signature");
    // Where the list itself is in sight nothing is told twice.
    let shown =
        "return document.querySelector('.verdict .in-brief').getBoundingClientRect().height";
    assert_eq!(browser.run(shown), 0);
}

/// Where the reader's own colours are forced, words and shapes carry everything: no mark is drawn in the colour of the
/// page, and the field shows its edge and its focus.
#[test]
fn forced_colours() {
    let (_folder, bench, browser) = begin("forced");
    browser.media("forced-colors", "active");
    assert_eq!(
        browser.run("return matchMedia('(forced-colors: active)').matches"),
        true
    );
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    browser.enter_all(&["8.929", "8.930", "8.427"]);
    browser.picture("61-forced-flagged");
    let drawn = |what: &str| {
        let unseen = browser.run(&format!(
            "const page = getComputedStyle(document.body).backgroundColor;
             const parts = [...document.querySelectorAll('{what}')];
             if (!parts.length) return ['there is no {what}'];
             return parts.filter(part => {{
                 const style = getComputedStyle(part);
                 const seen = colour => colour !== 'none' && colour !== page && !/^rgba.*, 0\\)$/.test(colour);
                 return !(seen(style.fill) || seen(style.stroke));
             }}).map(part => part.outerHTML)"
        ));
        assert_eq!(unseen, serde_json::json!([]), "{what}");
    };
    let edge = "const style = getComputedStyle(document.querySelector('.flagged .value'));
        return style.borderTopStyle + (style.borderTopColor !== getComputedStyle(document.body).backgroundColor)";
    assert_eq!(browser.run(edge), "dottedtrue");
    let focus = "return getComputedStyle(document.activeElement).outlineStyle";
    assert_eq!(browser.run(focus), "solid");
    drawn(".section .contact, .section .touch, .place .arrow");
    browser.keys("r");
    browser.wait("the reading is asked for again", || {
        browser.question().ends_with("again.")
    });
    browser.enter_all(&["8.927", "8.931", "8.926", "8.928"]);
    browser.wait_for("ACCEPT");
    browser.picture("62-forced-verdict");
    drawn(".word .fill-verdict, .bar .fill-verdict");
    let own = "return getComputedStyle(document.querySelector('.word .fill-verdict')).fill === getComputedStyle(document.body).color";
    assert_eq!(browser.run(own), true);
    for page in ["/equipment", "/history"] {
        browser.open(&format!("http://127.0.0.1:{}{page}", bench.port));
        browser.picture(&format!("63-forced{}", page.replace('/', "-")));
        let found = browser.violations();
        assert!(found.is_empty(), "{page}: {found:#?}");
    }
}

/// The room and a check part with their charts and forms.
#[test]
fn the_checker_finds_nothing_on_the_pages_of_the_gauge_room() {
    let (folder, bench, browser) = begin("gauge-room");
    let ledger = folder.path().join("ledger.db");
    let on = |arguments: &[&str]| {
        let mut program = Command::new(env!("CARGO_BIN_EXE_midflank"));
        program.arg("--ledger").arg(&ledger).args(arguments);
        program.args(["--person", "A. Quill"]);
        let ended = program.stdout(Stdio::null()).status().unwrap();
        assert!(ended.success(), "{arguments:?}");
    };
    on(&["room", "add", "--thermometer", "th-2", "--celsius", "20.4"]);
    let with = ["--instrument", "mic-04", "--contacts", "fl-6"];
    let within = ["10.000mm", "10.001mm"].repeat(4).into_iter();
    for reading in within.chain(["10.008mm"]) {
        on(&[&["check", "ring-10", reading], &with[..]].concat());
    }
    for page in ["/room", "/checks"] {
        browser.open(&format!("http://127.0.0.1:{}{page}", bench.port));
        browser.picture(&format!("64-gauge-room{}", page.replace('/', "-")));
        for dark in [false, true] {
            browser.dark(dark);
            let found = browser.violations();
            assert!(found.is_empty(), "{page}, dark {dark}: {found:#?}");
        }
    }
}

/// Nothing moves where the reader asked for less motion, not even what is made to move here.
#[test]
fn reduced_motion() {
    let (_folder, _bench, browser) = begin("motion");
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    browser.enter_all(&READINGS);
    browser.wait_for("ACCEPT");
    let moving = || {
        browser.run(
            "return [...document.querySelectorAll('*')].filter(part => {
                const style = getComputedStyle(part);
                return style.animationName !== 'none' || style.transitionDuration.split(', ').some(time => parseFloat(time) > 0);
            }).length",
        )
    };
    assert_eq!(moving(), 0);
    browser.run("document.getElementById('question').style.transition = 'color 1s'");
    assert_eq!(moving(), 1);
    browser.media("prefers-reduced-motion", "reduce");
    assert_eq!(moving(), 0);
}
