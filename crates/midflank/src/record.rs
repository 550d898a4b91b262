//! Inspections on the record: what an entry holds, and how it is computed again.

use crate::say;
use std::collections::BTreeSet;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;
use jiff::{Timestamp, Unit};
use ledger::{Draft, Entry, Ledger, Recomputed, Subject};
use metrology::inspection::Job;
use metrology::message::Message;
use metrology::method;
use serde::Serialize;

use crate::cli::{Failure, Output, now};
use crate::document::Inspected;
use crate::kept::{self, Difference, Keep, Unreadable};
use crate::register::{EQUIPMENT, Equipment};

/// Entries are dated to the second.
pub fn to_second(at: Timestamp) -> Timestamp {
    at.round(Unit::Second).unwrap_or(at)
}

/// The kind of entry that holds an inspection.
pub const INSPECTION: &str = "inspection";
/// The kind of entry that only puts words to an earlier one.
pub const NOTE: &str = "note";

/// The name, version and build of this program, as entries keep it; `build.rs` says what names the build.
pub const PROGRAM: &str = concat!(
    "midflank ",
    env!("CARGO_PKG_VERSION"),
    " build ",
    env!("MIDFLANK_BUILD")
);

/// Digest of the published tables that are compiled in; `build.rs` says how it is made.
const TABLES: &str = env!("MIDFLANK_TABLES");

/// Opens the ledger to record in, and makes it on first use, saying so: a mistyped path begins a new one.
pub fn open(path: Option<&Path>) -> Result<Ledger, Failure> {
    let place = place(path)?;
    let new = !place.exists();
    let ledger = Ledger::open(&place)?;
    if new {
        let _ = writeln!(io::stderr(), "began a new ledger at {}", place.display());
    }
    Ok(ledger)
}

/// Opens the ledger to read from.
pub fn open_to_read(path: Option<&Path>) -> Result<Ledger, Failure> {
    Ok(Ledger::open_read_only(place(path)?)?)
}

/// Where the ledger is: as named, or in the user's data folder.
pub fn place(path: Option<&Path>) -> Result<PathBuf, Failure> {
    match path {
        Some(path) => Ok(path.to_owned()),
        None => Ok(data_folder()?.join("ledger.db")),
    }
}

/// This program's folder among the user's data.
pub fn data_folder() -> Result<PathBuf, Failure> {
    etcetera::choose_base_strategy()
        .map(|folders| folders.data_dir().join("midflank"))
        .map_err(|error| Failure::outside(say!("record.data-folder", error = error)))
}

/// The entry of an inspection, recorded by `person`, or by who measured.
pub fn draft(job: &Job, result: &Inspected, person: Option<&str>) -> Result<Draft, Failure> {
    let person = person
        .or(job.person.as_deref())
        .unwrap_or_default()
        .trim()
        .to_owned();
    if person.is_empty() {
        return Err(Failure::input(say!("record.draft")));
    }
    if job.zero.after.is_empty() && job.overrides.zero.is_none() {
        return Err(Failure::input(say!(
            "record.draft-zero-was-not",
            job = job.standard.id,
            job_2 = job.contacts.id
        )));
    }
    Ok(Draft {
        kind: INSPECTION.to_owned(),
        recorded_at: now()?,
        person,
        inputs: kept::write(kept::JOB, job).map_err(Failure::outside)?,
        results: kept::write(kept::RESULT, result).map_err(Failure::outside)?,
        editions: json_text(&Editions {
            schema: EDITIONS,
            sources: &result.sources,
            tables_sha256: TABLES,
        })?,
        program: PROGRAM.to_owned(),
        amends: None,
        subjects: subjects(job, result),
    })
}

/// The schema number of editions.
const EDITIONS: u32 = 1;

/// Editions of the published tables that the result rests on.
#[derive(Serialize)]
struct Editions<'a> {
    schema: u32,
    sources: &'a [Message],
    tables_sha256: &'a str,
}

fn json_text(value: &impl Serialize) -> Result<String, Failure> {
    serde_json::to_string(value).map_err(Failure::outside)
}

/// What an inspection touches, so that it is found again by any of them.
fn subjects(job: &Job, result: &Inspected) -> BTreeSet<Subject> {
    let part = &job.part;
    let measured = result.measured();
    let stated = [
        ("part", Some(&part.name)),
        ("drawing", part.drawing.as_ref()),
        ("order", part.order.as_ref()),
        ("lot", part.lot.as_ref()),
        ("sample", part.sample.as_ref()),
        ("instrument", Some(&job.instrument.id)),
        ("contacts", Some(&job.contacts.id)),
        ("standard", Some(&job.standard.id)),
        ("wires", job.wires.as_ref().map(|wires| &wires.id)),
        ("characteristic", Some(&measured)),
        ("verdict", Some(&result.decision.decision)),
    ];
    stated
        .into_iter()
        .filter_map(|(role, identity)| Some((role, identity?.trim())))
        .filter(|(_, identity)| !identity.is_empty())
        .map(|(role, identity)| Subject::new(role, identity))
        .collect()
}

/// Puts an inspection on the record.
pub fn append(
    ledger: &Ledger,
    job: &Job,
    result: &Inspected,
    person: Option<&str>,
) -> Result<Entry, Failure> {
    Ok(ledger.append(&draft(job, result, person)?)?)
}

/// Refuses an entry that was changed after it was recorded.
pub fn intact(entry: &Entry) -> Result<(), Failure> {
    if entry.is_intact() {
        return Ok(());
    }
    Err(Failure::outside(say!("record.intact", entry = entry.id())))
}

/// The inspection that an entry holds.
pub fn read(entry: &Entry) -> Result<(Job, Inspected), Failure> {
    let id = entry.id();
    intact(entry)?;
    if entry.content.kind != INSPECTION {
        return Err(Failure::input(say!(
            "record.read",
            id = id,
            value = match entry.content.kind.as_str() {
                NOTE => "a note",
                EQUIPMENT => "of the register of equipment",
                kind => kind,
            }
        )));
    }
    let unreadable = |what: &str, error: Unreadable| {
        Failure::outside(say!(
            "record.read-the-of-entry",
            what = what,
            id = id,
            error = error,
            entry = entry.content.program
        ))
    };
    let job = kept::read(kept::JOB, &entry.content.inputs)
        .map_err(|error| unreadable("inputs", error))?;
    let result = kept::read(kept::RESULT, &entry.content.results)
        .map_err(|error| unreadable("results", error))?;
    Ok((job, result))
}

/// What an entry should hold by its own inputs.
pub enum Again {
    /// Nothing is computed; it reads as what it says it is.
    Nothing,
    /// The results were computed again: where they differ from those stored, and what the entry touches by its documents.
    Computed(Vec<Difference>, BTreeSet<Subject>),
    /// This build does not have the method of the entry.
    MethodUnknown(u32),
    /// Its documents cannot be read, or give no result. The detail is for developers.
    Impossible(String),
}

/// Computes the results of an entry again from its inputs, by the method that it names, and compares them with those
/// stored: every number to the bit, every code.
pub fn again(entry: &Entry) -> Again {
    let content = &entry.content;
    let found = match content.kind.as_str() {
        INSPECTION => inspection_again(entry),
        // Nothing is computed from a description or a note; that they read as such is all there is to check.
        EQUIPMENT => kept::read::<Equipment>(kept::EQUIPMENT, &content.inputs)
            .map(|piece| Again::Computed(Vec::new(), piece.subjects())),
        NOTE if content.inputs == "{}" && content.results == "{}" => Ok(Again::Nothing),
        NOTE => return Again::Impossible(say!("record.again").to_owned()),
        other => return Again::Impossible(format!("kind {other}")),
    };
    found.unwrap_or_else(|error| Again::Impossible(error.to_string()))
}

fn inspection_again(entry: &Entry) -> Result<Again, Unreadable> {
    let job: Job = kept::read(kept::JOB, &entry.content.inputs)?;
    let stored = kept::content(kept::RESULT, &entry.content.results)?;
    let number = stored
        .get("method")
        .and_then(serde_json::Value::as_u64)
        .and_then(|number| u32::try_from(number).ok())
        .ok_or_else(|| Unreadable::Missing("method".to_owned()))?;
    let Some(method) = method::of(number) else {
        return Ok(Again::MethodUnknown(number));
    };
    let result = match method(&job) {
        Ok(result) => Inspected::by(number, &job, &result),
        Err(error) => return Ok(Again::Impossible(error.to_string())),
    };
    let computed = serde_json::to_value(result.keep())?;
    let mut differences = kept::differences(&computed, &stored);
    let editions: serde_json::Value = serde_json::from_str(&entry.content.editions)?;
    let sources = serde_json::json!({ "sources": result.sources });
    differences.extend(kept::differences(&sources, &editions));
    Ok(Again::Computed(differences, subjects(&job, &result)))
}

/// The same, as the ledger asks for it.
pub fn recompute(entry: &Entry) -> Recomputed {
    match again(entry) {
        Again::Nothing => Recomputed::Same,
        Again::Computed(differences, subjects) => match differences.first() {
            None if subjects == entry.content.subjects => Recomputed::Same,
            None => Recomputed::Differs {
                what: "subjects".to_owned(),
            },
            Some(first) => Recomputed::Differs {
                what: format!("{}: {} / {}", first.path, first.stored, first.computed),
            },
        },
        Again::MethodUnknown(number) => Recomputed::CannotRecompute {
            why: format!("method {number}"),
        },
        Again::Impossible(why) => Recomputed::CannotRecompute { why },
    }
}

/// Says on the screen what is on the disk.
pub fn acknowledge(entry: &Entry, json: bool, output: &mut Output) -> Result<(), Failure> {
    if json {
        // Standard output holds the result and nothing else.
        let _ = writeln!(io::stderr(), "recorded {}", entry.id());
        Ok(())
    } else {
        output.line(&format!("recorded {}", entry.id()))
    }
}
