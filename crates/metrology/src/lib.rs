//! Screw-thread metrology: calculation only. No files, no clock, no environment, no printing.

pub mod designation;
pub mod effect;
pub mod elastic;
pub mod limits;
mod root;
pub mod source;
pub mod units;
pub mod wires;
