//! What a wrong line of measurement and a wrong shape do to a reading.
//!
//! Elementary geometry; each function is one effect with its sign. Corrections are for estimating: an off-line
//! measurement is repeated, not corrected. Lengths in millimetres. What contacts and lobes do is computed by
//! [`contact_geometry`] and [`lobes`]; here stand the ranges, the sign of a correction and the words.

use crate::effect::Effect;
use crate::features::{contact_geometry, lobes};
use crate::source::{Confidence, Source};
use crate::units::Angle;

/// Why an effect is not computed.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{what} is {value}; permitted: {permitted}")]
pub struct GeometryError {
    /// Which number.
    pub what: &'static str,
    /// As given.
    pub value: f64,
    /// The permitted range, in words.
    pub permitted: &'static str,
}

/// The line between two points, cones or balls passes the axis at `offset_mm`: the chord 2√(R² − e²) is read, about
/// 2e²/d too small. Add d − chord. Search for the largest reading across the axis. Wide flat faces have no such error.
///
/// ```
/// # use metrology::geometry_errors::off_axis;
/// let effect = off_axis(10.0, 0.1).unwrap();
/// assert!((effect.correction_mm - 0.002).abs() < 1e-6);
/// ```
pub fn off_axis(diameter_mm: f64, offset_mm: f64) -> Result<Effect, GeometryError> {
    length("diameter (mm)", diameter_mm)?;
    let radius = diameter_mm / 2.0;
    within(
        "offset from the axis (mm)",
        offset_mm,
        radius,
        "less than the radius",
    )?;
    correction(
        "line of measurement beside the axis",
        contact_geometry::chord_for_diameter(diameter_mm, offset_mm),
        "points, cones and balls; not wide flat faces",
    )
}

/// A single line of measurement leaning by `tilt` to the normal of the axis, between points: reads d/cos φ, about d φ²/2
/// too large. Search for the smallest reading along the axis.
pub fn leaning_line(diameter_mm: f64, tilt: Angle) -> Result<Effect, GeometryError> {
    length("diameter (mm)", diameter_mm)?;
    lean(tilt)?;
    let half = libm::sin(tilt.radians() / 2.0);
    Ok(effect(
        "line of measurement leaning along the axis",
        -diameter_mm * 2.0 * half * half / libm::cos(tilt.radians()),
        "points, cones and balls",
    ))
}

/// Flat faces of width `face_mm` tilted by `tilt` on a part with square edges: reads L cos θ + w sin θ. Take the
/// smallest reading.
pub fn tilted_faces(length_mm: f64, face_mm: f64, tilt: Angle) -> Result<Effect, GeometryError> {
    length("length (mm)", length_mm)?;
    length("width of the face (mm)", face_mm)?;
    lean(tilt)?;
    let tilt = tilt.radians().abs();
    Ok(effect(
        "flat faces tilted on the part",
        -contact_geometry::tilted_faces(length_mm, face_mm, tilt),
        "a part wider than the faces, with parallel sides",
    ))
}

/// Faces that are out of parallel by `angle`, over wires: at most angle × distance along the face between the single
/// wire and the middle of the pair. Of unknown sign: the half width of a budget line, millimetres.
pub fn faces_out_of_parallel_mm(angle: Angle, distance_mm: f64) -> Result<f64, GeometryError> {
    length("distance along the face (mm)", distance_mm)?;
    lean(angle)?;
    Ok(libm::tan(angle.radians().abs()) * distance_mm)
}

/// The tilt of a thread between flat faces by two wires of the pair that differ by `difference_mm` and lie
/// `spacing_mm` apart along the axis.
pub fn tilt_from_unequal_pair(difference_mm: f64, spacing_mm: f64) -> Result<Angle, GeometryError> {
    length("spacing of the pair (mm)", spacing_mm)?;
    within(
        "difference of the pair (mm)",
        difference_mm,
        spacing_mm,
        "less than their spacing",
    )?;
    Ok(Angle::from_radians(libm::atan2(difference_mm, spacing_mm)))
}

/// Two balls (or points) in opposite grooves of an odd-start thread lie half a pitch apart along the axis. An instrument
/// that reports the straight distance S of the centres reads too large by S − √(S² − (P/2)²), about P²/(8 S).
/// None if it reports the distance square to the axis.
pub fn opposite_grooves(distance_mm: f64, pitch_mm: f64) -> Result<Effect, GeometryError> {
    length("distance of the centres (mm)", distance_mm)?;
    length("pitch (mm)", pitch_mm)?;
    let half = pitch_mm / 2.0;
    within(
        "half pitch (mm)",
        half,
        distance_mm,
        "less than the distance of the centres",
    )?;
    let square = ((distance_mm - half) * (distance_mm + half)).sqrt();
    Ok(effect(
        "balls in grooves half a pitch apart",
        -half * half / (distance_mm + square),
        "odd numbers of starts; straight distance of the centres",
    ))
}

/// A flat face of width `face_mm` across a concave wall of radius `radius_mm` rests on its edges: reads the wall too thick
/// by R − √(R² − (w/2)²). An estimate that shows the contact is wrong; use a ball smaller than the bore.
pub fn flat_in_bore(radius_mm: f64, face_mm: f64) -> Result<Effect, GeometryError> {
    length("radius of the bore (mm)", radius_mm)?;
    length("width of the face (mm)", face_mm)?;
    let half = face_mm / 2.0;
    within(
        "half width of the face (mm)",
        half,
        radius_mm,
        "less than the radius of the bore",
    )?;
    correction(
        "flat face across a concave wall",
        contact_geometry::flat_in_bore(radius_mm, face_mm),
        "face square to the wall, bore round",
    )
}

/// A ball in a bore, flat outside, offset sideways by `offset_mm`: the wall reads too thick by
/// (R_i − r) − √((R_i − r)² − y²). Search for the smallest reading.
pub fn ball_off_centre(
    bore_radius_mm: f64,
    ball_radius_mm: f64,
    offset_mm: f64,
) -> Result<Effect, GeometryError> {
    length("radius of the bore (mm)", bore_radius_mm)?;
    length("radius of the ball (mm)", ball_radius_mm)?;
    let play = bore_radius_mm - ball_radius_mm;
    length("radius of the bore less that of the ball (mm)", play)?;
    within(
        "offset of the ball (mm)",
        offset_mm,
        play,
        "less than the play of the ball",
    )?;
    correction(
        "ball beside the line through the bore",
        contact_geometry::sphere_off_centre(bore_radius_mm, ball_radius_mm, offset_mm),
        "ball smaller than the bore",
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
) -> Result<f64, GeometryError> {
    length("two-point diameter (mm)", two_point_mm)?;
    if !(0.0..two_point_mm).contains(&roundness_mm) {
        return Err(GeometryError {
            what: "roundness error (mm)",
            value: roundness_mm,
            permitted: "zero or more, less than the diameter",
        });
    }
    Ok(two_point_mm + roundness_mm)
}

/// The size factor of a V with the spindle on its bisector, from apex to spindle: M = R (1 + 1/sin(V/2)).
pub fn vee_size_factor(included: Angle) -> Result<f64, GeometryError> {
    vee(included)?;
    lobes::v_size_factor(included.degrees()).ok_or_else(|| no_vee(included))
}

/// The diameter from a reading M of such a V: D = 2M/(1 + 1/sin(V/2)).
pub fn diameter_in_vee_mm(included: Angle, reading_mm: f64) -> Result<f64, GeometryError> {
    length("reading (mm)", reading_mm)?;
    vee(included)?;
    lobes::diameter_from_apex(reading_mm, included.degrees()).ok_or_else(|| no_vee(included))
}

/// The lobing factor of a V: turning the part, the reading varies as a F cos nφ, so roundness = (M_max − M_min)/|F|.
///
/// F = 1 + (−1)^n cos(nγ)/cos γ, γ = 90° − V/2. Zero means the V does not see this number of lobes: a 60° V is blind to
/// ovality. Source: [`Geometry`](Source::Geometry) (support function), confirmed by turning a profile numerically.
pub fn vee_lobing_factor(included: Angle, lobes: u32) -> Result<f64, GeometryError> {
    vee(included)?;
    if !(2..=1000).contains(&lobes) {
        return Err(GeometryError {
            what: "number of lobes",
            value: f64::from(lobes),
            permitted: "2 to 1000",
        });
    }
    lobes::v_factor(lobes, included.degrees()).ok_or_else(|| no_vee(included))
}

/// The roundness error of a part with a known number of lobes from the variation of readings in a V; `None` where the V
/// is (next to) blind to it.
pub fn roundness_from_vee_mm(
    included: Angle,
    lobes: u32,
    variation_mm: f64,
) -> Result<Option<f64>, GeometryError> {
    if !(0.0..=1e6).contains(&variation_mm) {
        return Err(GeometryError {
            what: "variation of the reading (mm)",
            value: variation_mm,
            permitted: "zero or more",
        });
    }
    let factor = vee_lobing_factor(included, lobes)?.abs();
    Ok((factor > 0.05).then(|| variation_mm / factor))
}

/// What to add for an error, indicated less true, of contacts that were checked to touch as stated.
fn correction(
    name: &'static str,
    error: Option<f64>,
    valid_for: &'static str,
) -> Result<Effect, GeometryError> {
    let error = error.ok_or(GeometryError {
        what: name,
        value: f64::NAN,
        permitted: "contacts that touch the part as stated",
    })?;
    Ok(effect(name, -error, valid_for))
}

const fn effect(name: &'static str, correction_mm: f64, valid_for: &'static str) -> Effect {
    Effect {
        name,
        correction_mm,
        valid_for,
        source: Source::Geometry,
        confidence: Confidence::Solid,
    }
}

fn length(what: &'static str, value: f64) -> Result<(), GeometryError> {
    if (1e-9..=1e6).contains(&value) {
        Ok(())
    } else {
        Err(GeometryError {
            what,
            value,
            permitted: "more than zero, up to 1000000 mm",
        })
    }
}

fn within(
    what: &'static str,
    value: f64,
    bound: f64,
    permitted: &'static str,
) -> Result<(), GeometryError> {
    if value.abs() < bound {
        Ok(())
    } else {
        Err(GeometryError {
            what,
            value,
            permitted,
        })
    }
}

fn lean(tilt: Angle) -> Result<(), GeometryError> {
    if tilt.degrees().abs() <= 45.0 {
        Ok(())
    } else {
        Err(GeometryError {
            what: "tilt (degrees)",
            value: tilt.degrees(),
            permitted: "-45 to 45 degrees",
        })
    }
}

fn vee(included: Angle) -> Result<(), GeometryError> {
    if (10.0..=170.0).contains(&included.degrees()) {
        Ok(())
    } else {
        Err(no_vee(included))
    }
}

fn no_vee(included: Angle) -> GeometryError {
    GeometryError {
        what: "included angle of the V (degrees)",
        value: included.degrees(),
        permitted: "10 to 170 degrees",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(got: f64, expected: f64, tolerance: f64) {
        assert!((got - expected).abs() <= tolerance, "{got} {expected}");
    }

    fn value(effect: Result<Effect, GeometryError>) -> f64 {
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
        near(
            tilt_from_unequal_pair(0.001, 3.0).unwrap().radians(),
            0.001 / 3.0,
            1e-10,
        );
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
        // Three, five and seven flutes: 0.6667, 0.8944, 0.9479 of the reading.
        for (degrees, factor) in [
            (60.0, 0.6667),
            (108.0, 0.8944),
            (128.0 + 34.0 / 60.0, 0.9479),
        ] {
            near(
                diameter_in_vee_mm(Angle::from_degrees(degrees), 1.0).unwrap(),
                factor,
                6e-5,
            );
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
