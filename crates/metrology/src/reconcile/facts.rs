//! The two results, how each was made, and what is known besides.

use crate::contacts::Freedom;
use crate::elastic::Elastic;
use crate::range::{self, Measure, OutOfRange};
use crate::units::{Angle, Force};

/// How a pitch diameter was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Method {
    /// Over wires, or between balls.
    Wires {
        /// Diameter of the wires or balls.
        wire_mm: f64,
        /// Whether the lead angle was corrected for.
        lead_corrected: bool,
        /// Whether the measuring force was corrected for, or the wires were calibrated under it.
        force_corrected: bool,
        /// Measuring force.
        force: Force,
    },
    /// With cone and V.
    Contacts {
        /// Whether zero was set on a master thread plug of the same form and pitch.
        zero_on_master: bool,
        /// Whether the V turns freely.
        freedom: Freedom,
    },
}

/// One of the two results.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    pub method: Method,
    /// Pitch diameter found, millimetres.
    pub size_mm: f64,
    /// Spread of repeated readings of this result, one standard deviation, millimetres.
    pub repeatability_mm: f64,
}

/// What is known besides; what is not is taken from practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facts {
    /// Error of the work's half angle, one standard deviation.
    pub work_half_angle: Angle,
    /// Error of a contact's half angle, one standard deviation.
    pub contact_half_angle: Angle,
    /// Pitch error between neighbouring grooves, one standard deviation, millimetres.
    pub pitch_mm: f64,
    /// Error of the wires' calibrated diameter, one standard deviation, millimetres.
    pub wire_mm: f64,
    /// Local wear of a contact's flank, square to it, that may be there, millimetres.
    pub wear_mm: f64,
    /// Error of the zero's standard and of the zero setting, one standard deviation, millimetres.
    pub zero_mm: f64,
    /// Taper and ovality between places that may have been taken, one standard deviation, millimetres.
    pub form_mm: f64,
    /// Difference of temperature between part and instrument that may have been, one standard deviation, kelvins.
    pub temperature_k: f64,
    /// Expansion of the part, per kelvin.
    pub expansion_per_kelvin: f64,
    pub work: Elastic,
    /// Width of the faces on the wires, millimetres.
    pub face_width_mm: f64,
    /// Whether both results come from the same wires or pair, instrument and zero.
    pub same_equipment: bool,
}

impl Facts {
    /// What practice expects of an ordinary steel part in an ordinary shop; from memory and experience, weak.
    pub const ORDINARY: Self = Self {
        work_half_angle: Angle::from_radians(0.0043),
        contact_half_angle: Angle::from_radians(0.0015),
        pitch_mm: 0.003,
        wire_mm: 0.0003,
        wear_mm: 0.001,
        zero_mm: 0.001,
        form_mm: 0.002,
        temperature_k: 1.0,
        expansion_per_kelvin: 11.5e-6,
        work: STEEL,
        face_width_mm: 6.35,
        same_equipment: false,
    };
}

pub(super) const STEEL: Elastic = Elastic {
    young_gpa: 205.0,
    poisson: 0.29,
};

impl Measured {
    pub(super) fn checked(&self) -> Result<(), OutOfRange> {
        range::length(Measure::PitchDiameterFound, self.size_mm)?;
        range::between(Measure::Repeatability, self.repeatability_mm, 0.0, 1.0)
    }
}

impl Facts {
    pub(super) fn checked(&self) -> Result<(), OutOfRange> {
        for (what, value) in [
            (Measure::PitchDeviation, self.pitch_mm),
            (Measure::WireDeviation, self.wire_mm),
            (Measure::Wear, self.wear_mm),
            (Measure::ZeroDeviation, self.zero_mm),
            (Measure::FormDeviation, self.form_mm),
        ] {
            range::between(what, value, 0.0, 1.0)?;
        }
        for angle in [self.work_half_angle, self.contact_half_angle] {
            range::between(Measure::HalfAngleDeviation, angle.degrees(), 0.0, 5.0)?;
        }
        range::between(
            Measure::TemperatureDeviation,
            self.temperature_k,
            0.0,
            100.0,
        )?;
        range::between(Measure::Expansion, self.expansion_per_kelvin, 0.0, 1e-3)
    }
}
