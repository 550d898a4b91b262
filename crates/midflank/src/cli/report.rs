//! `midflank report`: a record for people to keep.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;
use ledger::{Entry, EntryRef, Ledger};

use super::Failure;
use super::output::{Output, width};
use crate::record;
use crate::report::{Record, Report, html, text};

/// Print a record as text, or write it as one HTML file
#[derive(Args)]
pub struct Arguments {
    /// Number (17), number and check (17-9f3c), or the beginning of its hash
    id: EntryRef,
    /// Write one self-contained HTML file instead; `-` for standard output
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
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
            write_whole(file, &html::page(&report))?;
            output.line(&format!("wrote {}", file.display()))
        }
    }
}

/// A note has its reason and the entry it is about, and says what holds since.
fn note(ledger: &Ledger, entry: &Entry, output: &mut Output) -> Result<(), Failure> {
    output.line(&format!(
        "Note {}, recorded {} by {}",
        entry.id(),
        entry.content.recorded_at.strftime("%Y-%m-%d %H:%M UTC"),
        entry.content.person
    ))?;
    if let Some(amendment) = &entry.content.amends {
        let about = ledger.get(&amendment.entry.into())?;
        let what = if about.content.kind == record::NOTE {
            "adds to note"
        } else {
            "withdraws entry"
        };
        output.line(&format!("{what} {}: {}", amendment.entry, amendment.reason))?;
    }
    if let Some(superseded) = Record::of(ledger, entry)?.superseded {
        output.line(&superseded.sentence())?;
    }
    output.line(&format!("hash {}", entry.hash))
}

/// Writes a new file whole or not at all: beside its place first, then moved there.
fn write_whole(path: &Path, text: &str) -> Result<(), Failure> {
    if path.exists() {
        return Err(Failure::input(format!(
            "{} exists; name a new file, so that nothing is overwritten",
            path.display()
        )));
    }
    let failed = |error: std::io::Error| {
        Failure::outside(format!("cannot write {}: {error}", path.display()))
    };
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let beside = PathBuf::from(beside);
    let written = fs::File::create(&beside)
        .and_then(|mut file| {
            file.write_all(text.as_bytes())
                .and_then(|()| file.sync_all())
        })
        .and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    written.map_err(failed)
}
