//! A calibration as it was done in house, with the certificate that it makes.

use std::collections::BTreeSet;

use jiff::civil::Date;
use ledger::Subject;
use metrology::calibration::{Calibration, PairCheck};

use super::certificate::Heading;
use super::piece::{PieceId, PieceKind};

/// What was calibrated.
#[derive(Clone, Debug, PartialEq)]
pub enum Of {
    /// A micrometer on gauge blocks.
    Micrometer(Calibration),
    /// A pair of thread contacts on two plugs.
    Pair(PairCheck),
}

/// A calibration and the certificate that it makes.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    pub of: Of,
    /// Its own heading; the day of the calibration is its date.
    pub heading: Heading,
    /// When the next is due.
    pub due: Option<Date>,
    /// When the item came in, and in what condition it was then (ISO/IEC 17025:2017, 7.8.2.1 h and i); none where nobody stated it.
    pub received: Option<Date>,
    pub condition: Option<String>,
    /// Who calibrated.
    pub person: String,
}

impl Worked {
    /// What was calibrated.
    pub fn piece(&self) -> PieceId {
        match &self.of {
            Of::Micrometer(calibration) => {
                PieceId::new(PieceKind::Instrument, &calibration.micrometer.id)
            }
            Of::Pair(check) => PieceId::new(PieceKind::Contacts, &check.contacts),
        }
    }

    pub fn subjects(&self) -> BTreeSet<Subject> {
        BTreeSet::from([
            Subject::new("gauge-room", "calibrations"),
            Subject::new("calibration", self.heading.number.trim()),
            self.piece().subject(),
        ])
    }
}
