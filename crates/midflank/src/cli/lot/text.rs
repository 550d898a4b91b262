//! A lot as a table for people: a line a piece and characteristic, or in short a line a piece.

use metrology::lot::Standing;
use metrology::units::LengthUnit;
use workshop::lot::{Measured, Outcome};
use workshop::plan::Plan;

use super::why;
use crate::failure::Failure;
use crate::output::Output;
use crate::say;
use crate::words::{self, number};

/// The line above the table.
pub fn heading(plan: &Plan, lot: Option<&str>) -> String {
    let (part, drawing) = (&plan.part, plan.drawing());
    match lot {
        Some(lot) => say!(
            "lot-run.heading-lot",
            part = part,
            drawing = drawing,
            lot = lot
        ),
        None => say!("lot-run.heading", part = part, drawing = drawing),
    }
}

/// The table, piece after piece.
pub struct Table {
    short: bool,
    begun: bool,
    piece: String,
    /// In short: how the piece stands, and what of it is not accepted.
    standing: Standing,
    marks: Vec<String>,
}

impl Table {
    pub const fn new(short: bool) -> Self {
        Self {
            short,
            begun: false,
            piece: String::new(),
            standing: Standing::Accept,
            marks: Vec::new(),
        }
    }

    pub fn add(
        &mut self,
        measured: &Measured,
        number: &str,
        output: &mut Output,
    ) -> Result<(), Failure> {
        if !self.short {
            return self.row(measured, number, output);
        }
        if self.begun && self.piece != measured.piece {
            self.finish(output)?;
        }
        self.begun = true;
        self.piece.clone_from(&measured.piece);
        let standing = match &measured.outcome {
            Ok(outcome) => outcome.standing,
            Err(_) => Standing::Undecided,
        };
        self.standing = self.standing.max(standing);
        match &measured.outcome {
            Ok(outcome) if outcome.standing == Standing::Accept => {}
            Ok(outcome) => self.marks.push(say!(
                "lot-run.mark",
                characteristic = number,
                size = size(outcome),
                verdict = verdict(outcome)
            )),
            Err(refused) => self.marks.push(say!(
                "lot-run.mark-refused",
                characteristic = number,
                why = why(refused)
            )),
        }
        if !measured.missing_places.is_empty() {
            self.standing = self.standing.max(Standing::Undecided);
            self.marks.push(say!(
                "lot-run.mark-places",
                characteristic = number,
                places = measured.missing_places.join(", ")
            ));
        }
        Ok(())
    }

    fn row(
        &mut self,
        measured: &Measured,
        number: &str,
        output: &mut Output,
    ) -> Result<(), Failure> {
        if !self.begun {
            self.begun = true;
            output.line(&format!(
                "{:<14} {:>6} {:>12} {:>10} {:>3}  {}",
                say!("lot-run.piece-column"),
                say!("lot-run.characteristic-column"),
                say!("lot-run.size-column"),
                say!("lot-run.uncertainty-column"),
                say!("lot-run.n-column"),
                say!("lot-run.verdict-column")
            ))?;
        }
        let (piece, n) = (&measured.piece, measured.n);
        let line = match &measured.outcome {
            Ok(outcome) => format!(
                "{piece:<14} {number:>6} {:>12} {:>10} {n:>3}  {}",
                size(outcome),
                uncertainty(outcome),
                verdict(outcome)
            ),
            Err(refused) => format!("{piece:<14} {number:>6}  {}", why(refused)),
        };
        output.line(&line)?;
        if measured.missing_places.is_empty() {
            return Ok(());
        }
        let places = measured.missing_places.join(", ");
        output.line(&say!("lot-run.places", places = places))
    }

    /// Ends the line of a piece.
    pub fn finish(&mut self, output: &mut Output) -> Result<(), Failure> {
        if !self.short || !self.begun {
            return Ok(());
        }
        let verdict = words::word(&self.standing);
        let marks = self.marks.join("; ");
        output.line(format!("{:<14} {verdict:<12} {marks}", self.piece).trim_end())?;
        self.marks.clear();
        self.standing = Standing::Accept;
        self.begun = false;
        Ok(())
    }
}

/// The size to a digit more than the limits have.
fn size(outcome: &Outcome) -> String {
    number::fixed(outcome.size, decimals(outcome))
}

fn uncertainty(outcome: &Outcome) -> String {
    number::fixed(outcome.expanded_uncertainty, decimals(outcome))
}

fn decimals(outcome: &Outcome) -> usize {
    let least = match outcome.unit {
        LengthUnit::Inch | LengthUnit::Microinch => 5,
        LengthUnit::Millimetre | LengthUnit::Micrometre => 4,
    };
    usize::try_from(outcome.decimals + 1)
        .unwrap_or(least)
        .max(least)
}

/// A verdict that waits for the closing zero check stands in brackets.
fn verdict(outcome: &Outcome) -> String {
    let verdict = words::named("verdict", outcome.decision);
    match (&outcome.because, outcome.provisional) {
        (_, true) => format!("({verdict})"),
        (Some(because), false) => {
            let why = words::known(&format!("doubt.{because}")).unwrap_or(because);
            format!("{verdict}: {why}")
        }
        (None, false) => verdict,
    }
}
