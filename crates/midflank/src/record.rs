//! Inspections on the record: what an entry holds, and how it is computed again.

use std::collections::BTreeSet;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;
use jiff::{Timestamp, Unit};
use ledger::{Draft, Entry, Ledger, Recomputed, Subject};
use metrology::inspection::{Job, compute};
use serde::Serialize;

use crate::cli::{Failure, Output, now};
use crate::document::Inspected;
use crate::register::{EQUIPMENT, registered};

/// Entries are dated to the second.
pub fn to_second(at: Timestamp) -> Timestamp {
    at.round(Unit::Second).unwrap_or(at)
}

/// The kind of entry that holds an inspection.
pub const INSPECTION: &str = "inspection";
/// The kind of entry that only puts words to an earlier one.
pub const NOTE: &str = "note";

/// The name and version of this program, as entries keep it.
pub const PROGRAM: &str = concat!("midflank ", env!("CARGO_PKG_VERSION"));

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
        .map_err(|error| Failure::outside(format!("{error}; name the ledger with --ledger PATH")))
}

/// The entry of an inspection, recorded by `person`, or by who measured.
pub fn draft(job: &Job, result: &Inspected, person: Option<&str>) -> Result<Draft, Failure> {
    let person = person
        .or(job.person.as_deref())
        .unwrap_or_default()
        .trim()
        .to_owned();
    if person.is_empty() {
        return Err(Failure::input(
            "a record needs the name of who measured; write `person` in the job file or give --person",
        ));
    }
    if job.zero.after.is_empty() && job.overrides.zero.is_none() {
        return Err(Failure::input(format!(
            "zero was not checked again after the job, so its record would stay open; close on {} with {} and write `after` \
             under [zero], or say why not as `zero` under [override]",
            job.standard.id, job.contacts.id
        )));
    }
    Ok(Draft {
        kind: INSPECTION.to_owned(),
        recorded_at: now(),
        person,
        inputs: json_text(job)?,
        results: json_text(result)?,
        editions: json_text(&Editions {
            sources: &result.sources,
            tables_sha256: TABLES,
        })?,
        program: PROGRAM.to_owned(),
        amends: None,
        subjects: subjects(job, result),
    })
}

/// Editions of the published tables that the result rests on.
#[derive(Serialize)]
struct Editions<'a> {
    sources: &'a [String],
    tables_sha256: &'a str,
}

fn json_text(value: &impl Serialize) -> Result<String, Failure> {
    serde_json::to_string(value).map_err(Failure::outside)
}

/// What an inspection touches, so that it is found again by any of them.
fn subjects(job: &Job, result: &Inspected) -> BTreeSet<Subject> {
    let part = &job.part;
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
        ("characteristic", Some(&result.characteristic)),
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
    Err(Failure::outside(format!(
        "DO NOT USE entry {}: it is not what was recorded (its content does not match its hash); run `midflank ledger \
         verify`, and go back to a backup",
        entry.id()
    )))
}

/// The inspection that an entry holds.
pub fn read(entry: &Entry) -> Result<(Job, Inspected), Failure> {
    let id = entry.id();
    intact(entry)?;
    if entry.content.kind != INSPECTION {
        return Err(Failure::input(format!(
            "entry {id} is {}, not an inspection",
            match entry.content.kind.as_str() {
                NOTE => "a note",
                EQUIPMENT => "of the register of equipment",
                kind => kind,
            }
        )));
    }
    let unreadable = |what: &str, error: serde_json::Error| {
        Failure::outside(format!(
            "the {what} of entry {id} cannot be read ({error}); it was recorded by {}",
            entry.content.program
        ))
    };
    let job =
        serde_json::from_str(&entry.content.inputs).map_err(|error| unreadable("inputs", error))?;
    let result = serde_json::from_str(&entry.content.results)
        .map_err(|error| unreadable("results", error))?;
    Ok((job, result))
}

/// Computes the results of an entry again from its inputs, to the last digit.
pub fn recompute(entry: &Entry) -> Recomputed {
    match entry.content.kind.as_str() {
        INSPECTION => match again(entry) {
            Ok(results) if results == entry.content.results => Recomputed::Same,
            Ok(_) => Recomputed::Differs {
                what: differs(entry),
            },
            Err(why) => Recomputed::CannotRecompute { why },
        },
        NOTE => Recomputed::Same,
        // Nothing is computed from a description; that it can be read is all there is to check.
        EQUIPMENT => match registered(entry) {
            Ok(_) => Recomputed::Same,
            Err(why) => Recomputed::CannotRecompute {
                why: why.to_string(),
            },
        },
        other => Recomputed::CannotRecompute {
            why: format!("this program knows no entries of kind `{other}`"),
        },
    }
}

fn again(entry: &Entry) -> Result<String, String> {
    let job: Job =
        serde_json::from_str(&entry.content.inputs).map_err(|error| error.to_string())?;
    let result = compute(&job).map_err(|error| crate::words::error(&error))?;
    serde_json::to_string(&Inspected::of(&job, &result)).map_err(|error| error.to_string())
}

fn differs(entry: &Entry) -> String {
    if entry.content.program == PROGRAM {
        "the results are not those of the inputs".to_owned()
    } else {
        format!(
            "{PROGRAM} computes other results than {} did; the CHANGELOG lists every number that changed",
            entry.content.program
        )
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
