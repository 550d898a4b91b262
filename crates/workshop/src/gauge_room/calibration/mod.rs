//! A calibration done in house: from its file to its record, and from the record to the register.

mod on_record;
mod read;
mod shape;

pub use on_record::{OnRecord, RecordRefused, Recorded, as_read, computed, of, record, worked};
pub(crate) use read::heading;
pub use read::{FileError, Planned, Read, parse, read};
pub(crate) use shape::CertificateKeys;
