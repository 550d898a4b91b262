//! A calibration done in house: from its file to its record, and from the record to the register.

mod on_record;
mod read;
mod shape;

pub use on_record::{
    AtBench, OnRecord, RecordRefused, Recorded, Shows, all, as_read, computed, is_history,
    is_known, of, record, record_at_bench, set_apart_with, shows, worked,
};
pub(crate) use read::heading;
pub use read::{FileError, Planned, Read, USUAL, parse, read, usual_turn};
pub(crate) use shape::CertificateKeys;
