//! A recorder in a process of its own: this same test program, started again for one ignored test.

use std::env;
use std::io::{BufRead as _, BufReader, Lines};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;

use ledger::OpenOptions;

use crate::books::draft;

const PATH: &str = "LEDGER_TEST_PATH";
const NAME: &str = "LEDGER_TEST_NAME";
const COUNT: &str = "LEDGER_TEST_COUNT";

/// Records without end (or so many) and says `ack SEQUENCE HASH` after each acknowledged append.
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

impl Recorder {
    pub fn start(path: &Path, name: &str, count: u32) -> Self {
        let mut process = Command::new(env::current_exe().unwrap())
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
    pub fn finish(mut self) -> (Vec<Acknowledged>, bool) {
        let acknowledged = self
            .lines
            .by_ref()
            .filter_map(|line| {
                let line = line.unwrap();
                let (sequence, hash) = line.strip_prefix("ack ")?.split_once(' ')?;
                Some(Acknowledged {
                    sequence: sequence.parse().unwrap(),
                    hash: hash.to_owned(),
                })
            })
            .collect();
        (acknowledged, self.process.wait().unwrap().success())
    }
}

impl Drop for Recorder {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
