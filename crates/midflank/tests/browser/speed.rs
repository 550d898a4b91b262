//! How long from Enter to the verdict painted, in a real browser; beside it the same for an empty page.
//!
//! Both are measured inside the browser: from the time of the key event to the first task after the frame that holds the
//! change. The reading is on the disk before the server answers, so the record is durable when the verdict is painted.
//! Nothing is asked of the browser while the clock runs. Two ways of typing: a hand, which pauses before Enter, and a
//! cable, which sends digits and Enter in one breath; then a frame that shows digits is drawn first.
//! Run by `benches/bench-page/run.sh`, in a release build.

use std::time::Duration;

use crate::browser::{Browser, ENTER};
use crate::lot::on;
use crate::support::{Bench, Folder, READINGS, SET_UP, Window, ZERO, between, form};

/// Verdicts of one job, and how many jobs.
const VERDICTS: usize = 40;
const JOBS: usize = 4;
/// Longer than any frame is waited for.
const PAUSE: Duration = Duration::from_millis(200);

/// How digits and Enter come.
#[derive(Clone, Copy)]
enum Typing {
    Hand,
    Cable,
}

impl Typing {
    fn enter(self, browser: &Browser, digits: &str) {
        // Nobody reads a micrometer within a frame of the question: the page is at rest.
        std::thread::sleep(PAUSE);
        match self {
            Self::Hand => {
                browser.keys(digits);
                std::thread::sleep(PAUSE);
                browser.keys(ENTER);
            }
            Self::Cable => browser.keys(&format!("{digits}{ENTER}")),
        }
        std::thread::sleep(PAUSE);
    }
}

/// Notes the time from Enter to the frame after the page holds what `wanted` selects.
const STOPWATCH: &str = "
    window.samples = [];
    let begun = 0;
    document.addEventListener('keydown', (event) => { if (event.key === 'Enter') begun = event.timeStamp; }, true);
    new MutationObserver(() => {
        if (!begun || !document.querySelector(wanted)) return;
        const from = begun;
        begun = 0;
        requestAnimationFrame(() => {
            const painted = new MessageChannel();
            painted.port1.onmessage = () => window.samples.push(performance.now() - from);
            painted.port2.postMessage(0);
        });
    }).observe(document.body, { childList: true, subtree: true });";

#[test]
#[ignore = "a measurement: benches/bench-page/run.sh"]
fn enter_to_verdict() {
    println!(
        "{:<40} {:>6} {:>8} {:>8} {:>8}",
        "milliseconds", "n", "median", "p95", "p99"
    );
    let mut most = 0.0_f64;
    for (typing, how) in [(Typing::Hand, "by hand"), (Typing::Cable, "by cable")] {
        print(&format!("empty page, {how}"), &empty_page(typing));
        let (verdict, memory) = verdicts(typing);
        print(&format!("Enter to verdict painted, {how}"), &verdict);
        most = most.max(memory);
    }
    println!("resident memory of the program: {most:.1} MB");
}

/// Pieces of the lot, and its characteristics, of which all but the last are measured before.
const PIECES: u32 = 500;
const CHARACTERISTICS: u32 = 12;

/// From Enter to the next question of a large lot.
#[test]
#[ignore = "a measurement: benches/bench-page/run.sh"]
fn enter_in_a_lot() {
    println!(
        "{:<40} {:>6} {:>8} {:>8} {:>8}",
        "milliseconds", "n", "median", "p95", "p99"
    );
    print("empty page, by hand", &empty_page(Typing::Hand));
    let (samples, memory) = next_questions();
    print(
        &format!("Enter to the next question, {PIECES} × {CHARACTERISTICS}"),
        &samples,
    );
    println!("resident memory of the program: {memory:.1} MB");
}

/// Answers as our script does, which takes half as long as by a form and a redirection.
fn answer(window: &mut Window, line: &str) {
    let headers = [
        ("Content-Type", "application/x-www-form-urlencoded"),
        ("X-Fragment", "1"),
    ];
    let body = form(&window.fields(line));
    let answer = window.bench.request("POST", "/answer", &headers, &body);
    assert_eq!(answer.status, 200, "{line:?}: {}", answer.body);
    window.page = answer.body;
}

/// What somebody answers who measures a plain size of about 9.95 mm on flat contacts.
fn answer_of(question: &str) -> String {
    if question.contains("ero check, reading") {
        let certified: f64 = between(question, "(", "\u{202f}mm").parse().unwrap();
        format!("{:.3}", certified + 0.001)
    } else if question.starts_with("Temperature") {
        "20.4 20.4 brass".to_owned()
    } else if question.contains(", reading ") {
        // Two readings alike in one breath would be asked about: a cable may have sent one twice.
        let number = |from, to| between(question, from, to).parse::<u32>().unwrap();
        let steps = number("Piece ", ",") % 7 + number(", reading ", " of");
        format!("{:.3}", 9.950 + f64::from(steps) / 1000.0)
    } else {
        String::new()
    }
}

fn next_questions() -> (Vec<f64>, f64) {
    let folder = Folder::new("large-lot");
    let mut bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    bench.cookie = browser.cookie();
    let head = "unit = \"mm\"\n[part]\nname = \"shank\"\ndrawing = \"TC-0500\"\nrevision = \"A\"\nplan = \"IP-0500-1\"\n\
        [pieces]\ntake = \"all\"\naccept = 10\n[decision]\nrule = \"simple\"\n";
    let characteristics: String = (1..=CHARACTERISTICS)
        .map(|number| {
            format!(
                "[[characteristic]]\nnumber = \"{number}\"\nplaces = [\"middle 0°\", \"middle 90°\"]\n\
                 [characteristic.measure]\nname = \"shank {number}\"\nlower = \"9.90\"\nupper = \"10.00\"\n"
            )
        })
        .collect();
    let plan = folder.path().join("plan.toml");
    std::fs::write(&plan, format!("{head}{characteristics}")).unwrap();
    on(
        &folder,
        &["plan", plan.to_str().unwrap(), "--person", "A. Quill"],
    );
    let size = PIECES.to_string();
    on(
        &folder,
        &[
            "lot",
            "L-500",
            "--begin",
            "IP-0500-1",
            "--size",
            &size,
            "--person",
            "A. Quill",
        ],
    );

    let mut window = bench.window();
    window.enter("L-500");
    let mut done = 1;
    while done < CHARACTERISTICS {
        let question = window.question().to_owned();
        if question.contains(" is done:") {
            done += 1;
            answer(&mut window, "");
        } else {
            answer(&mut window, &answer_of(&question));
        }
    }
    // The last characteristic, as far as its middle.
    while !window
        .question()
        .starts_with(&format!("Piece {}, ", PIECES / 2))
    {
        let line = answer_of(window.question());
        answer(&mut window, &line);
    }

    browser.open(&format!("http://{}/", bench.host()));
    browser.run(&format!("const wanted = 'h1'; {STOPWATCH}"));
    let mut count = 0;
    while count < VERDICTS * JOBS {
        let question = browser.question();
        let timed = question.contains(", reading ") && question.starts_with("Piece ");
        let answer = answer_of(&question);
        if timed {
            Typing::Hand.enter(&browser, &answer);
            count += 1;
            browser.wait("the next question paints", || {
                taken(&browser).len() >= count
            });
        } else {
            // The zero check between two pieces is not what is timed.
            browser.enter(&answer);
            browser.run(&format!("window.samples.length = {count}"));
        }
    }
    (sorted(taken(&browser)), bench.megabytes("VmRSS"))
}

fn print(name: &str, samples: &[f64]) {
    let at = |part: f64| samples[((samples.len() - 1) as f64 * part).round() as usize];
    println!(
        "{name:<40} {:>6} {:>8.1} {:>8.1} {:>8.1}",
        samples.len(),
        at(0.5),
        at(0.95),
        at(0.99)
    );
}

fn sorted(mut samples: Vec<f64>) -> Vec<f64> {
    samples.sort_by(f64::total_cmp);
    samples
}

fn taken(browser: &Browser) -> Vec<f64> {
    serde_json::from_value(browser.run("return window.samples")).unwrap()
}

/// A field and nothing else; Enter puts a word on the page.
fn empty_page(typing: Typing) -> Vec<f64> {
    let browser = Browser::start();
    browser.open("data:text/html,<!doctype html><input autofocus>");
    browser.run(&format!("const wanted = 'p'; {STOPWATCH}"));
    browser.run(
        "document.addEventListener('keydown', (event) => {
            if (event.key !== 'Enter') return;
            document.querySelector('p')?.remove();
            document.body.append(Object.assign(document.createElement('p'), { textContent: 'ACCEPT' }));
        });
        document.querySelector('input').focus()",
    );
    for count in 1..=VERDICTS * JOBS {
        typing.enter(&browser, &format!("8.92{}", count % 10));
        browser.wait("the empty page paints", || taken(&browser).len() >= count);
    }
    sorted(taken(&browser))
}

fn verdicts(typing: Typing) -> (Vec<f64>, f64) {
    let folder = Folder::new("speed");
    let bench = Bench::start_closed(&folder, 0, &[]);
    let browser = Browser::start();
    browser.enter_bench(&bench);
    browser.run(&format!(
        "const wanted = '.verdict-page .word'; {STOPWATCH}"
    ));
    let mut count = 0;
    for job in 0..JOBS {
        if job == 0 {
            browser.enter_all(&SET_UP);
            browser.enter_all(&ZERO);
        } else {
            // The next part of the lot.
            browser.enter_all(&["10.001", "10.002", "10.001"]);
            browser.sign("A. Quill");
            browser.enter("");
            // The closing check and the record are pages with a verdict too, and not what is timed here.
            browser.run(&format!("window.samples.length = {count}"));
        }
        let (last, others) = READINGS.split_last().unwrap();
        browser.enter_all(others);
        typing.enter(&browser, last);
        count += 1;
        for index in 1..VERDICTS {
            browser.wait("the verdict paints", || taken(&browser).len() >= count);
            browser.keys("r");
            browser.wait("the reading is asked for again", || {
                browser.question().ends_with("again.")
            });
            typing.enter(&browser, &format!("8.92{}", index % 10));
            count += 1;
        }
        browser.wait("the verdict paints", || taken(&browser).len() >= count);
    }
    (sorted(taken(&browser)), bench.megabytes("VmRSS"))
}
