//! `midflank recalls`: recalls kept as cases, and what is decided of their results.

use std::path::Path;

use clap::{Args, Subcommand};
use ledger::{Entry, EntryRef};
use serde::Serialize;
use workshop::gauge_record::case::{Case, Decided};
use workshop::gauge_room::case;

use super::ledger::parse_entry;
use super::recorded;
use crate::desk;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::Output;
use crate::report::cases::{line, report};
use crate::say;
use crate::words::{self, number};

#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
enum Command {
    List {
        #[arg(long)]
        json: bool,
    },
    Show {
        #[arg(value_name = "CASE", value_parser = parse_entry)]
        case: EntryRef,
        #[arg(long, conflicts_with = "csv")]
        json: bool,
        #[arg(long)]
        csv: bool,
    },
    Decide {
        #[arg(value_name = "CASE", value_parser = parse_entry)]
        case: EntryRef,
        #[arg(value_name = "DECISION", value_parser = decided)]
        decided: Decided,
        #[arg(value_name = "RESULT", num_args = 1.., required = true, value_parser = Line)]
        results: Vec<String>,
        #[arg(long, value_name = "NAME", value_parser = Line)]
        person: String,
        #[arg(long, value_name = "TEXT")]
        note: Option<String>,
    },
}

fn decided(text: &str) -> Result<Decided, Failure> {
    Decided::of(text).ok_or_else(|| {
        let known = Decided::EVERY.iter().map(|one| one.key().to_owned());
        let known = words::choice(known);
        Failure::input(say!("recall-case.no-decision", text = text, known = known))
    })
}

#[derive(Serialize)]
struct Document<'a> {
    entry: String,
    open: usize,
    #[serde(flatten)]
    case: &'a Case,
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    match &arguments.command {
        None => list(path, false, output),
        Some(Command::List { json }) => list(path, *json, output),
        Some(Command::Show { case, json, csv }) => {
            let ledger = desk::open_to_read(path)?;
            let (entry, case) = case::latest(&ledger, case)?;
            if *json {
                output.json(&Document::of(&entry, &case))
            } else if *csv {
                output.text(&table(&case)?)
            } else {
                output.text(&report(&case))
            }
        }
        Some(Command::Decide {
            case,
            decided,
            results,
            person,
            note,
        }) => {
            let ledger = desk::open_existing(path)?;
            let recorder = desk::recorder(person.trim());
            let reason = say!(
                "recall-case.decided",
                n = results.len(),
                what = words::word(decided)
            );
            let note = note.as_deref();
            let entry = case::decide(&ledger, case, results, *decided, note, &recorder, &reason)?;
            recorded::acknowledge(&entry, false, output)
        }
    }
}

fn list(path: Option<&Path>, json: bool, output: &mut Output) -> Result<(), Failure> {
    let ledger = desk::open_to_read(path)?;
    let all = case::all(&ledger)?;
    if all.is_empty() && !json {
        output.line(say!("recall-case.none"))?;
    }
    for (entry, case) in &all {
        if json {
            output.json(&Document::of(entry, case))?;
        } else {
            output.line(&format!("{:<9} {}", entry.id(), line(case)))?;
        }
    }
    Ok(())
}

impl<'a> Document<'a> {
    fn of(entry: &Entry, case: &'a Case) -> Self {
        Self {
            entry: entry.id().to_string(),
            open: case.open(),
            case,
        }
    }
}

/// The columns of an exported case.
const COLUMNS: [&str; 15] = [
    "id",
    "measured_at",
    "part",
    "characteristic",
    "sample",
    "size",
    "corrected",
    "unit",
    "before",
    "after",
    "decision",
    "person",
    "note",
    "lot",
    "piece",
];

fn table(case: &Case) -> Result<String, Failure> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS).map_err(Failure::outside)?;
    for one in &case.results {
        let decision = case.decision(&one.entry);
        let text = |text: &Option<String>| text.clone().unwrap_or_default();
        let size = |size: Option<f64>| size.map_or_else(String::new, number::given);
        writer
            .write_record([
                one.entry.clone(),
                one.measured_at.to_string(),
                text(&one.part),
                text(&one.characteristic),
                text(&one.sample),
                size(one.size),
                size(one.corrected),
                text(&one.unit),
                one.before.clone(),
                one.after.clone(),
                decision.map_or_else(String::new, |one| one.decided.clone()),
                decision.map_or_else(String::new, |one| one.person.clone()),
                decision
                    .and_then(|one| one.note.clone())
                    .unwrap_or_default(),
                text(&one.lot),
                text(&one.piece),
            ])
            .map_err(Failure::outside)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| Failure::outside(error.to_string()))?;
    String::from_utf8(bytes).map_err(Failure::outside)
}
