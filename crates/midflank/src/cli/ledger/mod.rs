//! `midflank ledger`: what is on the record.

mod amend;
mod check;
mod facts;
mod list;
mod of_lot;

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use ledger::{Entry, EntryRef, Facts, Ledger, NotAnEntryRef, VerifyOptions};

use crate::desk;
use crate::document::EntryDocument;
use crate::failure::Failure;
use crate::output::{Output, width};
use crate::record;
use crate::report::{self, text};
use crate::say;
use crate::station;
use crate::words;
use workshop::{RecordKind, registry};

#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

/// The name of an entry.
pub fn parse_entry(text: &str) -> Result<EntryRef, Failure> {
    text.parse()
        .map_err(|error: NotAnEntryRef| ledger::Error::from(error).into())
}

#[derive(Subcommand)]
enum Command {
    List(list::List),
    Show {
        #[arg(value_parser = parse_entry)]
        id: EntryRef,
        #[arg(long)]
        json: bool,
    },
    Verify(check::Check),
    Amend(amend::Amend),
    Witness,
    Facts(facts::Facts),
    Backup {
        to: PathBuf,
    },
    Prepare {
        #[arg(long = "for", value_name = "ROLE")]
        roles: Vec<String>,
    },
    Move {
        from: PathBuf,
        to: PathBuf,
    },
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    match &arguments.command {
        Command::List(list) => list.run(path, output),
        Command::Show { id, json } => show(id, *json, path, output),
        Command::Verify(check) => check.run(path, output),
        Command::Amend(amend) => amend.run(path, output),
        Command::Facts(facts) => facts.run(path, output),
        Command::Witness => match desk::open_to_read(path)?.witness()? {
            Some(witness) => output.line(&witness.to_string()),
            None => Err(Failure::outside(say!("ledger.witness-none"))),
        },
        Command::Prepare { roles } => {
            let place = desk::place(path)?;
            Ledger::prepare_server(&place, roles)?;
            let ledger = Ledger::open_read_only(&place)?;
            output.line(&say!("ledger.prepared", path = ledger.path().display()))
        }
        Command::Move { from, to } => take(from, to, output),
        Command::Backup { to } => {
            if Ledger::is_address(to) {
                return Err(Failure::input(say!("ledger.backup-to-server")));
            }
            let options = VerifyOptions::default();
            let copied = desk::open_to_read(path)?.back_up(to, &options, desk::recompute)?;
            let path = to.display();
            output.line(&match copied.head {
                Some(head) => say!(
                    "ledger.copied",
                    path = path,
                    entry = head.id(),
                    hash = head.hash
                ),
                None => say!("ledger.copied-empty", path = path),
            })
        }
    }
}

/// Takes a ledger to a server.
fn take(from: &Path, to: &Path, output: &mut Output) -> Result<(), Failure> {
    let ledger = desk::options().read_only(true).open(from)?;
    let moved = ledger.move_to(to, &VerifyOptions::default(), desk::recompute)?;
    let (from, to) = (ledger.path().display(), Ledger::shown(to));
    let path = to.display();
    output.line(&match moved.head {
        Some(head) => say!(
            "ledger.moved",
            path = path,
            entries = moved.entries,
            events = moved.events,
            entry = head.id(),
            hash = head.hash,
            from = from
        ),
        None => say!("ledger.moved-empty", path = path, from = from),
    })
}

/// Lines of a list are no longer than this, in characters.
const LINE: usize = 119;

/// An entry on one line, by the day of what was measured; with its documents, or with its facts.
fn one_line(entry: &Entry, facts: &Facts, intact: bool) -> String {
    let content = &entry.content;
    let recorded = station::day(content.recorded_at).to_string();
    let day = content.subject(record::MEASURED).unwrap_or(&recorded);
    let beside = [
        (day != recorded).then(|| say!("ledger.list-recorded", day = recorded)),
        entry
            .amended_by
            .map(|id| say!("ledger.show-amended-by", entry = id)),
        (!intact).then(|| say!("ledger.show-changed").to_owned()),
    ];
    let beside = beside.into_iter().flatten();
    let after: String = beside.flat_map(|words| ["  ".to_owned(), words]).collect();
    let before = format!(
        "{:<9} {day}  {:<10} ",
        entry.id().to_string(),
        content.actor.name
    );
    let room = LINE.saturating_sub(before.chars().count() + after.chars().count());
    format!("{before}{}{after}", report::lines::line(entry, facts, room))
}

fn show(
    id: &EntryRef,
    json: bool,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = desk::open_to_read(path)?;
    let entry = ledger.get(id)?;
    if json {
        return output.json(&EntryDocument::of(&entry, true));
    }
    let facts = registry::facts(&entry.content);
    output.line(&one_line(&entry, &facts, entry.is_intact()))?;
    output.line(&say!("ledger.show-hash", hash = entry.hash))?;
    output.line(&say!("ledger.show-previous", hash = entry.previous))?;
    output.line(&say!(
        "ledger.show-who",
        name = entry.content.actor.name,
        station = entry.content.station,
        time = words::number::time(entry.content.recorded_at),
        zone = entry.content.zone,
        how = words::ledger::identified(entry.content.actor.how)
    ))?;
    output.line(&say!(
        "ledger.show-program",
        program = entry.content.program
    ))?;
    output.line(say!("ledger.show-history"))?;
    for one in ledger.history(id)? {
        let reason = one
            .content
            .amends
            .as_ref()
            .map_or(say!("ledger.show-first"), |amendment| &amendment.reason);
        output.line(&format!(
            "  {:<9} {}: {reason}",
            one.id().to_string(),
            one.content.actor.name
        ))?;
    }
    for subject in &entry.content.subjects {
        output.line(&format!("{:<15} {}", subject.role, subject.identity))?;
    }
    if RecordKind::Inspection.is_of(&entry) {
        let (job, result) = record::read(&entry)?;
        output.line("")?;
        output.text(&text::answer(&job, &result, width()))?;
    }
    Ok(())
}
