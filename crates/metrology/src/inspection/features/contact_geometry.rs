//! What a contact of the wrong form, or one held wrongly, adds to the reading.
//!
//! Every function gives the error: indicated less true, millimetres. Where contact and part cannot touch as stated
//! the answer is `None`. Source of all: elementary geometry ([`Source::Geometry`](crate::source::Source::Geometry)).
//! [`geometry_errors`](crate::geometry_errors) makes named corrections of them, within stated ranges.

/// How far sideways a point contact sits unnoticed, millimetres (common practice, no source).
pub const SIDEWAYS: f64 = 0.1;

/// `R − √(R² − y²)` without the loss of digits: how far an arc of radius R has come down at y from its top.
fn sagitta(radius: f64, aside: f64) -> f64 {
    aside * aside / (radius + ((radius - aside) * (radius + aside)).sqrt())
}

/// A flat face across a concave wall rests on its edges: `s = R − √(R² − (w/2)²)`.
///
/// `radius` of the bore, `width` of the face square to its axis, above zero; at most `2 radius` wide.
pub fn flat_in_bore(radius: f64, width: f64) -> Option<f64> {
    let half = width / 2.0;
    (radius > 0.0 && width >= 0.0 && half <= radius).then(|| sagitta(radius, half))
}

/// A sphere on a concave wall, its centre `sideways` of the line through the centre of the bore:
/// `s = (R − r) − √((R − r)² − y²)`, never below zero, so the smallest reading is the right one.
///
/// Exact, no error, for `sideways` = 0. The sphere must be smaller than the bore.
pub fn sphere_off_centre(bore_radius: f64, sphere_radius: f64, sideways: f64) -> Option<f64> {
    let gap = bore_radius - sphere_radius;
    (gap > 0.0 && sideways.abs() <= gap).then(|| sagitta(gap, sideways))
}

/// Flat faces tilted against the part: `s = L cos θ + w sin θ − L`. Reads large until the cosine wins.
pub fn tilted_faces(length: f64, face: f64, tilt: f64) -> f64 {
    let half = libm::sin(tilt / 2.0);
    face * libm::sin(tilt) - 2.0 * length * half * half
}

/// Points or spheres across a round part, their line `sideways` of its axis: a chord, not the diameter:
/// `s = 2 √(R² − y²) − D`, never above zero, so across the part the largest reading is the right one.
pub fn chord_for_diameter(diameter: f64, sideways: f64) -> Option<f64> {
    let radius = diameter / 2.0;
    (radius > 0.0 && sideways.abs() <= radius).then(|| -2.0 * sagitta(radius, sideways))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(value: Option<f64>, expected: f64, within: f64) {
        let value = value.unwrap();
        assert!(
            (value - expected).abs() <= within,
            "{value}, not {expected}"
        );
    }

    /// Radius of bore 10 mm: faces of 6.35, 3 and 2 mm read 0.517, 0.113 and 0.0501 mm too large; radius 25 mm,
    /// 6.35 mm: 0.202. Computed twice, here and by an independent script.
    #[test]
    fn a_flat_face_in_a_bore() {
        close(flat_in_bore(10.0, 6.35), 0.517, 5e-4);
        close(flat_in_bore(10.0, 3.0), 0.113, 5e-4);
        close(flat_in_bore(10.0, 2.0), 0.0501, 5e-5);
        close(flat_in_bore(25.0, 6.35), 0.202, 5e-4);
        // The usual short form w²/8R is good for narrow faces.
        close(flat_in_bore(10.0, 1.0), 1.0 / 80.0, 2e-5);
        assert_eq!(flat_in_bore(3.0, 6.35), None);
    }

    #[test]
    fn a_sphere_must_be_on_the_line() {
        close(sphere_off_centre(10.0, 1.5, 0.0), 0.0, 0.0);
        close(sphere_off_centre(10.0, 1.5, 0.2), 0.04 / 17.0, 1e-6);
        assert_eq!(sphere_off_centre(1.5, 1.5, 0.0), None);
    }

    /// 6.35 mm faces at 1° on 10 mm: +0.111 mm less 0.0015 mm of cosine.
    #[test]
    fn tilt_reads_large() {
        let error = tilted_faces(10.0, 6.35, 1f64.to_radians());
        assert!((error - (0.1108 - 0.0015)).abs() < 1e-4, "{error}");
    }

    #[test]
    fn a_chord_is_shorter() {
        close(chord_for_diameter(10.0, 0.1), -0.002, 1e-5);
    }
}
