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

/// Limit gauges for a thread: GO and NOT GO
#[derive(Args)]
pub struct Arguments {
    /// Thread designations, such as M10x1.5-6g or "1/4-20 UNC-2B"; `-` reads one a line from standard input
    #[arg(value_name = "DESIGNATION", required = true)]
    designations: Vec<String>,
    /// Gauge class of ASME B1.2, Unified threads only [default: X]
    #[arg(long, value_name = "W|X", value_parser = parse_class)]
    class: Option<GaugeClass>,
    /// Unit of the answer [default: that of the designation]
    #[arg(long, value_name = "mm|in", value_parser = parse_unit)]
    unit: Option<LengthUnit>,
    /// Answer in JSON, one document a line
    #[arg(long)]
    json: bool,
}

fn parse_class(text: &str) -> Result<GaugeClass, String> {
    match text {
        "W" | "w" => Ok(GaugeClass::W),
        "X" | "x" => Ok(GaugeClass::X),
        _ => Err(say!("gauges.class").into()),
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
