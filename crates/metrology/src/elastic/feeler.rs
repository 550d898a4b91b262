//! What the measuring force does at the cone and V contacts of a thread.
//!
//! Each function gives the loss of an outside reading at one contact, as an [`Effect`] to add. Take the contacts on
//! both sides together, and take off what the zero setting lost in the same way.

use super::hertz::{line_contact, positive};
use super::{Elastic, ElasticError};
use crate::effect::{Effect, EffectName, ValidFor};
use crate::range::{self, Measure};
use crate::source::{Confidence, Source};
use crate::units::{Angle, Force};

/// The flank that a cone or V contact of a thread micrometer engages.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EngagedFlank {
    /// Half angle of thread and contact.
    pub half_angle: Angle,
    /// Pitch of the thread, millimetres.
    pub pitch_mm: f64,
    /// Pitch diameter, millimetres.
    pub pitch_diameter_mm: f64,
    /// Height of the engaged flank, square to the thread axis, millimetres.
    pub height_mm: f64,
}

/// A cone contact in the groove: two line contacts along the flanks, cone against cone.
///
/// The contact's own cone has the radius (P/4)/cos α at the pitch line, the thread's flank r/sin α; both are convex.
/// Each flank carries F/(2 sin α), the cone sinks by δ/sin α. The ends of the line are neglected: a numerical contact
/// (`tests/it/elastic_numerical.rs`) gives six to nine per cent less.
pub fn cone_in_groove(
    flank: &EngagedFlank,
    force: Force,
    contact: Elastic,
    part: Elastic,
) -> Result<Effect, ElasticError> {
    let (sin, cos) = flank.sine_and_cosine()?;
    let own = flank.pitch_mm / (2.0 * cos);
    let work = flank.pitch_diameter_mm / sin;
    let diameter = 1.0 / (1.0 / own + 1.0 / work);
    let sink = flank.sink(diameter, (sin, cos), force, (contact, part))?;
    Ok(effect(EffectName::ConeInGroove, sink))
}

/// A V contact over the ridge: two line contacts, the plane faces of the V on the convex flanks.
pub fn v_over_ridge(
    flank: &EngagedFlank,
    force: Force,
    contact: Elastic,
    part: Elastic,
) -> Result<Effect, ElasticError> {
    let (sin, cos) = flank.sine_and_cosine()?;
    let diameter = flank.pitch_diameter_mm / sin;
    let sink = flank.sink(diameter, (sin, cos), force, (contact, part))?;
    Ok(effect(EffectName::VeeOverRidge, sink))
}

impl EngagedFlank {
    fn sine_and_cosine(&self) -> Result<(f64, f64), ElasticError> {
        positive(Measure::Pitch, self.pitch_mm)?;
        positive(Measure::PitchDiameter, self.pitch_diameter_mm)?;
        positive(Measure::EngagedFlank, self.height_mm)?;
        range::between(Measure::HalfAngle, self.half_angle.degrees(), 1.0, 80.0)?;
        Ok(libm::sincos(self.half_angle.radians()))
    }

    fn sink(
        &self,
        diameter_mm: f64,
        (sin, cos): (f64, f64),
        force: Force,
        materials: (Elastic, Elastic),
    ) -> Result<f64, ElasticError> {
        let per_flank = force.newtons() / (2.0 * sin);
        let contact = line_contact(per_flank, materials, diameter_mm, self.height_mm / cos)?;
        Ok(contact.approach_mm / sin)
    }
}

const fn effect(name: EffectName, loss_mm: f64) -> Effect {
    Effect {
        name,
        correction_mm: loss_mm,
        valid_for: ValidFor::ElasticContact,
        source: Source::CsiroTp25,
        confidence: Confidence::FormulaBacked,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cone_and_v_are_gentler_than_wires() {
        let steel = Elastic {
            young_gpa: 205.0,
            poisson: 0.29,
        };
        let flank = EngagedFlank {
            half_angle: Angle::from_degrees(30.0),
            pitch_mm: 1.5,
            pitch_diameter_mm: 9.026,
            height_mm: 0.6,
        };
        let force = Force::from_newtons(5.0);
        let cone = cone_in_groove(&flank, force, steel, steel).unwrap();
        let v = v_over_ridge(&flank, force, steel, steel).unwrap();
        // The same force over wires costs 1.476 µm on one side.
        assert!(cone.correction_mm > v.correction_mm && v.correction_mm > 0.0);
        assert!(cone.correction_mm < 1.476e-3);
    }
}
