//! `midflank ledger`: what is on the record.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::Offset;
use ledger::{Amendment, Draft, Entry, EntryRef, Filter, Order, Page, Subject, verify};
use serde::Serialize;

use super::output::{Output, width};
use super::{Failure, inspect};
use crate::record;
use crate::register::{self, Shelf};
use crate::report::text;

/// The record: list, show, verify, amend, back up
#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// List entries, the latest first
    List(List),
    /// Show an entry with its inputs, results and hashes
    Show {
        /// Number (17), number and check (17-9f3c), or the beginning of its hash
        id: EntryRef,
        /// Answer in JSON
        #[arg(long)]
        json: bool,
    },
    /// Hash the whole chain again, and compute every result again from its inputs
    Verify {
        /// An entry noted outside the ledger (the hash on a report); it must be in the chain
        #[arg(long, value_name = "HASH")]
        expect: Option<EntryRef>,
        /// Answer in JSON
        #[arg(long)]
        json: bool,
    },
    /// Put an entry right with a new one that points at it; the old one stays as it is
    Amend {
        /// The entry to put right
        id: EntryRef,
        /// Why
        #[arg(long)]
        reason: String,
        /// The measurement that holds instead; without one, the amendment is the reason alone
        #[arg(long, value_name = "JOB.toml")]
        job: Option<PathBuf>,
        /// The record named the wrong part or characteristic: let another take its place
        #[arg(long, requires = "job")]
        other_part: bool,
        /// Who amends
        #[arg(long, value_name = "NAME")]
        person: String,
    },
    /// Copy the ledger while it is in use, and verify the copy
    Backup {
        /// A new file
        to: PathBuf,
    },
}

#[derive(Args)]
struct List {
    /// Of this part
    #[arg(long)]
    part: Option<String>,
    /// Of this lot
    #[arg(long)]
    lot: Option<String>,
    /// Measured with this micrometer
    #[arg(long)]
    instrument: Option<String>,
    /// Measured with these contacts
    #[arg(long)]
    contacts: Option<String>,
    /// Zeroed on this standard
    #[arg(long)]
    standard: Option<String>,
    /// With this verdict
    #[arg(long)]
    verdict: Option<String>,
    /// Recorded on this day (UTC) or later
    #[arg(long, value_name = "DATE")]
    since: Option<Date>,
    /// Recorded before this day (UTC)
    #[arg(long, value_name = "DATE")]
    until: Option<Date>,
    /// With this text anywhere
    #[arg(long)]
    text: Option<String>,
    /// Only what stands today: entries that were amended are left out
    #[arg(long)]
    standing: bool,
    /// How many at most
    #[arg(long, default_value_t = 50)]
    limit: u32,
    /// Answer in JSON, an entry a line
    #[arg(long)]
    json: bool,
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    match &arguments.command {
        Command::List(list) => entries(list, path, output),
        Command::Show { id, json } => show(id, *json, path, output),
        Command::Verify { expect, json } => check(expect.as_ref(), *json, path, output),
        Command::Amend {
            id,
            reason,
            job,
            other_part,
            person,
        } => amend(
            id,
            reason,
            job.as_deref(),
            *other_part,
            person,
            path,
            output,
        ),
        Command::Backup { to } => {
            let head = record::open_to_read(path)?.back_up(to)?;
            let head = head.map_or("an empty ledger".to_owned(), |head| {
                format!("up to {}, hash {}", head.id(), head.hash)
            });
            output.line(&format!("copied to {} and verified: {head}", to.display()))
        }
    }
}

/// An entry as a document.
#[derive(Serialize)]
struct EntryDocument<'a> {
    id: String,
    sequence: u64,
    hash: String,
    previous_hash: String,
    kind: &'a str,
    recorded_at: Timestamp,
    person: &'a str,
    program: &'a str,
    amends: Option<String>,
    reason: Option<&'a str>,
    amended_by: Option<String>,
    subjects: Vec<(&'a str, &'a str)>,
    #[serde(skip_serializing_if = "Option::is_none")]
    inputs: Option<serde_json::Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    results: Option<serde_json::Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    editions: Option<serde_json::Value>,
}

impl<'a> EntryDocument<'a> {
    fn of(entry: &'a Entry, whole: bool) -> Self {
        let content = &entry.content;
        let json =
            |text: &str| whole.then(|| serde_json::from_str(text).unwrap_or_else(|_| text.into()));
        Self {
            id: entry.id().to_string(),
            sequence: entry.sequence,
            hash: entry.hash.to_string(),
            previous_hash: entry.previous.to_string(),
            kind: &content.kind,
            recorded_at: content.recorded_at,
            person: &content.person,
            program: &content.program,
            amends: content
                .amends
                .as_ref()
                .map(|amendment| amendment.entry.to_string()),
            reason: content
                .amends
                .as_ref()
                .map(|amendment| amendment.reason.as_str()),
            amended_by: entry.amended_by.map(|id| id.to_string()),
            subjects: content
                .subjects
                .iter()
                .map(|s| (s.role.as_str(), s.identity.as_str()))
                .collect(),
            inputs: json(&content.inputs),
            results: json(&content.results),
            editions: json(&content.editions),
        }
    }
}

fn entries(list: &List, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let ledger = record::open_to_read(path)?;
    let stated = [
        ("part", &list.part),
        ("lot", &list.lot),
        ("instrument", &list.instrument),
        ("contacts", &list.contacts),
        ("standard", &list.standard),
        ("verdict", &list.verdict),
    ];
    let midnight = |date: Date| {
        Offset::UTC
            .to_timestamp(date.at(0, 0, 0, 0))
            .map_err(Failure::input)
    };
    let filter = Filter {
        subjects: stated
            .into_iter()
            .filter_map(|(role, identity)| Some(Subject::new(role, identity.as_ref()?.trim())))
            .collect(),
        kind: None,
        since: list.since.map(midnight).transpose()?,
        until: list.until.map(midnight).transpose()?,
        text: list.text.clone(),
        standing: list.standing,
        ..Filter::default()
    };
    let mut left = list.limit;
    let mut page = Some(Page::first(Order::NewestFirst, left.min(1000)));
    while let Some(next) = page.filter(|_| left > 0) {
        let listing = ledger.list(
            &filter,
            &Page {
                size: next.size.min(left),
                ..next
            },
        )?;
        left = left.saturating_sub(u32::try_from(listing.entries.len()).unwrap_or(u32::MAX));
        for entry in &listing.entries {
            if list.json {
                output.json(&EntryDocument::of(entry, false))?;
            } else {
                output.line(&one_line(entry))?;
            }
        }
        page = listing.next;
    }
    if left == list.limit && !list.json {
        output.line("no entry matches")?;
    }
    if page.is_some() && !list.json {
        output.line(&format!(
            "... more; list them with --limit above {}",
            list.limit
        ))?;
    }
    Ok(())
}

fn one_line(entry: &Entry) -> String {
    let subject = |role: &str| {
        let found = entry
            .content
            .subjects
            .iter()
            .find(|subject| subject.role == role);
        found.map_or("", |subject| subject.identity.as_str())
    };
    let what = match entry.content.kind.as_str() {
        record::INSPECTION => format!(
            "{:<9} {}, {}",
            subject("verdict"),
            subject("part"),
            subject("characteristic")
        ),
        register::EQUIPMENT => register::registered(entry).map_or_else(
            |_| "equipment".to_owned(),
            |piece| {
                format!(
                    "equipment {} {}, {}",
                    piece.equipment.kind().key(),
                    piece.equipment.id(),
                    piece.equipment.state().key()
                )
            },
        ),
        kind => format!(
            "{kind:<9} {}",
            entry
                .content
                .amends
                .as_ref()
                .map_or("", |amendment| &amendment.reason)
        ),
    };
    let amended = entry
        .amended_by
        .map_or(String::new(), |id| format!("  (amended by {id})"));
    let changed = if entry.is_intact() {
        ""
    } else {
        "  CHANGED SINCE IT WAS RECORDED: run ledger verify"
    };
    format!(
        "{:<9} {}  {:<12} {what}{amended}{changed}",
        entry.id().to_string(),
        entry.content.recorded_at.strftime("%Y-%m-%d %H:%M"),
        entry.content.person,
    )
}

fn show(
    id: &EntryRef,
    json: bool,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = record::open_to_read(path)?;
    let entry = ledger.get(id)?;
    if json {
        return output.json(&EntryDocument::of(&entry, true));
    }
    output.line(&one_line(&entry))?;
    output.line(&format!("hash          {}", entry.hash))?;
    output.line(&format!("previous hash {}", entry.previous))?;
    output.line(&format!("program       {}", entry.content.program))?;
    output.line("history")?;
    for one in ledger.history(id)? {
        let reason = one
            .content
            .amends
            .as_ref()
            .map_or("first recorded", |amendment| &amendment.reason);
        output.line(&format!(
            "  {:<9} {}: {reason}",
            one.id().to_string(),
            one.content.person
        ))?;
    }
    for subject in &entry.content.subjects {
        output.line(&format!("{:<15} {}", subject.role, subject.identity))?;
    }
    if entry.content.kind == record::INSPECTION {
        let (job, result) = record::read(&entry)?;
        output.line("")?;
        output.text(&text::answer(&job, &result, width()))?;
    }
    Ok(())
}

#[derive(Serialize)]
struct Verified {
    sound: bool,
    entries: u64,
    recomputed: u64,
    head: Option<String>,
    head_hash: Option<String>,
    faults: Vec<String>,
    not_recomputed: Vec<(String, String)>,
}

fn check(
    expect: Option<&EntryRef>,
    json: bool,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = record::open_to_read(path)?;
    let report = verify(&ledger, expect, &mut record::recompute)?;
    let sound = report.is_sound();
    if json {
        output.json(&Verified {
            sound,
            entries: report.entries,
            recomputed: report.recomputed,
            head: report.head.map(|head| head.id().to_string()),
            head_hash: report.head.map(|head| head.hash.to_string()),
            faults: report.faults.iter().map(ToString::to_string).collect(),
            not_recomputed: report
                .not_recomputed
                .iter()
                .map(|(id, why)| (id.to_string(), why.clone()))
                .collect(),
        })?;
    } else {
        for fault in &report.faults {
            output.line(&format!("FAULT {fault}"))?;
        }
        for (id, why) in &report.not_recomputed {
            output.line(&format!("entry {id} was not computed again: {why}"))?;
        }
        output.line(&format!(
            "{}: {} {}, {} computed again with the same result",
            if sound { "sound" } else { "NOT SOUND" },
            report.entries,
            if report.entries == 1 {
                "entry"
            } else {
                "entries"
            },
            report.recomputed
        ))?;
        if let Some(head) = report.head {
            output.line(&format!("last entry {}, hash {}", head.id(), head.hash))?;
        }
    }
    output.finish()?;
    if sound {
        Ok(())
    } else {
        Err(Failure::outside(format!(
            "{} does not verify",
            ledger.path().display()
        )))
    }
}

fn amend(
    id: &EntryRef,
    reason: &str,
    job: Option<&Path>,
    other_part: bool,
    person: &str,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = ledger::Ledger::open_existing(record::place(path)?)?;
    let old = ledger.get(id)?;
    record::intact(&old)?;
    // The measurement is computed before anything is written.
    let draft = match job {
        Some(file) => remeasured(file, &old, other_part, person, &Shelf::beside(path))?,
        None => Draft {
            kind: record::NOTE.to_owned(),
            recorded_at: super::now(),
            person: person.to_owned(),
            inputs: "{}".to_owned(),
            results: "{}".to_owned(),
            editions: "{}".to_owned(),
            program: record::PROGRAM.to_owned(),
            amends: None::<Amendment>,
            subjects: old
                .content
                .subjects
                .iter()
                .filter(|subject| subject.role != "verdict")
                .cloned()
                .collect(),
        },
    };
    let entry = ledger.amend(id, reason, draft)?;
    output.line(&format!(
        "recorded {}, which amends {}",
        entry.id(),
        old.id()
    ))
}

/// The draft of the measurement that holds instead of an old one.
///
/// When it was measured stays, unless the job file says otherwise. That it is the same characteristic of the same part
/// is checked, since a wrong number is easily typed.
fn remeasured(
    file: &Path,
    old: &Entry,
    other_part: bool,
    person: &str,
    shelf: &Shelf,
) -> Result<Draft, Failure> {
    let (old_job, old_result) = record::read(old)?;
    let mut job = inspect::read_measured_at(file, old_job.measured_at, shelf)?;
    if job.person.is_none() {
        job.person = old_job.person;
    }
    let result = inspect::compute(file, &job)?;
    let same =
        job.part.name == old_job.part.name && result.characteristic == old_result.characteristic;
    if !same && !other_part {
        return Err(Failure::input(format!(
            "entry {} is \"{}\", {}; {} is \"{}\", {}; if the record named the wrong part, add --other-part",
            old.id(),
            old_job.part.name,
            old_result.characteristic,
            file.display(),
            job.part.name,
            result.characteristic
        )));
    }
    record::draft(&job, &result, Some(person))
}
