//! What the studies have in common: the file, the unit of its readings, the form of the answer.

use std::path::PathBuf;

use clap::Args;
use metrology::units::{Entered, LengthUnit};
use serde::Serialize;

use crate::cli::lines::read_text;
use crate::cli::on_paper::{OnPaper, short};
use crate::cli::written;
use crate::clock;
use crate::exchange::sheets;
use crate::failure::Failure;
use crate::look_up::thread::entered;
use crate::output::Output;
use crate::report::sheet::study::StudySheet;
use crate::say;
use crate::study::{Answer, From, Readings};

/// Any unit of length.
fn parse_unit(text: &str) -> Result<LengthUnit, Failure> {
    text.parse()
        .map_err(|()| Failure::input(say!("studied.unit")))
}

/// A length that may be left out.
pub fn optional(option: &str, text: Option<&String>) -> Result<Option<Entered>, Failure> {
    text.map(|text| entered(option, text)).transpose()
}

// A file of readings; a documentation comment would be shown as help.
#[derive(Args)]
pub struct Asked {
    #[arg(value_name = "FILE.csv")]
    file: PathBuf,
    #[arg(long, value_name = "UNIT", value_parser = parse_unit)]
    unit: Option<LengthUnit>,
    #[command(flatten)]
    wanted: Wanted,
}

impl Asked {
    /// Reads the file, and gives the answer of a study of it in the form that is wanted.
    pub fn answer<D: Serialize>(
        &self,
        output: &mut Output,
        of: impl FnOnce(&Readings) -> Result<Answer<D>, Failure>,
    ) -> Result<(), Failure> {
        let name = self.file.file_name().unwrap_or_default();
        let readings = Readings {
            name: name.to_string_lossy().into_owned(),
            file: Some(self.file.clone()),
            text: read_text(&self.file)?,
            stated: self.unit,
        };
        let answer = of(&readings)?;
        self.wanted.answer(output, &readings.from(), answer)
    }
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

impl Wanted {
    /// Gives the answer in the form that is wanted.
    pub fn answer<D: Serialize>(
        &self,
        output: &mut Output,
        from: &From<'_>,
        answer: Answer<D>,
    ) -> Result<(), Failure> {
        let (document, sheet) = answer.on_sheet(from, clock::now()?)?;
        self.give(output, &document, sheet)
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
