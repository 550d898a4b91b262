//! The program killed at any moment: nothing acknowledged is lost, nothing is there twice.

use std::collections::BTreeSet;
use std::process::Stdio;
use std::thread;
use std::time::{Duration, Instant};

use ledger::Ledger;

use super::{acknowledged, all, assert_sound, screw};
use crate::bench::Bench as Desk;
use crate::long::{Random, rounds, tell};
use crate::said::heard;
use crate::web::support::{
    Answer, Bench, Folder, NEXT, READINGS, SET_UP, TO_THE_RECORD, ZERO, between, form, try_request,
};

/// Kills of `inspect --record` in a long run.
const RECORDERS: u32 = 4_000;

#[test]
fn killed_while_recording() {
    let begun = Instant::now();
    let desk = Desk::new();
    let path = desk.path("l.db");
    let mut random = Random(17);
    let mut kept = Vec::new();
    // The first is not killed, and tells how long one takes.
    let mut longest = Duration::from_secs(60);
    for sample in 0..=rounds(RECORDERS) {
        let job = screw(&desk, sample);
        let started = Instant::now();
        let mut child = desk
            .command(&["--ledger", "l.db", "inspect", "--record"])
            .arg(job)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        if sample == 0 {
            child.wait().unwrap();
            longest = started.elapsed();
        } else {
            let moment = random.below(longest.as_micros() as usize);
            thread::sleep(Duration::from_micros(moment as u64));
            child.kill().unwrap();
        }
        let answer = child.wait_with_output().unwrap().stdout;
        let answer = heard(String::from_utf8_lossy(&answer).into_owned());
        if let Some(id) = acknowledged(&answer) {
            kept.push((id.to_owned(), sample.to_string()));
        }
    }
    assert_sound(&desk, &path);
    let ledger = Ledger::open_read_only(&path).unwrap();
    for (id, sample) in &kept {
        let entry = ledger.get(&id.parse().unwrap()).unwrap();
        assert_eq!(entry.content.subject("sample"), Some(sample.as_str()));
    }
    let entries = all(&ledger);
    let samples = entries.iter().map(|entry| entry.content.subject("sample"));
    assert_eq!(samples.collect::<BTreeSet<_>>().len(), entries.len());
    let unsaid = entries.len() - kept.len();
    let found = format!(
        "{} acknowledged, 0 lost, 0 twice; {unsaid} recorded before they could be acknowledged",
        kept.len()
    );
    tell("`inspect --record` killed", rounds(RECORDERS), found, begun);
}

/// Kills of the bench in a long run.
const BENCHES: u32 = 400;

#[test]
fn killed_at_the_bench() {
    let begun = Instant::now();
    let folder = Folder::new("crash");
    let path = folder.path().join("ledger.db");
    let mut random = Random(17);
    let (mut taken, mut records) = (0, 0);
    for _ in 0..rounds(BENCHES) {
        let mut bench = Bench::start(&folder, 0, &[]);
        let window = Tireless::at(&bench);
        let typing = thread::spawn(move || window.work());
        thread::sleep(Duration::from_millis(random.below(500) as u64));
        bench.kill();
        let done = typing.join().unwrap();
        done.are_in(&Ledger::open_read_only(&path).unwrap());
        taken += done.taken;
        records += done.records.len();
    }
    assert_sound(&Desk::new(), &path);
    let ledger = Ledger::open_read_only(&path).unwrap();
    let entries = all(&ledger);
    let jobs = entries.iter().filter_map(|entry| entry.content.events);
    let jobs: Vec<u64> = jobs.map(|events| events.job).collect();
    assert_eq!(jobs.iter().collect::<BTreeSet<_>>().len(), jobs.len());
    let found = format!("{taken} answers and {records} records acknowledged, 0 lost, 0 twice");
    tell("bench killed", rounds(BENCHES), found, begun);
}

/// Someone who measures screw after screw until the bench is gone.
struct Tireless {
    port: u16,
    host: String,
    cookie: String,
    page: String,
    done: Done,
}

/// What was acknowledged.
#[derive(Default)]
struct Done {
    /// How many answers.
    taken: usize,
    /// The job that the last page showed, and how many events it had.
    last: (u64, u64),
    records: Vec<String>,
}

impl Tireless {
    fn at(bench: &Bench) -> Self {
        Self {
            port: bench.port,
            host: bench.host(),
            cookie: bench.cookie.clone(),
            page: bench.get("/").body,
            done: Done::default(),
        }
    }

    fn work(mut self) -> Done {
        // What the one before left is dropped; where there is nothing to drop this is refused.
        let _ = self.enter("/new").and_then(|_| self.enter("/drop it"));
        let first = [&SET_UP[..], &ZERO, &READINGS, &TO_THE_RECORD].concat();
        let next = [&NEXT[..], &READINGS, &TO_THE_RECORD].concat();
        let mut lines = first.iter().chain(next.iter().cycle());
        while let Some(answer) = lines.next().and_then(|line| self.enter(line)) {
            assert_eq!(answer.status, 200, "{}", answer.body);
            let record = between(&answer.body, "/record/", "\"");
            if !record.is_empty() && self.done.records.last().is_none_or(|last| last != record) {
                self.done.records.push(record.to_owned());
            }
        }
        self.done
    }

    /// Answers as the script of the page does; nothing where the bench is gone.
    fn enter(&mut self, line: &str) -> Option<Answer> {
        let hidden =
            |name: &str| between(&self.page, &format!("name=\"{name}\" value=\""), "\"").to_owned();
        let names = ["token", "job", "after"];
        let mut fields = names.map(|name| (name, hidden(name))).to_vec();
        fields.push(("line", line.to_owned()));
        let headers = [
            ("Host", self.host.as_str()),
            ("Cookie", &self.cookie),
            ("Content-Type", "application/x-www-form-urlencoded"),
            ("X-Fragment", "1"),
        ];
        let answer = try_request(self.port, "POST", "/answer", &headers, &form(&fields)).ok()?;
        self.page.clone_from(&answer.body);
        if answer.status == 200 {
            self.done.taken += 1;
        }
        let number = |name: &str| {
            let text = between(&answer.body, &format!("name=\"{name}\" value=\""), "\"");
            text.parse().unwrap()
        };
        self.done.last = (number("job"), number("after"));
        Some(answer)
    }
}

impl Done {
    fn are_in(&self, ledger: &Ledger) {
        let (job, events) = self.last;
        if job == 0 {
            return;
        }
        let found = ledger.job_events(job).unwrap().len() as u64;
        // One answer was on its way: at most a name, a record and the end follow from it.
        assert!((events..=events + 3).contains(&found), "{events}, {found}");
        assert!(ledger.latest_job().unwrap().unwrap() <= job + 1);
        for record in &self.records {
            ledger.get(&record.parse().unwrap()).unwrap();
        }
    }
}
