//! The program as its users meet it: a process, with a folder of its own.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};

use crate::said::{heard, tells};

/// A folder for one test, removed with it.
pub struct Bench {
    folder: PathBuf,
}

/// What a run gave.
pub struct Run {
    pub out: String,
    pub err: String,
    pub status: i32,
}

impl Bench {
    pub fn new() -> Self {
        static NEXT: AtomicU32 = AtomicU32::new(0);
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let folder =
            std::env::temp_dir().join(format!("midflank-test-{}-{number}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        Self { folder }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// What a tool says of a file; nothing where it is not installed.
    pub fn told_by(&self, tool: &str, arguments: &[&str]) -> Option<String> {
        let mut command = Command::new(tool);
        let output = command.args(arguments).current_dir(&self.folder).output();
        let output = output.ok()?;
        assert!(output.status.success(), "{tool}: {output:?}");
        Some(String::from_utf8_lossy(&output.stdout).into_owned())
    }

    pub fn write(&self, name: &str, content: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        fs::write(&path, content).unwrap();
        path
    }

    /// A demo job of the sources, with some text replaced.
    pub fn demo(&self, name: &str, changes: &[(&str, &str)]) -> PathBuf {
        let mut text = fs::read_to_string(root().join("demo").join(name)).unwrap();
        for (from, to) in changes {
            assert!(text.contains(from), "{name} does not contain {from}");
            text = text.replacen(from, to, 1);
        }
        self.write(name, text)
    }

    /// The first demo job as measured just now, with equipment that is in date; approvals count from the day they are given.
    pub fn demo_of_today(&self, changes: &[(&str, &str)]) -> String {
        let now = format!("measured_at = {}", jiff::Timestamp::now());
        let of_today = [
            ("measured_at = 2026-03-09T09:40:00Z", now.as_str()),
            ("due = 2026-09-30", "due = 2099-09-30"),
            ("due = 2026-11-15", "due = 2099-11-15"),
        ];
        let job = self.demo("1-rating-screw.toml", &[&of_today[..], changes].concat());
        job.to_str().unwrap().to_owned()
    }

    /// A file on the bench, as an argument.
    pub fn file(&self, name: &str, text: &str) -> String {
        self.write(name, text).to_str().unwrap().to_owned()
    }

    /// Measures by a job file of this text.
    pub fn inspect(&self, text: &str) -> Run {
        self.run(&["inspect", &self.file("job.toml", text), "--json"])
    }

    /// Registers what the demo workshop owns.
    pub fn with_equipment(self) -> Self {
        let file = self.file("equipment.toml", &demo("equipment"));
        let added = self.run(&["equipment", "add", &file]);
        assert_eq!(added.status, 0, "{}", added.err);
        self
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_midflank"));
        command
            .args(arguments)
            .current_dir(&self.folder)
            .env("XDG_DATA_HOME", self.path("data"))
            .env("XDG_CONFIG_HOME", self.path("config"))
            .env_remove("MIDFLANK_LABORATORY")
            .env_remove("MIDFLANK_LEDGER")
            .env_remove("MIDFLANK_SHOP")
            .env_remove("COLUMNS");
        command
    }

    pub fn run(&self, arguments: &[&str]) -> Run {
        self.command(arguments)
            .stdin(Stdio::null())
            .output()
            .unwrap()
            .into()
    }

    pub fn run_with_input(&self, arguments: &[&str], input: &[u8]) -> Run {
        let mut child = self
            .command(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut stdin = child.stdin.take().unwrap();
        let input = input.to_vec();
        let writer = std::thread::spawn(move || {
            let _ = stdin.write_all(&input);
        });
        let output = child.wait_with_output().unwrap();
        writer.join().unwrap();
        output.into()
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.folder);
    }
}

impl From<Output> for Run {
    fn from(output: Output) -> Self {
        Self {
            out: heard(String::from_utf8(output.stdout).unwrap()),
            err: heard(String::from_utf8(output.stderr).unwrap()),
            status: output.status.code().unwrap_or(-1),
        }
    }
}

impl Run {
    /// It was refused as a wrong input, with all of these codes and words.
    pub fn refused(&self, expected: &[&str]) {
        assert_eq!(self.status, 2, "not refused: {}{}", self.out, self.err);
        for one in expected {
            assert!(tells(&self.err, one), "`{one}` is not in: {}", self.err);
        }
    }

    /// The one JSON document of the answer.
    pub fn json(&self) -> serde_json::Value {
        assert_eq!(self.status, 0, "{}", self.err);
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error} in {}", self.out))
    }

    /// The JSON documents, one a line.
    pub fn documents(&self) -> Vec<serde_json::Value> {
        self.out
            .lines()
            .map(|line| serde_json::from_str(line).unwrap())
            .collect()
    }
}

/// A ledger opened as the program opens it to record in.
pub fn open(path: impl AsRef<Path>) -> ledger::Ledger {
    let options = ledger::OpenOptions::new().create(true);
    let options = options.facts(workshop::registry::facts);
    options.open(path).unwrap()
}

/// The text of a file of the demo.
pub fn demo_file(name: &str) -> String {
    fs::read_to_string(root().join("demo").join(name)).unwrap()
}

/// The text of an example of a feature.
pub fn demo(name: &str) -> String {
    demo_file(&format!("features/{name}.toml"))
}

/// An example with something changed; what is to be changed must be there.
pub fn changed(name: &str, from: &str, to: &str) -> String {
    let text = demo(name);
    assert!(text.contains(from), "`{from}` is not in {name}");
    text.replacen(from, to, 1)
}

/// The folder of the sources.
pub fn root() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
}
