//! Inspections on the record: what an entry holds, and how it is computed again.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;
use jiff::civil::Date;
use ledger::{
    Actor, Between, Computed, Difference, Draft, Entry, EntryId, Field, Filter, Identified,
    JobEvents, Ledger, NotComputed, OpenOptions, Order, Page, Recomputed, Subject,
};
use metrology::designation::{self, Form};
use metrology::inspection::{Characteristic, Job};
use metrology::message::Message;
use metrology::method;
use serde::Serialize;

use crate::approving::{APPROVAL, Approving};
use crate::clock::now;
use crate::document::Inspected;
use crate::document::validated::Validated;
use crate::equipment::{CONTACT, EQUIPMENT, Equipment};
use crate::failure::Failure;
use crate::kept::{self, Keep, Unreadable};
use crate::say;
use crate::station;
use crate::words;

/// The kind of entry that holds an inspection.
pub const INSPECTION: &str = "inspection";
/// Under this role an entry names the job at the bench that it was made from.
pub const BENCH_JOB: &str = "bench-job";
/// The kind of entry that holds a validation of the program.
pub const VALIDATION: &str = "validation";
/// Under this role a validation names the method that it is of.
const METHOD: &str = "method";
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
pub const TABLES: &str = env!("MIDFLANK_TABLES");

/// Opens the ledger to record in, and makes it on first use, saying so: a mistyped path begins a new one.
pub fn open(path: Option<&Path>) -> Result<Ledger, Failure> {
    let place = place(path)?;
    begin(&place, OpenOptions::new().create(true))
}

/// Begins a ledger where the file is missing or empty, or the database on a server holds none; one that is there is left
/// as it is.
pub fn begin_new(path: Option<&Path>) -> Result<(), Failure> {
    begin(
        &place(path)?,
        OpenOptions::new().create(true).begin_new(true),
    )
    .map(drop)
}

fn begin(place: &Path, options: OpenOptions) -> Result<Ledger, Failure> {
    let new = if Ledger::is_address(place) {
        let there = OpenOptions::new().read_only(true).open(place);
        matches!(
            there,
            Err(ledger::Error::Server {
                what: ledger::Server::NoSchema,
                ..
            })
        )
    } else {
        fs::metadata(place).map_or(true, |file| file.len() == 0)
    };
    let ledger = options.open(place)?;
    if new {
        let began = say!("ledger.began", path = ledger.path().display());
        let _ = writeln!(io::stderr(), "{began}");
    }
    Ok(ledger)
}

/// Opens the ledger to read from.
pub fn open_to_read(path: Option<&Path>) -> Result<Ledger, Failure> {
    Ok(Ledger::open_read_only(place(path)?)?)
}

/// Whether there is a ledger at a place; of one on a server that is told when it is opened.
pub fn is_there(place: &Path) -> bool {
    Ledger::is_address(place) || place.exists()
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
        return Err(Failure::input(say!("record.no-person")));
    }
    if job.zero.after.is_empty() && job.overrides.zero.is_none() {
        return Err(Failure::input(say!(
            "record.zero-left-open",
            standard = job.standard.id,
            contacts = job.contacts.id
        )));
    }
    Ok(Draft {
        inputs: kept::write(kept::JOB, job).map_err(Failure::outside)?,
        results: kept::write(kept::RESULT, result).map_err(Failure::outside)?,
        editions: json_text(&Editions {
            schema: EDITIONS_SCHEMA,
            sources: &result.sources,
            tables_sha256: TABLES,
        })?,
        words: json_text(&Words::of(result))?,
        subjects: subjects(job, result),
        ..blank(INSPECTION, &person)?
    })
}

/// An entry of a kind, by a person at this computer now, in which nothing is written yet.
pub fn blank(kind: &str, person: &str) -> Result<Draft, Failure> {
    let nothing = || "{}".to_owned();
    Ok(Draft {
        kind: kind.to_owned(),
        recorded_at: now()?,
        zone: station::zone(),
        actor: actor(person),
        station: station::name(),
        inputs: nothing(),
        results: nothing(),
        editions: nothing(),
        words: nothing(),
        program: PROGRAM.to_owned(),
        amends: None,
        events: None,
        subjects: BTreeSet::new(),
    })
}

/// Someone who typed a name.
pub fn actor(name: &str) -> Actor {
    Actor {
        id: name.to_owned(),
        name: name.to_owned(),
        how: Identified::Typed,
    }
}

/// The schema number of words.
const WORDS: u32 = 1;

/// What was said of a result on the day, as it was printed: words of a later build may be others.
#[derive(Serialize)]
struct Words {
    schema: u32,
    reason: String,
    warnings: Vec<String>,
    settle: Option<String>,
}

impl Words {
    fn of(result: &Inspected) -> Self {
        let settle = result.settle.as_ref();
        Self {
            schema: WORDS,
            reason: result.say(&result.decision.reason),
            warnings: result
                .warnings
                .iter()
                .map(|what| result.say(what))
                .collect(),
            settle: settle.map(|settle| result.say(&settle.sentence)),
        }
    }
}

/// The schema number of editions.
const EDITIONS_SCHEMA: u32 = 1;

/// Editions of the published tables that the result rests on.
#[derive(Serialize)]
struct Editions<'a> {
    schema: u32,
    sources: &'a [Message],
    tables_sha256: &'a str,
}

metrology::messages! {
    /// What the record says of how it came about.
    pub enum RecordNote "record-note" {
        /// The time of the measurement is ahead of the computer's.
        Ahead "ahead" { seconds: u32 as whole },
        /// The same job is on the record, and was recorded again on purpose.
        Again "again" { entry: String as Text },
    }
}

/// Under this role an entry names the day of the measurement.
pub const MEASURED: &str = "measured";

/// What was measured or recorded from one day to another, both included, by the time zone of this computer.
pub fn in_days(since: Option<Date>, until: Option<Date>) -> Filter {
    let day = |day: Option<Date>| day.map(|day| day.to_string());
    Filter {
        since: since.and_then(station::midnight),
        until: until
            .and_then(|until| until.tomorrow().ok())
            .and_then(station::midnight),
        or_between: Some(Between {
            role: MEASURED.to_owned(),
            first: day(since),
            last: day(until),
        }),
        ..Filter::default()
    }
}

/// The entry of the same job, if there is one: the same inputs but for what was noted when it was recorded again and, where
/// the time of the measurement was `taken_from_clock`, that.
pub fn same_job(
    ledger: &Ledger,
    draft: &Draft,
    taken_from_clock: bool,
) -> Result<Option<EntryId>, Failure> {
    let (part, alike) = alike(draft, taken_from_clock)?;
    Ok(ledger.find_alike(INSPECTION, &part, alike)?)
}

/// Puts a job on the record that is not there yet.
pub fn append_once(
    ledger: &Ledger,
    draft: &Draft,
    taken_from_clock: bool,
) -> Result<Entry, Failure> {
    let (part, alike) = alike(draft, taken_from_clock)?;
    Ok(ledger.append_once(draft, &part, alike)?)
}

/// Where entries of the same job stand, and whether inputs are those of the draft.
fn alike(
    draft: &Draft,
    taken_from_clock: bool,
) -> Result<(Subject, impl Fn(&str) -> bool + use<>), Failure> {
    let part = draft.subject("part").unwrap_or_default();
    let part = Subject::new("part", part);
    let compared = move |inputs: &str| -> Option<serde_json::Value> {
        let mut job = kept::content(kept::JOB, inputs).ok()?;
        let keys = job.as_object_mut()?;
        if taken_from_clock {
            keys.remove("measured_at");
            keys.remove("measured_on");
        }
        // What the ledger itself gave the job: it may know more by now.
        keys.remove("approved");
        forget(keys, "prior", "form_history", |it| &it["records"]);
        forget(keys, "prior", "own", |it| &it["approval"]);
        forget(keys, "instrument", "drift", |it| &it["certificates"]);
        forget(keys, "standard", "drift", |it| &it["certificates"]);
        let from_record = |zero: &serde_json::Value| !zero["last_record"].is_null();
        if keys.get("zero").is_some_and(from_record) {
            forget(keys, "zero", "last", |it| it);
            forget(keys, "zero", "last_record", |it| it);
        }
        // A remark makes no other measurement.
        keys.remove("notes");
        Some(job)
    };
    let own = compared(&draft.inputs).ok_or_else(|| Failure::outside(&draft.inputs))?;
    let alike = move |inputs: &str| compared(inputs).is_some_and(|other| other == own);
    Ok((part, alike))
}

/// Takes out what stands under a key of a section where the ledger gave it: as if it had known nothing.
fn forget(
    keys: &mut serde_json::Map<String, serde_json::Value>,
    section: &str,
    key: &str,
    given: impl Fn(&serde_json::Value) -> &serde_json::Value,
) {
    let section = keys.get_mut(section);
    if let Some(known) = section.and_then(|section| section.get_mut(key))
        && !given(known).is_null()
    {
        *known = serde_json::Value::Null;
    }
}

fn json_text(value: &impl Serialize) -> Result<String, Failure> {
    serde_json::to_string(value).map_err(Failure::outside)
}

/// The job at the bench that an entry was made from, as what it touches.
pub fn bench_job(events: JobEvents) -> Subject {
    Subject::new(BENCH_JOB, events.job.to_string())
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
    let day = job.measured_on.to_string();
    // Either of a pair leads to what was measured with it.
    let members = job.contacts.members.iter().flatten();
    stated
        .into_iter()
        .chain([(MEASURED, Some(&day))])
        .chain(members.map(|member| (CONTACT, Some(member))))
        .filter_map(|(role, identity)| Some((role, identity?.trim())))
        .filter(|(_, identity)| !identity.is_empty())
        .map(|(role, identity)| Subject::new(role, identity))
        .collect()
}

/// The entry of a validation.
pub fn validation_draft(validated: &Validated, person: &str) -> Result<Draft, Failure> {
    Ok(Draft {
        results: kept::write(kept::VALIDATION, validated).map_err(Failure::outside)?,
        subjects: validation_subjects(validated),
        ..blank(VALIDATION, person)?
    })
}

fn validation_subjects(validated: &Validated) -> BTreeSet<Subject> {
    BTreeSet::from([Subject::new(METHOD, validated.method.to_string())])
}

/// The validation that an entry holds.
pub fn validation(entry: &Entry) -> Result<Validated, Unreadable> {
    kept::read(kept::VALIDATION, &entry.content.results)
}

/// The last validation of a method that stands on the record.
pub fn last_validation(ledger: &Ledger, method: u32) -> Result<Option<Entry>, ledger::Error> {
    let filter = Filter {
        kind: Some(VALIDATION.to_owned()),
        standing: true,
        ..Filter::touching(METHOD, method.to_string())
    };
    let listing = ledger.list(&filter, &Page::first(Order::NewestFirst, 1))?;
    Ok(listing.entries.into_iter().next())
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

/// How many inspections of threads stand on the record, by form.
pub fn threads(path: Option<&Path>) -> Result<Vec<(Form, u64)>, Failure> {
    let ledger = open_to_read(path)?;
    let filter = Filter {
        kind: Some(INSPECTION.to_owned()),
        standing: true,
        ..Filter::default()
    };
    let mut counts: BTreeMap<Form, u64> = BTreeMap::new();
    let mut page = Some(Page::first(Order::OldestFirst, Page::LARGEST));
    while let Some(next) = page {
        let listing = ledger.list(&filter, &next)?;
        for entry in &listing.entries {
            if let Characteristic::Thread { designation, .. } = read(entry)?.0.characteristic
                && let Ok(thread) = designation::parse(&designation)
            {
                *counts.entry(thread.form()).or_default() += 1;
            }
        }
        page = listing.next;
    }
    Ok(counts.into_iter().collect())
}

/// Refuses an entry that was changed after it was recorded.
pub fn intact(entry: &Entry) -> Result<(), Failure> {
    if entry.is_intact() {
        return Ok(());
    }
    Err(Failure::outside(say!("record.altered", entry = entry.id())))
}

/// The inspection that an entry holds.
pub fn read(entry: &Entry) -> Result<(Job, Inspected), Failure> {
    let id = entry.id();
    intact(entry)?;
    if entry.content.kind != INSPECTION {
        return Err(Failure::input(say!(
            "record.no-inspection",
            id = id,
            what = match entry.content.kind.as_str() {
                NOTE => say!("record.a-note"),
                VALIDATION => say!("record.a-validation"),
                APPROVAL => say!("record.an-approval"),
                EQUIPMENT => say!("record.of-the-register"),
                kind => kind,
            }
        )));
    }
    let unreadable = |what: Field, error: Unreadable| {
        Failure::outside(say!(
            "record.unreadable",
            what = words::ledger::field(what),
            id = id,
            why = words::said(&error),
            program = entry.content.program
        ))
    };
    let job = kept::read(kept::JOB, &entry.content.inputs)
        .map_err(|error| unreadable(Field::Inputs, error))?;
    let result = kept::read(kept::RESULT, &entry.content.results)
        .map_err(|error| unreadable(Field::Results, error))?;
    Ok((job, result))
}

/// Computes the results of an entry again from its inputs, by the method that it names, and compares them with those
/// stored: every number to the bit, every code.
pub fn recompute(entry: &Entry) -> Computed {
    let content = &entry.content;
    let found = match content.kind.as_str() {
        INSPECTION => inspection_again(entry),
        // Nothing is computed from a description or a note; that they read as such is all there is to check.
        EQUIPMENT => kept::read::<Equipment>(kept::EQUIPMENT, &content.inputs)
            .map(|piece| computed(not_empty(&[RESULTS, EDITIONS], content), piece.subjects())),
        // What another build gave cannot be computed by this one.
        VALIDATION => validation(entry).map(|validated| {
            computed(
                not_empty(&[INPUTS, EDITIONS], content),
                validation_subjects(&validated),
            )
        }),
        APPROVAL => kept::read::<Approving>(kept::APPROVAL, &content.inputs).map(|approving| {
            computed(
                not_empty(&[RESULTS, EDITIONS], content),
                approving.subjects(),
            )
        }),
        NOTE => Ok(computed(
            not_empty(&[INPUTS, RESULTS, EDITIONS], content),
            content.subjects.clone(),
        )),
        other => Ok(not_computed(NotComputed::KindUnknown {
            kind: other.to_owned(),
        })),
    };
    found.unwrap_or_else(|error| {
        not_computed(NotComputed::Unreadable {
            detail: words::said(&error),
        })
    })
}

/// Where the results differ from those stored, and what the entry touches by its documents.
fn computed(differences: Vec<Difference>, subjects: BTreeSet<Subject>) -> Computed {
    let results = if differences.is_empty() {
        Recomputed::Same
    } else {
        Recomputed::Differs(differences)
    };
    Computed {
        results,
        subjects: Some(subjects),
    }
}

fn not_computed(reason: NotComputed) -> Computed {
    Recomputed::NotComputed { reason }.into()
}

/// A document of an entry: what it is called, and where it stands.
type Document = (&'static str, fn(&Draft) -> &str);
const INPUTS: Document = ("inputs", |content| &content.inputs);
const RESULTS: Document = ("results", |content| &content.results);
const EDITIONS: Document = ("editions", |content| &content.editions);

/// Which of these documents hold something, where nothing is written.
fn not_empty(documents: &[Document], content: &Draft) -> Vec<Difference> {
    documents
        .iter()
        .filter(|(_, of)| of(content) != "{}")
        .map(|(name, of)| Difference {
            path: (*name).to_owned(),
            stored: of(content).to_owned(),
            computed: "{}".to_owned(),
        })
        .collect()
}

/// The method that the results of an inspection name.
pub fn method_of(entry: &Entry) -> Option<u32> {
    let results = kept::content(kept::RESULT, &entry.content.results).ok()?;
    (entry.content.kind == INSPECTION)
        .then(|| number_of_method(&results))
        .flatten()
}

fn number_of_method(results: &serde_json::Value) -> Option<u32> {
    u32::try_from(results.get("method")?.as_u64()?).ok()
}

fn inspection_again(entry: &Entry) -> Result<Computed, Unreadable> {
    let job: Job = kept::read(kept::JOB, &entry.content.inputs)?;
    let stored = kept::content(kept::RESULT, &entry.content.results)?;
    let number = number_of_method(&stored).ok_or_else(|| Unreadable::Missing {
        key: "method".to_owned(),
    })?;
    let Some(method) = method::of(number) else {
        return Ok(not_computed(NotComputed::MethodUnknown { method: number }));
    };
    let result = match method(&job) {
        Ok(result) => Inspected::by(number, &job, &result),
        Err(error) => {
            let code = error.code().to_string();
            return Ok(not_computed(NotComputed::Refused { code }));
        }
    };
    let results = serde_json::to_value(result.keep())?;
    let mut differences = kept::differences(&results, &stored);
    let editions: serde_json::Value = serde_json::from_str(&entry.content.editions)?;
    let sources = serde_json::json!({ "sources": result.sources });
    differences.extend(kept::differences(&sources, &editions));
    let mut subjects = subjects(&job, &result);
    subjects.extend(entry.content.events.map(bench_job));
    Ok(computed(differences, subjects))
}
