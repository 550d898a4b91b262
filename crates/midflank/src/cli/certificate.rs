//! `midflank certificate`: certificates from outside, and what changed from one to the next.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use jiff::civil::Date;
use serde::Serialize;
use workshop::certificates_on_record::{self as certificate, OnRecord};
use workshop::gauge_record::certificate::{
    CertificateError, Certified, CertifiedValue, Conformity, Drift, Heading, drifts,
};
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_room::{certificate_file, certified};
use workshop::register::Register;

use super::day::{self, today};
use super::recorded;
use crate::desk;
use crate::exchange::dcc;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::{Output, warn};
use crate::report::certified::{drifted, follows, line, report, set_apart_for, values};
use crate::say;
use crate::words;

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
    Read {
        #[arg(value_name = "FILE.xml")]
        file: PathBuf,
        #[arg(value_name = "KIND", requires = "id")]
        kind: Option<String>,
        #[arg(value_name = "ID", value_parser = Line)]
        id: Option<String>,
        #[arg(long, value_name = "MARK", value_parser = Line)]
        item: Option<String>,
        #[arg(long, value_name = "DATE", value_parser = day::read)]
        due: Option<Date>,
        #[arg(long, requires_all = ["kind", "id", "person"])]
        record: bool,
        #[arg(long, value_name = "NAME", value_parser = Line)]
        person: Option<String>,
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
        Command::Read {
            file,
            kind,
            id,
            item,
            due,
            record,
            person,
            json,
        } => {
            let read = dcc::read::file(file, item.as_deref())?;
            let piece = match (kind, id) {
                (Some(kind), Some(id)) => Some(piece(kind, id)?),
                _ => None,
            };
            let Some((piece, person)) = piece.as_ref().zip(person.as_ref()).filter(|_| *record)
            else {
                return shown(&read, piece.as_ref(), *json, output);
            };
            if read.values.is_empty() {
                return Err(Failure::input(say!("dcc.nothing-taken")).about(file));
            }
            other_mark(&read, piece);
            let certified = Certified {
                piece: piece.clone(),
                conformity: read.conforms().map(|stated| stated.key().to_owned()),
                heading: read.heading,
                values: read.values,
                due: *due,
            };
            keep(file, &certified, person.trim(), *json, path, output)
        }
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
    keep(file, &listed.certified, person, json, path, output)
}

/// Puts a certificate on the record.
fn keep(
    file: &Path,
    certified: &Certified,
    person: &str,
    json: bool,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = desk::open(path)?;
    let number = certified.heading.number.trim();
    let reason = |stated: Conformity| set_apart_for(number, stated);
    let recorder = desk::recorder(person);
    let (entry, apart) = certified::record(&ledger, certified, today()?, &recorder, &reason)
        .map_err(|error| Failure::from(error).about(file))?;
    let on_record = certificate::on_record(&entry)?;
    for told in follows(&Register::read(&ledger)?, certified, apart.as_ref()) {
        warn(&told);
    }
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

/// What was read of a DCC, before anything of it is recorded.
#[derive(Serialize)]
struct ReadDocument<'a> {
    version: &'a str,
    item: &'a str,
    marked: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    piece: Option<&'a PieceId>,
    heading: &'a Heading,
    traceability: &'static str,
    values: &'a [CertifiedValue],
    left: Vec<LeftDocument<'a>>,
    conformity: Vec<ConformityDocument<'a>>,
}

/// What is stated of the conformity.
#[derive(Serialize)]
struct ConformityDocument<'a> {
    of: &'a str,
    stated: &'static str,
}

/// What was not taken.
#[derive(Serialize)]
struct LeftDocument<'a> {
    quantity: &'a str,
    reason: &'a str,
}

fn shown(
    read: &dcc::read::Read,
    piece: Option<&PieceId>,
    json: bool,
    output: &mut Output,
) -> Result<(), Failure> {
    if let Some(piece) = piece {
        other_mark(read, piece);
    }
    if let Some(stated) = read.conforms().filter(|stated| !stated.is_shown()) {
        warn(&say!("dcc.not-conforming", stated = words::word(&stated)));
    }
    let heading = &read.heading;
    if json {
        let left = read.left.iter();
        let left = left.map(|(quantity, reason)| LeftDocument { quantity, reason });
        let stated = read.conformity.iter();
        let stated = stated.map(|(of, stated)| ConformityDocument {
            of,
            stated: stated.key(),
        });
        return output.json(&ReadDocument {
            version: &read.version,
            item: &read.item,
            marked: &read.marked,
            piece,
            heading,
            traceability: heading.certificate().traceability().key(),
            values: &read.values,
            left: left.collect(),
            conformity: stated.collect(),
        });
    }
    let mut lines = vec![
        say!(
            "dcc.heading",
            version = read.version,
            number = heading.number,
            date = heading.date,
            issuer = heading.issuer
        ),
        say!(
            "dcc.item",
            item = read.item,
            marked = read.marked.join(", ")
        ),
        words::said(&heading.traced()),
    ];
    if let Some(text) = &heading.procedure {
        lines.push(say!("dcc.procedure", text = text));
    }
    if let Some(text) = &heading.conditions {
        lines.push(say!("dcc.conditions", text = text));
    }
    lines.push(say!("dcc.taken").to_owned());
    lines.extend(values(&read.values).map(|line| format!("  {line}")));
    if !read.left.is_empty() {
        lines.push(say!("dcc.left").to_owned());
        let left = read.left.iter();
        lines.extend(
            left.map(|(name, why)| format!("  {}", say!("dcc.left-line", name = name, why = why))),
        );
    }
    lines.extend(read.conformity.iter().map(|(of, stated)| {
        let stated = words::word(stated);
        match of.as_str() {
            "" => say!("dcc.stated", stated = stated),
            of => say!("dcc.stated-of", of = of, stated = stated),
        }
    }));
    lines.push(say!("dcc.not-recorded").to_owned());
    output.text(&lines.join("\n"))
}

/// Says where the item is marked with something else than the piece it is to be of.
fn other_mark(read: &dcc::read::Read, piece: &PieceId) {
    if !read.marked.contains(&piece.id) {
        let marked = read.marked.join(", ");
        let what = say!("dcc.other-mark", marked = marked, id = piece.id);
        warn(&say!("command.warning", what = what));
    }
}
