//! Ledgers written anew by someone who knows how they are hashed: what the program can know it finds by itself, the rest
//! against a witness.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Instant;

use jiff::SignedDuration;
use ledger::{
    Amendment, BenchEvent, Draft, Hash, JobEvents, Ledger, NewBenchEvent, Subject, encoding,
};

use super::all;
use crate::bench::{Bench as Desk, Run};
use crate::forged::tamper;
use crate::long::{Random, rounds, tell};
use crate::web::support::{Bench, Folder, READINGS};

/// Forged ledgers of a long run.
const FORGED: u32 = 2_000;

/// What is forged, whether the program finds it by itself, and how it is done; some of it by SQL in the end.
type Forgery = (&'static str, bool, fn(&mut Books, &mut Random) -> String);

const FORGERIES: [Forgery; 24] = [
    (
        "a REJECT accepted and made uncomputable",
        true,
        |books, _| {
            let draft = books.rejected();
            swap(
                &mut draft.inputs,
                "[\"0mm\",\"25mm\"]",
                "[\"0mm\",\"0.25mm\"]",
            );
            accept(draft);
            String::new()
        },
    ),
    ("a REJECT accepted", true, |books, _| {
        accept(books.rejected());
        String::new()
    }),
    ("a REJECT filed as accepted", true, |books, _| {
        file_as_accepted(books.rejected());
        String::new()
    }),
    ("a subject", true, |books, random| {
        let draft = books.inspection(random);
        let all: Vec<Subject> = draft.subjects.iter().cloned().collect();
        let mut other = random.one_of(&all).clone();
        draft.subjects.remove(&other);
        other.identity.push('x');
        draft.subjects.insert(other);
        String::new()
    }),
    ("a kind", true, |books, random| {
        let kinds = ["note", "equipment", "inspektion"];
        (*random.one_of(&kinds)).clone_into(&mut books.inspection(random).kind);
        String::new()
    }),
    ("a reading on the record", true, |books, random| {
        let inputs = &mut books.inspection(random).inputs;
        *inputs = another(inputs, "8.92", random);
        String::new()
    }),
    ("a number in the results", true, |books, random| {
        let results = &mut books.inspection(random).results;
        *results = another(results, "0.", random);
        String::new()
    }),
    ("editions", true, |books, random| {
        let editions = &mut books.inspection(random).editions;
        swap(editions, "\"sources\":[", "\"sources\":[null,");
        String::new()
    }),
    ("a description of equipment", true, |books, random| {
        let draft = books.equipment(random);
        swap(&mut draft.inputs, "\"id\":\"", "\"id\":\"x");
        String::new()
    }),
    ("a finished reading, by UPDATE", true, |books, random| {
        updated(books, random, 0)
    }),
    ("a reading under way, by UPDATE", true, |books, random| {
        updated(books, random, 1)
    }),
    (
        "a finished reading, its job hashed anew",
        true,
        |books, random| {
            let mut job = books.jobs[0].clone();
            change_reading(&mut job, random);
            let mut previous = encoding::job_hash(1);
            let mut sql = String::new();
            for event in &mut job {
                event.hash = encoding::event_hash(&previous, event);
                previous = event.hash;
                sql += &update(event, event.hash);
            }
            sql
        },
    ),
    ("an event removed", true, |books, random| {
        let job = random.below(2);
        let number = random.below(books.jobs[job].len()) + 1;
        format!(
            "DELETE FROM bench_event WHERE job = {} AND number = {number}",
            job + 1
        )
    }),
    ("a person", false, |books, random| {
        let draft = books.any(random);
        draft.actor.name += " Jr";
        String::new()
    }),
    ("a time", false, |books, random| {
        let draft = books.any(random);
        draft.recorded_at -= SignedDuration::from_secs(1 + random.below(100_000) as i64);
        String::new()
    }),
    ("a program", false, |books, random| {
        books.any(random).program += "1";
        String::new()
    }),
    ("a station", false, |books, random| {
        books.any(random).station += " 2";
        String::new()
    }),
    ("a time zone", false, |books, random| {
        let draft = books.any(random);
        (if draft.zone == "Asia/Tokyo" {
            "Asia/Seoul"
        } else {
            "Asia/Tokyo"
        })
        .clone_into(&mut draft.zone);
        String::new()
    }),
    ("the words of the day", false, |books, random| {
        swap(
            &mut books.inspection(random).words,
            "\"reason\":\"",
            "\"reason\":\"not ",
        );
        String::new()
    }),
    ("the reason of an amendment", false, |books, _| {
        let mut amending = books
            .entries
            .iter_mut()
            .filter_map(|entry| entry.amends.as_mut());
        amending.next().unwrap().reason += "!";
        String::new()
    }),
    ("an entry left out", false, |books, random| {
        let at = random.below(books.equipment);
        books.entries.remove(at);
        books.names_before.remove(at);
        String::new()
    }),
    (
        "two entries in the place of each other",
        false,
        |books, random| {
            let at = random.below(books.equipment - 1);
            books.entries.swap(at, at + 1);
            books.names_before.swap(at, at + 1);
            String::new()
        },
    ),
    ("the end cut off", false, |books, random| {
        let left = books.entries.len() - 1 - random.below(3);
        books.entries.truncate(left);
        String::new()
    }),
    (
        "a reading in its job and on the record",
        false,
        |books, random| {
            let number = books.jobs[0].len() - 2;
            change_reading(&mut books.jobs[0], random);
            let hash = books.jobs[0]
                .iter()
                .take(number + 1)
                .fold(encoding::job_hash(1), |previous, event| {
                    encoding::event_hash(&previous, event)
                });
            let mut made = books
                .entries
                .iter_mut()
                .filter_map(|entry| entry.events.as_mut());
            let JobEvents { hash: noted, .. } = made.next().unwrap();
            *noted = hash;
            String::new()
        },
    ),
];

/// What a ledger holds.
#[derive(Clone)]
struct Books {
    /// A finished one and one under way.
    jobs: Vec<Vec<BenchEvent>>,
    /// Pieces of equipment, then inspections, an amendment and a withdrawal.
    entries: Vec<Draft>,
    /// How many of them are equipment.
    equipment: usize,
    /// The numbers that the entries had.
    names_before: Vec<u64>,
}

impl Books {
    fn any(&mut self, random: &mut Random) -> &mut Draft {
        let at = random.below(self.entries.len());
        &mut self.entries[at]
    }

    fn equipment(&mut self, random: &mut Random) -> &mut Draft {
        &mut self.entries[random.below(self.equipment)]
    }

    fn inspection(&mut self, random: &mut Random) -> &mut Draft {
        let all = self
            .entries
            .iter_mut()
            .filter(|entry| entry.kind == "inspection");
        let mut all: Vec<&mut Draft> = all.collect();
        all.swap_remove(random.below(all.len()))
    }

    fn rejected(&mut self) -> &mut Draft {
        let rejects = Subject::new("verdict", "reject");
        let mut all = self.entries.iter_mut();
        all.find(|entry| entry.subjects.contains(&rejects)).unwrap()
    }

    /// Writes a ledger of them, with hashes and names that fit.
    fn write(&self, path: &Path) {
        let ledger = crate::bench::open(path);
        for (job, events) in (1..).zip(&self.jobs) {
            for (after, event) in (0..).zip(events) {
                let new = [NewBenchEvent {
                    event: event.event.clone(),
                    ends: event.ends,
                    actor: event.actor.clone(),
                    station: event.station.clone(),
                }];
                if after == 0 {
                    assert_eq!(ledger.begin_job(event.at, &new).unwrap(), job);
                } else {
                    ledger.add_to_job(job, after, event.at, &new).unwrap();
                }
            }
        }
        let mut names = Vec::new();
        for draft in &self.entries {
            let amends = draft.amends.clone().map(|amends| {
                let before = amends.entry.sequence();
                let at = self.names_before.iter().position(|name| *name == before);
                Amendment {
                    entry: names[at.unwrap()],
                    ..amends
                }
            });
            let draft = Draft {
                amends,
                ..draft.clone()
            };
            names.push(ledger.append(&draft).unwrap().id());
        }
    }
}

fn swap(text: &mut String, from: &str, to: &str) {
    assert!(text.contains(from), "{from} is not in {text}");
    *text = text.replacen(from, to, 1);
}

/// The text with another digit after one of the places where `before` stands.
fn another(text: &str, before: &str, random: &mut Random) -> String {
    let places: Vec<usize> = text
        .match_indices(before)
        .map(|(at, _)| at + before.len())
        .collect();
    let at = *random.one_of(&places);
    let digit = text[at..].chars().next().unwrap().to_digit(10).unwrap();
    let other = (digit as usize + 1 + random.below(9)) % 10;
    format!("{}{other}{}", &text[..at], &text[at + 1..])
}

fn accept(draft: &mut Draft) {
    draft.results = draft.results.replace("\"reject\"", "\"accept\"");
    file_as_accepted(draft);
}

fn file_as_accepted(draft: &mut Draft) {
    assert!(draft.subjects.remove(&Subject::new("verdict", "reject")));
    draft.subjects.insert(Subject::new("verdict", "accept"));
}

/// Changes one reading of a job, and gives its place.
fn change_reading(job: &mut [BenchEvent], random: &mut Random) -> usize {
    let readings: Vec<usize> = (0..job.len())
        .filter(|at| job[*at].event.contains("\"8.92"))
        .collect();
    let at = *random.one_of(&readings);
    job[at].event = another(&job[at].event, "\"8.92", random);
    at
}

fn update(event: &BenchEvent, hash: Hash) -> String {
    let BenchEvent {
        job, number, event, ..
    } = event;
    format!(
        "UPDATE bench_event SET event = '{event}', hash = '{hash}' WHERE job = {job} AND number = {number};"
    )
}

/// A reading changed with its hash left as it was.
fn updated(books: &Books, random: &mut Random, job: usize) -> String {
    let mut job = books.jobs[job].clone();
    let at = change_reading(&mut job, random);
    update(&job[at], job[at].hash)
}

fn on(desk: &Desk, ledger: &Path, arguments: &[&str]) -> Run {
    desk.run(&[&["--ledger", ledger.to_str().unwrap()], arguments].concat())
}

/// A ledger with a bit of everything, and the file of its witness.
fn honest(folder: &Folder, desk: &Desk) -> (Books, PathBuf, String) {
    let path = folder.path().join("ledger.db");
    let bench = Bench::start(folder, 0, &[]);
    let mut window = bench.window();
    window.measure_a_screw();
    window.enter_all(&[""]);
    window.enter_all(&READINGS);
    drop(bench);
    let equipment = all(&Ledger::open_read_only(&path).unwrap()).len() - 1;
    for thread in ["M10x1.5-6g", "M10x1.5-4h", "M10x1.5-6g"] {
        let job = desk.demo("1-rating-screw.toml", &[("M10x1.5-6g", thread)]);
        let run = on(
            desk,
            &path,
            &[
                "inspect",
                job.to_str().unwrap(),
                "--record",
                "--again",
                "--person",
                "B",
            ],
        );
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let sequence = |back: usize| (equipment + 5 - back).to_string();
    let amend = [
        "ledger",
        "amend",
        &sequence(3),
        "--reason",
        "wrong part",
        "--person",
        "B",
    ];
    assert_eq!(on(desk, &path, &amend).status, 0);
    let witness = on(desk, &path, &["ledger", "witness"]).out;
    let ledger = Ledger::open_read_only(&path).unwrap();
    let entries = all(&ledger);
    let books = Books {
        jobs: vec![ledger.job_events(1).unwrap(), ledger.job_events(2).unwrap()],
        names_before: entries.iter().map(|entry| entry.sequence).collect(),
        entries: entries.into_iter().map(|entry| entry.content).collect(),
        equipment,
    };
    (books, path, witness)
}

#[test]
fn forged_ledgers_are_found() {
    let begun = Instant::now();
    let folder = Folder::new("forgery");
    let desk = Desk::new();
    let (books, path, witness) = honest(&folder, &desk);
    let kept = desk.file("witness.txt", &witness);
    // What is written anew unchanged is the same ledger: only what is forged makes the difference.
    let forged = folder.path().join("forged.db");
    books.write(&forged);
    for ledger in [&path, &forged] {
        let run = on(&desk, ledger, &["ledger", "verify", "--expect", &kept]);
        assert_eq!(run.status, 0, "{}", run.out);
    }
    let mut random = Random(17);
    let (mut alone, mut by_witness) = (0, 0);
    let count = rounds(FORGED).max(FORGERIES.len() as u32);
    for (_, (what, is_known, forge)) in (0..count).zip(FORGERIES.iter().cycle()) {
        fs::remove_file(&forged).unwrap();
        let mut books = books.clone();
        let sql = forge(&mut books, &mut random);
        books.write(&forged);
        tamper(&forged, &sql);
        if on(&desk, &forged, &["ledger", "verify"]).status == 1 {
            alone += 1;
        } else {
            assert!(!is_known, "{what} was not found");
            let run = on(&desk, &forged, &["ledger", "verify", "--expect", &kept]);
            assert_eq!(run.status, 1, "{what} was not found by the witness");
            by_witness += 1;
        }
    }
    let found =
        format!("{alone} found by verification alone, {by_witness} with a witness, 0 missed");
    tell("ledgers forged, in 24 ways", count, found, begun);
}
