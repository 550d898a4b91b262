//! The groove of a parallel thread: what a wire or a ball lies in.

use std::f64::consts::PI;

use super::SeatError;
use super::flank::{Flank, Side};
use crate::range::{self, Measure, Within};
use crate::units::Angle;

/// The hand of the helix.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Hand {
    /// Right-hand.
    #[default]
    Right,
    /// Left-hand: the mirror image. Every reading is the same, only the wire leans the other way.
    Left,
}

/// The groove of a parallel thread with straight flanks in the axial plane, as ISO 68-1 and the ASME B1 forms
/// define it. Its width at the pitch cylinder is half the pitch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Groove {
    /// External or internal.
    pub side: Side,
    /// Right or left hand.
    pub hand: Hand,
    /// Axial distance of neighbouring grooves, millimetres.
    pub pitch_mm: f64,
    /// Axial advance in one turn, millimetres: pitch times starts. Zero makes annular grooves.
    pub lead_mm: f64,
    /// Angle of the flank above the groove (towards +z) with the plane square to the axis.
    pub upper_flank: Angle,
    /// Angle of the flank below the groove.
    pub lower_flank: Angle,
}

/// The steepest flank that is taken, degrees.
const STEEPEST_FLANK_DEG: f64 = 80.0;
/// The least included angle, degrees.
const LEAST_INCLUDED_DEG: f64 = 2.0;
/// Flank angles that are taken, and what rounding makes of them; a square flank only beside an
/// inclined one.
const FLANK: std::ops::RangeInclusive<f64> = -ROUNDING..=STEEPEST_FLANK_DEG * DEGREE + ROUNDING;
/// The same as it is compared.
const LEAST_INCLUDED: f64 = LEAST_INCLUDED_DEG * DEGREE - ROUNDING;
const DEGREE: f64 = PI / 180.0;
/// Radians: far below any angle that is stated, above what conversions leave.
const ROUNDING: f64 = 1e-14;

/// The steepest inclination at which a holder is taken to keep a wire, in degrees.
const STEEPEST_HOLDER_DEG: f64 = 80.0;

impl Groove {
    /// A symmetric right-hand groove with the given included angle.
    pub fn symmetric(side: Side, included_angle: Angle, pitch_mm: f64, lead_mm: f64) -> Self {
        let flank = Angle::from_radians(included_angle.radians() / 2.0);
        Self {
            side,
            hand: Hand::Right,
            pitch_mm,
            lead_mm,
            upper_flank: flank,
            lower_flank: flank,
        }
    }

    /// The same groove cut with the other hand.
    pub const fn left_hand(self) -> Self {
        Self {
            hand: Hand::Left,
            ..self
        }
    }

    /// Whether both flanks have the same angle.
    pub fn is_symmetric(&self) -> bool {
        self.upper_flank == self.lower_flank
    }

    /// The lead angle at the pitch cylinder: tan λ = L/(π d2).
    pub fn lead_angle(&self, pitch_diameter_mm: f64) -> Angle {
        Angle::from_radians(libm::atan2(self.lead_mm, PI * pitch_diameter_mm))
    }

    /// How far apart along the axis the grooves on opposite sides lie, millimetres: half a pitch, or nothing where grooves
    /// face each other (even starts, annular grooves).
    pub fn opposite_offset_mm(&self) -> f64 {
        let starts = libm::round(self.lead_mm / self.pitch_mm);
        if libm::fmod(starts, 2.0) == 0.0 {
            0.0
        } else {
            self.pitch_mm / 2.0
        }
    }

    /// The groove with every number known to be within the range this module works in.
    #[inline]
    pub(super) fn checked(&self, feeler: Feeler) -> Result<CheckedGroove, SeatError> {
        if self.side == Side::Internal && feeler != Feeler::Ball {
            return Err(SeatError::WireInInternalThread);
        }
        length(Measure::Pitch, self.pitch_mm)?;
        if self.lead_mm != 0.0 {
            length(Measure::Lead, self.lead_mm)?;
        }
        for (what, flank) in [
            (Measure::UpperFlank, self.upper_flank),
            (Measure::LowerFlank, self.lower_flank),
        ] {
            range::permitted(
                FLANK.contains(&flank.radians()),
                what,
                flank.degrees(),
                Within::Between {
                    least: 0.0,
                    most: STEEPEST_FLANK_DEG,
                },
            )?;
        }
        range::permitted(
            self.upper_flank.radians() + self.lower_flank.radians() >= LEAST_INCLUDED,
            Measure::IncludedAngle,
            self.upper_flank.degrees() + self.lower_flank.degrees(),
            Within::AtLeast {
                least: LEAST_INCLUDED_DEG,
            },
        )?;
        let advance = self.lead_mm / (2.0 * PI);
        let held = self.holder(feeler)?;
        let symmetric = self.is_symmetric();
        let upper = Flank::new(self.side, self.upper_flank, advance, held);
        Ok(CheckedGroove {
            side: self.side,
            hand: self.hand,
            pitch: self.pitch_mm,
            upper,
            lower: if symmetric {
                upper
            } else {
                Flank::new(self.side, self.lower_flank, advance, held)
            },
            symmetric,
        })
    }

    /// tan ψ of the holder, as the right-hand mirror image of the thread sees it.
    fn holder(&self, feeler: Feeler) -> Result<Option<f64>, SeatError> {
        let Feeler::HeldWire(inclination) = feeler else {
            return Ok(None);
        };
        // Between unequal flanks only as steep as the flanks; between equal ones also steeper, as far as a contact
        // is found.
        let steepest = if self.is_symmetric() {
            STEEPEST_HOLDER_DEG.to_radians()
        } else {
            self.upper_flank.radians().min(self.lower_flank.radians())
        };
        if inclination.radians().is_nan() || inclination.radians().abs() >= steepest {
            return Err(SeatError::HeldTooFar {
                degrees: inclination.degrees(),
            });
        }
        let hand = match self.hand {
            Hand::Right => 1.0,
            Hand::Left => -1.0,
        };
        Ok(Some(hand * libm::tan(inclination.radians())))
    }
}

/// A groove whose numbers are in range, with its flanks made ready.
#[derive(Clone, Copy, Debug)]
pub(super) struct CheckedGroove {
    pub side: Side,
    pub hand: Hand,
    pub pitch: f64,
    pub upper: Flank,
    pub lower: Flank,
    pub symmetric: bool,
}

impl CheckedGroove {
    /// The fault of a holder that keeps the wire from touching both flanks.
    pub fn held_too_far(&self) -> SeatError {
        SeatError::HeldTooFar {
            degrees: libm::atan(self.upper.held.unwrap_or(0.0)).to_degrees(),
        }
    }
}

/// Refuses what is not a positive length of a size that occurs.
pub(super) fn length(what: Measure, millimetres: f64) -> Result<f64, SeatError> {
    range::length(what, millimetres)?;
    Ok(millimetres)
}

/// Where the straight flanks end, as far as it is known; diameters in millimetres.
///
/// With flats at crest and root, [`flats`](Self::flats) says it all; a rounded crest or root ends the straight
/// flank earlier.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FlankLimits {
    /// Crest: major diameter of an external thread, minor diameter of an internal one.
    pub crest_mm: Option<f64>,
    /// Diameter at which the straight flank ends at the crest.
    pub flank_at_crest_mm: Option<f64>,
    /// Diameter at which the straight flank ends at the root.
    pub flank_at_root_mm: Option<f64>,
    /// Root: minor diameter of an external thread, major diameter of an internal one.
    pub root_mm: Option<f64>,
}

impl FlankLimits {
    /// Flat crest and flat root at these diameters.
    pub const fn flats(crest_mm: f64, root_mm: f64) -> Self {
        Self {
            crest_mm: Some(crest_mm),
            flank_at_crest_mm: Some(crest_mm),
            flank_at_root_mm: Some(root_mm),
            root_mm: Some(root_mm),
        }
    }
}

/// What lies in the groove.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Feeler {
    /// A straight wire, free to lean, under a flat anvil. External threads only.
    Wire,
    /// A straight wire that a holder keeps at this angle to the plane square to the thread axis, positive in the
    /// sense of a right-hand helix. Rides higher than a free one, by the square of the difference. External only.
    HeldWire(Angle),
    Ball,
}
