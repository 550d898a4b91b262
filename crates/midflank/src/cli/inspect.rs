//! `midflank inspect`: one measurement by its job file.

use std::path::{Path, PathBuf};

use clap::Args;
use ledger::Entry;
use metrology::inspection::{Inspection, Job, MonteCarlo, Target, Withheld, at_hand, inspect};
use metrology::message::{Say as _, Value};
use metrology::units::LengthUnit;

use crate::cli::{lot, recorded};
use crate::clock;
use crate::desk;
use crate::document::Inspected;
use crate::document::Printed as _;
use crate::failure::Failure;
use crate::job_file::{self, Clock};
use crate::option::Line;
use crate::output::{Output, warn};
use crate::record::{self, RecordNote};
use crate::register::Shelf;
use crate::report::{self, text};
use crate::say;
use crate::words::{self};
use workshop::job_status::Barred;
use workshop::lots;
use workshop::trials;

#[derive(Args)]
#[allow(clippy::struct_excessive_bools, reason = "options")]
pub struct Arguments {
    #[arg(value_name = "JOB.toml", required = true)]
    jobs: Vec<PathBuf>,
    #[arg(long)]
    record: bool,
    #[arg(long, requires = "record")]
    again: bool,
    #[arg(long, requires = "record", conflicts_with_all = ["again", "monte_carlo", "readings"])]
    trial: bool,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: Option<String>,
    #[arg(long)]
    monte_carlo: bool,
    #[arg(long, value_name = "N", default_value_t = 1, requires = "monte_carlo")]
    seed: u64,
    #[arg(long, value_name = "N", default_value_t = MonteCarlo::MOST_TRIALS, requires = "monte_carlo")]
    trials: u64,
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=2), requires = "monte_carlo")]
    digits: u32,
    #[arg(long)]
    json: bool,
    #[arg(long, value_name = "FILE.csv", requires = "setup", conflicts_with_all = ["again", "monte_carlo"])]
    readings: Option<PathBuf>,
    #[arg(long, value_name = "SETUP.toml", requires = "readings")]
    setup: Option<PathBuf>,
    #[arg(long, requires = "readings", conflicts_with = "json")]
    csv: bool,
    #[arg(long, requires = "readings", conflicts_with_all = ["json", "csv"])]
    short: bool,
}

impl Arguments {
    /// With a file of readings the first file is a plan and no job.
    fn of_lot(&self) -> Option<lot::Asked<'_>> {
        Some(lot::Asked {
            plans: &self.jobs,
            readings: self.readings.as_deref()?,
            set_up: self.setup.as_deref()?,
            shown: match (self.json, self.csv, self.short) {
                (true, _, _) => lot::Shown::Json,
                (_, true, _) => lot::Shown::Csv,
                (_, _, true) => lot::Shown::Short,
                _ => lot::Shown::Table,
            },
            record: self.record,
            person: self.person.as_deref(),
        })
    }
}

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    if let Some(asked) = arguments.of_lot() {
        return lot::run(&asked, ledger, output);
    }
    let mut recorded = 0;
    let done = each(arguments, ledger, &mut recorded, output);
    let all = arguments.jobs.len();
    if arguments.record && all > 1 {
        warn(&say!("ledger.went-in", n = recorded, all = all));
    }
    done
}

fn each(
    arguments: &Arguments,
    ledger: Option<&Path>,
    recorded: &mut usize,
    output: &mut Output,
) -> Result<(), Failure> {
    let mut all_answered = true;
    let shelf = desk::shelf(ledger);
    let shelf = if arguments.trial {
        shelf.for_trial()
    } else {
        shelf
    };
    for (index, path) in arguments.jobs.iter().enumerate() {
        match one(arguments, path, &shelf, ledger, (index, recorded), output) {
            // The others are still answered.
            Err(Failure::Input(message)) if arguments.jobs.len() > 1 => {
                all_answered = false;
                output.finish()?;
                Failure::Input(message).say();
            }
            done => done?,
        }
        output.finish()?;
    }
    if all_answered {
        Ok(())
    } else {
        Err(Failure::SomeLines)
    }
}

fn one(
    arguments: &Arguments,
    path: &Path,
    shelf: &Shelf,
    ledger: Option<&Path>,
    (index, recorded): (usize, &mut usize),
    output: &mut Output,
) -> Result<(), Failure> {
    let now = clock::now()?;
    let mut job = read(path, now, shelf)?;
    if job.person.is_none() {
        job.person.clone_from(&arguments.person);
    }
    if arguments.trial {
        let entry = kept_as_trial(arguments, path, job, (shelf, ledger), output)?;
        *recorded += 1;
        return recorded::acknowledge(&entry, arguments.json, output)
            .and_then(|()| output.finish())
            .map_err(|failure| failure.although_recorded(&entry.id().to_string()));
    }
    job.monte_carlo = arguments.monte_carlo.then_some(MonteCarlo {
        seed: arguments.seed,
        most_trials: arguments.trials,
        digits: arguments.digits,
    });
    let (inspection, mut result) = computed(path, &job)?;
    if arguments.record
        && let Some(flagged @ Withheld::Flagged { .. }) = &inspection.withheld
    {
        return Err(Failure::refused(flagged).about(path));
    }
    // Recorded before it is shown: an answer that is on the screen is on the disk.
    let entry = if arguments.record {
        // A time that the file does not state is that of this run, and another each time.
        let from_clock = job.measured_at == now;
        let entry = put(arguments, ledger, &mut job, &result, from_clock)
            .map_err(|failure| failure.about(path))?;
        *recorded += 1;
        Some(entry)
    } else {
        None
    };
    // What is owned today is no input of the record, and so stands in none.
    if result.settle.is_some()
        && let Ok(register) = shelf.register()
    {
        let owned = register.owned_for(&job.characteristic);
        result.at_hand = at_hand(&job, &inspection, &owned).map(|found| found.message());
    }
    let answered = answer(arguments, &job, &result, index, output);
    match entry {
        Some(entry) => answered
            .and_then(|()| recorded::acknowledge(&entry, arguments.json, output))
            .and_then(|()| output.finish())
            .map_err(|failure| failure.although_recorded(&entry.id().to_string())),
        None => answered,
    }
}

/// Keeps what was read with barred equipment, without a result.
fn kept_as_trial(
    arguments: &Arguments,
    path: &Path,
    job: Job,
    (shelf, ledger): (&Shelf, Option<&Path>),
    output: &mut Output,
) -> Result<Entry, Failure> {
    let person = job.person.clone().unwrap_or_default();
    let trial =
        trials::of(job, shelf.register()?).map_err(|why| Failure::refused(&why).about(path))?;
    let draft = trials::draft(&trial, &desk::recorder(&person))
        .map_err(|error| Failure::from(error).about(path))?;
    let entry = desk::open(ledger)?.append(&draft)?;
    let told = if arguments.json {
        output.json(&report::trial::document(&trial, &entry))
    } else {
        output.text(&report::trial::report(&trial))
    };
    told.map_err(|failure| failure.although_recorded(&entry.id().to_string()))?;
    Ok(entry)
}

/// Puts a job on the record; the same one only where that is asked for, and then the record says so.
fn put(
    arguments: &Arguments,
    ledger: Option<&Path>,
    job: &mut Job,
    result: &Inspected,
    from_clock: bool,
) -> Result<Entry, Failure> {
    let draft = |job: &Job| desk::draft(job, result, arguments.person.as_deref());
    let first = draft(job)?;
    let ledger = desk::open(ledger)?;
    if let Some(number) = job.part.lot.as_deref() {
        if let Some(lot) = lots::find(&ledger, number)? {
            lot.admits(job.measured_on)?;
        } else if let Some(known) = lots::begun_almost_as(&ledger, number)? {
            let almost = say!("lot-run.lot-almost", lot = number.trim(), known = known);
            warn(&say!("command.warning", what = almost));
        }
    }
    if let Some(entry) = record::earlier(&ledger, &first, from_clock)? {
        let piece = job.part.sample.as_deref().unwrap_or_default();
        let repeat = match job.part.characteristic.as_deref() {
            Some(number) => say!(
                "lot-run.repeat",
                piece = piece,
                characteristic = number,
                entry = entry
            ),
            None => say!("lot-run.repeat-unnumbered", piece = piece, entry = entry),
        };
        warn(&say!("command.warning", what = repeat));
    }
    if !arguments.again {
        return Ok(record::append_once(&ledger, &first, from_clock)?);
    }
    if let Some(same) = record::same_job(&ledger, &first, from_clock)? {
        let entry = same.to_string();
        job.notes.push(Value::said(RecordNote::Again { entry }));
    }
    Ok(ledger.append(&draft(job)?)?)
}

fn answer(
    arguments: &Arguments,
    job: &Job,
    result: &Inspected,
    index: usize,
    output: &mut Output,
) -> Result<(), Failure> {
    if arguments.json {
        return output.json(&result.printed().map_err(Failure::outside)?);
    }
    let width = crate::output::width();
    if index > 0 {
        output.line(&"-".repeat(width.min(text::WIDTH)))?;
    }
    output.text(&text::answer(job, result, width))
}

/// Reads a job file at a moment.
pub fn read(path: &Path, clock: impl Into<Clock>, shelf: &Shelf) -> Result<Job, Failure> {
    let job = job_file::read(path, clock, shelf);
    // What the register holds today is no input of the result, and so stands beside it and not in it.
    for remark in words::remarks(shelf.remarks()) {
        warn(&say!("command.warning", what = remark));
    }
    let job = job.and_then(|mut job| {
        // What its lot asks of the room holds for each piece of it, however that is recorded.
        if job.part.lot.is_some() {
            shelf.in_ledger(|ledger| lots::tell_room(ledger, &mut job).map(Some))?;
        }
        Ok(job)
    });
    job.map_err(|error| {
        let is_barred = Barred::is(&error);
        match Failure::from(error) {
            Failure::Input(why) if is_barred => {
                Failure::Input(say!("trial.may-be-kept", why = why))
            }
            failure => failure,
        }
    })
}

/// Computes a job; `path` is named in the error.
pub fn compute(path: &Path, job: &Job) -> Result<Inspected, Failure> {
    computed(path, job).map(|(_, document)| document)
}

/// The same, with what the document is made from.
fn computed(path: &Path, job: &Job) -> Result<(Inspection, Inspected), Failure> {
    let result = inspect(job).map_err(|error| {
        // A refusal speaks in the unit of the drawing, where that much is known.
        let drawing = Target::of(&job.characteristic);
        let unit = drawing.map_or(LengthUnit::Millimetre, |target| target.unit);
        Failure::refused_in(&error, unit).about(path)
    })?;
    let document = Inspected::of(job, &result);
    Ok((result, document))
}
