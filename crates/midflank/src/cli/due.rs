//! `midflank due`: what is due, and what the interval methods say; `midflank interval`: the same from a file of errors as found.

use std::path::{Path, PathBuf};

use clap::Args;
use jiff::civil::Date;
use metrology::interval::{AsFound, ChartInterval, IntervalError, Staircase};
use metrology::study::{StudyError, Table};
use metrology::units::{Entered, LengthUnit};
use serde::Serialize;
use workshop::gauge_room::due::{self, Entry, Intervals, USUAL};

use super::day::{self, today};
use super::lines::read_text;
use crate::desk;
use crate::failure::Failure;
use crate::output::Output;
use crate::report::intervals::told;
use crate::say;
use crate::words;

#[derive(Args)]
pub struct Arguments {
    #[arg(long, value_name = "DATE", value_parser = day::read)]
    on: Option<Date>,
    #[arg(long, value_name = "DAYS", value_parser = clap::value_parser!(i32).range(0..100_000))]
    within: Option<i32>,
    #[arg(long)]
    intervals: bool,
    #[arg(long)]
    json: bool,
}

#[derive(Args)]
pub struct IntervalArguments {
    #[arg(value_name = "FILE.csv")]
    file: PathBuf,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    limit: String,
    #[arg(
        long,
        value_name = "LEN",
        default_value = "0um",
        allow_hyphen_values = true
    )]
    expanded_uncertainty: String,
    #[arg(long, value_name = "DAYS", default_value_t = USUAL, allow_hyphen_values = true)]
    first: f64,
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Document {
    kind: String,
    id: String,
    status: &'static str,
    due: Option<Date>,
    days_left: Option<i32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    extended_until: Option<Date>,
    holder: Option<String>,
    limited_to: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    intervals: Option<IntervalsDocument>,
}

#[derive(Serialize)]
struct IntervalsDocument {
    found: Vec<FoundDocument>,
    limit_um: f64,
    expanded_uncertainty_um: f64,
    first_days: f64,
    staircase: StaircaseDocument,
    control_chart: ChartDocument,
    control_chart_before: ChartDocument,
    shorter_days: Option<f64>,
    next_due: Option<Date>,
}

#[derive(Serialize)]
struct FoundDocument {
    on: Date,
    error_um: f64,
}

#[derive(Serialize)]
struct StaircaseDocument {
    days: Option<f64>,
    days_before: Option<f64>,
    up: f64,
    down: f64,
    within: f64,
    long_run: f64,
    error: Option<&'static str>,
}

#[derive(Serialize)]
struct ChartDocument {
    days: Option<f64>,
    slope_um_per_year: Option<f64>,
    bound_um: Option<f64>,
    capped: Option<bool>,
    error: Option<&'static str>,
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let ledger = desk::open_to_read(path)?;
    let today = match arguments.on {
        Some(day) => day,
        None => today()?,
    };
    let mut any = false;
    for entry in due::calendar(&ledger, today)? {
        let far = |within: i32| entry.left.is_none_or(|left| left > within);
        if arguments.within.is_some_and(far) {
            continue;
        }
        any = true;
        let intervals = if arguments.intervals {
            due::intervals(&ledger, &entry.piece)?
        } else {
            None
        };
        if arguments.json {
            output.json(&Document::of(&entry, intervals.as_ref()))?;
            continue;
        }
        output.line(&line(&entry))?;
        for told in intervals.iter().flat_map(told) {
            output.line(&format!("    {told}"))?;
        }
    }
    if !any && !arguments.json {
        output.line(say!("due.nothing"))?;
    }
    Ok(())
}

/// The interval of a file of errors as found.
pub fn interval(arguments: &IntervalArguments, output: &mut Output) -> Result<(), Failure> {
    let text = read_text(&arguments.file)?;
    let length = |text: &str| {
        let length = Entered::parse(text, None).map_err(|error| Failure::refused(&error))?;
        Ok::<f64, Failure>(length.value().in_unit(LengthUnit::Micrometre))
    };
    let (limit, expanded) = (
        length(&arguments.limit)?,
        length(&arguments.expanded_uncertainty)?,
    );
    if limit <= 0.0 {
        return Err(Failure::input(say!("wear.no-limit")));
    }
    if expanded < 0.0 {
        return Err(Failure::input(say!("interval.negative-uncertainty")));
    }
    let table = Table::read(&text, &["date", "error_um"]).map_err(StudyError::from);
    let table = table.map_err(|error| Failure::refused(&error).about(&arguments.file))?;
    let days = table.texts("date");
    let refused = |error| Failure::refused(&StudyError::from(error)).about(&arguments.file);
    let days = days.map_err(refused)?;
    let errors = table.numbers("error_um").map_err(refused)?;
    let mut found = Vec::new();
    for ((day, error), line) in days.iter().zip(errors).zip(table.lines()) {
        let on = day::on_line(day, line).map_err(|why| why.about(&arguments.file))?;
        found.push(AsFound {
            on,
            error: error.value(),
        });
    }
    let intervals = Intervals::of(found, limit, expanded, arguments.first);
    if let (Err(error), Err(_)) = (&intervals.staircase, &intervals.chart) {
        return Err(Failure::refused(error).about(&arguments.file));
    }
    if arguments.json {
        return output.json(&IntervalsDocument::of(&intervals));
    }
    for told in told(&intervals) {
        output.line(&told)?;
    }
    Ok(())
}

fn line(entry: &Entry) -> String {
    let due = match (entry.standing.due, entry.left) {
        (Some(due), Some(left)) if left < 0 => say!("due.past", due = due, n = -left),
        (Some(due), Some(left)) => say!("due.to-come", due = due, n = left),
        _ => say!("due.none").to_owned(),
    };
    let mut told = format!(
        "{:<11} {:<20} {:<16} {due}",
        words::word(&entry.standing.status),
        words::named("piece-kind", &entry.piece.kind),
        entry.piece.id,
    );
    if let Some(until) = entry.standing.extended_until() {
        told = format!("{told}; {}", say!("due.extended", until = until));
    }
    if let Some(holder) = &entry.standing.holder {
        told = format!("{told}; {}", say!("status.holder", holder = holder));
    }
    if !entry.standing.limited_to.is_empty() {
        let what = words::list(entry.standing.limited_to.iter().cloned());
        told = format!("{told}; {}", say!("status.for", what = what));
    }
    told
}

impl Document {
    fn of(entry: &Entry, intervals: Option<&Intervals>) -> Self {
        Self {
            kind: entry.piece.kind.clone(),
            id: entry.piece.id.clone(),
            status: entry.standing.status.key(),
            due: entry.standing.due,
            days_left: entry.left,
            extended_until: entry.standing.extended_until(),
            holder: entry.standing.holder.clone(),
            limited_to: entry.standing.limited_to.clone(),
            intervals: intervals.map(IntervalsDocument::of),
        }
    }
}

impl IntervalsDocument {
    fn of(intervals: &Intervals) -> Self {
        let settings = Staircase::default();
        let steps = intervals.staircase.as_ref();
        let shorter = intervals.shorter();
        let found = intervals.found.iter().map(|found| FoundDocument {
            on: found.on,
            error_um: found.error,
        });
        Self {
            found: found.collect(),
            limit_um: intervals.limit,
            expanded_uncertainty_um: intervals.expanded_uncertainty,
            first_days: intervals.first,
            staircase: StaircaseDocument {
                days: steps.ok().and_then(|steps| Some(steps.last()?.after)),
                days_before: intervals.staircase_before(),
                up: settings.up,
                down: settings.down,
                within: settings.within,
                long_run: settings.long_run(),
                error: steps.err().map(IntervalError::code),
            },
            control_chart: ChartDocument::of(&intervals.chart),
            control_chart_before: ChartDocument::of(&intervals.chart_before),
            shorter_days: shorter,
            next_due: intervals.next_due(),
        }
    }
}

impl ChartDocument {
    fn of(chart: &Result<ChartInterval, IntervalError>) -> Self {
        let known = chart.as_ref();
        Self {
            days: known.ok().map(|chart| chart.days),
            slope_um_per_year: known.ok().map(|chart| chart.line.slope),
            bound_um: known.ok().map(|chart| chart.bound),
            capped: known.ok().map(|chart| chart.capped),
            error: known.err().map(IntervalError::code),
        }
    }
}
