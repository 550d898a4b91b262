//! What each input does to a pitch diameter from wires: the sensitivities of an uncertainty budget.

use super::flank::outward;
use super::groove::length;
use super::size::simple_factors;
use super::{Groove, SeatError, Side, flank_angle_sensitivity_mm};
use crate::range::Measure;

/// Sensitivities ∂d2/∂x of the pitch diameter to what it was computed from, lead neglected (of second order here).
///
/// Three wires outside or two balls inside; the formulas below are for equal flanks, the values for any. Multiply with the standard uncertainty of the input.
/// Source: [`Geometry`](crate::source::Source::Geometry), the derivatives of the simple formula.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sensitivities {
    /// To the reading, and so to the instrument's error, the zero, resolution and repeatability: 1.
    pub reading: f64,
    /// To an error common to all wires (one calibration standard): −(1 + 1/sin α) over wires, +1/sin α to a ball
    /// inside.
    pub wires_common: f64,
    /// To errors of single wires that are independent of each other and of equal uncertainty: the wire alone counts
    /// ½, each of the pair ¼, together √(1/4 + 2/16) of the common one. For two balls √½.
    pub wires_independent: f64,
    /// To the pitch: +½ cot α outside. Zero for a simple pitch diameter that is defined at the nominal pitch.
    pub pitch: f64,
    /// To both half angles, millimetres per radian: (W cos α − P/2)/sin²α outside. Zero for the best wire.
    pub half_angle_mm: f64,
    /// To the lead correction that is taken off the reading: −1.
    pub lead_correction: f64,
    /// To the force correction that is added to the reading: +1.
    pub force_correction: f64,
}

/// The sensitivities for wires (outside) or balls (inside) of `wire_mm`.
pub fn sensitivities(groove: &Groove, wire_mm: f64) -> Result<Sensitivities, SeatError> {
    let (rise, depth) = simple_factors(groove)?;
    length(Measure::WireDiameter, wire_mm)?;
    let e = outward(groove.side);
    let (wires_common, independent) = match groove.side {
        Side::External => (-(1.0 + rise), 0.375_f64.sqrt()),
        Side::Internal => (rise, 0.5_f64.sqrt()),
    };
    Ok(Sensitivities {
        reading: 1.0,
        wires_common,
        wires_independent: wires_common * independent,
        pitch: e * depth,
        // The computed diameter errs by the negative of what the true angle would change.
        half_angle_mm: -flank_angle_sensitivity_mm(groove, wire_mm)?,
        lead_correction: -1.0,
        force_correction: 1.0,
    })
}
