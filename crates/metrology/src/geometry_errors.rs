//! What a wrong line of measurement and a wrong shape do to a reading.
//!
//! Elementary geometry; each function is one effect with its sign. Corrections are for estimating: an off-line
//! measurement is repeated, not corrected. Lengths in millimetres. What contacts and lobes do is computed by
//! [`contact_geometry`] and [`lobes`]; here stand the ranges and the sign of a correction.

use crate::effect::{Effect, EffectName, ValidFor};
use crate::inspection::features::{contact_geometry, lobed_shaft::physics as lobes};
use crate::range::{self, Measure, OutOfRange, Within};
use crate::source::{Confidence, Source};
use crate::units::Angle;

/// Included angles of a V that are computed with, degrees.
const VEES: (f64, f64) = (10.0, 170.0);

/// The line between two points, cones or balls passes the axis at `offset_mm`: the chord 2√(R² − e²) is read, about
/// 2e²/d too small. Add d − chord. Search for the largest reading across the axis. Wide flat faces have no such error.
///
/// ```
/// # use metrology::geometry_errors::off_axis;
/// let effect = off_axis(10.0, 0.1).unwrap();
/// assert!((effect.correction_mm - 0.002).abs() < 1e-6);
/// ```
pub fn off_axis(diameter_mm: f64, offset_mm: f64) -> Result<Effect, OutOfRange> {
    positive(Measure::Diameter, diameter_mm)?;
    let radius = diameter_mm / 2.0;
    less(
        Measure::AxisOffset,
        offset_mm,
        radius,
        Within::Radius { bound: radius },
    )?;
    correction(
        EffectName::OffAxis,
        contact_geometry::chord_for_diameter(diameter_mm, offset_mm),
        ValidFor::NotWideFaces,
        (Measure::AxisOffset, offset_mm),
    )
}

/// A single line of measurement leaning by `tilt` to the normal of the axis, between points: reads d/cos φ, about d φ²/2
/// too large. Search for the smallest reading along the axis.
pub fn leaning_line(diameter_mm: f64, tilt: Angle) -> Result<Effect, OutOfRange> {
    positive(Measure::Diameter, diameter_mm)?;
    lean(tilt)?;
    let half = libm::sin(tilt.radians() / 2.0);
    Ok(effect(
        EffectName::LeaningLine,
        -diameter_mm * 2.0 * half * half / libm::cos(tilt.radians()),
        ValidFor::PointContacts,
    ))
}

/// Flat faces of width `face_mm` tilted by `tilt` on a part with square edges: reads L cos θ + w sin θ. Take the
/// smallest reading.
pub fn tilted_faces(length_mm: f64, face_mm: f64, tilt: Angle) -> Result<Effect, OutOfRange> {
    positive(Measure::Length, length_mm)?;
    positive(Measure::FaceWidth, face_mm)?;
    lean(tilt)?;
    let tilt = tilt.radians().abs();
    Ok(effect(
        EffectName::TiltedFaces,
        -contact_geometry::tilted_faces(length_mm, face_mm, tilt),
        ValidFor::WidePart,
    ))
}

/// Faces that are out of parallel by `angle`, over wires: at most angle × distance along the face between the single
/// wire and the middle of the pair. Of unknown sign: the half width of a budget line, millimetres.
pub fn faces_out_of_parallel_mm(angle: Angle, distance_mm: f64) -> Result<f64, OutOfRange> {
    positive(Measure::AlongFace, distance_mm)?;
    lean(angle)?;
    Ok(libm::tan(angle.radians().abs()) * distance_mm)
}

/// Two balls (or points) in opposite grooves of an odd-start thread lie half a pitch apart along the axis. An instrument
/// that reports the straight distance S of the centres reads too large by S − √(S² − (P/2)²), about P²/(8 S).
/// None if it reports the distance square to the axis.
pub fn opposite_grooves(distance_mm: f64, pitch_mm: f64) -> Result<Effect, OutOfRange> {
    positive(Measure::CentreDistance, distance_mm)?;
    positive(Measure::Pitch, pitch_mm)?;
    let half = pitch_mm / 2.0;
    less(
        Measure::HalfPitch,
        half,
        distance_mm,
        Within::Centres { bound: distance_mm },
    )?;
    let square = ((distance_mm - half) * (distance_mm + half)).sqrt();
    Ok(effect(
        EffectName::OppositeGrooves,
        -half * half / (distance_mm + square),
        ValidFor::OddStarts,
    ))
}

/// A flat face of width `face_mm` across a concave wall of radius `radius_mm` rests on its edges: reads the wall too thick
/// by R − √(R² − (w/2)²). An estimate that shows the contact is wrong; use a ball smaller than the bore.
pub fn flat_in_bore(radius_mm: f64, face_mm: f64) -> Result<Effect, OutOfRange> {
    positive(Measure::BoreRadius, radius_mm)?;
    positive(Measure::FaceWidth, face_mm)?;
    let half = face_mm / 2.0;
    less(
        Measure::FaceHalfWidth,
        half,
        radius_mm,
        Within::BoreRadius { bound: radius_mm },
    )?;
    correction(
        EffectName::FlatInBore,
        contact_geometry::flat_in_bore(radius_mm, face_mm),
        ValidFor::SquareFace,
        (Measure::FaceWidth, face_mm),
    )
}

/// A ball in a bore, flat outside, offset sideways by `offset_mm`: the wall reads too thick by
/// (R_i − r) − √((R_i − r)² − y²). Search for the smallest reading.
pub fn ball_off_centre(
    bore_radius_mm: f64,
    ball_radius_mm: f64,
    offset_mm: f64,
) -> Result<Effect, OutOfRange> {
    positive(Measure::BoreRadius, bore_radius_mm)?;
    positive(Measure::BallRadius, ball_radius_mm)?;
    let play = bore_radius_mm - ball_radius_mm;
    positive(Measure::BallPlay, play)?;
    less(
        Measure::BallOffset,
        offset_mm,
        play,
        Within::Play { bound: play },
    )?;
    correction(
        EffectName::BallOffCentre,
        contact_geometry::sphere_off_centre(bore_radius_mm, ball_radius_mm, offset_mm),
        ValidFor::SmallBall,
        (Measure::BallOffset, offset_mm),
    )
}

/// How much of a lobe's amplitude a two-point measurement shows: diameters vary by this factor times the amplitude a of
/// r = R + a cos nθ, peak to valley 4a for an even number of lobes, nothing at all for an odd one.
pub fn two_point_lobing_factor(lobes: u32) -> f64 {
    2.0 * lobes::two_point_factor(lobes)
}

/// What an odd-lobed part mates like: its constant two-point diameter plus the roundness error 2a.
pub fn mating_size_of_odd_lobes_mm(
    two_point_mm: f64,
    roundness_mm: f64,
) -> Result<f64, OutOfRange> {
    positive(Measure::TwoPointDiameter, two_point_mm)?;
    range::permitted(
        (0.0..two_point_mm).contains(&roundness_mm),
        Measure::Roundness,
        roundness_mm,
        Within::Diameter {
            bound: two_point_mm,
        },
    )?;
    Ok(two_point_mm + roundness_mm)
}

/// The size factor of a V with the spindle on its bisector, from apex to spindle: M = R (1 + 1/sin(V/2)).
pub fn vee_size_factor(included: Angle) -> Result<f64, OutOfRange> {
    vee(included)?;
    lobes::v_size_factor(included.degrees()).ok_or_else(|| no_vee(included))
}

/// The lobing factor of a V: turning the part, the reading varies as a F cos nφ, so roundness = (M_max − M_min)/|F|.
///
/// F = 1 + (−1)^n cos(nγ)/cos γ, γ = 90° − V/2. Zero means the V does not see this number of lobes: a 60° V is blind to
/// ovality. Source: [`Geometry`](Source::Geometry) (support function), confirmed by turning a profile numerically.
pub fn vee_lobing_factor(included: Angle, lobes: u32) -> Result<f64, OutOfRange> {
    vee(included)?;
    range::between(Measure::Lobes, f64::from(lobes), 2.0, 1000.0)?;
    lobes::v_factor(lobes, included.degrees()).ok_or_else(|| no_vee(included))
}

/// The roundness error of a part with a known number of lobes from the variation of readings in a V; `None` where the V
/// is (next to) blind to it.
pub fn roundness_from_vee_mm(
    included: Angle,
    lobes: u32,
    variation_mm: f64,
) -> Result<Option<f64>, OutOfRange> {
    range::between(Measure::Variation, variation_mm, 0.0, 1e6)?;
    let factor = vee_lobing_factor(included, lobes)?.abs();
    Ok((factor > 0.05).then(|| variation_mm / factor))
}

/// What to add for an error, indicated less true, of contacts that were checked to touch as stated; else the number
/// for which they do not.
fn correction(
    name: EffectName,
    error: Option<f64>,
    valid_for: ValidFor,
    (what, value): (Measure, f64),
) -> Result<Effect, OutOfRange> {
    let error = error.ok_or(OutOfRange::of(what, value, Within::Touching))?;
    Ok(effect(name, -error, valid_for))
}

const fn effect(name: EffectName, correction_mm: f64, valid_for: ValidFor) -> Effect {
    Effect {
        name,
        correction_mm,
        valid_for,
        source: Source::Geometry,
        confidence: Confidence::Solid,
    }
}

fn positive(what: Measure, value: f64) -> Result<(), OutOfRange> {
    range::between(what, value, 1e-9, 1e6)
}

fn less(what: Measure, value: f64, bound: f64, permitted: Within) -> Result<(), OutOfRange> {
    range::permitted(value.abs() < bound, what, value, permitted)
}

fn lean(tilt: Angle) -> Result<(), OutOfRange> {
    range::between(Measure::Tilt, tilt.degrees(), -45.0, 45.0)
}

fn vee(included: Angle) -> Result<(), OutOfRange> {
    range::between(Measure::VeeAngle, included.degrees(), VEES.0, VEES.1)
}

fn no_vee(included: Angle) -> OutOfRange {
    OutOfRange::of(
        Measure::VeeAngle,
        included.degrees(),
        Within::Between {
            least: VEES.0,
            most: VEES.1,
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, expected: f64, tolerance: f64) {
        assert!((got - expected).abs() <= tolerance, "{got} {expected}");
    }

    fn value(effect: Result<Effect, OutOfRange>) -> f64 {
        effect.unwrap().correction_mm
    }

    /// e = 0.1 and 0.2 mm on 10 mm: 2 and 8 µm too small.
    #[test]
    fn chord_instead_of_diameter() {
        near(value(off_axis(10.0, 0.1)), 0.002, 1e-6);
        near(value(off_axis(10.0, -0.2)), 0.008, 1e-5);
        assert!(off_axis(10.0, 5.0).is_err());
    }

    /// 6.35 mm faces at 1°: +0.111 mm of edge against 0.0015 mm of cosine on 10 mm.
    #[test]
    fn tilt() {
        let one = Angle::from_degrees(1.0);
        near(value(tilted_faces(10.0, 6.35, one)), 0.0015 - 0.1108, 1e-4);
        near(
            value(leaning_line(10.0, one)),
            -10.0 * 0.5 * 0.0174533 * 0.0174533,
            1e-6,
        );
        near(faces_out_of_parallel_mm(one, 2.0).unwrap(), 0.0349, 1e-4);
    }

    /// M10×1.5: 31 µm.
    #[test]
    fn half_a_pitch_apart() {
        near(value(opposite_grooves(9.026, 1.5)), -0.0312, 1e-4);
        assert!(opposite_grooves(0.5, 1.5).is_err());
    }

    /// R 10: w 6.35, 3, 2 read 0.517, 0.113, 0.0501 too thick; R 25, w 6.35: 0.202.
    #[test]
    fn flat_face_in_a_bore() {
        for (radius, face, excess) in [
            (10.0, 6.35, 0.517),
            (10.0, 3.0, 0.113),
            (10.0, 2.0, 0.0501),
            (25.0, 6.35, 0.202),
        ] {
            near(value(flat_in_bore(radius, face)), -excess, 6e-4);
        }
        near(
            value(ball_off_centre(10.0, 2.0, 0.4)),
            -0.4 * 0.4 / 16.0,
            1e-4,
        );
        assert!(ball_off_centre(2.0, 3.0, 0.1).is_err());
    }

    #[test]
    fn lobing_factors_of_the_usual_vees() {
        let table = [
            (60.0, 3.0000, [0.0, 3.0, 0.0, 0.0, 3.0, 0.0, 0.0, 3.0]),
            (90.0, 2.4142, [1.0, 2.0, -0.41, 2.0, 1.0, 0.0, 2.41, 0.0]),
            (108.0, 2.2361, [1.38, 1.38, 0.0, 2.24, 0.0, 1.38, 1.38, 0.0]),
            (120.0, 2.1547, [1.58, 1.0, 0.42, 2.0, -0.15, 2.0, 0.42, 1.0]),
            (
                128.0 + 34.0 / 60.0,
                2.1099,
                [1.69, 0.75, 0.75, 1.69, 0.0, 2.11, 0.0, 1.69],
            ),
        ];
        for (degrees, size, factors) in table {
            let included = Angle::from_degrees(degrees);
            near(vee_size_factor(included).unwrap(), size, 6e-5);
            for (lobes, factor) in (2..).zip(factors) {
                near(vee_lobing_factor(included, lobes).unwrap(), factor, 6e-3);
            }
        }
    }

    /// The factor against a profile that is really turned in the V: support function of r = R + a cos nθ.
    #[test]
    fn lobing_factor_against_a_turned_profile() {
        for (degrees, lobes) in [(60.0, 3), (90.0, 5), (108.0, 3), (120.0, 7)] {
            let included = Angle::from_degrees(degrees);
            let gamma = std::f64::consts::FRAC_PI_2 - included.radians() / 2.0;
            let amplitude = 1e-6;
            let support = |turn: f64, direction: f64| {
                1.0 + amplitude * libm::cos(f64::from(lobes) * (direction - turn))
            };
            let mut readings: Vec<f64> = Vec::new();
            for step in 0..720 {
                let turn = f64::from(step).to_radians() / 2.0;
                // Flanks of the V are touched at −90° ± γ; the spindle at +90°.
                let down = -std::f64::consts::FRAC_PI_2;
                let both = support(turn, down - gamma) + support(turn, down + gamma);
                readings.push(support(turn, -down) + both / (2.0 * libm::cos(gamma)));
            }
            let max = readings.iter().copied().fold(f64::MIN, f64::max);
            let min = readings.iter().copied().fold(f64::MAX, f64::min);
            let roundness = roundness_from_vee_mm(included, lobes, max - min)
                .unwrap()
                .unwrap();
            near(roundness, 2.0 * amplitude, 1e-9);
        }
    }

    #[test]
    fn a_vee_may_be_blind() {
        let sixty = Angle::from_degrees(60.0);
        assert_eq!(roundness_from_vee_mm(sixty, 2, 0.01).unwrap(), None);
        assert_eq!(two_point_lobing_factor(3), 0.0);
        assert_eq!(two_point_lobing_factor(4), 4.0);
        assert_eq!(mating_size_of_odd_lobes_mm(10.0, 0.008).unwrap(), 10.008);
        assert!(vee_lobing_factor(sixty, 1).is_err());
        assert!(vee_size_factor(Angle::from_degrees(0.0)).is_err());
    }
}
