//! `midflank report`: a record for people to keep.

use std::path::{Path, PathBuf};

use clap::Args;
use ledger::EntryRef;

use super::kinds;
use crate::desk;
use crate::failure::Failure;
use crate::files;
use crate::letterhead::{Letterhead, Size};
use crate::output::{Output, width};
use crate::record;
use crate::report::sheet::{self, Printing};
use crate::report::{Record, Report, html, text};
use crate::say;

#[derive(Args)]
pub struct Arguments {
    #[arg(value_parser = super::ledger::parse_entry)]
    id: EntryRef,
    #[arg(long, value_name = "FILE", conflicts_with = "pdf")]
    html: Option<PathBuf>,
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
    #[arg(long, requires = "pdf")]
    long: bool,
    #[arg(long, requires = "pdf", value_name = "SIZE")]
    paper: Option<Size>,
    #[arg(long, requires = "pdf", value_name = "FILE")]
    laboratory: Option<PathBuf>,
    #[arg(long)]
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
        if arguments.html.is_some() || arguments.pdf.is_some() {
            return Err(Failure::input(say!("command.text-alone")));
        }
        return output.text(&report);
    }
    let (job, result) = record::read(&entry)?;
    let report = Report {
        job: &job,
        result: &result,
        record: Some(Record::of(&ledger, &entry)?),
    };
    let (file, bytes) = match (&arguments.html, &arguments.pdf) {
        (Some(file), _) => (file, html::page(&report).into_bytes()),
        (None, Some(file)) => {
            let letterhead = Letterhead::read(arguments.laboratory.as_deref())?;
            let printing = Printing {
                is_long: arguments.long,
                size: arguments.paper,
            };
            (file, sheet::pdf(&ledger, &entry, &letterhead, &printing)?)
        }
        (None, None) => return output.text(&text::report(&report, width())),
    };
    if file.as_os_str() == "-" {
        return output.bytes(&bytes);
    }
    files::write(file, &bytes, arguments.replace)?;
    output.line(&say!("command.wrote", file = file.display()))
}
