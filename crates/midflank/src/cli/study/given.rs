//! What the studies have in common: the file, the unit of its readings, numbers in words.

use std::path::{Path, PathBuf};

use clap::Args;
use metrology::study::DoubleDouble;
use metrology::units::{Entered, LengthUnit};
use serde::Serialize;
use workshop::gauge_record::studied::in_unit;

use crate::cli::lines::read_text;
use crate::cli::written;
use crate::clock;
use crate::exchange::sheets;
use crate::failure::Failure;
use crate::look_up::thread::entered;
use crate::output::Output;
use crate::report::studied;
use crate::say;

/// Any unit of length.
fn parse_unit(text: &str) -> Result<LengthUnit, Failure> {
    text.parse()
        .map_err(|()| Failure::input(say!("studied.unit")))
}

// A file of readings; a documentation comment would be shown as help.
#[derive(Args)]
pub struct Readings {
    #[arg(value_name = "FILE.csv")]
    pub file: PathBuf,
    #[arg(long, value_name = "UNIT", value_parser = parse_unit)]
    pub unit: Option<LengthUnit>,
    #[arg(long)]
    json: bool,
    #[arg(long, value_name = "FILE", conflicts_with = "json")]
    xlsx: Option<PathBuf>,
    #[arg(long, requires = "xlsx")]
    replace: bool,
}

impl Readings {
    /// Whether the answer is wanted as data.
    pub const fn is_data(&self) -> bool {
        self.json || self.xlsx.is_some()
    }

    /// The answer as data: a document, or a workbook of the same.
    pub fn data(&self, output: &mut Output, document: &impl Serialize) -> Result<(), Failure> {
        let Some(file) = &self.xlsx else {
            return output.json(document);
        };
        let document = serde_json::to_value(document).map_err(Failure::outside)?;
        let bytes = sheets::workbook(&sheets::of_document(&document), clock::now()?)?;
        written::write(file, &bytes, self.replace, output)
    }

    /// The text of the file.
    pub fn text(&self) -> Result<String, Failure> {
        read_text(&self.file)
    }

    /// The answer of a calculation on it, or what is wrong with the file.
    pub fn study<T, E: metrology::message::Say>(
        &self,
        of: impl FnOnce(&str) -> Result<T, E>,
    ) -> Result<T, Failure> {
        of(&self.text()?).map_err(|error| about(&self.file, &error))
    }

    /// Lengths given beside the file, in the unit of the readings: the stated one, or that of the first of them.
    pub fn lengths<const N: usize>(
        &self,
        given: [(&str, Option<&String>); N],
    ) -> Result<(Option<LengthUnit>, [Option<DoubleDouble>; N]), Failure> {
        let mut lengths = [const { None }; N];
        for (place, (option, text)) in lengths.iter_mut().zip(given) {
            *place = text.map(|text| entered(option, text)).transpose()?;
        }
        let unit = self
            .unit
            .or_else(|| lengths.iter().flatten().map(Entered::unit).next());
        let converted =
            lengths.map(|length| length.and_then(|length| Some(in_unit(&length, unit?))));
        Ok((unit, converted))
    }
}

/// What is wrong, naming the file.
pub fn about(file: &Path, error: &impl metrology::message::Say) -> Failure {
    Failure::refused(error).about(file)
}

/// A name and a number to so many digits, with the unit of the readings where it has one.
pub fn line(
    output: &mut Output,
    name: &str,
    value: f64,
    unit: Option<LengthUnit>,
) -> Result<(), Failure> {
    output.line(&format!("{name:<34} {}", shown(value, unit)))
}

/// A number to six digits, with the unit of the readings where it has one.
pub fn shown(value: f64, unit: Option<LengthUnit>) -> String {
    studied::shown(value, unit.map(LengthUnit::symbol))
}

/// The name of a unit in machine-readable output.
pub fn symbol(unit: Option<LengthUnit>) -> Option<&'static str> {
    unit.map(LengthUnit::symbol)
}
