//! A rule by the key that people type, and what its parameter may be.

use rust_decimal::Decimal;

use super::error::Permitted;
use super::{DecisionError, Rule};

/// How far a multiple of U may go: a percentage written as 50 is caught.
const LARGEST_MULTIPLE: Decimal = Decimal::TEN;

impl Rule {
    /// A rule from its key, with its parameter or the default.
    pub fn parse(key: &str, parameter: Option<Decimal>) -> Result<Self, DecisionError> {
        let or_one = parameter.unwrap_or(Decimal::ONE);
        // People write it as the standard is called: ISO 14253-1.
        let key_as_written = key.trim().to_lowercase().replace(' ', "");
        let rule = match key_as_written.as_str() {
            "simple" => Self::Simple {
                largest_ratio: parameter,
            },
            "iso14253-1" => Self::Iso14253_1,
            "probability" => Self::Probability {
                least: parameter.unwrap_or(Decimal::new(95, 2)),
            },
            "guard-band" => Self::GuardBand { multiple: or_one },
            "guard-band-four" => Self::GuardBandFour { multiple: or_one },
            "stringent" => Self::Stringent { fraction: or_one },
            "relaxed" => Self::Relaxed { fraction: or_one },
            "false-accept-2" => Self::FalseAccept2,
            "" => {
                return Err(DecisionError::NoRule {
                    known: Self::KEYS.to_vec(),
                });
            }
            _ => {
                return Err(DecisionError::UnknownRule {
                    given: key.to_owned(),
                    known: Self::KEYS.to_vec(),
                });
            }
        };
        if parameter.is_some() && rule.parameter().is_none() {
            return Err(DecisionError::NoParameter { rule });
        }
        rule.check()?;
        Ok(rule)
    }

    /// The same of a rule that is entered: one that narrows the limits is not agreed with a multiple that widens them. Records have
    /// been made with such ones, and are computed with them again.
    pub fn agreed(key: &str, parameter: Option<Decimal>) -> Result<Self, DecisionError> {
        match Self::parse(key, parameter)? {
            rule @ Self::GuardBand { multiple } if multiple < Decimal::ZERO => {
                Err(DecisionError::Parameter {
                    rule,
                    given: multiple,
                    permitted: Permitted::Narrowing,
                })
            }
            rule => Ok(rule),
        }
    }

    /// Whether the parameter is one the rule can work with.
    pub(super) fn check(self) -> Result<(), DecisionError> {
        let Some(given) = self.parameter() else {
            return Ok(());
        };
        let half = Decimal::new(5, 1);
        let (good, permitted) = match self {
            Self::Probability { .. } => (
                given >= half && given < Decimal::ONE,
                Permitted::Probability,
            ),
            Self::Simple { .. } => (
                given > Decimal::ZERO && given <= LARGEST_MULTIPLE,
                Permitted::Ratio,
            ),
            Self::GuardBand { .. } => (given.abs() <= LARGEST_MULTIPLE, Permitted::Multiple),
            _ => (
                given >= Decimal::ZERO && given <= LARGEST_MULTIPLE,
                Permitted::PositiveMultiple,
            ),
        };
        if good {
            Ok(())
        } else {
            Err(DecisionError::Parameter {
                rule: self,
                given,
                permitted,
            })
        }
    }
}
