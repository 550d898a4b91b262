//! `midflank certificate`: certificates from outside, and what changed from one to the next.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use serde::Serialize;
use workshop::certificates_on_record::{self as certificate, OnRecord};
use workshop::gauge_record::certificate::{CertificateError, Certified, Drift, drifts};
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_room::certificate_file;

use super::day::today;
use super::recorded;
use crate::desk;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::{Output, warn};
use crate::report::certified::drifted;
use crate::say;
use crate::words::{self, number};

#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    Add {
        #[arg(value_name = "FILE.toml")]
        file: PathBuf,
        #[arg(long)]
        json: bool,
    },
    Show {
        #[arg(value_name = "KIND")]
        kind: String,
        #[arg(value_name = "ID", value_parser = Line)]
        id: String,
        #[arg(long)]
        json: bool,
    },
}

#[derive(Serialize)]
struct Document<'a> {
    entry: String,
    #[serde(flatten)]
    certified: &'a Certified,
    traceability: &'static str,
}

#[derive(Serialize)]
struct HistoryDocument<'a> {
    certificates: Vec<Document<'a>>,
    drift: &'a [Drift],
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    match &arguments.command {
        Command::Add { file, json } => add(file, *json, path, output),
        Command::Show { kind, id, json } => show(kind, id, *json, path, output),
    }
}

/// A piece as it is named on the command line.
pub fn piece(kind: &str, id: &str) -> Result<PieceId, Failure> {
    let kind = PieceKind::read(kind).map_err(|error| Failure::refused(&error))?;
    Ok(PieceId::new(kind, id))
}

fn add(file: &Path, json: bool, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let listed = certificate_file::read(file)?;
    let traced = listed.certified.heading.traced();
    if traced.is_warning() {
        warn(&words::said(&traced));
    }
    let person = listed.person.trim();
    if person.is_empty() {
        return Err(Failure::input(say!("calibration.no-person")).about(file));
    }
    let ledger = desk::open(path)?;
    let entry = certificate::record(
        &ledger,
        &listed.certified,
        today()?,
        &desk::recorder(person),
    )
    .map_err(|error| Failure::from(error).about(file))?;
    let on_record = certificate::on_record(&entry)?;
    let answered = if json {
        output.json(&Document::of(&on_record))
    } else {
        output.line(&line(&on_record.certified))
    };
    answered
        .and_then(|()| recorded::acknowledge(&entry, json, output))
        .and_then(|()| output.finish())
        .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
}

impl<'a> Document<'a> {
    fn of(on_record: &'a OnRecord) -> Self {
        let certified = &on_record.certified;
        Self {
            entry: on_record.entry.to_string(),
            traceability: certified.heading.certificate().traceability().key(),
            certified,
        }
    }
}

/// A certificate on one line.
pub fn line(certified: &Certified) -> String {
    let heading = &certified.heading;
    say!(
        "certificate.line",
        kind = words::named("piece-kind", &certified.piece.kind),
        id = certified.piece.id,
        number = heading.number,
        date = heading.date,
        issuer = heading.issuer
    )
}

fn show(
    kind: &str,
    id: &str,
    json: bool,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let piece = piece(kind, id)?;
    let ledger = desk::open_to_read(path)?;
    let all = certificate::of(&ledger, Some(&piece))?;
    if all.is_empty() {
        return Err(Failure::refused(&CertificateError::None {
            kind: piece.kind,
            id: piece.id,
        }));
    }
    let certified: Vec<Certified> = all.iter().map(|one| one.certified.clone()).collect();
    let drift = drifts(&certified);
    if json {
        return output.json(&HistoryDocument {
            certificates: all.iter().map(Document::of).collect(),
            drift: &drift,
        });
    }
    for one in &all {
        output.line(&report(&one.certified))?;
    }
    for one in &drift {
        output.line(&drifted(one))?;
    }
    Ok(())
}

/// A certificate with its values and its traceability.
pub fn report(certified: &Certified) -> String {
    let mut lines = vec![line(certified), words::said(&certified.heading.traced())];
    lines.extend(certified.values.iter().map(|value| {
        let at = value.at.map_or(String::new(), |at| {
            say!("certificate.at", at = number::given(at))
        });
        say!(
            "certificate.value",
            quantity = value.quantity,
            at = at,
            value = number::given(value.value),
            unit = value.unit,
            expanded = number::given(value.expanded_uncertainty),
            k = number::given(value.coverage_factor)
        )
    }));
    lines.join("\n")
}
