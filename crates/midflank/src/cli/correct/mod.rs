//! `midflank correct`: what to add to a reading for one known effect, and when not to.

mod line;
mod lobing;
mod temperature;
mod wall;

use clap::{Args, Subcommand};
use metrology::effect::Effect;
use metrology::range::OutOfRange;
use metrology::units::LengthUnit;

use crate::document::{Correct, CorrectDocument, Instead, Why};
use crate::failure::Failure;
use crate::look_up::thread::{answer_unit, entered, mm};
use crate::output::{Output, width};
use crate::report::correct::answer;
use crate::words;

#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    what: What,
    #[arg(long, global = true)]
    json: bool,
}

#[derive(Subcommand)]
enum What {
    OffAxis(line::OffAxis),
    LeaningLine(line::LeaningLine),
    TiltedFaces(line::TiltedFaces),
    Parallelism(line::Parallelism),
    OppositeGrooves(line::OppositeGrooves),
    FlatInBore(wall::FlatInBore),
    BallInBore(wall::BallInBore),
    Lobing(lobing::Lobing),
    Temperature(temperature::Temperature),
}

pub fn run(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    let correct = match &arguments.what {
        What::OffAxis(asked) => asked.correct(),
        What::LeaningLine(asked) => asked.correct(),
        What::TiltedFaces(asked) => asked.correct(),
        What::Parallelism(asked) => asked.correct(),
        What::OppositeGrooves(asked) => asked.correct(),
        What::FlatInBore(asked) => asked.correct(),
        What::BallInBore(asked) => asked.correct(),
        What::Lobing(asked) => asked.correct(),
        What::Temperature(asked) => asked.correct(),
    }?;
    if arguments.json {
        output.json(&CorrectDocument::of(&correct))
    } else {
        output.text(&answer(&correct, width()))
    }
}

/// The length that gives the answer its unit, and itself in millimetres.
fn leading(name: &str, text: &str) -> Result<(LengthUnit, f64), Failure> {
    let entered = entered(name, text)?;
    Ok((answer_unit(entered.unit()), mm(&entered)))
}

/// An effect of geometry that comes without more ado.
fn plain(
    unit: LengthUnit,
    effect: Result<Effect, OutOfRange>,
    why: Why,
    instead: Instead,
) -> Result<Correct, Failure> {
    Ok(Correct {
        unit,
        effect: effect.map_err(|error| Failure::refused_in(&error, unit))?,
        half_width_mm: None,
        why: words::word(&why),
        instead,
        notes: Vec::new(),
    })
}
