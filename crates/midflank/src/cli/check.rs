//! `midflank check`: a check part measured with a set-up; `midflank room`: what a thermometer showed.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use jiff::Timestamp;
use metrology::units::{Entered, LengthUnit};
use serde::Serialize;
use workshop::checks_on_record;
use workshop::gauge_record::check::{BY_HAND, Check, OnChart, Room, RoomValue};
use workshop::gauge_record::piece::PieceKind;
use workshop::gauge_room::room_log;
use workshop::not_known;
use workshop::register::Register;

use super::lines::read_text;
use super::recorded;
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::given::{self, HUMIDITY};
use crate::option::{Line, Within};
use crate::output::Output;
use crate::report::checked::{line, room_line};
use crate::say;
use crate::words::{self, number};

#[derive(Args)]
pub struct Arguments {
    #[arg(value_name = "PART", value_parser = Line)]
    part: String,
    #[arg(value_name = "READING", num_args = 1.., required = true)]
    readings: Vec<String>,
    #[arg(long, value_name = "ID", value_parser = Line)]
    instrument: String,
    #[arg(long, value_name = "ID", value_parser = Line)]
    contacts: String,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: String,
    #[arg(long, value_name = "TIME")]
    at: Option<Timestamp>,
    #[arg(long)]
    json: bool,
}

#[derive(Args)]
pub struct RoomArguments {
    #[command(subcommand)]
    command: RoomCommand,
}

#[derive(Subcommand)]
enum RoomCommand {
    Add {
        #[arg(long, value_name = "ID", value_parser = Line)]
        thermometer: String,
        #[arg(long, value_name = "DEGC", allow_hyphen_values = true, value_parser = Within(given::TEMPERATURE))]
        celsius: f64,
        #[arg(long, value_name = "PERCENT", value_parser = Within(HUMIDITY))]
        humidity: Option<f64>,
        #[arg(long, value_name = "TIME")]
        at: Option<Timestamp>,
        #[arg(long, value_name = "NAME", value_parser = Line)]
        person: String,
        #[arg(long)]
        json: bool,
    },
    Import {
        #[arg(value_name = "FILE.csv")]
        file: PathBuf,
        #[arg(long, value_name = "ID", value_parser = Line)]
        thermometer: String,
        #[arg(long, value_name = "NAME", value_parser = Line)]
        person: String,
        #[arg(long)]
        json: bool,
    },
}

#[derive(Serialize)]
struct Document<'a> {
    entry: String,
    #[serde(flatten)]
    check: &'a Check,
    n: usize,
    lower: Option<f64>,
    upper: Option<f64>,
    out: bool,
    signal: Option<&'static str>,
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let now = clock::now()?;
    let readings = arguments
        .readings
        .iter()
        .map(|text| Entered::parse(text, None).map_err(|error| Failure::refused(&error)));
    let readings = readings.collect::<Result<Vec<_>, _>>()?;
    let check = checks_on_record::of(
        &arguments.part,
        &arguments.instrument,
        &arguments.contacts,
        &readings,
        arguments.at.unwrap_or(now),
    )
    .map_err(|error| Failure::refused(&error))?;
    let ledger = desk::open(path)?;
    let register = Register::read(&ledger)?;
    not_known::check(&ledger, &register, PieceKind::Instrument, &check.instrument)?;
    not_known::check(&ledger, &register, PieceKind::Contacts, &check.contacts)?;
    let recorder = desk::recorder(arguments.person.trim());
    let (entry, chart) = checks_on_record::record(&ledger, &check, now, &recorder)?;
    let answered = if arguments.json {
        output.json(&Document::of(entry.id().to_string(), &check, &chart))
    } else {
        output.line(&told(&check, &chart))
    };
    answered
        .and_then(|()| recorded::acknowledge(&entry, arguments.json, output))
        .and_then(|()| output.finish())
        .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
}

impl<'a> Document<'a> {
    fn of(entry: String, check: &'a Check, chart: &OnChart) -> Self {
        let last = chart.n.saturating_sub(1);
        let signal = chart.signals.iter().find(|(at, _)| *at == last);
        Self {
            entry,
            check,
            n: chart.n,
            lower: chart.limits.map(|limits| limits.lower),
            upper: chart.limits.map(|limits| limits.upper),
            out: chart.out,
            signal: signal.map(|(_, signal)| signal.key()),
        }
    }
}

fn told(check: &Check, chart: &OnChart) -> String {
    let told = line(check);
    let Some(limits) = chart.limits else {
        return format!("{told}. {}", say!("check.no-limits", n = chart.n));
    };
    let size = |mm| number::size(mm, LengthUnit::Millimetre);
    let (lower, upper) = (size(limits.lower), size(limits.upper));
    let last = chart.n.saturating_sub(1);
    let signal = chart.signals.iter().find(|(at, _)| *at == last);
    let verdict = if chart.out {
        say!("check.out", lower = lower, upper = upper)
    } else {
        say!("check.in", lower = lower, upper = upper)
    };
    match signal.filter(|_| !chart.out) {
        Some((_, signal)) => format!("{told}. {verdict} {}", words::word(signal)),
        None => format!("{told}. {verdict}"),
    }
}

pub fn room(
    arguments: &RoomArguments,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let now = clock::now()?;
    let (room, person, json) = match &arguments.command {
        RoomCommand::Add {
            thermometer,
            celsius,
            humidity,
            at,
            person,
            json,
        } => {
            let value = RoomValue {
                at: at.unwrap_or(now),
                celsius: *celsius,
                humidity: *humidity,
            };
            let room = Room {
                thermometer: thermometer.trim().to_owned(),
                source: BY_HAND.to_owned(),
                values: vec![value],
            };
            (room, person, *json)
        }
        RoomCommand::Import {
            file,
            thermometer,
            person,
            json,
        } => {
            let name = file.file_name().unwrap_or_default();
            let room = Room {
                thermometer: thermometer.trim().to_owned(),
                source: name.to_string_lossy().into_owned(),
                values: room_log::parse(&read_text(file)?)
                    .map_err(|why| Failure::refused(&why).about(file))?,
            };
            (room, person, *json)
        }
    };
    let ledger = desk::open(path)?;
    let register = Register::read(&ledger)?;
    not_known::check(
        &ledger,
        &register,
        PieceKind::Thermometer,
        &room.thermometer,
    )?;
    let recorder = desk::recorder(person.trim());
    let entry = checks_on_record::record_room(&ledger, &room, now, &recorder)?;
    let answered = if json {
        output.json(&RoomDocument {
            entry: entry.id().to_string(),
            room: &room,
        })
    } else {
        output.line(&room_line(&room))
    };
    answered
        .and_then(|()| recorded::acknowledge(&entry, json, output))
        .and_then(|()| output.finish())
        .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
}

#[derive(Serialize)]
struct RoomDocument<'a> {
    entry: String,
    #[serde(flatten)]
    room: &'a Room,
}
