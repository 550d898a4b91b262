//! Which published tables an entry says it was made with, held against those that are known.

use ledger::{Difference, Entry, RemarkKind};
use serde_json::Value;

use crate::kept;
use crate::record_kind::RecordKind;

/// The key under which a document names them.
const KEY: &str = "tables_sha256";

/// Digests of the published tables of released programs: 0.2.0.
const RELEASED: [&str; 1] = ["e973b747850b430e83419c454164eb3e49b94f7c5941002af2d219c610956485"];

/// A program, and the digest of the published tables that are compiled into it.
#[derive(Clone, Copy, Debug)]
pub struct Build {
    /// Name, version and build.
    pub program: &'static str,
    pub tables: &'static str,
}

/// What is found of the tables that an entry names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tables {
    /// Those of this build or of a release; or the entry is of a kind that needs none.
    Known,
    /// The entry says it was made by this very build, which has others; or it names none.
    Differ(Difference),
    /// No program that is known here has them: they may be those of a build between releases, or invented.
    NotKnown(RemarkKind),
}

impl Tables {
    /// Holds the tables that an entry names against those of a build and of released ones.
    pub fn of(entry: &Entry, build: Build) -> Self {
        let content = &entry.content;
        let named = match RecordKind::of_entry(entry) {
            Some(RecordKind::Inspection) => serde_json::from_str(&content.editions).ok(),
            Some(RecordKind::Validation) => kept::content(kept::VALIDATION, &content.results).ok(),
            _ => return Self::Known,
        };
        let stored = match named.as_ref().and_then(|named: &Value| named.get(KEY)) {
            Some(Value::String(digest)) => digest.clone(),
            Some(other) => other.to_string(),
            None => String::new(),
        };
        let path = KEY.to_owned();
        if stored == build.tables {
            return Self::Known;
        }
        // Every build writes them, so that none at all are nobody's.
        if content.program == build.program || stored.is_empty() {
            let computed = build.tables.to_owned();
            return Self::Differ(Difference {
                path,
                stored,
                computed,
            });
        }
        if RELEASED.contains(&stored.as_str()) {
            return Self::Known;
        }
        Self::NotKnown(RemarkKind::NotKnown { path, stored })
    }
}
