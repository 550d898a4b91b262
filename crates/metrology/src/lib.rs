//! Screw-thread metrology: calculation only. No files, no clock, no environment, no printing.

pub mod contacts;
pub mod designation;
pub mod effect;
pub mod elastic;
pub mod functional;
pub mod geometry_errors;
pub mod limits;
pub mod reconcile;
mod root;
pub mod source;
pub mod units;
pub mod wires;
