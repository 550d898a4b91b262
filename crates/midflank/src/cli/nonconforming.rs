//! `midflank nonconforming`: which pieces of lots are held, and what is decided on them.

use std::path::Path;

use clap::{Args, Subcommand};
use serde::Serialize;
use workshop::lots::{self, Dispose, Nonconforming};
use workshop::nonconformance::Disposition;

use crate::desk;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::Output;
use crate::report::nonconforming::{line, no_disposition};
use crate::say;
use crate::words;

#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    List {
        #[arg(long)]
        all: bool,
        #[arg(long)]
        json: bool,
    },
    Decide(Decide),
}

#[derive(Args)]
struct Decide {
    #[arg(value_name = "LOT", value_parser = Line)]
    lot: String,
    #[arg(value_name = "PIECE", value_parser = Line)]
    piece: String,
    #[arg(value_name = "DISPOSITION", value_parser = disposition)]
    disposition: Disposition,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: String,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    confirmed_by: Option<String>,
    #[arg(long, value_name = "NUMBER", value_parser = Line)]
    concession: Option<String>,
    #[arg(long, value_name = "TEXT", value_parser = Line)]
    note: Option<String>,
}

fn disposition(text: &str) -> Result<Disposition, Failure> {
    Disposition::of(text.trim()).ok_or_else(|| Failure::input(no_disposition(text)))
}

#[derive(Serialize)]
struct Document<'a> {
    number: &'a str,
    lot: &'a str,
    part: &'a str,
    piece: &'a str,
    disposition: &'static str,
    open: bool,
    shown_by: Vec<OfPiece<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    decided_by: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    confirmed_by: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    concession: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    entry: Option<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    measured_again: Vec<OfPiece<'a>>,
}

/// A result of the piece.
#[derive(Serialize)]
struct OfPiece<'a> {
    characteristic: &'a str,
    entry: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    decision: Option<&'static str>,
}

impl<'a> Document<'a> {
    fn of(piece: &'a Nonconforming) -> Self {
        let decided = piece.decided.as_ref();
        let decision = decided.map(|decided| &decided.decision);
        let shown_by = piece.shown_by.iter().map(|shown| OfPiece {
            characteristic: &shown.characteristic,
            entry: shown.entry.clone(),
            decision: None,
        });
        let again = piece.again.iter();
        let again = again.map(|(characteristic, entry, standing)| OfPiece {
            characteristic,
            entry: entry.to_string(),
            decision: Some(standing.key()),
        });
        Self {
            number: &piece.number,
            lot: &piece.lot,
            part: &piece.part,
            piece: &piece.piece,
            disposition: piece.disposition().key(),
            open: piece.is_open(),
            shown_by: shown_by.collect(),
            decided_by: decided.map(|decided| &*decided.person),
            confirmed_by: decision.and_then(|decision| decision.confirmed_by.as_deref()),
            concession: decision.and_then(|decision| decision.concession.as_deref()),
            note: decision.and_then(|decision| decision.note.as_deref()),
            entry: decided.map(|decided| decided.entry.to_string()),
            measured_again: again.collect(),
        }
    }
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    match &arguments.command {
        Command::List { all, json } => list(*all, *json, path, output),
        Command::Decide(decide) => decide.record(path, output),
    }
}

fn list(all: bool, json: bool, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let mut pieces = lots::all_nonconforming(&desk::open_to_read(path)?)?;
    pieces.retain(|piece| all || piece.is_open());
    for piece in &pieces {
        if json {
            output.json(&Document::of(piece))?;
        } else {
            output.line(&line(piece))?;
        }
    }
    match (json, pieces.is_empty(), all) {
        (false, true, true) => output.line(say!("nonconforming.none-of-all")),
        (false, true, false) => output.line(say!("nonconforming.none")),
        _ => Ok(()),
    }
}

impl Decide {
    fn record(&self, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
        let ledger = desk::open_existing(path)?;
        let asked = Dispose {
            lot: self.lot.clone(),
            piece: self.piece.clone(),
            disposition: self.disposition,
            concession: self.concession.clone(),
            confirmed_by: self.confirmed_by.clone(),
            note: self.note.clone(),
        };
        let recorder = desk::recorder(self.person.trim());
        let (entry, decision) = lots::dispose(&ledger, &asked, &recorder)?;
        let said = say!(
            "nonconforming.recorded",
            number = decision.number,
            disposition = words::word(&decision.disposition),
            entry = entry.id()
        );
        output
            .line(&said)
            .and_then(|()| output.finish())
            .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
    }
}
