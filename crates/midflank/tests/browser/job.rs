//! The whole job by keyboard events.

use std::io::Write;

use crate::browser::{Browser, ENTER};
use crate::support::{Bench, Folder, READINGS, SET_UP, TO_THE_RECORD, ZERO, pseudo_terminal};

fn address(bench: &Bench) -> String {
    format!("http://127.0.0.1:{}", bench.port)
}

fn begin(name: &str) -> (Folder, Bench, Browser) {
    let folder = Folder::new(name);
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    (folder, bench, browser)
}

/// Every step is looked at, light and dark.
#[test]
fn an_accepted_part() {
    let (_folder, bench, browser) = begin("accepted");
    browser.is_in_field();
    browser.look("01-part");
    browser.keys(&format!("M10x1.7-6g{ENTER}"));
    browser.wait_for("M10");
    browser.wait("a refusal", || {
        browser.run("return !!document.querySelector('.refusal')") == true
    });
    browser.look("02-part-refused");
    // The wrong designation is still there, to be put right.
    browser.keys("\u{e00c}");
    browser.enter("M10x1.5-6g");
    browser.wait_for("8.994");
    browser.look("03-part-limits");
    browser.enter_all(&SET_UP[1..6]);
    browser.wait_for("Which set-up?");
    browser.look("04-set-up-micrometer");
    browser.enter_all(&SET_UP[6..7]);
    browser.look("05-set-up-contacts");
    browser.enter_all(&SET_UP[7..8]);
    browser.look("06-set-up-standard");
    browser.enter_all(&SET_UP[8..]);
    browser.wait_for("reading 1 of 3");
    browser.enter(ZERO[0]);
    browser.look("07-zero");
    browser.enter_all(&ZERO[1..]);
    browser.wait_for("Reading 1 of 6");
    browser.enter_all(&READINGS[..3]);
    browser.is_in_field();
    browser.look("08-readings");
    // One key draws the tolerance large, and puts it away again; digits are never taken for keys.
    browser.keys("t");
    let zone = "return !!document.querySelector('.section .zone')";
    browser.wait("the tolerance is drawn large", || browser.run(zone) == true);
    browser.look("09-readings-tolerance");
    browser.keys("t");
    browser.wait("the tolerance is put away", || browser.run(zone) == false);
    browser.keys(&format!("limits 1/4-20 UNC-2A{ENTER}"));
    browser.wait_for("0.2164");
    browser.look("10-looked-up");
    browser.keys(&format!("gauges M10x1.5-6g{ENTER}"));
    browser.wait_for("GO ring");
    browser.look("10-looked-up-gauges");
    browser.keys(&format!("identify 9.97mm 1.5mm{ENTER}"));
    browser.wait_for("Tr10x1.5");
    browser.look("10-looked-up-identify");
    browser.is_in_field();
    browser.enter_all(&READINGS[3..]);
    browser.wait_for("ACCEPT");
    browser.look("11-verdict");
    legible(&browser);
    browser.keys("b");
    browser.wait_for("Combined standard uncertainty");
    browser.look("12-verdict-budget");
    browser.keys("b");
    browser.wait("the budget is put away", || {
        !browser.text().contains("Combined standard uncertainty")
    });
    browser.enter_all(&["10.002", "10.002"]);
    browser.look("13-closing-zero");
    browser.enter("10.001");
    browser.wait_for("Signature");
    browser.look("14-close");
    nothing_is_covered(&browser, "14-close");
    browser.sign("A. Quill");
    browser.wait_for("Recorded as");
    browser.look("15-recorded");
    browser.enter("");
    browser.wait_for("5 of 12");
    browser.look("16-next-part");
    for (path, name) in [
        ("/history", "17-history"),
        ("/record/13", "18-record"),
        ("/record/32", "18-record-of-an-inspection"),
        ("/record/32/verify", "18-verified"),
        ("/record/32/amend", "18-amend"),
        ("/lot/cs-118", "19-lot"),
        ("/contacts/vc-60-3", "20-zero-checks"),
    ] {
        browser.open(&format!("{}{path}", address(&bench)));
        browser.look(name);
    }
}

/// The verdict fills the screen: its capitals are at least 14 % of the page's height, and word, size, bar and field are in
/// sight together without scrolling.
pub fn legible(browser: &Browser) {
    let capitals = browser.run(
        "const word = document.querySelector('.verdict .word p');
         return parseFloat(getComputedStyle(word).fontSize) * 0.7 / innerHeight",
    );
    assert!(capitals.as_f64().unwrap() >= 0.138, "{capitals}");
    // On a screen 518 mm wide a pixel of a page 1280 wide is 0.7 minutes of arc at two metres. Five minutes are a letter that a
    // good eye tells from others (Snellen, from memory); the size is to be four times that.
    let digits = browser.run(
        "return parseFloat(getComputedStyle(document.querySelector('.verdict .size')).fontSize) * 0.7",
    );
    assert!(digits.as_f64().unwrap() * 0.7 >= 20.0, "{digits}");
    let in_sight = "
        const dock = document.querySelector('.dock').getBoundingClientRect();
        const lowest = Math.max(...[...document.querySelectorAll('.verdict .word, .verdict .size, .verdict svg.bar')]
            .map((part) => part.getBoundingClientRect().bottom));
        return scrollY === 0 && lowest <= dock.top && dock.bottom <= innerHeight";
    assert_eq!(browser.run(in_sight), true);
}

/// At the signature the drift and every warning stand above the dock, at the sizes of usual screens.
fn nothing_is_covered(browser: &Browser, name: &str) {
    for (width, height) in [(1366, 768), (1024, 768), (1920, 1080), (1280, 800)] {
        browser.size(width, height);
        browser.picture(&format!("{name}-{width}"));
        let covered = browser.run(
            "const dock = document.querySelector('.dock').getBoundingClientRect();
             const told = [...document.querySelectorAll('.verdict .standing, .known li')];
             if (told.length < 3) return ['too little is told'];
             const over = (one, other) => one.left < other.right && other.left < one.right
                 && one.top < other.bottom && other.top < one.bottom;
             const word = document.querySelector('.verdict .word p').getBoundingClientRect();
             return told.filter((part) => {
                 const at = part.getBoundingClientRect();
                 return at.bottom > dock.top || over(at, word);
             }).map((part) => part.innerText)",
        );
        assert_eq!(covered, serde_json::json!([]), "{name} at {width}");
        let rows = browser.run(
            "return new Set([...document.querySelectorAll('.ways a')].map((one) => one.getBoundingClientRect().top)).size",
        );
        assert_eq!(rows, 1, "{width}");
    }
}

/// A checker that finds nothing anywhere would prove nothing.
#[test]
fn a_fault_that_is_planted_is_found() {
    let (_folder, _bench, browser) = begin("planted");
    browser.run("document.querySelector('main').append(new Image())");
    assert!(
        browser
            .violations()
            .iter()
            .any(|found| found.starts_with("image-alt"))
    );
}

#[test]
fn a_turn_of_the_thimble_is_taken_again() {
    let (_folder, _bench, browser) = begin("turn");
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    browser.enter_all(&["8.929", "8.930", "8.427"]);
    browser.wait_for("one thimble turn");
    browser.look("21-flagged");
    // Its flag is in sight under the field, also on a small screen.
    for (width, height) in [(1280, 657), (640, 400)] {
        browser.size(width, height);
        let in_sight = "const told = document.querySelector('.ask .doubt').getBoundingClientRect();
            return told.top >= 0 && told.bottom <= innerHeight";
        assert_eq!(browser.run(in_sight), true, "{width}x{height}");
    }
    browser.size(1280, 800);
    // R takes the last again at once; the earlier reading stays to be seen.
    browser.keys("r");
    browser.wait_for("Reading 3 (middle, 0°) again");
    browser.is_in_field();
    browser.enter("8.927");
    assert_eq!(
        browser.run("return !document.querySelector('.landed .flagged')"),
        true
    );
    assert_eq!(
        browser.run("return document.querySelector('.landed s').innerText"),
        "8.427\u{202f}mm"
    );
    browser.enter_all(&["8.931", "8.926", "8.928"]);
    browser.wait_for("ACCEPT");
}

#[test]
fn escape_closes_what_is_shown_and_then_clears_the_field() {
    const ESCAPE: &str = "\u{e00c}";
    let (_folder, _bench, browser) = begin("escape");
    let field = |said: &str| {
        let value = browser.run("return document.getElementById('line').value");
        assert_eq!(value, said);
    };
    for shown in ["?", "limits M8\u{e007}"] {
        browser.keys(shown);
        browser.wait("it is shown", || {
            browser.run("return !!document.getElementById('page').dataset.shown") == true
        });
        browser.keys("M10");
        browser.keys(ESCAPE);
        browser.wait("it is closed", || {
            browser.run("return !document.getElementById('page').dataset.shown") == true
        });
        field("M10");
        browser.keys(ESCAPE);
        field("");
    }
    // What was refused gives way to what is typed next.
    browser.keys("foo bar\u{e007}");
    browser.wait_for("is not a thread, a feature or the number of a lot");
    field("foo bar");
    browser.keys("M");
    field("M");
}

#[test]
fn a_key_leads_from_the_job_to_its_record() {
    let (_folder, _bench, browser) = begin("to-record");
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    browser.enter_all(&READINGS);
    browser.enter_all(&TO_THE_RECORD[..3]);
    browser.sign("A. Quill");
    browser.wait_for("show and print the record");
    browser.keys("p");
    browser.wait("the record", || {
        browser.run("return location.pathname.startsWith('/record/')") == true
    });
}

/// Without scripts the same keys post plain forms.
#[test]
fn a_verdict_without_scripts() {
    let folder = Folder::new("plain");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.scripts(false);
    browser.enter_bench(&bench);
    for line in SET_UP.iter().chain(&ZERO).chain(&READINGS) {
        let before = browser.question();
        browser.is_in_field();
        browser.keys(&format!("{line}{ENTER}"));
        browser.wait("the job goes on", || browser.question() != before);
    }
    browser.wait_for("ACCEPT");
}

/// A cable sends the next reading before the page has answered the last one.
#[test]
fn readings_in_one_breath_are_all_taken() {
    let (_folder, _bench, browser) = begin("breath");
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    browser.keys(&READINGS.map(|reading| format!("{reading}{ENTER}")).concat());
    browser.wait_for("ACCEPT");
    assert_eq!(
        browser.run("return document.getElementById('line').value"),
        ""
    );
}

/// What comes faster than a hand types is drawn when it is through; it stands where it would have stood.
#[test]
fn what_a_cable_types_without_enter_stands_in_the_field() {
    let (_folder, _bench, browser) = begin("no-enter");
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    let stands = |text: &str| {
        browser.wait(text, || {
            browser.run("return document.getElementById('line').value") == text
        });
    };
    browser.keys("8.929");
    stands("8.929");
    const HOME: &str = "\u{e011}";
    const BACKSPACE: &str = "\u{e003}";
    browser.keys(&format!("{HOME}-12"));
    stands("-128.929");
    browser.keys(&format!("{HOME}{}", "\u{e017}".repeat(3)));
    stands("8.929");
    browser.keys("\u{e010}04");
    stands("8.92904");
    browser.keys(&format!("13{BACKSPACE}{BACKSPACE}{BACKSPACE}"));
    stands("8.9290");
    // Other signs than digits, and what was typed after Enter.
    browser.keys(&format!("{ENTER}8.93 mm"));
    browser.wait_for("Reading 2 of 6");
    stands("8.93 mm");
}

/// The longest of the common words, and the verdict with the most to be known.
#[test]
fn nothing_covers_what_is_to_be_known_before_the_signature() {
    for (name, readings) in [
        (
            "25-sign-undecided",
            ["8.865", "8.866", "8.865", "8.867", "8.866", "8.865"],
        ),
        (
            "25-sign-reject",
            ["8.845", "8.846", "8.847", "8.845", "8.846", "8.844"],
        ),
    ] {
        let (_folder, _bench, browser) = begin(name);
        browser.enter_all(&SET_UP);
        browser.enter_all(&ZERO);
        browser.enter_all(&readings);
        browser.enter_all(&["10.002", "10.002", "10.001"]);
        browser.wait_for("Signature");
        nothing_is_covered(&browser, name);
    }
}

#[test]
fn an_undecided_part() {
    let (_folder, _bench, browser) = begin("undecided");
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    browser.enter_all(&["8.865", "8.866", "8.865", "8.867", "8.866", "8.865"]);
    browser.wait_for("UNDECIDED");
    browser.look("22-undecided");
    legible(&browser);
    browser.keys("m");
    browser.wait_for("Reading 7 of 8");
    browser.enter_all(&["8.866", "8.865"]);
    browser.wait_for("UNDECIDED");
}

#[test]
fn a_rejected_part_and_a_zero_that_moved() {
    let (_folder, _bench, browser) = begin("rejected");
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    browser.enter_all(&["8.849", "8.850", "8.847", "8.851", "8.846", "8.848"]);
    browser.wait_for("REJECT");
    browser.look("23-reject");
    legible(&browser);
    browser.enter_all(&["10.009", "10.009", "10.009"]);
    browser.wait_for("Zero moved by");
    browser.look("24-zero-doubt");
}

#[test]
fn reload_two_tabs_and_a_killed_program() {
    let (folder, mut bench, browser) = begin("steadfast");
    browser.enter_all(&SET_UP);
    browser.enter_all(&ZERO);
    browser.enter_all(&READINGS[..2]);
    browser.reload();
    browser.wait_for("Reading 3 of 6");
    browser.is_in_field();

    // Two tabs in step.
    let first = browser.tab();
    let second = browser.new_tab();
    browser.switch(&second);
    browser.open(&address(&bench));
    browser.wait_for("Reading 3 of 6");
    browser.enter(READINGS[2]);
    browser.wait_for("Reading 4 of 6");
    browser.switch(&first);
    browser.wait_for("Reading 4 of 6");
    browser.enter(READINGS[3]);
    browser.wait_for("Reading 5 of 6");
    browser.switch(&second);
    browser.wait_for("Reading 5 of 6");

    // Half a reading is typed here when the other window takes one: it is not taken for the next place.
    browser.keys("8.9");
    browser.switch(&first);
    browser.enter(READINGS[4]);
    browser.wait_for("Reading 6 of 6");
    browser.switch(&second);
    browser.wait_for("Reading 6 of 6");
    assert_eq!(
        browser.run("return document.getElementById('line').value"),
        "8.9"
    );
    browser.keys(&format!("26{ENTER}"));
    browser.wait_for("continued in another window");
    assert!(browser.question().starts_with("Reading 6 of 6"));

    // The program is gone: the page says so, and what is typed is not lost.
    let port = bench.port;
    bench.kill();
    browser.keys(&format!("{}{ENTER}", READINGS[5]));
    browser.wait_for("The bench is not responding");
    let bench = Bench::start_closed(&folder, port, &[]);
    // It does not know this browser any more, says so, and is back once its new address was opened.
    browser.wait_for("Open the address that the program printed");
    let shown = browser.tab();
    browser.switch(&browser.new_tab());
    browser.enter_bench(&bench);
    browser.switch(&shown);
    browser.wait("the page is back", || {
        browser.run("return !document.getElementById('lost')") == true
    });
    browser.wait_for("Reading 6 of 6");
    assert_eq!(
        browser.run("return document.getElementById('line').value"),
        READINGS[5]
    );
    browser.keys(ENTER);
    browser.wait_for("ACCEPT");
    drop(bench);
}

#[test]
fn readings_by_the_serial_line() {
    let (mut instrument, line) = pseudo_terminal();
    let device = format!("{line}:9600");
    let folder = Folder::new("serial-browser");
    let bench = Bench::start_closed(&folder, 0, &["--serial", &device]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    browser.enter_all(&SET_UP);
    let mut send = |text: &str| instrument.write_all(text.as_bytes()).unwrap();
    send("+10.001\r\n+10.002\r\n+10.001\r\n");
    browser.wait_for("Reading 1 of 6");
    for (index, reading) in READINGS.iter().enumerate() {
        send(&format!("{reading} mm\r"));
        browser.wait("the reading lands", || {
            browser.question().contains(&format!("{} of", index + 2))
                || browser.text().contains("ACCEPT")
        });
    }
    browser.wait_for("ACCEPT");
    browser.is_in_field();
}

/// 200 % zoom of 1280 pixels leaves 640; a tablet has 768 by 1024. Nothing is cut off sideways.
#[test]
fn narrow_pages_do_not_scroll_sideways() {
    let (_folder, _bench, browser) = begin("narrow");
    let fits = |name: &str| {
        for (width, height) in [(640, 400), (768, 1024), (320, 640)] {
            browser.size(width, height);
            browser.fits(&format!("{name} at {width}"));
            browser.picture(&format!("{name}-{width}"));
        }
        browser.size(1280, 800);
    };
    browser.enter_all(&SET_UP[..6]);
    fits("30-set-up");
    browser.enter_all(&SET_UP[6..]);
    browser.enter_all(&ZERO);
    browser.enter_all(&READINGS[..3]);
    fits("31-readings");
    browser.enter_all(&["8.931", "8.926", "8.928"]);
    browser.wait_for("ACCEPT");
    fits("32-verdict");
}
