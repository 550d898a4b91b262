//! What the measuring force does at ball, point, flat, cone and V contacts.
//!
//! Each function gives the loss of an outside reading at one contact, as an [`Effect`] to add. Take the contacts on
//! both sides together, and take off what the zero setting lost in the same way ([`less_zero_setting`]).

use super::hertz::{force as check_force, line_contact, modulus, point_contact, positive};
use super::{Elastic, ElasticError};
use crate::effect::{Effect, EffectName, ValidFor};
use crate::range::{self, Measure};
use crate::source::{Confidence, Source};
use crate::units::{Angle, Force};

/// A ball contact, or a point contact whose tip has this diameter, on a flat: δ = (9F²/(16 E*² R))^(1/3).
pub fn ball_on_flat(
    ball_mm: f64,
    force: Force,
    ball: Elastic,
    part: Elastic,
) -> Result<Effect, ElasticError> {
    positive(Measure::BallDiameter, ball_mm)?;
    let contact = point_contact(force.newtons(), (ball, part), 1.0 / ball_mm, 1.0 / ball_mm)?;
    Ok(effect(EffectName::BallOnFlat, contact.approach_mm))
}

/// A ball contact on a cylinder: outside with its diameter positive, in a bore with it negative.
pub fn ball_on_cylinder(
    ball_mm: f64,
    cylinder_mm: f64,
    force: Force,
    ball: Elastic,
    part: Elastic,
) -> Result<Effect, ElasticError> {
    positive(Measure::BallDiameter, ball_mm)?;
    positive(Measure::CylinderDiameter, cylinder_mm.abs())?;
    let across = 1.0 / ball_mm + 1.0 / cylinder_mm;
    let contact = point_contact(force.newtons(), (ball, part), across, 1.0 / ball_mm)?;
    Ok(effect(EffectName::BallOnCylinder, contact.approach_mm))
}

/// A flat contact on a flat part: the part is compressed through its thickness, Δ = F t/(A E).
///
/// A lower bound for a part larger than the contact is not given by this: the metal around it helps to carry.
pub fn flat_on_part(
    contact_area_mm2: f64,
    thickness_mm: f64,
    force: Force,
    part: Elastic,
) -> Result<Effect, ElasticError> {
    positive(Measure::ContactArea, contact_area_mm2)?;
    positive(Measure::Thickness, thickness_mm)?;
    check_force(force.newtons())?;
    modulus(part)?;
    let compression = force.newtons() * thickness_mm / (contact_area_mm2 * 1e3 * part.young_gpa);
    Ok(effect(EffectName::FlatOnPart, compression))
}

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

/// What remains of a force effect when the zero was set under the same force with an effect of its own.
pub fn less_zero_setting(measuring: Effect, zero_setting: Effect) -> Effect {
    Effect {
        correction_mm: measuring.correction_mm - zero_setting.correction_mm,
        ..measuring
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

    const CARBIDE: Elastic = Elastic {
        young_gpa: 620.0,
        poisson: 0.22,
    };

    /// Carbide ball of radius 1.5 mm, computed independently: µm at 1 N and at 7.5 N.
    #[test]
    fn carbide_ball_on_several_materials() {
        let cases = [
            (207.0, 0.29, 0.24, 0.91),
            (70.0, 0.33, 0.42, 1.63),
            (105.0, 0.34, 0.33, 1.28),
            (2.3, 0.36, 3.8, 14.5),
            (2.8, 0.39, 3.3, 12.5),
            (620.0, 0.22, f64::NAN, 0.58),
        ];
        for (young_gpa, poisson, at_1, at_7_5) in cases {
            let part = Elastic { young_gpa, poisson };
            let loss = |newtons: f64| {
                1e3 * ball_on_flat(3.0, Force::from_newtons(newtons), CARBIDE, part)
                    .unwrap()
                    .correction_mm
            };
            assert!(
                (loss(7.5) - at_7_5).abs() < 0.006 * at_7_5.max(1.0),
                "{young_gpa}"
            );
            if at_1.is_finite() {
                assert!(
                    (loss(1.0) - at_1).abs() < 0.016 * at_1.max(0.4),
                    "{young_gpa}"
                );
            }
        }
    }

    #[test]
    fn zero_setting_takes_off_its_share() {
        let force = Force::from_newtons(7.5);
        let steel = Elastic {
            young_gpa: 207.0,
            poisson: 0.29,
        };
        let on_part = ball_on_flat(3.0, force, CARBIDE, steel).unwrap();
        let at_zero = ball_on_flat(3.0, force, CARBIDE, CARBIDE).unwrap();
        let net = less_zero_setting(on_part, at_zero);
        assert!((1e3 * net.correction_mm - 0.33).abs() < 0.01);
    }

    /// 6.35 mm flat on ABS at 7.5 N: 0.10 µm per millimetre of thickness.
    #[test]
    fn flat_on_plastic() {
        let abs = Elastic {
            young_gpa: 2.3,
            poisson: 0.36,
        };
        let area = std::f64::consts::PI / 4.0 * 6.35 * 6.35;
        let got = flat_on_part(area, 1.0, Force::from_newtons(7.5), abs).unwrap();
        assert!((1e3 * got.correction_mm - 0.10).abs() < 0.005);
    }

    #[test]
    fn a_bore_gives_less_than_a_flat_and_a_shaft_more() {
        let force = Force::from_newtons(1.0);
        let at = |cylinder: f64| {
            ball_on_cylinder(3.0, cylinder, force, CARBIDE, CARBIDE)
                .unwrap()
                .correction_mm
        };
        let flat = ball_on_flat(3.0, force, CARBIDE, CARBIDE).unwrap();
        assert!(at(-10.0) < flat.correction_mm && flat.correction_mm < at(10.0));
        assert!(ball_on_cylinder(3.0, -2.0, force, CARBIDE, CARBIDE).is_err());
    }

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
