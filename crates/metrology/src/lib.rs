//! Screw-thread metrology: calculation only. No files, no clock, no environment, no printing.

pub mod designation;
pub mod limits;
pub mod source;
pub mod units;
pub mod wires;
