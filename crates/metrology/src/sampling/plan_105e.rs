//! Single sampling plans of MIL-STD-105E.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use rust_decimal::Decimal;

use super::acceptance::{Acceptance, check_lot};
use super::error::SamplingError;
use crate::source::Confidence;
use crate::tables;

crate::codes! {
    /// How severe inspection is.
    pub enum Severity "severity" {
        /// Table II-A.
        Normal "normal",
        /// Table II-B.
        Tightened "tightened",
        /// Table II-C.
        Reduced "reduced",
    }
}

crate::codes! {
    /// Inspection levels: how large a sample from a lot of a given size.
    pub enum Level "inspection-level" {
        /// S-1.
        Special1 "s1",
        /// S-2.
        Special2 "s2",
        /// S-3.
        Special3 "s3",
        /// S-4.
        Special4 "s4",
        /// I: about half the sample of II.
        One "i",
        /// II: the usual one.
        Two "ii",
        /// III: the largest samples.
        Three "iii",
    }
}

/// An acceptable quality level of the tables, percent nonconforming or nonconformities per hundred units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Aql(&'static str);

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// The code letter of lot size and level (Table I).
    pub lot_code_letter: String,
    /// The code letter of the plan, which the arrows of the table may have changed (4.9.3).
    pub code_letter: String,
    /// How many pieces: all of a lot that is not larger than the plan's sample.
    pub n: u64,
    /// The plan's own sample size.
    pub sample_size: u64,
    /// Acceptance number.
    pub c: u64,
    /// Rejection number.
    pub r: u64,
    /// Whether every piece is inspected.
    pub every_piece: bool,
    /// How well the table is known.
    pub confidence: Confidence,
}

/// The preferred AQLs.
const AQLS: [&str; 26] = [
    "0.010", "0.015", "0.025", "0.040", "0.065", "0.10", "0.15", "0.25", "0.40", "0.65", "1.0",
    "1.5", "2.5", "4.0", "6.5", "10", "15", "25", "40", "65", "100", "150", "250", "400", "650",
    "1000",
];

type Row = BTreeMap<String, String>;
static LETTERS: LazyLock<Vec<Row>> = LazyLock::new(|| tables::rows(tables::SAMPLING_LETTERS));
static PLANS: LazyLock<Vec<Row>> = LazyLock::new(|| tables::rows(tables::SAMPLING_PLANS));

impl Plan {
    /// What the plan accepts of lots of one size, or of a process where none is given: all below its rejection number, also where a
    /// reduced plan leaves a gap above its acceptance number (4.7.4 b).
    pub fn acceptance(&self, lot: Option<u64>) -> Result<Acceptance, SamplingError> {
        Acceptance::new(self.n, self.r.saturating_sub(1), lot)
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Cell {
    Numbers { c: u64, r: u64 },
    Above,
    Below,
}

impl Aql {
    /// Every one, smallest first.
    pub fn all() -> impl Iterator<Item = Self> {
        AQLS.into_iter().map(Self)
    }

    /// The one that is written so: `0.65`, `1`, `1.0`, `1,0`, `1 %`.
    pub fn parse(text: &str) -> Result<Self, SamplingError> {
        let number = |text: &str| text.trim().parse::<Decimal>().ok();
        // Percent is what an AQL is in.
        let bare = text.trim().trim_end_matches('%').replace(',', ".");
        number(&bare)
            .and_then(|given| AQLS.into_iter().find(|known| number(known) == Some(given)))
            .map(Self)
            .ok_or_else(|| SamplingError::Aql {
                given: text.chars().take(40).collect(),
                known: AQLS.to_vec(),
            })
    }

    /// As the table writes it.
    pub const fn text(self) -> &'static str {
        self.0
    }

    /// As a fraction, where it can be one: up to 10 the tables are for percent nonconforming.
    pub fn fraction(self) -> Option<f64> {
        let percent: f64 = self.0.parse().ok()?;
        (percent <= 10.0).then_some(percent / 100.0)
    }
}

impl Level {
    /// The one that is written so: `II`, `ii`, `S-3`, `s3`.
    pub fn parse(text: &str) -> Result<Self, SamplingError> {
        let bare = text.trim().to_ascii_lowercase().replace('-', "");
        Self::of(&bare).ok_or_else(|| SamplingError::Level {
            given: text.chars().take(40).collect(),
        })
    }
}

impl Severity {
    /// The one that is written so.
    pub fn parse(text: &str) -> Result<Self, SamplingError> {
        let bare = text.trim().to_ascii_lowercase();
        Self::of(&bare).ok_or_else(|| SamplingError::Severity {
            given: text.chars().take(40).collect(),
        })
    }
}

/// The single plan for a lot of so many.
///
/// Source: MIL-STD-105E, Tables I and II-A to II-C, 4.9.3 for the arrows: the sample size is that of the plan they lead to.
/// Tightened and reduced inspection were read in reprints, which [`Plan::confidence`] tells.
///
/// ```
/// use metrology::sampling::{Aql, Level, Severity, single_plan};
///
/// // Eighty pieces at level II: code letter E, 13 pieces (MIL-STD-105E, Tables I and II-A).
/// let plan = single_plan(80, Level::parse("II")?, Aql::parse("1.0")?, Severity::Normal)?;
/// assert_eq!((plan.code_letter.as_str(), plan.n, plan.c, plan.r), ("E", 13, 0, 1));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn single_plan(
    lot: u64,
    level: Level,
    aql: Aql,
    severity: Severity,
) -> Result<Plan, SamplingError> {
    check_lot(Some(lot))?;
    if lot < 2 {
        return Err(SamplingError::LotOfOne);
    }
    let letter = code_letter(lot, level).unwrap_or_default();
    let none = || SamplingError::NoPlan {
        letter: letter.to_owned(),
        aql: aql.text().to_owned(),
    };
    let rows: Vec<&Row> = PLANS
        .iter()
        .filter(|row| field(row, "severity") == severity.key())
        .collect();
    let start = rows
        .iter()
        .position(|row| field(row, "code_letter") == letter)
        .ok_or_else(none)?;
    let column = format!("aql_{}", aql.text());
    let cell = |index: usize| Some((*rows.get(index)?, read(field(rows.get(index)?, &column))?));
    let found = match cell(start).ok_or_else(none)?.1 {
        Cell::Numbers { .. } => cell(start),
        Cell::Below => below(start, cell),
        // Above the first row there is no plan; its arrow can only mean the one below.
        Cell::Above => (0..start)
            .rev()
            .filter_map(cell)
            .find(|(_, cell)| matches!(cell, Cell::Numbers { .. }))
            .or_else(|| below(start, cell)),
    };
    let Some((row, Cell::Numbers { c, r })) = found else {
        return Err(none());
    };
    let sample_size: u64 = field(row, "sample_size").parse().map_err(|_| none())?;
    Ok(Plan {
        lot_code_letter: letter.to_owned(),
        code_letter: field(row, "code_letter").to_owned(),
        n: sample_size.min(lot),
        sample_size,
        c,
        r,
        every_piece: sample_size >= lot,
        confidence: match field(row, "confidence") {
            "solid" => Confidence::Solid,
            "secondary" => Confidence::Secondary,
            _ => Confidence::Weak,
        },
    })
}

fn below<'a>(
    start: usize,
    cell: impl Fn(usize) -> Option<(&'a Row, Cell)>,
) -> Option<(&'a Row, Cell)> {
    (start + 1..)
        .map_while(cell)
        .find(|(_, cell)| matches!(cell, Cell::Numbers { .. }))
}

fn code_letter(lot: u64, level: Level) -> Option<&'static str> {
    let end = |row: &Row| field(row, "lot_max").parse().unwrap_or(u64::MAX);
    let row = LETTERS.iter().find(|row| lot <= end(row))?;
    Some(field(row, level.key()))
}

fn field<'a>(row: &'a Row, column: &str) -> &'a str {
    row.get(column).map_or("", String::as_str)
}

fn read(cell: &str) -> Option<Cell> {
    match cell {
        "up" => Some(Cell::Above),
        "down" => Some(Cell::Below),
        numbers => {
            let (c, r) = numbers.split_once('/')?;
            Some(Cell::Numbers {
                c: c.parse().ok()?,
                r: r.parse().ok()?,
            })
        }
    }
}
