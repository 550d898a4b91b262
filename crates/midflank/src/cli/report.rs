//! `midflank report`: a record for people to keep.

use std::path::{Path, PathBuf};

use clap::Args;
use ledger::{Entry, EntryRef};
use workshop::RecordKind;
use workshop::gauge_room::calibration;
use workshop::gauge_room::case::OfResult;
use workshop::in_doubt;

use super::kinds;
use super::on_paper::OnPaper;
use super::written;
use crate::desk;
use crate::exchange::dcc::{self, Certificate};
use crate::exchange::qif;
use crate::exchange::results::Results;
use crate::failure::Failure;
use crate::output::{Output, width};
use crate::record;
use crate::report::first_article::FirstArticle;
use crate::report::sheet::{self, Printing};
use crate::report::{Record, Report, html, text};
use crate::say;
use crate::words;

#[derive(Args)]
pub struct Arguments {
    #[arg(value_parser = super::ledger::parse_entry)]
    id: EntryRef,
    #[arg(long, value_name = "FILE", conflicts_with = "pdf")]
    html: Option<PathBuf>,
    #[arg(long, value_name = "FILE", conflicts_with_all = ["pdf", "html"])]
    qif: Option<PathBuf>,
    #[arg(long, value_name = "FILE", conflicts_with_all = ["pdf", "html", "qif"], group = "issued")]
    dcc: Option<PathBuf>,
    #[command(flatten)]
    on_paper: OnPaper,
    #[arg(long, requires = "pdf")]
    long: bool,
}

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = desk::open_to_read(ledger)?;
    let entry = ledger.get(&arguments.id)?;
    record::intact(&entry)?;
    let is_written = arguments.on_paper.write(output, |letterhead, size| {
        let printing = Printing {
            is_long: arguments.long,
            size,
        };
        sheet::pdf(&ledger, &entry, letterhead, &printing)?
            .ok_or_else(|| Failure::input(say!("command.text-alone")))
    })?;
    if is_written {
        return Ok(());
    }
    if let Some(file) = &arguments.qif {
        let results = Results::of_entry(&entry)?;
        if let Some(recall) = OfResult::read(&ledger, entry.id())?.newest() {
            let entry = entry.id();
            return Err(Failure::input(say!(
                "exchange.recalled",
                entry = entry,
                recall = recall
            )));
        }
        if let Some(why) = in_doubt::against(&ledger, &entry)? {
            return Err(Failure::input(say!(
                "exchange.against",
                entry = entry.id(),
                why = words::said(&why)
            )));
        }
        let bytes = qif::write(&results).map_err(Failure::outside)?;
        return written::write(file, &bytes, arguments.on_paper.replace, output);
    }
    if let Some(file) = &arguments.dcc {
        let bytes = certificate(&entry, &arguments.on_paper)?;
        return written::write(file, &bytes, arguments.on_paper.replace, output);
    }
    if let Some(file) = &arguments.html
        && RecordKind::FirstArticle.is_of(&entry)
    {
        let letterhead = arguments.on_paper.letterhead()?;
        let page = FirstArticle::issued(&ledger, &entry)?.html(&letterhead, None);
        let bytes = page.into_string().into_bytes();
        return written::write(file, &bytes, arguments.on_paper.replace, output);
    }
    if let Some(report) = kinds::report(&ledger, &entry)? {
        if arguments.html.is_some() {
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
    let Some(file) = &arguments.html else {
        return output.text(&text::report(&report, width()));
    };
    let bytes = html::page(&report).into_bytes();
    written::write(file, &bytes, arguments.on_paper.replace, output)
}

/// The DCC of a recorded calibration; refused where a later entry takes its place.
fn certificate(entry: &Entry, on_paper: &OnPaper) -> Result<Vec<u8>, Failure> {
    let id = entry.id();
    if !RecordKind::Calibration.is_of(entry) {
        return Err(Failure::input(say!("exchange.no-calibration", entry = id)));
    }
    if let Some(by) = entry.amended_by {
        return Err(Failure::input(say!(
            "exchange.amended",
            entry = id,
            by = by
        )));
    }
    let letterhead = on_paper.letterhead()?;
    let country = letterhead.country.as_deref();
    let country = country.ok_or_else(|| Failure::input(say!("exchange.no-country")))?;
    let (worked, result) = (calibration::worked(entry)?, calibration::as_read(entry)?);
    let certificate = Certificate {
        worked: &worked,
        result: &result,
        letterhead: &letterhead,
        country,
        recorded_at: entry.content.recorded_at,
    };
    dcc::write(&certificate).map_err(Failure::outside)
}
