//! Studies computed from a table of readings: of each its document, its words and its drawings, for commands and pages alike.

pub mod agreement;
pub mod bias;
pub mod capability;
pub mod chart;
pub mod comparison;
pub mod linearity;
pub mod one_way;
pub mod recorded;
pub mod repeatability;
pub mod summary;
pub mod type_1;

/// The confidence of intervals where nobody says otherwise (common practice, no source).
pub const CONFIDENCE: f64 = 0.95;
/// The share of a process within its tolerance interval, likewise.
pub const COVERAGE: f64 = 0.99;

mod answer;
mod readings;
mod told;

pub use answer::{Answer, From};
pub use readings::Readings;
