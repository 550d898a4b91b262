//! `midflank status`: whether a piece may be used, for what, who has it, and whether its due date is extended.

use std::path::Path;

use clap::{Args, Subcommand};
use jiff::civil::Date;
use serde::Serialize;
use workshop::gauge_record::piece::{PieceId, PieceKind};
use workshop::gauge_record::status::{Change, Extension, Set};
use workshop::gauge_room::due;
use workshop::register::Register;
use workshop::status::{self, Changed};

use super::certificate::piece;
use super::day::{self, today};
use super::recorded;
use crate::desk;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::{Output, warn};
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
        check_identity(&register, &piece)?;
        let before = status::changes(&ledger, Some(&piece))?;
        let before = before.last().map(|one| &one.change);
        let today = today()?;
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
        };
        let recorder = desk::recorder(self.person.trim());
        let entry = status::record(&ledger, &change, today, &recorder)?;
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

/// An identity that differs from a registered one by letter case alone is refused; one that nobody knows is warned of.
fn check_identity(register: &Register, piece: &PieceId) -> Result<(), Failure> {
    let Some(kind) = piece.kind().and_then(PieceKind::registered) else {
        return Ok(());
    };
    if register.find(kind, &piece.id).is_some() {
        return Ok(());
    }
    let name = words::named("piece-kind", &piece.kind);
    if let Some(alike) = register.alike(kind, &piece.id) {
        let (id, kind) = (&piece.id, name);
        return Err(Failure::input(say!(
            "status-error.alike",
            kind = kind,
            id = id,
            alike = alike
        )));
    }
    warn(&say!("status.not-registered", kind = name, id = piece.id));
    let nearest = register.nearest(Some(kind), &piece.id);
    if !nearest.is_empty() {
        warn(&say!("status.nearest", ids = words::choice(nearest)));
    }
    Ok(())
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

/// A change on one line.
pub fn line(changed: &Changed) -> String {
    let change = &changed.change;
    let mut told = say!(
        "status.line",
        kind = words::named("piece-kind", &change.piece.kind),
        id = change.piece.id,
        status = words::named("status-set", &change.status),
        person = changed.person,
        reason = change.reason
    );
    if !change.limited_to.is_empty() {
        let what = words::list(change.limited_to.iter().cloned());
        told = format!("{told}; {}", say!("status.for", what = what));
    }
    if let Some(holder) = &change.holder {
        told = format!("{told}; {}", say!("status.holder", holder = holder));
    }
    if let Some(due) = change.due {
        told = format!("{told}; {}", say!("status.due", due = due));
    }
    if let Some(extension) = &change.extension {
        told = format!(
            "{told}; {}",
            say!(
                "status.extension",
                until = extension.until,
                by = extension.by,
                reason = extension.reason,
                check = extension.check
            )
        );
    }
    told
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
