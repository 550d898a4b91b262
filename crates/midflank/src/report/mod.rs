//! A result for people: one file a format.

pub mod bar;
pub mod contacts;
pub mod correct;
pub mod functional;
pub mod html;
pub mod limits;
mod picture;
pub mod reconcile;
pub mod small;
pub mod text;
pub mod wires;

use jiff::Timestamp;
use metrology::inspection::Job;
use metrology::uncertainty::report::round_f64;
use metrology::units::LengthUnit;

use crate::document::{BudgetLine, Inspected};

/// All that a report is made from.
pub struct Report<'a> {
    /// What went in.
    pub job: &'a Job,
    /// What came out.
    pub result: &'a Inspected,
    /// Where it is recorded, if it is.
    pub record: Option<Record>,
}

/// The record that a report shows.
pub struct Record {
    /// Short name of the entry.
    pub id: String,
    /// Its hash.
    pub hash: String,
    /// When it was recorded.
    pub recorded_at: Timestamp,
    /// Who recorded it.
    pub person: String,
    /// The program that computed it.
    pub program: String,
    /// Entry that it amends, and why.
    pub amends: Option<(String, String)>,
    /// Entry that amends it.
    pub amended_by: Option<String>,
}

/// The caution on every report: a person decides, not a program.
pub const CAUTION: &str = "This result holds for the part and characteristic named above only. It defers to the \
    drawing, the governing standard and licensed practice; where a wrong acceptance can hurt someone, a competent \
    person decides.";

/// A length with its unit.
pub fn length(value: f64, decimals: usize, unit: LengthUnit) -> String {
    format!("{value:.decimals$} {unit}")
}

/// A size and its expanded uncertainty, rounded together (JCGM 100:2008, 7.2.6), and the decimals they have.
pub fn size(value: f64, expanded: f64) -> (String, String, usize) {
    match round_f64(value, expanded) {
        Ok(rounded) if expanded > 0.0 => {
            let decimals = usize::try_from(rounded.decimals).unwrap_or(0);
            (
                format!("{:.decimals$}", rounded.value),
                format!("{:.decimals$}", rounded.uncertainty),
                decimals,
            )
        }
        _ => (format!("{value}"), format!("{expanded}"), 7),
    }
}

/// Decimals for corrections and budget lines: tenths of a micrometre, or millionths of an inch.
pub const fn fine_decimals(unit: LengthUnit) -> usize {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => 6,
        LengthUnit::Millimetre | LengthUnit::Micrometre => 5,
    }
}

/// Budget lines worth a line of their own, and how many smaller ones there are: each under a thousandth of the whole.
pub fn budget_lines(result: &Inspected) -> (Vec<&BudgetLine>, usize) {
    let (large, small): (Vec<_>, Vec<_>) =
        result.budget.iter().partition(|line| line.share >= 0.001);
    (large, small.len())
}

/// A probability in percent that never claims certainty.
pub fn percent(probability: f64) -> String {
    match probability * 100.0 {
        p if p > 99.99 => "above 99.99 %".to_owned(),
        p if p < 0.01 => "below 0.01 %".to_owned(),
        p => format!("{p:.2} %"),
    }
}

/// The verdict as a person reads it.
pub fn verdict_words(key: &str) -> String {
    key.replace('-', " ").to_uppercase()
}
