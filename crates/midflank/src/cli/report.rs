//! `midflank report`: a record for people to keep.

use crate::say;
use std::path::{Path, PathBuf};

use clap::Args;
use ledger::{Entry, EntryRef, Ledger};

use super::Failure;
use super::output::{Output, width};
use crate::files;
use crate::record;
use crate::report::{Record, Report, html, text, validated};

/// Print a record as text, or write it as one HTML file
#[derive(Args)]
pub struct Arguments {
    /// Number (17), number and check (17-9f3c), or the beginning of its hash
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
        Some(file) if file.as_os_str() == "-" => output.text(&html::page(&report)),
        Some(file) => {
            files::write(file, html::page(&report).as_bytes(), arguments.replace)?;
            output.line(&format!("wrote {}", file.display()))
        }
    }
}

/// A note has its reason and the entry it is about, and says what holds since.
fn note(ledger: &Ledger, entry: &Entry, output: &mut Output) -> Result<(), Failure> {
    output.line(&say!(
        "record.note",
        entry = entry.id(),
        entry_2 = entry.content.recorded_at.strftime("%Y-%m-%d %H:%M UTC"),
        entry_3 = entry.content.actor.name
    ))?;
    if let Some(amendment) = &entry.content.amends {
        let about = ledger.get(&amendment.entry.into())?;
        let what = if about.content.kind == record::NOTE {
            say!("record.note-adds-to-note")
        } else {
            say!("record.note-withdraws-entry")
        };
        output.line(&format!("{what} {}: {}", amendment.entry, amendment.reason))?;
    }
    if let Some(superseded) = Record::of(ledger, entry)?.superseded {
        output.line(&superseded.sentence())?;
    }
    output.line(&format!("hash {}", entry.hash))
}
