//! Studies that are run at the bench: begun here, and looked at once they are on the record.

use std::path::Path;

use clap::Args;
use jiff::civil::Date;
use ledger::EntryRef;
use serde::Serialize;
use workshop::bench::Event;
use workshop::bench::studying::{self, Asked};
use workshop::gauge_room::studies::{self, Approve};
use workshop::recorder::actor;

use super::given::Wanted;
use crate::approvals::{Approvals, Approving, Standing};
use crate::cli::default::{ApprovalDocument, parse_date, two_sizes};
use crate::cli::ledger::parse_entry;
use crate::cli::recorded;
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::Output;
use crate::report::approved::told;
use crate::report::sheet::recorded_study::{RecordedStudy, StudyDocument};
use crate::report::studied;
use crate::say;
use crate::station;

#[derive(Args)]
pub struct BeginArguments {
    #[arg(long, value_name = "KIND")]
    kind: String,
    #[arg(long, value_name = "CHARACTERISTIC")]
    characteristic: String,
    #[arg(long, value_name = "PARTS")]
    parts: String,
    #[arg(long, value_name = "NAMES")]
    operators: String,
    #[arg(long, value_name = "N")]
    trials: Option<String>,
    #[arg(long, value_name = "LEN")]
    reference: Option<String>,
    #[arg(long, value_name = "SEED")]
    seed: Option<String>,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: String,
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct BegunDocument {
    job: u64,
    kind: &'static str,
    readings: usize,
    seed: u64,
}

/// Begins a study as a parked job, which any station takes up.
pub fn begin(
    arguments: &BeginArguments,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let text = |option: &Option<String>| option.clone().unwrap_or_default();
    let asked = Asked {
        kind: arguments.kind.clone(),
        characteristic: arguments.characteristic.clone(),
        parts: arguments.parts.clone(),
        operators: arguments.operators.clone(),
        trials: text(&arguments.trials),
        reference: text(&arguments.reference),
        seed: text(&arguments.seed),
    };
    let plan = studying::planned(&asked, clock::chance()?)?;
    let (kind, seed) = (plan.kind.key(), plan.seed);
    let readings = plan.planned();
    let events = [
        Event::Begun { keeps: None },
        Event::Study {
            plan: Box::new(plan),
        },
        Event::Parked,
    ];
    let ledger = desk::open(path)?;
    let events = desk::bench_events(&actor(arguments.person.trim()), &events)?;
    let job = ledger.begin_job(clock::now()?, &events)?;
    if arguments.json {
        return output.json(&BegunDocument {
            job,
            kind,
            readings,
            seed,
        });
    }
    output.line(&say!(
        "study-run.begun",
        job = job,
        n = readings,
        seed = seed
    ))
}

#[derive(Args)]
pub struct ListArguments {
    #[arg(long)]
    json: bool,
}

pub fn list(
    arguments: &ListArguments,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = desk::open_to_read(path)?;
    let all = studies::all(&ledger)?;
    if arguments.json {
        let approvals = Approvals::read(&ledger)?;
        let all = all.iter().map(|one| StudyDocument::of(one, &approvals));
        return output.json(&all.collect::<Vec<_>>());
    }
    if all.is_empty() {
        output.line(say!("study-run.none"))?;
    }
    all.iter().try_for_each(|one| {
        output.line(&format!(
            "{} {} {}",
            one.entry,
            one.study.on,
            studied::listed(one)
        ))
    })
}

#[derive(Args)]
pub struct ApproveArguments {
    #[arg(value_name = "ENTRY", value_parser = parse_entry)]
    study: EntryRef,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: String,
    #[arg(long, value_name = "TEXT", value_parser = Line)]
    reason: String,
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    from: Option<Date>,
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    review_due: Date,
    #[arg(long, value_name = "LEN..LEN")]
    sizes: Option<String>,
    #[arg(long)]
    json: bool,
}

/// Approves a study for its set-up.
pub fn approve(
    arguments: &ApproveArguments,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let today = station::day(clock::now()?);
    let how = Approve {
        person: arguments.person.clone(),
        reason: arguments.reason.clone(),
        on: arguments.from.unwrap_or(today),
        review_due: arguments.review_due,
        sizes: arguments.sizes.as_deref().map(two_sizes).transpose()?,
    };
    let ledger = desk::open_existing(path)?;
    let recorder = desk::recorder(how.person.trim());
    let anew = say!("approval.anew");
    let (entry, approved) =
        studies::approve(&ledger, &arguments.study, &how, today, &recorder, anew)?;
    let standing = Standing {
        approving: Approving::Study(Box::new(approved)),
        entry: entry.id(),
    };
    let answered = if arguments.json {
        output.json(&ApprovalDocument::of(&standing)?)
    } else {
        output.line(&told(&standing.approving))
    };
    answered
        .and_then(|()| recorded::acknowledge(&entry, arguments.json, output))
        .and_then(|()| output.finish())
        .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
}

#[derive(Args)]
pub struct ShowArguments {
    #[arg(value_name = "ENTRY", value_parser = parse_entry)]
    study: EntryRef,
    #[arg(long, conflicts_with_all = ["json", "xlsx", "html", "pdf"])]
    csv: bool,
    #[command(flatten)]
    wanted: Wanted,
}

pub fn show(
    arguments: &ShowArguments,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = desk::open_to_read(path)?;
    let entry = ledger.get(&arguments.study)?;
    let study = RecordedStudy::of(&ledger, &entry)?;
    if arguments.csv {
        return output.text(&study.csv());
    }
    let document = study.document();
    let sheet = study.sheet()?;
    arguments.wanted.give(output, &document, sheet)
}
