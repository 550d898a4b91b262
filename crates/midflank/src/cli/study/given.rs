//! What the studies have in common: the file, the unit of its readings, numbers in words.

use std::path::{Path, PathBuf};

use clap::Args;
use metrology::study::{DoubleDouble, Table};
use metrology::units::LengthUnit;
use paper::Figure;
use serde::Serialize;
use sha2::{Digest as _, Sha256};
use workshop::gauge_record::studied::in_unit;

use crate::cli::lines::read_text;
use crate::cli::on_paper::{OnPaper, short};
use crate::cli::written;
use crate::clock;
use crate::exchange::sheets;
use crate::failure::Failure;
use crate::look_up::thread::entered;
use crate::output::Output;
use crate::report::sheet::study::{Origin, Plot, StudyName, StudySheet, attached};
use crate::report::studied;
use crate::report::told::Told;
use crate::say;

/// The column that says the unit of each reading.
const UNIT: &str = "unit";

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
    #[command(flatten)]
    wanted: Wanted,
}

// In which form the answer is wanted; in words where none is named. A documentation comment would be shown as help.
#[derive(Args)]
pub struct Wanted {
    #[arg(long, conflicts_with = "pdf")]
    json: bool,
    #[arg(long, value_name = "FILE", conflicts_with_all = ["json", "pdf"])]
    xlsx: Option<PathBuf>,
    #[arg(long, value_name = "FILE", conflicts_with_all = ["json", "pdf", "xlsx"])]
    html: Option<PathBuf>,
    #[command(flatten)]
    on_paper: OnPaper,
}

/// What a study comes to, in all its forms.
pub struct Answer<'a, D> {
    pub study: StudyName,
    pub document: &'a D,
    pub told: Told,
    pub figures: Vec<(String, Figure)>,
}

impl<'a, D> Answer<'a, D> {
    /// Before it is drawn.
    pub const fn of(study: StudyName, document: &'a D, told: Told) -> Self {
        Self {
            study,
            document,
            told,
            figures: Vec::new(),
        }
    }

    pub fn plot(&mut self, plot: Plot) {
        let title = plot.title.clone();
        self.figures
            .extend(plot.figure().map(|figure| (title, figure)));
    }
}

/// What a study was computed from.
pub struct From<'a> {
    /// In words.
    pub of: String,
    /// The readings as a file: its name and its text.
    pub name: &'a str,
    pub text: &'a str,
}

impl Wanted {
    /// Gives the answer in the form that is wanted.
    pub fn answer<D: Serialize>(
        &self,
        output: &mut Output,
        from: &From<'_>,
        answer: Answer<'_, D>,
    ) -> Result<(), Failure> {
        let Answer {
            study,
            document,
            told,
            figures,
        } = answer;
        let sheet = StudySheet {
            study,
            of: from.of.clone(),
            origin: Origin::Computed {
                digest: digest(from.text),
                made_at: clock::now()?,
            },
            told,
            figures,
            attached: attached(document, from.name, from.text)?,
        };
        self.give(output, document, sheet)
    }

    /// Gives a sheet, or the document that it was made of, in the form that is wanted.
    pub fn give(
        &self,
        output: &mut Output,
        document: &impl Serialize,
        sheet: StudySheet,
    ) -> Result<(), Failure> {
        if self.json {
            return output.json(document);
        }
        let replace = self.on_paper.replace;
        if let Some(file) = &self.xlsx {
            let document = serde_json::to_value(document).map_err(Failure::outside)?;
            let bytes = sheets::workbook(&sheets::of_document(&document), clock::now()?)?;
            return written::write(file, &bytes, replace, output);
        }
        if let Some(file) = &self.html {
            let page = sheet.html(&self.on_paper.letterhead()?).into_string();
            return written::write(file, page.as_bytes(), replace, output);
        }
        if self.on_paper.pdf.is_none() {
            let lines = sheet.lines();
            return lines.iter().try_for_each(|line| output.line(line));
        }
        let print = |letterhead: &_, size| sheet.pdf(letterhead, &short(size));
        self.on_paper.write(output, print).map(|_| ())
    }
}

/// The SHA-256 of a text, in hexadecimal.
fn digest(text: &str) -> String {
    ledger::Hash::from_bytes(Sha256::digest(text).into()).to_string()
}

impl Readings {
    /// The values of the column `value`.
    pub fn values(&self) -> Result<Vec<f64>, Failure> {
        let values = Table::read(&self.text()?, &["value"])
            .and_then(|table| table.numbers("value"))
            .map_err(|error| about(&self.file, &error))?;
        Ok(values.into_iter().map(DoubleDouble::value).collect())
    }

    /// Gives the answer in the form that is wanted.
    pub fn answer<D: Serialize>(
        &self,
        output: &mut Output,
        answer: Answer<'_, D>,
    ) -> Result<(), Failure> {
        let name = self.file.file_name().unwrap_or_default().to_string_lossy();
        let from = From {
            of: name.clone().into_owned(),
            name: "readings.csv",
            text: &self.text()?,
        };
        self.wanted.answer(output, &from, answer)
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

    /// The unit of the readings: that of the column `unit`, or the stated one; none where nobody says.
    pub fn unit(&self) -> Result<Option<LengthUnit>, Failure> {
        let text = self.text()?;
        let of_column = Table::read(&text, &[]).and_then(|table| {
            let read = |table: &Table| Ok(Some((table.texts(UNIT)?, table.lines().collect())));
            if table.has(UNIT) {
                read(&table)
            } else {
                Ok(None)
            }
        });
        let of_column: Option<(Vec<String>, Vec<u64>)> =
            of_column.map_err(|error| about(&self.file, &error))?;
        let mut found = self.unit;
        let mut first = None;
        for (text, line) in of_column
            .into_iter()
            .flat_map(|(all, lines)| all.into_iter().zip(lines))
        {
            let refused = |why: String| Err(Failure::Input(why).about(&self.file));
            let Ok(unit) = text.parse::<LengthUnit>() else {
                return refused(say!("studied.no-unit", line = line, text = text));
            };
            match found {
                Some(other) if other != unit => {
                    let (one, unit) = (other.symbol(), unit.symbol());
                    return refused(match first {
                        Some(first) => say!(
                            "studied.units",
                            line = line,
                            unit = unit,
                            first = first,
                            one = one
                        ),
                        None => say!("studied.other-unit", line = line, unit = unit, stated = one),
                    });
                }
                _ => (found, first) = (Some(unit), first.or(Some(line))),
            }
        }
        Ok(found)
    }

    /// Lengths given beside the file, in the unit of the readings. Where neither the file nor `--unit` says it the readings are
    /// millimetres, and inches where the first length is in inches or microinches.
    pub fn lengths<const N: usize>(
        &self,
        given: [(&str, Option<&String>); N],
    ) -> Result<(Option<LengthUnit>, [Option<DoubleDouble>; N]), Failure> {
        let mut lengths = [const { None }; N];
        for (place, (option, text)) in lengths.iter_mut().zip(given) {
            *place = text.map(|text| entered(option, text)).transpose()?;
        }
        let of_lengths = || {
            lengths
                .iter()
                .flatten()
                .map(|length| length.unit().of_drawing())
        };
        let unit = self.unit()?.or_else(|| of_lengths().next());
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
pub fn line(told: &mut Told, name: &str, value: f64, unit: Option<LengthUnit>) {
    told.value(name, shown(value, unit));
}

/// A number to six digits, with the unit of the readings where it has one.
pub fn shown(value: f64, unit: Option<LengthUnit>) -> String {
    studied::shown(value, unit.map(LengthUnit::symbol))
}

/// The name of a unit in machine-readable output.
pub fn symbol(unit: Option<LengthUnit>) -> Option<&'static str> {
    unit.map(LengthUnit::symbol)
}
