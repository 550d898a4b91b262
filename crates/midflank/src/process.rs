//! The process that parts come from: as stated, or estimated from the sizes on the record.

use std::path::Path;

use ledger::{Filter, Order, Page, Subject};
use metrology::decision::ProcessEstimate;
use metrology::decision::risk::{self, RiskError};
use metrology::inspection::Quantity;
use metrology::units::{Entered, LengthUnit};

use crate::cli::Failure;
use crate::document::{Inspected, from_mm, to_mm};
use crate::given::{GAMMA_RATE, GAMMA_SHAPE, NumberError};
use crate::record;
use crate::say;

/// A process that is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Process {
    /// The distribution of the true sizes that it makes, millimetres.
    pub made: risk::Process,
    pub kind: Kind,
    /// How it was estimated; `None` where it was stated.
    pub estimate: Option<ProcessEstimate>,
}

/// Which distribution it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    Normal,
    /// With the rate in 1/unit, as it was stated.
    Gamma {
        shape: f64,
        rate: f64,
        unit: LengthUnit,
    },
    /// The recorded sizes themselves.
    Empirical,
}

/// A process as it is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Stated {
    Known(Process),
    /// The rate is in 1/unit of the limits, which come with each decision.
    Gamma {
        shape: f64,
        rate: f64,
    },
}

metrology::messages! {
    /// Why a process is none.
    pub enum ProcessError "process" {
        /// It is written in no known way.
        Form "form" { given: String as Text },
        /// A number of it is not taken.
        Number "number" { why: NumberError as said },
        /// There are no risks to compute of it.
        Risk "risk" { why: RiskError as said },
        /// The limits are written in two units, so that the rate has none.
        TwoUnits "two-units" { lower: LengthUnit as Unit, upper: LengthUnit as Unit },
    }
}

/// Which records to estimate it from.
#[derive(Clone, Debug, Default)]
pub struct Selection {
    pub part: Option<String>,
    pub lot: Option<String>,
    pub characteristic: Option<String>,
    /// The sizes themselves, in the place of a normal process.
    pub empirical: bool,
}

/// What is drawn anew for each part.
const FROM_PART_TO_PART: [Quantity; 6] = [
    Quantity::Repeatability,
    Quantity::FormSeen,
    Quantity::Resolution,
    Quantity::ZeroReading,
    Quantity::ZeroResolution,
    Quantity::Drift,
];

impl Kind {
    /// The name in machine-readable output.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Gamma { .. } => "gamma",
            Self::Empirical => "empirical",
        }
    }
}

impl Stated {
    /// Reads `gamma:SHAPE,RATE`.
    pub fn parse(text: &str) -> Result<Self, ProcessError> {
        let numbers = text.trim().strip_prefix("gamma:");
        let Some((shape, rate)) = numbers
            .and_then(|numbers| numbers.split_once(','))
            // With a decimal comma there would be more of them.
            .filter(|(_, rate)| !rate.contains(','))
        else {
            return Err(ProcessError::Form {
                given: text.to_owned(),
            });
        };
        let number = |why| ProcessError::Number { why };
        Ok(Self::Gamma {
            shape: GAMMA_SHAPE.read("shape", shape).map_err(number)?,
            rate: GAMMA_RATE.read("rate", rate).map_err(number)?,
        })
    }

    /// The process for a size between these limits.
    pub fn within(
        &self,
        lower: Option<&Entered>,
        upper: Option<&Entered>,
    ) -> Result<Process, ProcessError> {
        let (shape, rate) = match *self {
            Self::Known(ref process) => return Ok(process.clone()),
            Self::Gamma { shape, rate } => (shape, rate),
        };
        let unit = match (lower.map(Entered::unit), upper.map(Entered::unit)) {
            (Some(lower), Some(upper)) if lower != upper => {
                return Err(ProcessError::TwoUnits { lower, upper });
            }
            (Some(unit), _) | (None, Some(unit)) => unit,
            // Without any limit nothing is decided.
            (None, None) => LengthUnit::Millimetre,
        };
        let per_millimetre = from_mm(rate, unit);
        let why = |why| ProcessError::Risk { why };
        Ok(Process {
            made: risk::Process::gamma(shape, per_millimetre).map_err(why)?,
            kind: Kind::Gamma { shape, rate, unit },
            estimate: None,
        })
    }
}

impl Process {
    /// A normal process, millimetres.
    pub fn normal(mean: f64, standard_deviation: f64) -> Result<Self, RiskError> {
        Ok(Self {
            made: risk::Process::normal(mean, standard_deviation)?,
            kind: Kind::Normal,
            estimate: None,
        })
    }

    /// Estimates it from the inspections that stand on the record.
    pub fn from_ledger(path: Option<&Path>, selection: &Selection) -> Result<Self, Failure> {
        let ledger = record::open_to_read(path)?;
        let subjects = [
            ("lot", &selection.lot),
            ("part", &selection.part),
            ("characteristic", &selection.characteristic),
        ];
        let filter = Filter {
            kind: Some(record::INSPECTION.to_owned()),
            subjects: subjects
                .into_iter()
                .filter_map(|(role, identity)| Some(Subject::new(role, identity.as_ref()?.trim())))
                .collect(),
            standing: true,
            ..Filter::default()
        };
        let (mut sizes, mut variances) = (Vec::new(), Vec::new());
        let mut characteristic: Option<String> = None;
        let mut page = Some(Page::first(Order::OldestFirst, Page::LARGEST));
        while let Some(next) = page {
            let listing = ledger.list(&filter, &next)?;
            for entry in &listing.entries {
                let (_, result) = record::read(entry)?;
                let first = characteristic.get_or_insert_with(|| result.measured());
                if *first != result.measured() {
                    return Err(Failure::Input(say!(
                        "process.two-characteristics",
                        one = first,
                        other = result.measured()
                    )));
                }
                sizes.push(to_mm(result.mean.size.value, result.unit));
                variances.push(variance(&result));
            }
            page = listing.next;
        }
        let count = variances.len().max(1) as f64;
        let estimate = ProcessEstimate::of(&sizes, variances.iter().sum::<f64>() / count)
            .map_err(|error| Failure::refused(&error))?;
        let (made, kind) = if selection.empirical {
            let sizes = estimate.without_measurement(&sizes);
            (risk::Process::empirical(sizes), Kind::Empirical)
        } else {
            let normal = risk::Process::normal(estimate.mean, estimate.standard_deviation);
            (normal, Kind::Normal)
        };
        Ok(Self {
            made: made.map_err(|error| Failure::refused(&error))?,
            kind,
            estimate: Some(estimate),
        })
    }
}

/// What the measurement of one part adds to the spread of many, square millimetres.
fn variance(result: &Inspected) -> f64 {
    result
        .budget
        .iter()
        .filter(|line| {
            Quantity::of(&line.quantity).is_some_and(|known| FROM_PART_TO_PART.contains(&known))
        })
        .map(|line| to_mm(line.contribution, result.unit))
        .map(|contribution| contribution * contribution)
        .sum()
}
