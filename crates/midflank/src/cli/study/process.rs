//! Capability and control charts of a process, and the stability of a way of measuring.

use std::path::Path;

use clap::Args;
use workshop::process_on_record::{Selection, Sizes};

use super::given::{Asked, Wanted, optional};
use crate::desk;
use crate::failure::Failure;
use crate::output::Output;
use crate::say;
use crate::study::{CONFIDENCE, COVERAGE, capability, chart, recorded};

#[derive(Args)]
pub struct CapabilityArguments {
    #[command(flatten)]
    asked: Asked,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    lower: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    upper: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    standard_uncertainty: Option<String>,
    #[arg(
        long,
        value_name = "P",
        default_value_t = CONFIDENCE,
        allow_hyphen_values = true
    )]
    confidence: f64,
    #[arg(
        long,
        value_name = "P",
        default_value_t = COVERAGE,
        allow_hyphen_values = true
    )]
    coverage: f64,
}

#[derive(Args)]
pub struct RecordedArguments {
    #[arg(long, value_name = "PART")]
    part: Option<String>,
    #[arg(long, value_name = "LOT")]
    lot: Option<String>,
    #[arg(long, value_name = "CHARACTERISTIC")]
    characteristic: Option<String>,
    #[arg(long, value_name = "NUMBER")]
    number: Option<String>,
    #[arg(
        long,
        value_name = "P",
        default_value_t = CONFIDENCE,
        allow_hyphen_values = true
    )]
    confidence: f64,
    #[arg(
        long,
        value_name = "P",
        default_value_t = COVERAGE,
        allow_hyphen_values = true
    )]
    coverage: f64,
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(2..=25))]
    subgroup: Option<u16>,
    #[command(flatten)]
    wanted: Wanted,
}

/// Capability of what was inspected, with what the measurement adds taken out.
pub fn recorded(
    arguments: &RecordedArguments,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let selection = Selection {
        part: arguments.part.clone(),
        lot: arguments.lot.clone(),
        characteristic: arguments.characteristic.clone(),
        number: arguments.number.clone(),
        empirical: false,
    };
    let settings = recorded::Settings {
        confidence: arguments.confidence,
        coverage: arguments.coverage,
        subgroup: arguments.subgroup.map(usize::from),
    };
    let found = Sizes::from_ledger(&desk::open_to_read(path)?, &selection)?;
    let found = found.ok_or_else(|| Failure::input(say!("studied.nothing-recorded")))?;
    let (answer, taken) = recorded::answer(&found, &settings)?;
    arguments.wanted.answer(output, &taken.from(), answer)
}

pub fn capability(arguments: &CapabilityArguments, output: &mut Output) -> Result<(), Failure> {
    let settings = capability::Settings {
        lower: optional("--lower", arguments.lower.as_ref())?,
        upper: optional("--upper", arguments.upper.as_ref())?,
        standard_uncertainty: optional(
            "--standard-uncertainty",
            arguments.standard_uncertainty.as_ref(),
        )?,
        confidence: arguments.confidence,
        coverage: arguments.coverage,
    };
    let asked = &arguments.asked;
    asked.answer(output, |readings| capability::answer(readings, &settings))
}

#[derive(Args)]
pub struct ChartArguments {
    #[command(flatten)]
    asked: Asked,
}

pub fn chart(arguments: &ChartArguments, output: &mut Output) -> Result<(), Failure> {
    let asked = &arguments.asked;
    asked.answer(output, |readings| chart::answer(readings, false))
}

pub fn stability(arguments: &ChartArguments, output: &mut Output) -> Result<(), Failure> {
    let asked = &arguments.asked;
    asked.answer(output, |readings| chart::answer(readings, true))
}
