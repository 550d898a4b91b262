//! Screw-thread metrology: calculation only. No files, no clock, no environment, no printing.

pub mod decision;
pub mod designation;
pub mod limits;
pub mod source;
pub mod uncertainty;
mod tables;
pub mod units;
