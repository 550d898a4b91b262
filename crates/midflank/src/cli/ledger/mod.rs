//! `midflank ledger`: what is on the record.

mod amend;
mod check;
mod list;

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use jiff::Timestamp;
use ledger::{Entry, EntryRef};
use serde::Serialize;

use super::Failure;
use super::output::{Output, width};
use crate::record;
use crate::register;
use crate::report::text;
use crate::say;

/// The record: list, show, verify, amend, back up
#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// List entries, the latest first
    List(list::List),
    /// Show an entry with its inputs, results and hashes
    Show {
        /// Number (17), number and check (17-9f3c), or the beginning of its hash
        id: EntryRef,
        /// Answer in JSON
        #[arg(long)]
        json: bool,
    },
    /// Hash the whole chain again, and compute every result again from its inputs
    Verify(check::Check),
    /// Put an entry right with a new one that points at it, or withdraw it; the old one stays as it is
    Amend(amend::Amend),
    /// Copy the ledger while it is in use, and verify the copy
    Backup {
        /// A new file
        to: PathBuf,
    },
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    match &arguments.command {
        Command::List(list) => list.run(path, output),
        Command::Show { id, json } => show(id, *json, path, output),
        Command::Verify(check) => check.run(path, output),
        Command::Amend(amend) => amend.run(path, output),
        Command::Backup { to } => {
            let head = record::open_to_read(path)?.back_up(to)?;
            let to = to.display();
            output.line(&match head {
                None => say!("record.copied-empty", to = to),
                Some(head) => say!(
                    "record.copied",
                    to = to,
                    entry = head.id(),
                    hash = head.hash
                ),
            })
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

fn one_line(entry: &Entry) -> String {
    let subject = |role| entry.content.subject(role).unwrap_or_default();
    let what = match entry.content.kind.as_str() {
        record::INSPECTION => format!(
            "{:<9} {}, {}",
            subject("verdict"),
            subject("part"),
            subject("characteristic")
        ),
        register::EQUIPMENT => register::registered(entry).map_or_else(
            |_| say!("record.equipment-unread"),
            |piece| {
                say!(
                    "record.equipment",
                    kind = piece.equipment.kind().key(),
                    id = piece.equipment.id(),
                    state = piece.equipment.state().key()
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
    let amended = entry.amended_by.map_or(String::new(), |id| {
        format!("  {}", say!("record.amended-by", entry = id))
    });
    let changed = if entry.is_intact() {
        String::new()
    } else {
        format!("  {}", say!("record.changed"))
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
    for (what, value) in [
        (say!("record.own-hash"), entry.hash.to_string()),
        (say!("record.previous-hash"), entry.previous.to_string()),
        (say!("record.program"), entry.content.program.clone()),
    ] {
        output.line(&format!("{what:<13} {value}"))?;
    }
    output.line(&say!("register.history"))?;
    let first = say!("register.first-recorded");
    for one in ledger.history(id)? {
        let reason = one
            .content
            .amends
            .as_ref()
            .map_or(&first, |amendment| &amendment.reason);
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
