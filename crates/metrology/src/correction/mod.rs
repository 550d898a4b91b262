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
    pub name: CorrectionName,
    /// What to add to the reading, millimetres.
    pub value: f64,
    /// Standard uncertainty of the correction, millimetres.
    pub standard_uncertainty: f64,
    /// Where the formula stands.
    pub source: Source,
}

crate::codes! {
    /// The effects that a reading is corrected for.
    pub enum CorrectionName "correction" {
        /// The zero error.
        Zero "zero",
        /// The error curve of the micrometer.
        ErrorCurve "error-curve",
        /// Half angles of flanks and contacts.
        FlankAngles "flank-angles",
        /// The lead angle under the contacts.
        LeadAngle "lead-angle",
        /// The temperatures of part, standard and micrometer.
        Temperature "temperature",
        /// The form of the contacts and how they are held.
        ContactGeometry "contact-geometry",
        /// What the measuring force takes away.
        MeasuringForce "measuring-force",
        /// From the planes that were measured on a taper thread to the plane asked for.
        AlongTaper "along-taper",
        /// The faces lean with a taper thread.
        Taper "taper",
        /// The way from the size over wires to the pitch diameter.
        ToPitchDiameter "to-pitch-diameter",
    }
}
