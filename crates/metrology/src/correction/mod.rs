//! Corrections: each one effect, one small function, with its source beside it.
//!
//! Sign, everywhere: error = indicated − true, and a correction is what you **add** to the reading
//! ([`Source::Jcgm200`], 2.53, from memory). No correction calls another; they are added up one by one, so that a
//! reader can redo the sum by hand.

mod error_curve;
mod temperature;
mod zero;

pub use error_curve::{CurveError, ErrorCurve};
pub use temperature::{Temperatures, temperature_correction, to_reference_temperature};
pub use zero::{ZeroError, zero_error};

use crate::source::Source;

/// What to add to the reading for one effect.
#[derive(Clone, Debug, PartialEq)]
pub struct Correction {
    /// The effect, in words.
    pub name: &'static str,
    /// What to add to the reading, millimetres.
    pub value: f64,
    /// Standard uncertainty of the correction, millimetres.
    pub standard_uncertainty: f64,
    /// Where the formula stands.
    pub source: Source,
}
