//! `midflank limits`: limits of size, for any number of designations.

use std::fmt::Write as _;
use std::io::{self, IsTerminal as _};
use std::path::PathBuf;

use clap::Args;
use metrology::coating::{CoatingError, State, Thickness, coat};
use metrology::designation::{self, ThreadError};
use metrology::limits::ThreadLimits;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::lines::each_line;
use super::on_paper::OnPaper;
use super::stream::answer_stream;
use crate::clock;
use crate::document::{CoatedThreadDocument, write_thread};
use crate::failure::Failure;
use crate::files;
use crate::look_up::thread::entered_in;
use crate::look_up::thread::parse_unit;
use crate::output::{Output, width};
use crate::report::coating::coating_lines;
use crate::report::limits::table;
use crate::report::profile::drawing;
use crate::report::sheet::limits_card;
use crate::say;
use crate::words::{self, Shown};

#[derive(Args)]
pub struct Arguments {
    #[arg(value_name = "DESIGNATION", required = true)]
    designations: Vec<String>,
    #[arg(long, value_name = "mm|in", value_parser = parse_unit)]
    unit: Option<LengthUnit>,
    #[arg(long, value_name = "LEN..LEN", allow_hyphen_values = true, value_parser = parse_coating, conflicts_with = "pdf")]
    coating: Option<Thickness>,
    #[arg(long, value_name = "before|after", value_parser = parse_state, requires = "coating")]
    coating_state: Option<State>,
    #[arg(long, value_name = "LENGTH")]
    at: Option<String>,
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    #[command(flatten)]
    on_paper: OnPaper,
    #[arg(long)]
    json: bool,
}

/// A thickness or a range of it.
fn parse_coating(text: &str) -> Result<Thickness, Failure> {
    Thickness::parse(text).map_err(|error| Failure::refused(&error))
}

/// `before` or `after` coating.
fn parse_state(text: &str) -> Result<State, Failure> {
    match text {
        "before" => Ok(State::Before),
        "after" => Ok(State::After),
        _ => Err(Failure::input(say!("limits.coating-state"))),
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
        return Err(Failure::input(say!("limits.one-drawing")));
    }
    if arguments.on_paper.pdf.is_some() {
        if !one {
            return Err(Failure::input(say!("paper-card.only-one")));
        }
        return each_designation(&arguments.designations, output, |text, output| {
            card(text, arguments, output)
        });
    }
    each_designation(&arguments.designations, output, |text, output| {
        answer(text, arguments, output)
    })
}

/// Answers designations from the command line, or one a line from standard input for `-`; `answer` says whether the
/// designation was right. A terminal is answered line by line, since somebody may be typing there.
pub fn each_designation(
    designations: &[String],
    output: &mut Output,
    answer: impl Fn(&str, &mut Output) -> Result<bool, Failure> + Sync,
) -> Result<(), Failure> {
    let mut all_right = true;
    for designation in designations {
        if designation == "-" && !io::stdout().is_terminal() {
            all_right &= answer_stream(&answer, output)?;
        } else {
            each_line(designation, |text| {
                all_right &= answer(text, output)?;
                output.finish()
            })?;
        }
    }
    if all_right {
        Ok(())
    } else {
        output.finish().and(Err(Failure::SomeLines))
    }
}

/// Prints the card of one designation; false if it was wrong.
fn card(text: &str, arguments: &Arguments, output: &mut Output) -> Result<bool, Failure> {
    let thread = match look_up(text) {
        Ok(thread) => thread,
        Err(error) => return refuse(text, &error, arguments.json, output),
    };
    arguments.on_paper.write(output, |letterhead, _| {
        let at = clock::now()?;
        let card = limits_card::pdf(&thread, letterhead, at)?;
        card.ok_or_else(|| Failure::input(say!("paper-card.no-taper")))
    })
}

/// Answers one designation; false if it was wrong.
fn answer(text: &str, arguments: &Arguments, output: &mut Output) -> Result<bool, Failure> {
    let mut thread = match look_up(text) {
        Ok(thread) => thread,
        Err(error) => return refuse(text, &error, arguments.json, output),
    };
    if let Some(at) = &arguments.at
        && let Err(failure) = add_position(&mut thread, at)
    {
        return refuse_words(
            text,
            "position",
            say!("limits.refused-for", input = text, error = failure),
            arguments.json,
            output,
        );
    }
    if let Some(file) = &arguments.svg {
        let drawing = drawing(&thread).into_string();
        files::write(file, drawing.as_bytes(), arguments.on_paper.replace)?;
    }
    if let Some(thickness) = arguments.coating {
        return answer_coated(text, &thread, thickness, arguments, output);
    }
    if arguments.json {
        output.written(|line| write_thread(&thread, arguments.unit, line))?;
    } else {
        output.text(&table(&thread, arguments.unit, width()))?;
    }
    Ok(true)
}

/// Answers with a coating; false if it does not fit, with the limits told all the same.
fn answer_coated(
    text: &str,
    thread: &ThreadLimits,
    thickness: Thickness,
    arguments: &Arguments,
    output: &mut Output,
) -> Result<bool, Failure> {
    let coated = match coat(thread, thickness, arguments.coating_state) {
        Ok(coated) => coated,
        Err(error) => {
            let message = match error {
                CoatingError::StateUnknown { .. } => {
                    say!("limits.coating-state-unknown", error = words::said(&error))
                }
                CoatingError::NoLimits { .. } => words::said(&error),
            };
            return refuse_words(text, "coating", message, arguments.json, output);
        }
    };
    if arguments.json {
        output.json(&CoatedThreadDocument::of(
            text,
            thread,
            &coated,
            arguments.unit,
        ))?;
    } else {
        output.text(&table(thread, arguments.unit, width()))?;
        output.text(&coating_lines(thread, &coated, arguments.unit, width()))?;
        if let Some(conflict) = &coated.conflict {
            let shown = Shown::of_coating(arguments.unit.unwrap_or(thread.unit));
            let fault = words::message(&conflict.short(), shown);
            let told = say!("limits.refused-for", input = text, error = fault);
            output.aside(&format!("midflank: {told}\n"))?;
        }
    }
    Ok(coated.conflict.is_none())
}

/// Tells that a designation is wrong, in the place of its answer.
pub fn refuse(
    text: &str,
    error: &ThreadError,
    json: bool,
    output: &mut Output,
) -> Result<bool, Failure> {
    if json {
        let refused = RefusedError {
            kind: error.kind(),
            message: words::said(error),
            at: error.at().map(|range| (range.start, range.end)),
            suggestions: error.suggestions(),
        };
        output.json(&Refused {
            input: text,
            error: refused,
        })?;
    } else {
        output.aside(&pointed(text, error))?;
    }
    Ok(false)
}

/// Tells that a designation has no answer, though it is a thread.
pub fn refuse_words(
    text: &str,
    kind: &'static str,
    message: String,
    json: bool,
    output: &mut Output,
) -> Result<bool, Failure> {
    if json {
        let error = RefusedError {
            kind,
            message,
            at: None,
            suggestions: &[],
        };
        output.json(&Refused { input: text, error })?;
    } else {
        output.aside(&format!("midflank: {message}\n"))?;
    }
    Ok(false)
}

/// The limits of a designation.
pub fn look_up(text: &str) -> Result<ThreadLimits, ThreadError> {
    designation::parse(text)?.limits()
}

/// Adds the place asked for to the positions of a taper thread.
fn add_position(thread: &mut ThreadLimits, at: &str) -> Result<(), Failure> {
    let unit = thread.unit;
    let Some(taper) = &mut thread.taper else {
        return Err(Failure::input(say!("limits.at-needs-taper")));
    };
    let at = entered_in("--at", at, Some(unit))?;
    let position = taper
        .at(at.value(), unit)
        .map_err(|error| Failure::refused(&error))?;
    taper.positions.push(position);
    taper.positions.sort_by_key(|position| position.at);
    Ok(())
}

/// The designation with the wrong place marked under it, and the message.
fn pointed(text: &str, error: &ThreadError) -> String {
    let mut told = format!("midflank: {}\n", words::said(error));
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
