//! `midflank report`: a record for people to keep.

use std::path::{Path, PathBuf};

use clap::Args;
use ledger::{Entry, EntryRef, Ledger};

use crate::failure::Failure;
use crate::files;
use crate::output::{Output, width};
use crate::record;
use crate::report::{Record, Report, html, text, validated};
use crate::say;

/// Print a record as text, or write it as one HTML file
#[derive(Args)]
pub struct Arguments {
    /// Number (17), number and check (17-9f3c), or the beginning of its hash
    #[arg(value_parser = super::ledger::parse_entry)]
    id: EntryRef,
    /// Write one self-contained HTML file instead; `-` for standard output
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Let that file take the place of one that is there
    #[arg(long, requires = "html")]
    replace: bool,
}

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = record::open_to_read(ledger)?;
    let entry = ledger.get(&arguments.id)?;
    record::intact(&entry)?;
    if entry.content.kind == record::NOTE {
        return note(&ledger, &entry, output);
    }
    if entry.content.kind == record::VALIDATION {
        let validated = record::validation(&entry).map_err(Failure::outside)?;
        return output.text(&validated::answer(&validated, width()));
    }
    let (job, result) = record::read(&entry)?;
    let report = Report {
        job: &job,
        result: &result,
        record: Some(Record::of(&ledger, &entry)?),
    };
    match &arguments.html {
        None => output.text(&text::report(&report, width())),
        Some(file) if file.as_os_str() == "-" => output.bytes(html::page(&report).as_bytes()),
        Some(file) => {
            files::write(file, html::page(&report).as_bytes(), arguments.replace)?;
            output.line(&say!("command.wrote", file = file.display()))
        }
    }
}

/// A note has its reason and the entry it is about, and says what holds since.
fn note(ledger: &Ledger, entry: &Entry, output: &mut Output) -> Result<(), Failure> {
    output.line(&say!(
        "record.note",
        entry = entry.id(),
        time = entry.content.recorded_at.strftime("%Y-%m-%d %H:%M UTC"),
        person = entry.content.actor.name
    ))?;
    if let Some(amendment) = &entry.content.amends {
        let about = ledger.get(&amendment.entry.into())?;
        let (of, reason) = (amendment.entry, &amendment.reason);
        output.line(&if about.content.kind == record::NOTE {
            say!("record.adds-to", entry = of, reason = reason)
        } else {
            say!("record.withdraws", entry = of, reason = reason)
        })?;
    }
    if let Some(superseded) = Record::of(ledger, entry)?.superseded {
        output.line(&superseded.sentence())?;
    }
    output.line(&say!("record.hash", hash = entry.hash))
}
