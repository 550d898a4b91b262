//! A recorder in a process of its own: this same test program, started again for one ignored test.

use std::env;
use std::io::{BufRead as _, BufReader, Lines};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;

use ledger::OpenOptions;

use crate::books::{draft, event};

const PATH: &str = "LEDGER_TEST_PATH";
const NAME: &str = "LEDGER_TEST_NAME";
const COUNT: &str = "LEDGER_TEST_COUNT";
const JOBS: &str = "LEDGER_TEST_JOBS";

/// Records without end (or so many) and says `ack SEQUENCE HASH` after each acknowledged append; where it is asked for jobs
/// as well, it begins one each time, and says `job JOB`.
#[test]
#[ignore = "runs in a child process of other tests"]
fn recorder() {
    let (Ok(path), Ok(name), Ok(count)) = (env::var(PATH), env::var(NAME), env::var(COUNT)) else {
        return;
    };
    // Many recorders on two cores wait for each other for longer than people at benches do.
    let options = OpenOptions::new()
        .create(true)
        .patience(Duration::from_secs(60));
    let ledger = options.open(path).unwrap();
    println!("\nready");
    for number in 0..count.parse::<u32>().unwrap() {
        let entry = ledger
            .append(&draft(&format!("{name}-{number}"), &name))
            .unwrap();
        println!("ack {} {}", entry.sequence, entry.hash);
        if env::var_os(JOBS).is_some() {
            let text = format!("{name}-{number}");
            let job = ledger.begin_job(jiff::Timestamp::UNIX_EPOCH, &[event(&text)]);
            println!("job {}", job.unwrap());
        }
    }
}

/// A running recorder. Killed when dropped.
pub struct Recorder {
    process: Child,
    lines: Lines<BufReader<ChildStdout>>,
}

/// An append that was acknowledged.
pub struct Acknowledged {
    pub sequence: u64,
    pub hash: String,
}

/// What a recorder said.
#[derive(Default)]
pub struct Said {
    pub entries: Vec<Acknowledged>,
    pub jobs: Vec<u64>,
}

impl Recorder {
    pub fn start(path: &Path, name: &str, count: u32) -> Self {
        Self::start_with(path, name, count, &[])
    }

    /// One that begins jobs as well, without end.
    #[cfg(feature = "shop")]
    pub fn start_with_jobs(path: &Path, name: &str) -> Self {
        Self::start_with(path, name, u32::MAX, &[(JOBS, "1")])
    }

    fn start_with(path: &Path, name: &str, count: u32, more: &[(&str, &str)]) -> Self {
        let mut process = Command::new(env::current_exe().unwrap())
            .envs(more.iter().copied())
            .args(["child::recorder", "--exact", "--ignored", "--nocapture"])
            .env(PATH, path)
            .env(NAME, name)
            .env(COUNT, count.to_string())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(process.stdout.take().unwrap()).lines();
        Self { process, lines }
    }

    /// Waits until the ledger is open.
    pub fn wait_until_ready(&mut self) {
        let ready = self.lines.by_ref().any(|line| line.unwrap() == "ready");
        assert!(ready, "the recorder did not open the ledger");
    }

    /// Ends it at once (SIGKILL), wherever it is.
    pub fn kill(&mut self) {
        self.process.kill().unwrap();
    }

    /// Reads what it acknowledged to the end of its output; says whether it ended well.
    pub fn finish(self) -> (Vec<Acknowledged>, bool) {
        let (said, well) = self.finish_with_jobs();
        (said.entries, well)
    }

    /// The same, with the jobs that it began.
    pub fn finish_with_jobs(mut self) -> (Said, bool) {
        let mut said = Said::default();
        for line in self.lines.by_ref() {
            let line = line.unwrap();
            match line.split(' ').collect::<Vec<_>>().as_slice() {
                ["ack", sequence, hash] => said.entries.push(Acknowledged {
                    sequence: sequence.parse().unwrap(),
                    hash: (*hash).to_owned(),
                }),
                // A line cut off by the end is no number.
                ["job", job] => said.jobs.extend(job.parse::<u64>()),
                _ => {}
            }
        }
        (said, self.process.wait().unwrap().success())
    }
}

impl Drop for Recorder {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
