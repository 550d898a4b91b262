//! `midflank export`: the ledger as an archive, a file for each month of recording.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan as _, tz::TimeZone};
use ledger::{Filter, Known, Ledger, Order, Page};
use workshop::on_record;

use crate::desk;
use crate::exchange::archive::{Archive, Form};
use crate::failure::Failure;
use crate::files;
use crate::output::Output;
use crate::record;
use crate::say;

/// So many entries are in memory at once.
const AT_ONCE: u32 = 1000;

#[derive(Args)]
pub struct Arguments {
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
    #[arg(long, value_name = "MONTH", value_parser = month)]
    month: Vec<Date>,
    #[arg(long, conflicts_with = "documents")]
    csv: bool,
    #[arg(long)]
    documents: bool,
    #[arg(long)]
    replace: bool,
}

/// The first day of a month, from a text such as 2026-03.
fn month(text: &str) -> Result<Date, Failure> {
    let of = |text: &str| format!("{text}-01").parse::<Date>().ok();
    of(text)
        .filter(|_| text.len() == "2026-03".len())
        .ok_or_else(|| Failure::Input(say!("export.no-month", text = text)))
}

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = desk::open_to_read(ledger)?;
    let months = if arguments.month.is_empty() {
        every_month(&ledger)?
    } else {
        arguments.month.clone()
    };
    let form = if arguments.csv {
        Form::Csv
    } else {
        Form::Ndjson
    };
    let mut any = false;
    for month in months {
        let filter = recorded_in(month)?;
        if first(&ledger, &filter)?.is_none() {
            continue;
        }
        any = true;
        fs::create_dir_all(&arguments.folder)
            .map_err(|error| files::failed(&arguments.folder, &error))?;
        let name = format!("{}.{}", month.strftime("%Y-%m"), form.ending());
        let path = arguments.folder.join(name);
        let mut lines = 0;
        files::fill(&path, arguments.replace, |file| {
            let failed = |error| files::failed(&path, &error);
            let mut archive = Archive::begin(form, file).map_err(failed)?;
            each(&ledger, &filter, |known| {
                let whole = if arguments.documents {
                    Some(ledger.get(&known.heading.id().into())?)
                } else {
                    None
                };
                whole.as_ref().map_or(Ok(()), record::intact)?;
                let facts = known.facts.as_ref();
                archive
                    .add(
                        &known.heading,
                        facts.unwrap_or(&<_>::default()),
                        whole.as_ref(),
                    )
                    .map_err(failed)
            })?;
            lines = archive.end().map_err(failed)?;
            Ok(())
        })?;
        output.line(&say!("export.wrote", n = lines, file = path.display()))?;
    }
    if !any {
        output.line(say!("export.none"))?;
    }
    Ok(())
}

/// Does something with each entry that meets a filter, page by page.
fn each(
    ledger: &Ledger,
    filter: &Filter,
    mut with: impl FnMut(&Known) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let mut next = Some(Page::first(Order::OldestFirst, AT_ONCE));
    while let Some(page) = next {
        let listing = on_record::page(ledger, filter, &page)?;
        listing.entries.iter().try_for_each(&mut with)?;
        next = listing.next;
    }
    Ok(())
}

/// The months from the earliest to the latest time of recording. A clock may have been set back, so the first entry need not be the
/// earliest one.
fn every_month(ledger: &Ledger) -> Result<Vec<Date>, Failure> {
    let Some(mut earliest) = first(ledger, &Filter::default())? else {
        return Ok(Vec::new());
    };
    let mut latest = earliest;
    loop {
        let before = Filter {
            until: Some(begin(earliest)?),
            ..Filter::default()
        };
        match first(ledger, &before)? {
            Some(month) => earliest = month,
            None => break,
        }
    }
    let mut months = Vec::new();
    let mut month = earliest;
    loop {
        if month > latest {
            let after = Filter {
                since: Some(begin(month)?),
                ..Filter::default()
            };
            match first(ledger, &after)? {
                Some(later) => latest = later.max(month),
                None => return Ok(months),
            }
        }
        months.push(month);
        month = following(month)?;
    }
}

/// The month in which the first entry that meets a filter was recorded.
fn first(ledger: &Ledger, filter: &Filter) -> Result<Option<Date>, Failure> {
    let listing = ledger.known(filter, &Page::first(Order::OldestFirst, 1))?;
    Ok(listing.entries.first().map(|known| {
        let at = known.heading.content.recorded_at;
        TimeZone::UTC.to_datetime(at).date().first_of_month()
    }))
}

/// Entries recorded in a month, UTC.
fn recorded_in(month: Date) -> Result<Filter, Failure> {
    Ok(Filter {
        since: Some(begin(month)?),
        until: Some(begin(following(month)?)?),
        ..Filter::default()
    })
}

fn following(month: Date) -> Result<Date, Failure> {
    month.checked_add(1.month()).map_err(no_such_time)
}

fn begin(month: Date) -> Result<Timestamp, Failure> {
    let midnight = month.at(0, 0, 0, 0);
    TimeZone::UTC.to_timestamp(midnight).map_err(no_such_time)
}

fn no_such_time(error: jiff::Error) -> Failure {
    Failure::input(error.to_string())
}
