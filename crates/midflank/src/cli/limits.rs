//! `midflank limits`: limits of size, for any number of designations.

use std::collections::HashMap;
use std::fmt::Write as _;
use std::path::PathBuf;

use clap::Args;
use metrology::designation::{self, ThreadError};
use metrology::limits::ThreadLimits;
use metrology::units::{Entered, LengthUnit};
use serde::Serialize;

use super::Failure;
use super::lines::each_line;
use super::output::{Output, width};
use crate::document::ThreadDocument;
use crate::report::limits::table;
use crate::report::profile::drawing;

/// Limits of size of a thread
#[derive(Args)]
pub struct Arguments {
    /// Thread designations, such as M10x1.5-6g or "1/4-20 UNC-2A"; `-` reads one a line from standard input
    #[arg(value_name = "DESIGNATION", required = true)]
    designations: Vec<String>,
    /// Unit of the answer [default: that of the designation]
    #[arg(long, value_name = "mm|in", value_parser = parse_unit)]
    unit: Option<LengthUnit>,
    /// Taper threads: the diameters at this distance from the small end as well, such as 0.2in
    #[arg(long, value_name = "LENGTH")]
    at: Option<String>,
    /// Draw the profile to scale into this SVG file (one designation)
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
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
    let one =
        arguments.designations.len() == 1 && arguments.designations.iter().all(|text| text != "-");
    if arguments.svg.is_some() && !one {
        return Err(Failure::input(
            "--svg draws one thread; give one designation with it",
        ));
    }
    let mut all_answered = true;
    let mut documents = Documents::default();
    for designation in &arguments.designations {
        each_line(designation, |text| {
            all_answered &= if arguments.json {
                documents.answer(text, arguments, output)?
            } else {
                answer(text, arguments, output)?
            };
            Ok(())
        })?;
    }
    if all_answered {
        Ok(())
    } else {
        output.finish().and(Err(Failure::SomeLines))
    }
}

/// Answers one designation for people; false if it was wrong.
fn answer(text: &str, arguments: &Arguments, output: &mut Output) -> Result<bool, Failure> {
    match look_up(text, arguments) {
        Ok(thread) => {
            draw(&thread, arguments)?;
            output.text(&table(&thread, arguments.unit, width()))?;
            Ok(true)
        }
        Err(wrong) => {
            // In step with the answers around it.
            output.finish()?;
            match &wrong {
                Wrong::Designation(error) => eprint!("{}", pointed(text, error)),
                Wrong::At(message) => eprintln!("midflank: {text}: {message}"),
            }
            Ok(false)
        }
    }
}

/// The drawing, where one is asked for.
fn draw(thread: &ThreadLimits, arguments: &Arguments) -> Result<(), Failure> {
    let Some(file) = &arguments.svg else {
        return Ok(());
    };
    std::fs::write(file, drawing(thread).into_string())
        .map_err(|error| Failure::outside(format!("cannot write {}: {error}", file.display())))
}

/// Documents, one a designation. A list of parts names the same few hundred threads again and again, and an answer
/// depends on nothing but its line and the options of the run; so the first ones are kept as written.
#[derive(Default)]
struct Documents {
    known: HashMap<String, Document>,
}

/// A document as it goes out, with its line end, and whether it is an answer.
struct Document {
    json: String,
    answered: bool,
}

/// As many documents as are kept, about 1 kB each: more than the threads of all standards in their usual classes.
const KEPT: usize = 8192;

impl Documents {
    /// Answers one designation in JSON; false if it was wrong.
    fn answer(
        &mut self,
        text: &str,
        arguments: &Arguments,
        output: &mut Output,
    ) -> Result<bool, Failure> {
        if let Some(known) = self.known.get(text) {
            output.text(&known.json)?;
            return Ok(known.answered);
        }
        let document = document(text, arguments)?;
        output.text(&document.json)?;
        let answered = document.answered;
        if self.known.len() < KEPT {
            self.known.insert(text.to_owned(), document);
        }
        Ok(answered)
    }
}

/// The document of one designation, or its refusal.
fn document(text: &str, arguments: &Arguments) -> Result<Document, Failure> {
    let (written, answered) = match look_up(text, arguments) {
        Ok(thread) => {
            draw(&thread, arguments)?;
            let document = ThreadDocument::of(&thread, arguments.unit);
            (serde_json::to_string(&document), true)
        }
        Err(wrong) => (serde_json::to_string(&wrong.refusal(text)), false),
    };
    let mut json = written.map_err(Failure::outside)?;
    json.push('\n');
    Ok(Document { json, answered })
}

/// Why a line has no answer.
enum Wrong {
    Designation(ThreadError),
    /// The place asked for with `--at`.
    At(String),
}

impl Wrong {
    fn refusal<'a>(&'a self, input: &'a str) -> Refused<'a> {
        let error = match self {
            Self::Designation(error) => RefusedError {
                kind: error.kind(),
                message: error.to_string(),
                at: error.at().map(|range| (range.start, range.end)),
                suggestions: error.suggestions(),
            },
            Self::At(message) => RefusedError {
                kind: "position",
                message: message.clone(),
                at: None,
                suggestions: &[],
            },
        };
        Refused { input, error }
    }
}

/// The limits, with the place asked for among the positions of a taper thread.
fn look_up(text: &str, arguments: &Arguments) -> Result<ThreadLimits, Wrong> {
    let mut thread = designation::parse(text)
        .and_then(|thread| thread.limits())
        .map_err(Wrong::Designation)?;
    if let Some(at) = &arguments.at {
        let unit = thread.unit;
        let Some(taper) = &mut thread.taper else {
            return Err(Wrong::At(
                "--at is for taper threads; the limits of a parallel thread hold all along it"
                    .to_owned(),
            ));
        };
        let at = Entered::parse(at, Some(unit)).map_err(|error| Wrong::At(error.to_string()))?;
        let position = taper
            .at(at.value(), unit)
            .map_err(|error| Wrong::At(error.to_string()))?;
        taper.positions.push(position);
        taper.positions.sort_by_key(|position| position.at);
    }
    Ok(thread)
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
