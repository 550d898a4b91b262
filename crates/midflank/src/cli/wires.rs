//! `midflank wires`: pitch diameter over wires and between balls, both ways.

use std::path::Path;

use clap::Args;
use metrology::limits::Limits;
use metrology::units::{Angle, LengthUnit};
use metrology::wires::{Groove, Side};
use serde::Serialize;

use super::lines::{Row, each_line, each_row};
use super::on_paper::OnPaper;
use crate::clock;
use crate::document::{Wires, WiresDocument, to_mm};
use crate::failure::Failure;
use crate::given::{self, Range};
use crate::look_up::wires::{
    Arguments, Question, WiresError, Wrong, by_designation, by_geometry, solve,
};
use crate::output::{Output, width};
use crate::report::sheet::wire_card;
use crate::report::wires::card;
use crate::say;

#[derive(Args)]
pub struct WiresArguments {
    #[command(flatten)]
    asked: Arguments,
    #[command(flatten)]
    on_paper: OnPaper,
}

#[derive(Serialize)]
struct Refused<'a> {
    input: &'a str,
    error: RefusedError,
}

#[derive(Serialize)]
struct RefusedError {
    kind: &'static str,
    message: String,
}

pub fn run(arguments: &WiresArguments, output: &mut Output) -> Result<(), Failure> {
    let (on_paper, arguments) = (&arguments.on_paper, &arguments.asked);
    if on_paper.pdf.is_some() {
        return on_card(on_paper, arguments, output);
    }
    let mut all_answered = true;
    if let Some(file) = &arguments.batch {
        all_answered = batch(file, arguments, output)?;
    } else if let (Some(angle), Some(pitch)) = (arguments.angle, &arguments.pitch) {
        let done =
            by_geometry(angle, pitch, arguments).and_then(|question| solve(question, arguments));
        all_answered = tell(pitch, done, arguments, output)?;
    } else {
        for text in &arguments.designations {
            each_line(text, |text| {
                let done =
                    by_designation(text, arguments).and_then(|question| solve(question, arguments));
                all_answered &= tell(text, done, arguments, output)?;
                Ok(())
            })?;
        }
    }
    if all_answered {
        Ok(())
    } else {
        output.finish().and(Err(Failure::SomeLines))
    }
}

/// The card of one thread.
fn on_card(on_paper: &OnPaper, arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    let question = match (arguments.angle, &arguments.pitch) {
        (Some(angle), Some(pitch)) => by_geometry(angle, pitch, arguments),
        _ => match arguments.designations.as_slice() {
            [one] if one != "-" => by_designation(one, arguments),
            _ => return Err(Failure::input(say!("paper-card.only-one"))),
        },
    };
    let solved = question.and_then(|question| solve(question, arguments));
    let (wires, side) = solved.map_err(|wrong| Failure::input(wrong.message))?;
    let print = |letterhead: &_, _| wire_card::pdf(&wires, side, letterhead, clock::now()?);
    on_paper.write(output, print).map(|_| ())
}

fn tell(
    input: &str,
    done: Result<(Wires, Side), Wrong>,
    arguments: &Arguments,
    output: &mut Output,
) -> Result<bool, Failure> {
    match done {
        Ok((wires, _)) if arguments.json => output.json(&WiresDocument::of(&wires)).map(|()| true),
        Ok((wires, side)) => output.text(&card(&wires, side, width())).map(|()| true),
        Err(Wrong { kind, message }) if arguments.json => output
            .json(&Refused {
                input,
                error: RefusedError { kind, message },
            })
            .map(|()| false),
        Err(Wrong { message, .. }) => {
            output.aside(&format!("midflank: {input}: {message}\n"))?;
            Ok(false)
        }
    }
}

/// The question of a row of a batch; an empty field is not given.
fn of_row(row: &Row<'_>) -> Result<Question, WiresError> {
    let unit: LengthUnit = row.field("unit").parse().map_err(|()| WiresError::Unit {
        text: row.field("unit").to_owned(),
    })?;
    let number = |permitted: Range, column: &str| {
        permitted
            .read(column, row.field(column))
            .map_err(|error| WiresError::Number { error })
    };
    let length = |column: &str| Ok::<_, WiresError>(to_mm(number(given::LENGTH, column)?, unit));
    let length_if = |column: &str| match row.field(column) {
        "" => Ok(None),
        _ => length(column).map(Some),
    };
    let side = match row.field("kind") {
        "" | "external" => Side::External,
        "internal" => Side::Internal,
        other => {
            return Err(WiresError::Kind {
                text: other.to_owned(),
            });
        }
    };
    let pitch = length("pitch")?;
    let lead = length_if("lead")?.unwrap_or(pitch);
    let angle = Angle::from_degrees(number(given::INCLUDED_ANGLE, "angle_deg")?);
    Ok(Question {
        designation: None,
        unit,
        form: None,
        groove: Groove::symmetric(side, angle, pitch, lead),
        plane: None,
        wire: length_if("wire_diameter")?,
        owned: Vec::new(),
        pitch_diameter: Some(length("pitch_diameter")?),
        over_wires: None,
        limits: Limits::default(),
        notes: Vec::new(),
    })
}

fn batch(file: &Path, arguments: &Arguments, output: &mut Output) -> Result<bool, Failure> {
    let needed = ["angle_deg", "pitch", "pitch_diameter", "unit"];
    let mut all_answered = true;
    each_row(file, &needed, |row| {
        let done = of_row(row)
            .map_err(Wrong::from)
            .and_then(|question| solve(question, arguments));
        let input = if arguments.json {
            row.input()
        } else {
            say!(
                "command.row",
                file = file.display(),
                line = row.line,
                input = row.input()
            )
        };
        all_answered &= tell(&input, done, arguments, output)?;
        Ok(())
    })?;
    Ok(all_answered)
}
