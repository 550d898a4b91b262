//! Screw-thread metrology: calculation only. No files, no clock, no environment, no printing.
//!
//! The way of one measurement through this crate:
//!
//! ```text
//! designation -> limits of size -> zero error -> readings + corrections -> corrected size with its uncertainty -> decision
//! ```

pub mod chart;
pub mod coating;
pub mod contacts;
pub mod correction;
pub mod decision;
pub mod designation;
pub mod effect;
pub mod elastic;
pub mod functional;
pub mod gauges;
pub mod geometry_errors;
pub mod given;
pub mod identify;
pub mod inspection;
pub mod limits;
pub mod lot;
pub mod material;
pub mod message;
pub mod method;
pub mod parallel;
pub mod probability;
pub mod profile;
pub mod range;
pub mod reconcile;
mod root;
pub mod sampling;
pub mod section;
pub mod soak;
pub mod source;
pub mod study;
mod tables;
pub mod thread;
pub mod uncertainty;
pub mod units;
pub mod validation;
pub mod wires;

pub use inspection::features;
