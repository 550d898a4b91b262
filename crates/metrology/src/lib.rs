//! Screw-thread metrology: calculation only. No files, no clock, no environment, no printing.

pub mod designation;
pub mod limits;
pub mod source;
mod tables;
pub mod units;
