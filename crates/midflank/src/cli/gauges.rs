//! `midflank gauges`: limit gauges, for any number of designations.

use clap::Args;
use metrology::gauges::{GaugeClass, gauges};
use metrology::units::LengthUnit;

use super::limits::{each_designation, look_up, refuse, refuse_words};
use crate::document::GaugesDocument;
use crate::failure::Failure;
use crate::look_up::thread::parse_unit;
use crate::output::{Output, width};
use crate::report::gauges::table;
use crate::{say, words};

#[derive(Args)]
pub struct Arguments {
    #[arg(value_name = "DESIGNATION", required = true)]
    designations: Vec<String>,
    #[arg(long, value_name = "W|X", value_parser = parse_class)]
    class: Option<GaugeClass>,
    #[arg(long, value_name = "mm|in", value_parser = parse_unit)]
    unit: Option<LengthUnit>,
    #[arg(long)]
    json: bool,
}

fn parse_class(text: &str) -> Result<GaugeClass, Failure> {
    match text {
        "W" | "w" => Ok(GaugeClass::W),
        "X" | "x" => Ok(GaugeClass::X),
        _ => Err(Failure::input(say!("gauges.class"))),
    }
}

pub fn run(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    each_designation(&arguments.designations, output, |text, output| {
        answer(text, arguments, output)
    })
}

/// Answers one designation; false if there is no answer.
fn answer(text: &str, arguments: &Arguments, output: &mut Output) -> Result<bool, Failure> {
    let thread = match look_up(text) {
        Ok(thread) => thread,
        Err(error) => return refuse(text, &error, arguments.json, output),
    };
    match gauges(&thread, arguments.class) {
        Ok(set) if arguments.json => output.json(&GaugesDocument::of(&set, arguments.unit))?,
        Ok(set) => output.text(&table(&set, arguments.unit, width()))?,
        Err(error) => {
            return refuse_words(
                text,
                error.kind(),
                words::said(&error),
                arguments.json,
                output,
            );
        }
    }
    Ok(true)
}
