//! Studies of a way of measuring.

use clap::Args;
use metrology::study::Type1Settings;
use metrology::study::repeatability::{Design, Method};

use super::given::{Asked, optional};
use crate::failure::Failure;
use crate::look_up::thread::entered;
use crate::output::Output;
use crate::study::{CONFIDENCE, agreement, bias, comparison, linearity, repeatability, type_1};

#[derive(Args)]
pub struct RepeatabilityArguments {
    #[command(flatten)]
    asked: Asked,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    tolerance: Option<String>,
    #[arg(long, value_name = "METHOD", default_value = "anova", value_parser = ["anova", "range"])]
    method: String,
    #[arg(long, value_name = "DESIGN", default_value = "crossed", value_parser = ["crossed", "nested"])]
    design: String,
    #[arg(
        long,
        value_name = "ALPHA",
        default_value_t = 0.05,
        allow_hyphen_values = true
    )]
    alpha: f64,
}

pub fn repeatability(
    arguments: &RepeatabilityArguments,
    output: &mut Output,
) -> Result<(), Failure> {
    let settings = repeatability::Settings {
        tolerance: optional("--tolerance", arguments.tolerance.as_ref())?,
        method: Method::of(&arguments.method).unwrap_or(Method::Anova),
        design: Design::of(&arguments.design).unwrap_or(Design::Crossed),
        alpha: arguments.alpha,
    };
    let asked = &arguments.asked;
    asked.answer(output, |readings| {
        repeatability::answer(readings, &settings)
    })
}

#[derive(Args)]
pub struct Type1Arguments {
    #[command(flatten)]
    asked: Asked,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    reference: String,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    tolerance: String,
    #[arg(
        long,
        value_name = "PERCENT",
        default_value_t = 20.0,
        allow_hyphen_values = true
    )]
    part_of_tolerance: f64,
    #[arg(
        long,
        value_name = "L",
        default_value_t = 6.0,
        allow_hyphen_values = true
    )]
    spread: f64,
}

pub fn type_1(arguments: &Type1Arguments, output: &mut Output) -> Result<(), Failure> {
    let settings = type_1::Settings {
        reference: entered("--reference", &arguments.reference)?,
        tolerance: entered("--tolerance", &arguments.tolerance)?,
        indices: Type1Settings {
            part_of_tolerance: arguments.part_of_tolerance,
            spread: arguments.spread,
        },
    };
    let asked = &arguments.asked;
    asked.answer(output, |readings| type_1::answer(readings, &settings))
}

#[derive(Args)]
pub struct BiasArguments {
    #[command(flatten)]
    asked: Asked,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    reference: String,
    #[arg(
        long,
        value_name = "P",
        default_value_t = CONFIDENCE,
        allow_hyphen_values = true
    )]
    confidence: f64,
}

pub fn bias(arguments: &BiasArguments, output: &mut Output) -> Result<(), Failure> {
    let settings = bias::Settings {
        reference: entered("--reference", &arguments.reference)?,
        confidence: arguments.confidence,
    };
    let asked = &arguments.asked;
    asked.answer(output, |readings| bias::answer(readings, &settings))
}

#[derive(Args)]
pub struct LinearityArguments {
    #[command(flatten)]
    asked: Asked,
    #[arg(
        long,
        value_name = "P",
        default_value_t = CONFIDENCE,
        allow_hyphen_values = true
    )]
    confidence: f64,
}

pub fn linearity(arguments: &LinearityArguments, output: &mut Output) -> Result<(), Failure> {
    let (asked, confidence) = (&arguments.asked, arguments.confidence);
    asked.answer(output, |readings| linearity::answer(readings, confidence))
}

#[derive(Args)]
pub struct AgreementArguments {
    #[command(flatten)]
    asked: Asked,
}

pub fn agreement(arguments: &AgreementArguments, output: &mut Output) -> Result<(), Failure> {
    arguments.asked.answer(output, agreement::answer)
}

#[derive(Args)]
pub struct ComparisonArguments {
    #[command(flatten)]
    asked: Asked,
}

pub fn comparison(arguments: &ComparisonArguments, output: &mut Output) -> Result<(), Failure> {
    arguments.asked.answer(output, comparison::answer)
}
