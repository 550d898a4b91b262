//! `midflank status`: whether a piece may be used, for what, who has it, and whether its due date is extended.

use std::path::Path;

use clap::{Args, Subcommand};
use jiff::civil::Date;
use ledger::Ledger;
use serde::Serialize;
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_record::status::{Change, Extension, Set};
use workshop::gauge_room::due;
use workshop::register::{Register, nearest};
use workshop::status::{self, Changed};

use super::certificate::piece;
use super::day::{self, today};
use super::recorded;
use crate::desk;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::{Output, warn};
use crate::report::status::line;
use crate::say;
use crate::words;

#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    Set(SetArguments),
    Show {
        #[arg(value_name = "KIND")]
        kind: String,
        #[arg(value_name = "ID", value_parser = Line)]
        id: String,
        #[arg(long)]
        json: bool,
    },
}

#[derive(Args)]
struct SetArguments {
    #[arg(value_name = "KIND")]
    kind: String,
    #[arg(value_name = "ID", value_parser = Line)]
    id: String,
    #[arg(value_name = "STATUS", value_parser = set)]
    status: Set,
    #[arg(long, value_name = "WHY")]
    reason: String,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: String,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    holder: Option<String>,
    #[arg(long = "for", value_name = "CHARACTERISTIC", num_args = 1.., value_parser = Line)]
    limited_to: Vec<String>,
    #[arg(long, value_name = "DATE", value_parser = day::read)]
    due: Option<Date>,
    #[arg(long, value_name = "DATE", value_parser = day::read, requires = "check")]
    extend_until: Option<Date>,
    #[arg(long, value_name = "CHECK", value_parser = Line, requires = "extend_until")]
    check: Option<String>,
    #[arg(long)]
    json: bool,
}

fn set(text: &str) -> Result<Set, Failure> {
    Set::of(text).ok_or_else(|| {
        let known = Set::EVERY.iter().map(|set| set.key().to_owned());
        let known = words::choice(known);
        Failure::input(say!("status-error.no-status", text = text, known = known))
    })
}

#[derive(Serialize)]
struct Document<'a> {
    entry: String,
    recorded_at: jiff::Timestamp,
    person: &'a str,
    #[serde(flatten)]
    change: &'a Change,
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    match &arguments.command {
        Command::Set(arguments) => arguments.record(path, output),
        Command::Show { kind, id, json } => show(&piece(kind, id)?, *json, path, output),
    }
}

impl SetArguments {
    fn record(&self, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
        let piece = piece(&self.kind, &self.id)?;
        let ledger = desk::open(path)?;
        let register = Register::read(&ledger)?;
        let today = today()?;
        check_identity(&ledger, &register, &piece, today)?;
        let before = status::changes(&ledger, Some(&piece))?;
        let before = before.last().map(|one| &one.change);
        let extension = self.extend_until.map(|until| Extension {
            until,
            by: self.person.trim().to_owned(),
            reason: self.reason.trim().to_owned(),
            check: self.check.clone().unwrap_or_default(),
        });
        let (set_due, stands) = due::set_of(&ledger, &register, &piece)?;
        let stands = stands
            .filter(|_| self.due.is_none() && matches!(self.status, Set::InUse | Set::Limited))
            .filter(|extension| extension.until >= today);
        let change = Change {
            piece,
            status: self.status.key().to_owned(),
            holder: self
                .holder
                .clone()
                .or_else(|| before.and_then(|before| before.holder.clone())),
            limited_to: self.limited_to.clone(),
            due: self.due.or(set_due),
            extension: extension.or(stands),
            reason: self.reason.trim().to_owned(),
            calibration: None,
        };
        let recorder = desk::recorder(self.person.trim());
        let certified = due::by_certificate(&register, &change.piece, today);
        let entry = status::record(&ledger, &change, certified, today, &recorder)?;
        self.warn_of_register(&register)?;
        let changed = status::changed(&entry)?;
        let answered = if self.json {
            output.json(&Document::of(&changed))
        } else {
            output.line(&line(&changed))
        };
        answered
            .and_then(|()| recorded::acknowledge(&entry, self.json, output))
            .and_then(|()| output.finish())
            .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
    }

    /// What the register sets apart is not in use, whatever is set here.
    fn warn_of_register(&self, register: &Register) -> Result<(), Failure> {
        let piece = piece(&self.kind, &self.id)?;
        let kind = piece.kind().and_then(PieceKind::registered);
        let state = kind
            .and_then(|kind| register.find(kind, &piece.id))
            .map(|known| known.described.state())
            .filter(|state| !state.is_active());
        if let (Some(state), Set::InUse | Set::Limited) = (state, self.status) {
            warn(&say!(
                "status.register-bars",
                kind = piece.kind,
                id = piece.id,
                state = words::word(&state)
            ));
        }
        Ok(())
    }
}

/// An identity that nobody has is refused, and one that differs from a registered one by letter case alone; one that only records
/// know is warned of.
fn check_identity(
    ledger: &Ledger,
    register: &Register,
    piece: &PieceId,
    today: Date,
) -> Result<(), Failure> {
    let registered = piece.kind().and_then(PieceKind::registered);
    if registered.is_some_and(|kind| register.find(kind, &piece.id).is_some()) {
        return Ok(());
    }
    let name = words::named("piece-kind", &piece.kind);
    if let Some(alike) = registered.and_then(|kind| register.alike(kind, &piece.id)) {
        let (id, kind) = (&piece.id, name);
        return Err(Failure::input(say!(
            "status-error.alike",
            kind = kind,
            id = id,
            alike = alike
        )));
    }
    let is_named = status::is_named(ledger, piece)?;
    let mut nearest = match registered {
        Some(kind) => register.nearest(Some(kind), &piece.id),
        None if is_named => Vec::new(),
        None => {
            let known = due::calendar(ledger, today)?;
            let known = known.iter().map(|entry| &entry.piece);
            let known = known.filter(|known| known.kind == piece.kind);
            nearest(&piece.id, known.map(|known| known.id.as_str()))
        }
    };
    // Either contact of a pair has an identity too, and the status is that of the pair.
    nearest.retain(|known| *known != piece.id);
    if !is_named {
        return Err(Failure::input(nobody_has(piece, &name, nearest)));
    }
    // What the register cannot have is known by its records alone.
    if registered.is_none() {
        return Ok(());
    }
    warn(&say!("status.not-registered", kind = name, id = piece.id));
    if !nearest.is_empty() {
        warn(&say!("status.nearest", ids = words::choice(nearest)));
    }
    Ok(())
}

/// That there is no such piece, those that may be meant, and how one comes to be known.
fn nobody_has(piece: &PieceId, name: &str, nearest: Vec<String>) -> String {
    let foreign = words::foreign_letter(&piece.id);
    let foreign = foreign.map_or_else(String::new, |foreign| format!(" ({foreign})"));
    let how = match piece.kind() {
        Some(PieceKind::Blocks) => say!("status-error.record-certificate"),
        Some(PieceKind::CheckPart) => say!("status-error.record-check"),
        _ => say!("status-error.register-it"),
    };
    if nearest.is_empty() {
        return say!(
            "status-error.unknown",
            kind = name,
            id = piece.id,
            how = how
        ) + &foreign;
    }
    let ids = words::choice(nearest.iter().map(|id| format!("`{id}`")));
    say!(
        "status-error.unknown-near",
        kind = name,
        id = piece.id,
        ids = ids,
        how = how
    ) + &foreign
}

impl<'a> Document<'a> {
    fn of(changed: &'a Changed) -> Self {
        Self {
            entry: changed.entry.to_string(),
            recorded_at: changed.at,
            person: &changed.person,
            change: &changed.change,
        }
    }
}

fn show(
    piece: &PieceId,
    json: bool,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = desk::open_to_read(path)?;
    let all = status::changes(&ledger, Some(piece))?;
    if all.is_empty() {
        return Err(Failure::input(say!(
            "status-error.none",
            kind = words::named("piece-kind", &piece.kind),
            id = piece.id
        )));
    }
    for changed in &all {
        if json {
            output.json(&Document::of(changed))?;
        } else {
            output.line(&format!(
                "{} {}",
                changed.at.strftime("%Y-%m-%d %H:%M"),
                line(changed)
            ))?;
        }
    }
    Ok(())
}
