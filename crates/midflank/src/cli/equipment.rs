//! `midflank equipment`: what one owns.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use jiff::Timestamp;
use metrology::inspection::{State, StateError};
use serde::Serialize;
use workshop::gauge_record::status::{Extension, Set};
use workshop::status::Changed;

use super::equipment_read;
use super::on_paper::OnPaper;
use super::piece::{Change, one_line, overdue, standing};
use super::written;
use crate::clock;
use crate::desk;
use crate::equipment::UnknownKind;
use crate::exchange::sheets;
use crate::failure::Failure;
use crate::job_file;
use crate::option::Line;
use crate::output::Output;
use crate::register::{
    self, Added, Certificate, Found, Kind, Register, Registered, drift, drift_in_kelvins,
};
use crate::report::sheet::label;
use crate::{say, station, words};

#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    Add {
        #[arg(value_name = "FILE.toml", required = true)]
        files: Vec<PathBuf>,
        #[arg(long, value_name = "NAME", value_parser = Line)]
        person: Option<String>,
        #[arg(long, value_parser = Line)]
        reason: Option<String>,
        #[arg(long)]
        json: bool,
    },
    Read(equipment_read::Asked),
    List {
        #[arg(long, value_parser = parse_kind)]
        kind: Option<Kind>,
        #[arg(long)]
        json: bool,
        #[arg(long, value_name = "FILE", conflicts_with = "json")]
        xlsx: Option<PathBuf>,
        #[arg(long, requires = "xlsx")]
        replace: bool,
    },
    Show {
        id: String,
        #[arg(long, value_parser = parse_kind)]
        kind: Option<Kind>,
        #[arg(long)]
        json: bool,
    },
    Label {
        id: String,
        #[arg(long, value_parser = parse_kind)]
        kind: Option<Kind>,
        #[command(flatten)]
        on_paper: OnPaper,
    },
    State {
        id: String,
        #[arg(value_parser = parse_state)]
        state: State,
        #[arg(long, value_parser = Line)]
        reason: String,
        #[arg(long, value_name = "NAME", value_parser = Line)]
        person: String,
        #[arg(long, value_parser = parse_kind)]
        kind: Option<Kind>,
        #[arg(long)]
        json: bool,
    },
}

/// A kind by its key.
fn parse_kind(text: &str) -> Result<Kind, Failure> {
    text.parse()
        .map_err(|error: UnknownKind| Failure::refused(&error))
}

/// A state by its key, or as the gauge room and every list call it.
fn parse_state(text: &str) -> Result<State, Failure> {
    if text.trim() == Set::InUse.key() {
        return Ok(State::Active);
    }
    text.parse()
        .map_err(|error: StateError| Failure::refused(&error))
}

/// A piece as a document.
#[derive(Serialize)]
struct PieceDocument<'a> {
    kind: Kind,
    id: &'a str,
    /// With what the gauge room has set, as the calendar has it.
    status: &'static str,
    state: State,
    due: Option<jiff::civil::Date>,
    overdue: bool,
    /// The end of an extension by the gauge room.
    #[serde(skip_serializing_if = "Option::is_none")]
    extended_until: Option<jiff::civil::Date>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    limited_to: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    holder: Option<String>,
    certificate: Option<&'a str>,
    words: String,
    item: serde_json::Value,
    entry: String,
    recorded_at: Timestamp,
    person: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    change: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    history: Option<Vec<Event>>,
    /// Its dated certificates, the first first; where it has had several.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    certificates: Vec<CertificateDocument<'a>>,
    /// What they show of its drift.
    #[serde(skip_serializing_if = "Option::is_none")]
    drift_per_year: Option<String>,
}

/// One certificate of a piece.
#[derive(Serialize)]
struct CertificateDocument<'a> {
    date: jiff::civil::Date,
    certificate: Option<&'a str>,
    size: Option<&'a str>,
    /// Of a thermometer its error, kelvins.
    #[serde(skip_serializing_if = "Option::is_none")]
    error_kelvins: Option<f64>,
}

impl<'a> CertificateDocument<'a> {
    fn of(certificate: &'a Certificate) -> Self {
        Self {
            date: certificate.date,
            certificate: certificate.number.as_deref(),
            size: match &certificate.found {
                Found::Size(size) => Some(size.text()),
                Found::Curve(_) | Found::Kelvins(_) | Found::Nothing => None,
            },
            error_kelvins: match &certificate.found {
                Found::Kelvins(found) => Some(found.error),
                _ => None,
            },
        }
    }
}

impl CertificateDocument<'_> {
    /// What it certifies, where that is one value.
    fn shown(&self) -> String {
        let error = self
            .error_kelvins
            .map(|error| format!("{} K", words::number::short(error, 4)));
        error.unwrap_or_else(|| self.size.unwrap_or_default().to_owned())
    }
}

/// The drift in a year that the certificates of a piece show.
struct ShownDrift {
    /// As a document has it.
    plain: String,
    /// As a person reads it.
    rate: String,
}

fn shown_drift(piece: &Registered) -> Option<ShownDrift> {
    let of_size = drift(&piece.certificates).map(|drift| ShownDrift {
        plain: drift.per_year.text().to_owned(),
        rate: words::number::entered(&drift.per_year),
    });
    of_size.or_else(|| {
        let drift = drift_in_kelvins(&piece.certificates)?;
        Some(ShownDrift {
            plain: format!("{}K", drift.per_year),
            rate: format!("{} K", words::number::short(drift.per_year, 3)),
        })
    })
}

/// One entry in the life of a piece.
#[derive(Serialize)]
struct Event {
    entry: String,
    recorded_at: Timestamp,
    person: String,
    reason: Option<String>,
    /// Its state, or the status that the gauge room set.
    state: &'static str,
    /// The same in words.
    #[serde(skip)]
    words: String,
    /// What the gauge room set with its status.
    #[serde(flatten)]
    set: Option<SetDocument>,
}

/// What a change of status sets beside it.
#[derive(Serialize)]
struct SetDocument {
    #[serde(skip_serializing_if = "Vec::is_empty")]
    limited_to: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    holder: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    due: Option<jiff::civil::Date>,
    #[serde(skip_serializing_if = "Option::is_none")]
    extension: Option<Extension>,
    /// The same in words.
    #[serde(skip)]
    words: Vec<String>,
}

impl SetDocument {
    fn of(changed: &Changed) -> Self {
        let change = &changed.change;
        Self {
            limited_to: change.limited_to.clone(),
            holder: change.holder.clone(),
            due: change.due,
            extension: change.extension.clone(),
            words: crate::report::status::beside(changed),
        }
    }
}

impl<'a> PieceDocument<'a> {
    fn of(piece: &'a Registered) -> Result<Self, Failure> {
        let equipment = &piece.equipment;
        let standing = standing(piece)?;
        // An extension is no due date.
        let item = equipment.clone().with_due(standing.due);
        let item = serde_json::to_value(&item).map_err(Failure::outside)?;
        Ok(Self {
            kind: equipment.kind(),
            id: equipment.id(),
            status: standing.status.key(),
            state: equipment.state(),
            due: standing.due,
            overdue: overdue(standing.due)?,
            extended_until: standing.extended_until(),
            limited_to: standing.limited_to,
            holder: standing.holder,
            certificate: equipment.certificate(),
            words: words::piece(equipment),
            item: item.get("item").cloned().unwrap_or_default(),
            entry: piece.entry.to_string(),
            recorded_at: piece.recorded_at,
            person: &piece.person,
            change: None,
            history: None,
            certificates: piece
                .certificates
                .iter()
                .map(CertificateDocument::of)
                .collect(),
            drift_per_year: shown_drift(piece).map(|drift| drift.plain),
        })
    }
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    match &arguments.command {
        Command::Add {
            files,
            person,
            reason,
            json,
        } => files.iter().try_for_each(|file| {
            add(
                file,
                person.as_deref(),
                reason.as_deref(),
                *json,
                path,
                output,
            )
        }),
        Command::Read(asked) => equipment_read::run(asked, path, output),
        Command::List {
            kind,
            xlsx: Some(file),
            replace,
            ..
        } => {
            let bytes = sheet(*kind, path)?;
            written::write(file, &bytes, *replace, output)
        }
        Command::List { kind, json, .. } => list(*kind, *json, path, output),
        Command::Show { id, kind, json } => show(id, *kind, *json, path, output),
        Command::Label { id, kind, on_paper } => label(id, *kind, on_paper, path, output),
        Command::State {
            id,
            state,
            reason,
            person,
            kind,
            json,
        } => {
            let ledger = desk::open_existing(path)?;
            let register = Register::read(&ledger)?;
            let piece = &one(&register, id, *kind)?.described;
            let added = register::put(&ledger, piece, *state, &desk::recorder(person), reason)?;
            tell(&added, *json, output)
        }
    }
}

fn add(
    file: &Path,
    person: Option<&str>,
    reason: Option<&str>,
    json: bool,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    // The whole file is read before the ledger is touched.
    let today = station::day(clock::now()?);
    let listed = job_file::read_equipment(file, today)?;
    let person = listed
        .person
        .as_deref()
        .or(person)
        .filter(|person| !person.trim().is_empty())
        .ok_or_else(|| Failure::Input(say!("register.no-person", file = file.display())))?;
    let ledger = desk::open(path)?;
    let added = register::add(
        &ledger,
        &listed.pieces,
        &desk::recorder(person.trim()),
        reason,
    )?;
    tell(&added, json, output)
}

/// Says what is on the disk.
fn tell(added: &[Added], json: bool, output: &mut Output) -> Result<(), Failure> {
    let recorded: Vec<String> = added
        .iter()
        .filter_map(|one| match one {
            Added::New(piece) | Added::Changed { now: piece, .. } => Some(piece.entry.to_string()),
            Added::Unchanged(_) => None,
        })
        .collect();
    tell_each(added, json, output).map_err(|failure| match recorded.as_slice() {
        [] => failure,
        recorded => failure.although_recorded(&recorded.join(", ")),
    })
}

fn tell_each(added: &[Added], json: bool, output: &mut Output) -> Result<(), Failure> {
    for one in added {
        let (piece, change) = match one {
            Added::New(piece) => (piece, Change::New),
            Added::Changed { now, .. } => (now, Change::Changed),
            Added::Unchanged(piece) => (piece, Change::Unchanged),
        };
        if json {
            let document = PieceDocument {
                change: Some(change.key()),
                ..PieceDocument::of(piece)?
            };
            output.json(&document)?;
        } else {
            let (state, entry) = (words::word(&piece.equipment.state()), piece.entry);
            let state = match one {
                Added::Changed { before, .. } => say!(
                    "register.amended-state",
                    state = state,
                    entry = entry,
                    before = before
                ),
                _ => say!("register.in-state", state = state, entry = entry),
            };
            output.line(&format!(
                "{:<9} {:<10} {}  ({state})",
                words::word(&change),
                piece.equipment.kind().key(),
                piece.equipment.id(),
            ))?;
        }
    }
    output.finish()
}

fn list(
    kind: Option<Kind>,
    json: bool,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let shelf = desk::shelf(path);
    let register = shelf.register()?;
    let mut any = false;
    for piece in register.pieces() {
        if kind.is_some_and(|kind| kind != piece.equipment.kind()) {
            continue;
        }
        any = true;
        if json {
            output.json(&PieceDocument::of(piece)?)?;
        } else {
            output.line(&one_line(piece)?)?;
        }
    }
    if !any && !json {
        output.line(say!("register.nothing"))?;
    }
    Ok(())
}

fn label(
    id: &str,
    kind: Option<Kind>,
    on_paper: &OnPaper,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let register = Register::read(&desk::open_to_read(path)?)?;
    let piece = one(&register, id, kind)?;
    // The end of an extension is no due date.
    let equipment = piece.equipment.clone().with_due(standing(piece)?.due);
    let at = clock::now()?;
    let written = on_paper.write(output, |letterhead, _| {
        label::pdf(&equipment, letterhead, at)
    })?;
    if written {
        Ok(())
    } else {
        Err(Failure::input(say!("paper-label.no-file")))
    }
}

/// The register as a workbook.
fn sheet(kind: Option<Kind>, path: Option<&Path>) -> Result<Vec<u8>, Failure> {
    let shelf = desk::shelf(path);
    let pieces = shelf.register()?.pieces().iter();
    let pieces = pieces.filter(|piece| kind.is_none_or(|kind| kind == piece.equipment.kind()));
    let pieces: Vec<&Registered> = pieces.collect();
    let today = station::day(clock::now()?);
    let last = pieces.iter().map(|piece| piece.recorded_at).max();
    let tables = sheets::of_register(&pieces, today);
    sheets::workbook(&tables, last.unwrap_or(Timestamp::UNIX_EPOCH))
}

/// The one piece of that identity.
fn one<'a>(
    register: &'a Register,
    id: &str,
    kind: Option<Kind>,
) -> Result<&'a Registered, Failure> {
    let found: Vec<&Registered> = register
        .pieces()
        .iter()
        .filter(|piece| piece.equipment.id().trim() == id.trim())
        .filter(|piece| kind.is_none_or(|kind| kind == piece.equipment.kind()))
        .collect();
    match found.as_slice() {
        [piece] => Ok(piece),
        [] => Err(Failure::input(unknown(register, kind, id))),
        several => {
            let kinds = several
                .iter()
                .map(|piece| piece.equipment.kind().key().to_owned());
            Err(Failure::Input(say!(
                "register.several",
                id = id,
                kinds = words::list(kinds)
            )))
        }
    }
}

fn unknown(register: &Register, kind: Option<Kind>, id: &str) -> String {
    let nearest = register.nearest(kind, id);
    if nearest.is_empty() {
        return say!("register.unknown", id = id);
    }
    let known = words::choice(nearest.iter().map(|known| format!("`{known}`")));
    say!("register.unknown-near", id = id, known = known)
}

fn show(
    id: &str,
    kind: Option<Kind>,
    json: bool,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let ledger = desk::open_to_read(path)?;
    let register = Register::read(&ledger)?;
    let piece = one(&register, id, kind)?;
    let mut history = Vec::new();
    for entry in ledger.history(&piece.entry.into())? {
        let state = register::registered(&entry)?.equipment.state();
        history.push(Event {
            entry: entry.id().to_string(),
            recorded_at: entry.content.recorded_at,
            person: entry.content.actor.name.clone(),
            reason: entry
                .content
                .amends
                .as_ref()
                .map(|amends| amends.reason.clone()),
            state: state.key(),
            words: words::word(&state),
            set: None,
        });
    }
    history.extend(piece.changes.iter().map(|changed| Event {
        entry: changed.entry.to_string(),
        recorded_at: changed.at,
        person: changed.person.clone(),
        reason: Some(changed.change.reason.clone()),
        state: changed.change.set().map_or("", Set::key),
        words: words::named("status-set", &changed.change.status),
        set: Some(SetDocument::of(changed)),
    }));
    history.sort_by_key(|event| event.recorded_at);
    if json {
        return output.json(&PieceDocument {
            history: Some(history),
            ..PieceDocument::of(piece)?
        });
    }
    output.line(&one_line(piece)?)?;
    if let Some(certificate) = piece.equipment.certificate() {
        output.line(&say!("register.certificate", certificate = certificate))?;
    }
    if !piece.certificates.is_empty() {
        output.line(say!("register.certificates"))?;
    }
    for certificate in &piece.certificates {
        let document = CertificateDocument::of(certificate);
        output.line(&format!(
            "  {}  {:<14} {}",
            document.date,
            document.certificate.unwrap_or_default(),
            document.shown()
        ))?;
    }
    if let Some(ShownDrift { rate, .. }) = shown_drift(piece) {
        output.line(&format!(
            "  {}",
            say!(
                "register.shows-drift",
                rate = rate,
                n = piece.certificates.len()
            )
        ))?;
    }
    output.line(say!("register.history"))?;
    let first = say!("register.first-recorded");
    for event in history {
        let reason = event.reason.as_deref().unwrap_or(first);
        let mut told = vec![format!("{}: {reason}", event.words)];
        told.extend(event.set.into_iter().flat_map(|set| set.words));
        output.line(&format!(
            "  {:<9} {}  {:<12} {}",
            event.entry,
            event.recorded_at.strftime("%Y-%m-%d %H:%M"),
            event.person,
            told.join("; ")
        ))?;
    }
    let typed = piece.equipment.clone();
    let typed = typed.with_due(standing(piece)?.due);
    let all = words::equipment::all_typed(typed.piece()).into_iter();
    // Whether it may be used stands in the first line, as the gauge room has it.
    for (key, text) in all.filter(|(key, _)| key != "state") {
        let text = text.lines().collect::<Vec<_>>().join("; ");
        output.line(&format!("{key:<20} {text}"))?;
    }
    Ok(())
}
