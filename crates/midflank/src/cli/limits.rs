//! `midflank limits`: limits of size, for any number of designations.

use std::fmt::Write as _;

use clap::Args;
use metrology::designation::{self, ThreadError};
use metrology::limits::ThreadLimits;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::Failure;
use super::lines::each_line;
use super::output::{Output, width};
use crate::document::ThreadDocument;
use crate::report::limits::table;

/// Limits of size of a thread
#[derive(Args)]
pub struct Arguments {
    /// Thread designations, such as M10x1.5-6g or "1/4-20 UNC-2A"; `-` reads one a line from standard input
    #[arg(value_name = "DESIGNATION", required = true)]
    designations: Vec<String>,
    /// Unit of the answer [default: that of the designation]
    #[arg(long, value_name = "mm|in", value_parser = parse_unit)]
    unit: Option<LengthUnit>,
    /// Answer in JSON, one document a line
    #[arg(long)]
    json: bool,
}

/// `mm` or `in`, as an answer can be in.
pub fn parse_unit(text: &str) -> Result<LengthUnit, String> {
    match text.parse() {
        Ok(unit @ (LengthUnit::Millimetre | LengthUnit::Inch)) => Ok(unit),
        _ => Err("write mm or in".to_owned()),
    }
}

/// A wrong designation, in the place of its answer.
#[derive(Serialize)]
struct Refused<'a> {
    input: &'a str,
    error: RefusedError<'a>,
}

#[derive(Serialize)]
struct RefusedError<'a> {
    kind: &'static str,
    message: String,
    /// Where in the input, as byte offsets: from, up to.
    at: Option<(usize, usize)>,
    suggestions: &'a [String],
}

pub fn run(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    let mut all_answered = true;
    for designation in &arguments.designations {
        each_line(designation, |text| {
            all_answered &= answer(text, arguments, output)?;
            Ok(())
        })?;
    }
    if all_answered {
        Ok(())
    } else {
        output.finish().and(Err(Failure::SomeLines))
    }
}

/// Answers one designation; false if it was wrong.
fn answer(text: &str, arguments: &Arguments, output: &mut Output) -> Result<bool, Failure> {
    match (look_up(text), arguments.json) {
        (Ok(thread), true) => output
            .json(&ThreadDocument::of(&thread, arguments.unit))
            .map(|()| true),
        (Ok(thread), false) => output
            .text(&table(&thread, arguments.unit, width()))
            .map(|()| true),
        (Err(error), true) => {
            let refused = RefusedError {
                kind: error.kind(),
                message: error.to_string(),
                at: error.at().map(|range| (range.start, range.end)),
                suggestions: error.suggestions(),
            };
            output
                .json(&Refused {
                    input: text,
                    error: refused,
                })
                .map(|()| false)
        }
        (Err(error), false) => {
            // In step with the answers around it.
            output.finish()?;
            eprint!("{}", pointed(text, &error));
            Ok(false)
        }
    }
}

fn look_up(text: &str) -> Result<ThreadLimits, ThreadError> {
    designation::parse(text)?.limits()
}

/// The designation with the wrong place marked under it, and the message.
fn pointed(text: &str, error: &ThreadError) -> String {
    let mut told = format!("midflank: {error}\n");
    if let Some(range) = error
        .at()
        .filter(|range| !text.contains(char::is_control) && range.start <= text.len())
    {
        let before = text
            .get(..range.start)
            .map_or(0, |before| before.chars().count());
        let marked = text
            .get(range)
            .map_or(1, |marked| marked.chars().count().max(1));
        let _ = writeln!(
            told,
            "  {text}\n  {}{}",
            " ".repeat(before),
            "^".repeat(marked)
        );
    }
    told
}
