//! `midflank sampling`: what a sampling plan accepts, plans of MIL-STD-105E, zero-acceptance plans.

use clap::Args;
use metrology::sampling::{
    Acceptance, Aql, Level, Plan, Point, SamplingError, Severity, single_plan, zero_acceptance,
};
use metrology::source::{Confidence, Source};
use rust_decimal::Decimal;
use serde::Serialize;

use crate::failure::Failure;
use crate::output::Output;
use crate::say;
use crate::words::{self, number};

/// Risks at which a plan's text names the fraction nonconforming (common practice): 5 % for the producer, 10 % for the consumer.
const PRODUCER: f64 = 0.95;
const CONSUMER: f64 = 0.10;

#[derive(Args)]
#[command(group = clap::ArgGroup::new("question").required(true).args(["n", "plan", "zero_acceptance"]))]
pub struct Arguments {
    #[arg(long, value_name = "N", requires = "c")]
    n: Option<u64>,
    #[arg(long, value_name = "C", requires = "n")]
    c: Option<u64>,
    #[arg(long, value_name = "L")]
    lot_size: Option<u64>,
    #[arg(long, value_name = "P", num_args = 1.., requires = "n")]
    fraction: Vec<String>,
    #[arg(long, value_name = "D", num_args = 1.., requires_all = ["n", "lot_size"])]
    nonconforming: Vec<u64>,
    #[arg(long, value_name = "STANDARD", value_parser = ["105e"], requires_all = ["lot_size", "aql"])]
    plan: Option<String>,
    #[arg(long, value_name = "LEVEL", default_value = "II")]
    level: String,
    #[arg(long, value_name = "AQL", requires = "plan")]
    aql: Option<String>,
    #[arg(long, value_name = "SEVERITY", default_value = "normal")]
    severity: String,
    #[arg(long, requires_all = ["lot_size", "limiting_fraction", "risk"])]
    zero_acceptance: bool,
    #[arg(long, value_name = "P", requires = "zero_acceptance")]
    limiting_fraction: Option<String>,
    #[arg(long, value_name = "B", requires = "zero_acceptance")]
    risk: Option<f64>,
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct CurveDocument {
    n: u64,
    c: u64,
    lot_size: Option<u64>,
    points: Vec<PointDocument>,
    /// Fractions nonconforming that are accepted with probability 0.95 and 0.10.
    accepted_with_95: f64,
    accepted_with_10: f64,
}

#[derive(Serialize)]
struct PointDocument {
    fraction: f64,
    nonconforming: Option<u64>,
    probability_of_acceptance: f64,
    average_outgoing_quality: f64,
}

#[derive(Serialize)]
struct PlanDocument {
    code_letter: String,
    n: u64,
    c: u64,
    r: u64,
    lot_size: u64,
    level: &'static str,
    aql: &'static str,
    severity: &'static str,
    /// The letter of lot size and level, before any arrow.
    lot_code_letter: String,
    sample_size: u64,
    every_piece: bool,
    accepted_with_95: Option<f64>,
    accepted_with_10: Option<f64>,
    source: &'static str,
    confidence: Confidence,
}

#[derive(Serialize)]
struct ZeroDocument {
    n: u64,
    c: u64,
    lot_size: u64,
    limiting_fraction: f64,
    nonconforming: u64,
    risk: f64,
    probability_of_acceptance: f64,
}

fn refused(error: SamplingError) -> Failure {
    Failure::refused(&error)
}

pub fn run(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    if arguments.zero_acceptance {
        zero(arguments, output)
    } else if arguments.plan.is_some() {
        plan(arguments, output)
    } else {
        curve(arguments, output)
    }
}

fn curve(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    let (n, c) = (
        arguments.n.unwrap_or_default(),
        arguments.c.unwrap_or_default(),
    );
    let acceptance = Acceptance::new(n, c, arguments.lot_size).map_err(refused)?;
    let mut points = Vec::new();
    for text in &arguments.fraction {
        let fraction = fraction("--fraction", text)?;
        points.push(acceptance.at_fraction(fraction).map_err(refused)?);
    }
    for pieces in &arguments.nonconforming {
        points.push(acceptance.at_nonconforming(*pieces).map_err(refused)?);
    }
    if points.is_empty() {
        for percent in [1, 2, 3, 4, 5, 6, 8, 10, 15, 20] {
            let fraction = Decimal::new(percent, 2);
            points.push(acceptance.at_fraction(fraction).map_err(refused)?);
        }
        points.dedup();
    }
    if arguments.json {
        return output.json(&CurveDocument {
            n,
            c,
            lot_size: arguments.lot_size,
            points: points.iter().map(PointDocument::of).collect(),
            accepted_with_95: acceptance.accepted_with(PRODUCER),
            accepted_with_10: acceptance.accepted_with(CONSUMER),
        });
    }
    output.line(&match arguments.lot_size {
        Some(lot) => say!("sampling.plan-of-lot", n = n, c = c, lot = lot),
        None => say!("sampling.plan-of-process", n = n, c = c),
    })?;
    output.line(&format!(
        "{:>14} {:>14} {:>12} {:>12} {:>12}",
        say!("sampling.fraction"),
        say!("sampling.nonconforming"),
        say!("sampling.accepted"),
        say!("sampling.rejected"),
        say!("sampling.outgoing")
    ))?;
    for point in &points {
        output.line(&format!(
            "{:>14} {:>14} {:>12} {:>12} {:>12}",
            number::bounded_percent(point.fraction, 3),
            point
                .nonconforming
                .map_or_else(String::new, |pieces| pieces.to_string()),
            number::risk(point.probability_of_acceptance),
            number::risk(1.0 - point.probability_of_acceptance),
            number::bounded_percent(point.average_outgoing_quality, 3)
        ))?;
    }
    risks(&acceptance, output)
}

/// Both risks of a plan, in words.
fn risks(acceptance: &Acceptance, output: &mut Output) -> Result<(), Failure> {
    output.line(&say!(
        "sampling.producer-risk",
        fraction = number::bounded_percent(acceptance.accepted_with(PRODUCER), 3)
    ))?;
    output.line(&say!(
        "sampling.consumer-risk",
        fraction = number::bounded_percent(acceptance.accepted_with(CONSUMER), 3)
    ))
}

impl PointDocument {
    fn of(point: &Point) -> Self {
        Self {
            fraction: point.fraction,
            nonconforming: point.nonconforming,
            probability_of_acceptance: point.probability_of_acceptance,
            average_outgoing_quality: point.average_outgoing_quality,
        }
    }
}

fn plan(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    let lot_size = arguments.lot_size.unwrap_or_default();
    let level = Level::parse(&arguments.level).map_err(refused)?;
    let aql = Aql::parse(arguments.aql.as_deref().unwrap_or_default()).map_err(refused)?;
    let severity = Severity::parse(&arguments.severity).map_err(refused)?;
    let plan = single_plan(lot_size, level, aql, severity).map_err(refused)?;
    // A sample of every piece has no sampling risk, and of nonconformities per hundred units a piece may have several.
    let counts_pieces = aql.fraction().is_some();
    let acceptance = (counts_pieces && !plan.every_piece)
        .then(|| plan.acceptance(Some(lot_size)))
        .transpose()
        .map_err(refused)?;
    if arguments.json {
        return output.json(&PlanDocument {
            level: level.key(),
            aql: aql.text(),
            severity: severity.key(),
            lot_size,
            accepted_with_95: acceptance.map(|known| known.accepted_with(PRODUCER)),
            accepted_with_10: acceptance.map(|known| known.accepted_with(CONSUMER)),
            source: Source::MilStd105E.document().unwrap_or_default(),
            confidence: plan.confidence,
            code_letter: plan.code_letter,
            n: plan.n,
            c: plan.c,
            r: plan.r,
            lot_code_letter: plan.lot_code_letter,
            sample_size: plan.sample_size,
            every_piece: plan.every_piece,
        });
    }
    tell_plan(&plan, lot_size, severity, counts_pieces, output)?;
    if let Some(acceptance) = acceptance {
        if let Some(fraction) = aql.fraction() {
            // Of lots from a process of this quality (type B): few lots have a whole number of pieces that is the AQL.
            let decimal = Decimal::try_from(fraction).unwrap_or_default();
            let of_process = plan.acceptance(None).map_err(refused)?;
            let point = of_process.at_fraction(decimal).map_err(refused)?;
            output.line(&say!(
                "sampling.at-aql",
                aql = aql.text(),
                accepted = number::risk(point.probability_of_acceptance)
            ))?;
        }
        risks(&acceptance, output)?;
    }
    if !counts_pieces {
        output.line(say!("sampling.per-hundred"))?;
    }
    output.line(&say!(
        "sampling.source",
        source = Source::MilStd105E.document().unwrap_or_default(),
        confidence = words::word(&plan.confidence)
    ))
}

fn tell_plan(
    plan: &Plan,
    lot: u64,
    severity: Severity,
    counts_pieces: bool,
    output: &mut Output,
) -> Result<(), Failure> {
    let severity = words::word(&severity);
    output.line(&if plan.every_piece {
        say!(
            "sampling.every-piece",
            lot = lot,
            c = plan.c,
            r = plan.r,
            sample = plan.sample_size
        )
    } else if !counts_pieces {
        say!(
            "sampling.take-nonconformities",
            pieces = plan.n,
            lot = lot,
            c = plan.c,
            r = plan.r
        )
    } else {
        say!(
            "sampling.take",
            pieces = plan.n,
            lot = lot,
            c = plan.c,
            r = plan.r
        )
    })?;
    output.line(&if plan.code_letter == plan.lot_code_letter {
        say!(
            "sampling.letter",
            letter = plan.code_letter,
            severity = severity
        )
    } else {
        say!(
            "sampling.letter-by-arrow",
            letter = plan.code_letter,
            of_lot = plan.lot_code_letter,
            severity = severity
        )
    })?;
    if plan.r > plan.c + 1 {
        output.line(say!("sampling.between"))?;
    }
    Ok(())
}

fn zero(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    let lot = arguments.lot_size.unwrap_or_default();
    let text = arguments.limiting_fraction.as_deref().unwrap_or_default();
    let limiting = fraction("--limiting-fraction", text)?;
    let risk = arguments.risk.unwrap_or(f64::NAN);
    let n = zero_acceptance(lot, limiting, risk).map_err(refused)?;
    let acceptance = Acceptance::new(n, 0, Some(lot)).map_err(refused)?;
    let pieces = (limiting * Decimal::from(lot)).ceil();
    let pieces = u64::try_from(pieces).unwrap_or(lot);
    let point = acceptance.at_nonconforming(pieces).map_err(refused)?;
    if arguments.json {
        return output.json(&ZeroDocument {
            n,
            c: 0,
            lot_size: lot,
            limiting_fraction: limiting.try_into().unwrap_or(f64::NAN),
            nonconforming: pieces,
            risk,
            probability_of_acceptance: point.probability_of_acceptance,
        });
    }
    output.line(&say!("sampling.zero", pieces = n, lot = lot))?;
    output.line(&say!(
        "sampling.zero-risk",
        nonconforming = pieces,
        accepted = number::probability(point.probability_of_acceptance)
    ))?;
    risks(&acceptance, output)
}

/// A part of a whole as it was written, exact.
fn fraction(option: &str, text: &str) -> Result<Decimal, Failure> {
    text.trim()
        .parse()
        .or_else(|_| Decimal::from_scientific(text.trim()))
        .map_err(|_| {
            Failure::Input(say!(
                "sampling.not-a-fraction",
                option = option,
                text = text
            ))
        })
}
