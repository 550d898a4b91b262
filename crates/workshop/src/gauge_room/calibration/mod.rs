//! A calibration done in house: from its file to its record, and from the record to the register.

mod document;
mod on_record;
mod read;
mod shape;

pub use document::{CalibratedDocument, CurveDocument, JudgedDocument, PairDocument, PointDocument};
pub use on_record::{RecordRefused, Recorded, as_read, computed, record, worked};
pub(crate) use read::heading;
pub use read::{FileError, Planned, Read, parse, read};
pub(crate) use shape::CertificateKeys;

use jiff::civil::Date;
use metrology::calibration::{Calibration, PairCheck};

use super::certificate::Heading;

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
    /// Who calibrated.
    pub person: String,
}
