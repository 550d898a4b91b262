//! The process that parts come from.

use metrology::decision::ProcessEstimate;
use metrology::decision::risk::{self, RiskError};
use metrology::units::{Entered, LengthUnit};

use crate::given::{GAMMA_RATE, GAMMA_SHAPE, NumberError};
use crate::in_unit::from_mm;

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
        /// Records of two characteristics, which no one process makes.
        TwoCharacteristics "two-characteristics" { one: String as Text, other: String as Text },
        /// Records of a piece under two numbers of its plan, which ask the same of two places of a part.
        TwoNumbers "two-numbers" { piece: String as Text, one: String as Text, other: String as Text },
        /// Records of one characteristic under two pairs of limits.
        TwoLimits "two-limits" { characteristic: String as Text },
        /// The limits are written in two units, so that the rate has none.
        TwoUnits "two-units" { lower: LengthUnit as Unit, upper: LengthUnit as Unit },
    }
}

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
}
