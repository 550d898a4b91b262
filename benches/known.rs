//! How fast a ledger of a million entries is listed and recalled from: `cargo bench --locked -p benches --features shop --bench known`.
//! Prints the tables of docs/ledger.md.
//!
//! `ENTRIES` says how many (a million if not said), `ENGINE` whether `sqlite` or `postgres` alone, `BENCH_FOLDER` where the
//! file goes: about 7 GB. `LEDGER` names one that was filled before with so many. Without the feature `shop` only a file is
//! filled.
//!
//! What is filled: entries of about 2 kB of documents, hashed and chained, with 13 things that each touches, their words for
//! searches, and facts with five pieces of equipment; ten years of them. 1000 parts, 10,000 lots, 20 people, 150 micrometers
//! and pairs; half of all results were set on one standard. One in 200 amends an earlier one, one in 1000 was measured a month
//! before it was recorded. The documents are no inspections: nothing here reads them.
//!
//! Each question is asked eleven times; the middle and the longest are printed. Fails where the middle is 100 ms or more. A recall
//! of half of all results, with what becomes of each, is timed as well.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::too_many_lines,
    clippy::disallowed_methods
)]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use std::{env, fs};

use jiff::{SignedDuration, Timestamp};
use ledger::{
    Actor, Amendment, Between, Draft, EntryId, Facts, Filter, Ledger, Number, OpenOptions, Order,
    Page, Subject, Text, Touching, Used,
};

use metrology::units::Length;
use workshop::recall::{History, Piece, Recall};

#[cfg(feature = "shop")]
#[path = "../scripts/cluster.rs"]
#[allow(dead_code, reason = "others take what this does not")]
mod cluster;

const ROWS: u32 = 50;
const AT_A_TIME: u64 = 5000;
const PERMITTED: Duration = Duration::from_millis(100);
/// Measured so many days before, one in a thousand.
const A_MONTH: i64 = 30 * 24;

/// How many entries there are to be.
fn asked() -> u64 {
    env::var("ENTRIES").map_or(1_000_000, |count| count.parse().unwrap())
}

fn main() {
    let entries = asked();
    let folder = env::var_os("BENCH_FOLDER").map_or_else(env::temp_dir, PathBuf::from);
    let folder = folder.join(format!("known-bench-{}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    if let Some(path) = env::var_os("LEDGER") {
        measure(
            "A ledger that was filled before",
            Path::new(&path),
            entries,
            || (),
        );
        return;
    }
    let mut longest = Duration::ZERO;
    let only = env::var("ENGINE").unwrap_or_default();
    #[cfg(feature = "shop")]
    if only != "sqlite" {
        let cluster = cluster::Cluster::start("");
        let name = cluster.empty_database();
        Ledger::prepare_server(
            cluster.address(cluster::OWNER, &name),
            &[cluster::RECORDER.to_owned()],
        )
        .unwrap();
        let path = cluster.address(cluster::RECORDER, &name);
        let title = format!(
            "PostgreSQL {}",
            cluster.sql("postgres", "SHOW server_version").trim()
        );
        longest = longest.max(measure(&title, &path, entries, || {
            cluster.sql(&name, "VACUUM ANALYZE");
        }));
    }
    if only != "postgres" {
        longest = longest.max(measure("SQLite", &folder.join("ledger.db"), entries, || ()));
    }
    fs::remove_dir_all(folder).unwrap();
    assert!(longest < PERMITTED, "a page took {longest:?}");
}

fn measure(title: &str, path: &Path, entries: u64, settle: impl Fn()) -> Duration {
    let begun = Instant::now();
    let options = OpenOptions::new().create(true).facts(facts);
    let ledger = options.patience(Duration::from_mins(1)).open(path).unwrap();
    // One that was filled before is asked as it is.
    if ledger.head().unwrap().is_none() {
        fill(&ledger, entries);
    }
    settle();
    let seconds = begun.elapsed().as_secs_f64();
    println!(
        "\n{title}: {entries} entries in {seconds:.0} s, {:.0} a second",
        entries as f64 / seconds
    );
    println!("\n| {title} | rows | ms | longest ms |\n|---|---|---|---|");
    let mut longest = Duration::ZERO;
    for (what, ask) in questions(entries) {
        let mut times = Vec::new();
        let mut rows = 0;
        for _ in 0..11 {
            let begun = Instant::now();
            rows = ask(&ledger);
            times.push(begun.elapsed());
        }
        times.sort();
        let ms = |time: Duration| time.as_secs_f64() * 1000.0;
        println!(
            "| {what} | {rows} | {:.1} | {:.1} |",
            ms(times[5]),
            ms(times[10])
        );
        longest = longest.max(times[5]);
    }
    // Standards are checked every year: what was measured since the last check is a tenth of ten years.
    for (since, when) in [
        (0, "in ten years"),
        (entries - entries / 10, "in the last year"),
    ] {
        for (what, history) in [("constant", History::Constant), ("linear", History::Linear)] {
            let begun = Instant::now();
            let recalls = recall(entries, since, history).of(&ledger).unwrap();
            println!(
                "| recall: the setting standard of half of all {when}, error {what} | {} | {:.0} | |",
                recalls.results.len(),
                begun.elapsed().as_secs_f64() * 1000.0
            );
        }
    }
    longest
}

/// The setting standard of half of all results is found 3 µm off after ten years; it was good when an entry was made.
fn recall(entries: u64, since: u64, history: History) -> Recall {
    let day = |number| recorded_at(number).to_string()[..10].parse().unwrap();
    Recall {
        piece: Piece::Standard,
        id: "standard-0".to_owned(),
        error: Length::from_micrometres(3),
        found: day(entries),
        since: Some(day(since)),
        history,
    }
}

/// When an entry was recorded.
fn recorded_at(number: u64) -> Timestamp {
    let begin: Timestamp = "2016-01-01T00:00:00Z".parse().unwrap();
    // Ten years of them, however many they are.
    let apart = 315_360_000 / asked();
    begin + SignedDuration::from_secs(i64::try_from(apart * number).unwrap())
}

fn measured_at(number: u64) -> Timestamp {
    let hours = if number % 1000 == 999 { A_MONTH } else { 0 };
    recorded_at(number) - SignedDuration::from_mins(10 + 60 * hours)
}

/// Numbers that look like chance, the same in every run.
fn scattered(number: u64, of: u64) -> u64 {
    (number.wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 32) % of
}

fn standard(number: u64) -> String {
    match number % 2 {
        0 => "standard-0".to_owned(),
        _ => format!("standard-{}", 1 + scattered(number, 149)),
    }
}

fn draft(number: u64, amends: Option<EntryId>) -> Draft {
    let micrometer = scattered(number, 150);
    let day = measured_at(number).to_string();
    let mut texts = String::new();
    for at in 0..44 {
        let _ = write!(texts, "{{\"at\":{at},\"of\":{number:07}}},");
    }
    Draft {
        kind: "inspection".into(),
        recorded_at: recorded_at(number),
        zone: "Europe/Paris".into(),
        actor: Actor::typed(format!("Person {}", scattered(number / 7, 20))),
        station: format!("bench {}", number % 10),
        inputs: format!("{{\"number\":{number},\"more\":[{}]}}", &texts[..900]),
        results: format!("{{\"more\":[{}]}}", &texts[..1000]),
        editions: "{}".into(),
        words: "{}".into(),
        program: "midflank 0.2.0".into(),
        amends: amends.map(|entry| Amendment {
            entry,
            reason: "wrong sample".into(),
        }),
        events: None,
        subjects: [
            ("part", format!("part-{}", scattered(number / 20, 1000))),
            ("drawing", format!("D-{}", scattered(number / 20, 1000))),
            ("lot", format!("lot-{}", number / 100)),
            ("sample", format!("{} of 100", number % 100)),
            (
                "characteristic",
                format!("M{} pitch-diameter", 3 + number / 20 % 60),
            ),
            (
                "verdict",
                ["accept", "accept", "reject"][(number % 3) as usize].to_owned(),
            ),
            ("measured", day[..10].to_owned()),
            ("instrument", format!("mic-{micrometer}")),
            ("contacts", format!("pair-{micrometer}")),
            ("standard", standard(number)),
            ("order", format!("order-{}", number / 500)),
        ]
        .into_iter()
        .map(|(role, identity)| Subject::new(role, identity))
        .chain(["cone", "v"].map(|which| Subject::new("contact", format!("{which}-{micrometer}"))))
        .collect(),
    }
}

/// The facts of a filled entry.
fn facts(draft: &Draft) -> Facts {
    let of = |role: &str| draft.subject(role).map(str::to_owned);
    let number: String = draft
        .inputs
        .chars()
        .filter(char::is_ascii_digit)
        .take(7)
        .collect();
    let mut facts = Facts::default();
    facts.at = Some(draft.recorded_at - SignedDuration::from_mins(10));
    if of("measured").is_some_and(|day| !facts.at.unwrap().to_string().starts_with(&day)) {
        facts.at = Some(draft.recorded_at - SignedDuration::from_mins(10 + 60 * A_MONTH));
    }
    let off = scattered(number.parse().unwrap_or(0), 1000) as f64 / 1e5;
    for (of, value) in [
        (Number::Size, 8.9 + off),
        (Number::StandardUncertainty, 0.0011),
        (Number::ExpandedUncertainty, 0.0023),
        (Number::CoverageFactor, 2.09),
        (Number::DegreesOfFreedom, 21.0),
        (Number::Lower, 8.862),
        (Number::Upper, 8.994),
        (Number::AcceptLower, 8.864),
        (Number::AcceptUpper, 8.992),
        (Number::RejectLower, 8.86),
        (Number::RejectUpper, 8.996),
        (Number::Margin, 0.03),
        (Number::Method, 2.0),
        (Number::Decimals, 3.0),
        (Number::OtherSize, 8.901 + off),
        (Number::OtherStandardUncertainty, 0.0012),
        (Number::OtherCoverageFactor, 2.1),
        (Number::OnPlace, 0.0),
        (Number::OwnVariance, 1e-7),
    ] {
        facts.set(of, value);
    }
    for (text, role) in [
        (Text::MeasuredOn, "measured"),
        (Text::Part, "part"),
        (Text::Drawing, "drawing"),
        (Text::Lot, "lot"),
        (Text::Sample, "sample"),
        (Text::Characteristic, "characteristic"),
        (Text::Verdict, "verdict"),
        (Text::SizeVerdict, "verdict"),
    ] {
        facts.tell(text, of(role));
    }
    facts.tell(Text::Unit, "mm".to_owned());
    facts.tell(Text::Rule, "iso14253-1".to_owned());
    facts.tell(Text::Zero, "0.0012mm".to_owned());
    facts.tell(
        Text::Told,
        format!(
            "{{\"code\":\"characteristic.thread\",\"values\":{:?}}}",
            of("characteristic")
        ),
    );
    facts.tell(Text::Given, format!("{{\"thread\":{{\"designation\":{:?},\"diameter\":\"pitch-diameter\",\"terms\":null}}}}", of("characteristic")));
    facts.tell(Text::Places, "[8.9261,8.9283,8.9277]".to_owned());
    for subject in &draft.subjects {
        let part_of = (subject.role == "contact").then(|| "contacts".to_owned());
        if ["instrument", "contacts", "contact", "standard"].contains(&subject.role.as_str()) {
            facts.uses(Used {
                role: subject.role.clone(),
                identity: subject.identity.clone(),
                part_of,
                sensitivity: Some(1.0),
            });
        }
    }
    facts
}

fn fill(ledger: &Ledger, entries: u64) {
    let mut head = None;
    let mut amended: Option<EntryId> = None;
    let mut number = 0;
    while number < entries {
        let end = (number + AT_A_TIME).min(entries);
        let drafts: Vec<Draft> = (number..end)
            .map(|number| {
                draft(
                    number,
                    if number % 200 == 7 {
                        amended.take()
                    } else {
                        None
                    },
                )
            })
            .collect();
        let added = ledger.append_all(&drafts, head).unwrap();
        head = added.last().map(ledger::Entry::mark);
        amended = added.first().map(ledger::Entry::id);
        number = end;
    }
}

type Question = Box<dyn Fn(&Ledger) -> usize>;

/// What is asked: pages of history as the bench shows them, and what a piece of equipment touched.
fn questions(entries: u64) -> Vec<(String, Question)> {
    let middle = recorded_at(entries / 2);
    let late = recorded_at(entries - entries / 100);
    let end = recorded_at(entries);
    let inspections = || Filter {
        kind: Some("inspection".into()),
        ..Filter::default()
    };
    let touching = |subjects: &[(&str, &str)]| Filter {
        subjects: subjects
            .iter()
            .map(|(role, identity)| Subject::new(*role, *identity))
            .collect(),
        ..inspections()
    };
    let days = |since: Option<Timestamp>, until: Option<Timestamp>| {
        let day = |at: Option<Timestamp>| at.map(|at| at.to_string()[..10].to_owned());
        Filter {
            since,
            until,
            or_between: Some(Between {
                role: "measured".into(),
                first: day(since),
                last: day(until),
            }),
            ..inspections()
        }
    };
    let mut questions: Vec<(String, Question)> = Vec::new();
    let mut history = |what: &str, filter: Filter, beyond: Option<u64>| {
        let page = Page {
            beyond,
            ..Page::first(Order::NewestFirst, ROWS)
        };
        questions.push((
            format!("history: {what}"),
            Box::new(move |ledger| ledger.known(&filter, &page).unwrap().entries.len()),
        ));
    };
    let lot = format!("lot-{}", entries / 200);
    history("first page", inspections(), None);
    history("a page in the middle", inspections(), Some(entries / 2));
    history("last page", inspections(), Some(u64::from(ROWS)));
    history("of a part", touching(&[("part", "part-77")]), None);
    history(
        "of a part, last page",
        touching(&[("part", "part-77")]),
        Some(entries / 20),
    );
    history("of a lot", touching(&[("lot", &lot)]), None);
    history(
        "by a micrometer",
        touching(&[("instrument", "mic-7")]),
        None,
    );
    history(
        "on the setting standard of half of all",
        touching(&[("standard", "standard-0")]),
        Some(entries / 2),
    );
    history(
        "on that standard by an unknown micrometer",
        touching(&[("standard", "standard-0"), ("instrument", "mic-none")]),
        None,
    );
    history(
        "on that standard, of a part and by a micrometer",
        touching(&[
            ("standard", "standard-0"),
            ("part", "part-77"),
            ("instrument", "mic-7"),
        ]),
        None,
    );
    history(
        "by a person, in the middle",
        Filter {
            person: Some("Person 7".into()),
            ..inspections()
        },
        Some(entries / 2),
    );
    history(
        "by an unknown person",
        Filter {
            person: Some("Nobody".into()),
            ..inspections()
        },
        None,
    );
    history(
        "with a rare word",
        Filter {
            text: Some(lot.clone()),
            ..inspections()
        },
        None,
    );
    history(
        "with a word of half of all",
        Filter {
            text: Some("standard-0".into()),
            ..inspections()
        },
        None,
    );
    history(
        "with an unknown word",
        Filter {
            text: Some("nothing-of-it".into()),
            ..inspections()
        },
        None,
    );
    history("since the last hundredth", days(Some(late), None), None);
    history(
        "since after the end",
        days(Some(end + SignedDuration::from_hours(48)), None),
        None,
    );
    history(
        "of one day in the middle",
        days(Some(middle), Some(middle + SignedDuration::from_hours(24))),
        None,
    );
    history("until the middle", days(None, Some(middle)), None);
    history(
        "until the beginning",
        days(None, Some(recorded_at(0) + SignedDuration::from_hours(1))),
        None,
    );
    history(
        "of a part, of one day in the middle",
        Filter {
            subjects: vec![Subject::new("part", "part-77")],
            ..days(Some(middle), Some(middle + SignedDuration::from_hours(24)))
        },
        None,
    );
    let mut touched = |what: &str, role: &str, identity: &str, since: Timestamp, order: Order| {
        let asked = Touching {
            role: role.into(),
            identity: identity.into(),
            since: Some(since),
            standing: true,
            order,
            size: ROWS,
            ..Touching::default()
        };
        questions.push((
            format!("used: {what}"),
            Box::new(move |ledger| ledger.touched(&asked).unwrap().len()),
        ));
    };
    touched(
        "by a micrometer, since the middle",
        "instrument",
        "mic-7",
        middle,
        Order::OldestFirst,
    );
    touched(
        "the same, newest first",
        "instrument",
        "mic-7",
        middle,
        Order::NewestFirst,
    );
    touched(
        "by a cone, since the beginning",
        "contact",
        "cone-7",
        recorded_at(0),
        Order::OldestFirst,
    );
    touched(
        "on the setting standard of half of all, since the middle",
        "standard",
        "standard-0",
        middle,
        Order::OldestFirst,
    );
    touched(
        "the same, since the last hundredth, newest first",
        "standard",
        "standard-0",
        late,
        Order::NewestFirst,
    );
    touched(
        "the same, since after the end",
        "standard",
        "standard-0",
        end,
        Order::OldestFirst,
    );
    questions
}
