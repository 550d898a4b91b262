//! `midflank report`: a record for people to keep.

use std::path::{Path, PathBuf};

use clap::Args;
use ledger::EntryRef;

use super::kinds;
use crate::desk;
use crate::failure::Failure;
use crate::files;
use crate::output::{Output, width};
use crate::record;
use crate::report::{Record, Report, html, text};
use crate::say;

#[derive(Args)]
pub struct Arguments {
    #[arg(value_parser = super::ledger::parse_entry)]
    id: EntryRef,
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    #[arg(long, requires = "html")]
    replace: bool,
}

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = desk::open_to_read(ledger)?;
    let entry = ledger.get(&arguments.id)?;
    record::intact(&entry)?;
    if let Some(report) = kinds::report(&ledger, &entry)? {
        return output.text(&report);
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
