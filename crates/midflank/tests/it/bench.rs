//! A bench to try the program at: a folder of its own with its own ledger.

#![expect(clippy::unwrap_used, reason = "a test that fails should stop")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicU32, Ordering};

/// A folder that goes away with it.
pub struct Bench {
    folder: PathBuf,
}

/// What a run said.
pub struct Said {
    pub status: i32,
    pub out: String,
    pub err: String,
}

impl Said {
    /// The one JSON document on standard output.
    pub fn json(&self) -> serde_json::Value {
        assert_eq!(self.status, 0, "{}", self.err);
        serde_json::from_str(&self.out).unwrap()
    }

    /// It was refused as a wrong input, with all of these words.
    pub fn refused(&self, words: &[&str]) {
        assert_eq!(self.status, 2, "not refused: {}{}", self.out, self.err);
        for word in words {
            assert!(self.err.contains(word), "`{word}` is not in: {}", self.err);
        }
    }
}

impl Bench {
    pub fn new() -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let folder =
            std::env::temp_dir().join(format!("midflank-it-{}-{count}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        Self { folder }
    }

    /// Runs the program with this bench's ledger.
    pub fn run(&self, arguments: &[&str]) -> Said {
        let output = Command::new(env!("CARGO_BIN_EXE_midflank"))
            .env("MIDFLANK_LEDGER", self.folder.join("ledger.db"))
            .args(arguments)
            .output()
            .unwrap();
        Said {
            status: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// A file on the bench.
    pub fn file(&self, name: &str, text: &str) -> String {
        let path = self.folder.join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    }

    /// Measures by a job file of this text.
    pub fn inspect(&self, text: &str) -> Said {
        self.run(&["inspect", &self.file("job.toml", text), "--json"])
    }

    /// Registers what the demo workshop owns.
    pub fn with_equipment(self) -> Self {
        let added = self.run(&[
            "equipment",
            "add",
            &self.file("equipment.toml", &demo("equipment")),
        ]);
        assert_eq!(added.status, 0, "{}", added.err);
        self
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.folder);
    }
}

/// The text of an example.
pub fn demo(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/features");
    fs::read_to_string(folder.join(format!("{name}.toml"))).unwrap()
}

/// An example with something changed; what is to be changed must be there.
pub fn changed(name: &str, from: &str, to: &str) -> String {
    let text = demo(name);
    assert!(text.contains(from), "`{from}` is not in {name}");
    text.replacen(from, to, 1)
}
