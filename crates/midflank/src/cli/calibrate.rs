//! `midflank calibrate`: a calibration done in house, from its file.

use std::path::{Path, PathBuf};

use clap::Args;
use jiff::civil::Date;
use ledger::Ledger;
use serde::Serialize;
use workshop::gauge_record::calibrated::CalibratedDocument;
use workshop::gauge_record::calibration::Worked;
use workshop::gauge_record::certificate::Heading;
use workshop::gauge_record::piece::PieceId;
use workshop::gauge_room::calibration::{self, Planned, Read, Recorded, Shows};
use workshop::gauge_room::held_against;

use super::day::today;
use crate::desk;
use crate::failure::Failure;
use crate::output::{Output, warn};
use crate::report::calibrated;
use crate::say;
use crate::words;

#[derive(Args)]
pub struct Arguments {
    #[arg(value_name = "FILE.toml")]
    file: PathBuf,
    #[arg(long)]
    record: bool,
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Document<'a> {
    piece: &'a PieceId,
    certificate: &'a Heading,
    due: Option<Date>,
    received: Option<Date>,
    condition: Option<&'a str>,
    #[serde(flatten)]
    result: &'a CalibratedDocument,
    traceability: String,
    /// Whether the expanded uncertainty is larger than the limit.
    wider_than_limit: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    recorded: Option<RecordedDocument>,
}

#[derive(Serialize)]
struct RecordedDocument {
    calibration: String,
    status: Option<String>,
    register: Option<String>,
}

#[derive(Serialize)]
struct PlanDocument {
    points: Vec<PlannedPoint>,
    widest_gap: f64,
}

#[derive(Serialize)]
struct PlannedPoint {
    at_mm: f64,
    blocks: Option<Vec<String>>,
    standard_uncertainty_um: Option<f64>,
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let worked = match calibration::read(&arguments.file, today()?)? {
        Read::Plan(_) if arguments.record => {
            return Err(Failure::input(say!("calibration.nothing-found")));
        }
        Read::Plan(plan) => return propose(&plan, arguments.json, output),
        Read::Done(worked) => worked,
    };
    let result = calibration::computed(&worked)
        .map_err(|error| Failure::from(error).about(&arguments.file))?;
    if result.traceability.key() == "not-shown" {
        warn(&words::said(&result.traceability));
    }
    let wide = calibrated::wide(&worked, &result);
    if let Some(wide) = wide.as_deref().filter(|_| arguments.json) {
        warn(wide);
    }
    let ledger = known(path)?;
    held_against::hold(ledger.as_ref(), &worked, &result, today()?)
        .map_err(|error| Failure::from(error).about(&arguments.file))?;
    let recorded = arguments
        .record
        .then(|| record(&worked, &result, path))
        .transpose()?;
    let answered = if arguments.json {
        output.json(&Document {
            piece: &worked.piece(),
            certificate: &worked.heading,
            due: worked.due,
            received: worked.received,
            condition: worked.condition.as_deref(),
            result: &result,
            traceability: result.traceability.key().to_owned(),
            wider_than_limit: wide.is_some(),
            recorded: recorded.as_ref().map(RecordedDocument::of),
        })
    } else {
        output.text(&calibrated::answer(&worked, &result))
    };
    let Some(recorded) = recorded else {
        return answered;
    };
    let entry = recorded.calibration.to_string();
    let told = match (recorded.status, recorded.register) {
        (None, _) => say!("calibration.recorded-history", entry = entry),
        (Some(status), Some(register)) => say!(
            "calibration.recorded-curve",
            entry = entry,
            status = status,
            register = register
        ),
        (Some(status), None) => say!("calibration.recorded", entry = entry, status = status),
    };
    let stays = match recorded.shows {
        Some(Shows::GoodBefore { set, on }) => {
            let status = words::word(&set);
            vec![say!("calibration.status-stays", status = status, on = on)]
        }
        _ => Vec::new(),
    };
    answered
        .and_then(|()| {
            let mut told = std::iter::once(&told).chain(&stays);
            told.try_for_each(|line| {
                if arguments.json {
                    output.aside(&format!("{line}\n"))
                } else {
                    output.line(line)
                }
            })
        })
        .and_then(|()| output.finish())
        .map_err(|failure| failure.although_recorded(&entry))
}

/// The ledger, where there is one.
fn known(path: Option<&Path>) -> Result<Option<Ledger>, Failure> {
    let place = desk::place(path)?;
    if !Ledger::is_address(&place) && !place.exists() {
        return Ok(None);
    }
    desk::open_to_read(path).map(Some)
}

fn record(
    worked: &Worked,
    result: &CalibratedDocument,
    path: Option<&Path>,
) -> Result<Recorded, Failure> {
    let person = worked.person.trim();
    if person.is_empty() {
        return Err(Failure::input(say!("calibration.no-person")));
    }
    let reason = |shows| calibrated::reason(worked, shows);
    let ledger = desk::open(path)?;
    let recorder = desk::recorder(person);
    Ok(calibration::record(
        &ledger, worked, result, &recorder, &reason,
    )?)
}

impl RecordedDocument {
    fn of(recorded: &Recorded) -> Self {
        Self {
            calibration: recorded.calibration.to_string(),
            status: recorded.status.map(|entry| entry.to_string()),
            register: recorded.register.map(|entry| entry.to_string()),
        }
    }
}

fn propose(plan: &Planned, json: bool, output: &mut Output) -> Result<(), Failure> {
    if !json {
        return output.text(&calibrated::planned(plan));
    }
    let points = plan.points.iter().map(|(at, stack)| PlannedPoint {
        at_mm: at.mm(),
        blocks: stack.as_ref().map(|stack| {
            let blocks = stack
                .blocks
                .iter()
                .filter_map(|index| plan.blocks.get(*index));
            blocks
                .map(|block| block.nominal.text().to_owned())
                .collect()
        }),
        standard_uncertainty_um: stack
            .as_ref()
            .map(|stack| stack.standard_uncertainty() * 1000.0),
    });
    output.json(&PlanDocument {
        points: points.collect(),
        widest_gap: plan.widest_gap,
    })
}
