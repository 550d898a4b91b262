//! What the measuring force does to soft sheet: indentation, pressure, compression.
//!
//! Forces in newtons, lengths in millimetres, moduli and stresses in megapascals. Contact of Hertz, of
//! any softness. Source: contact-mechanics texts from memory;
//! [`Source::CsiroTp25`](crate::source::Source::CsiroTp25) for the set of cases.

use std::f64::consts::PI;

use crate::material::Elastic;

/// The modulus of two bodies in contact, megapascals: `1/E* = (1 − ν1²)/E1 + (1 − ν2²)/E2`.
///
/// Of any softness: felt lies below what [`elastic`](crate::elastic) takes.
pub fn contact_modulus(one: Elastic, other: Elastic) -> f64 {
    1.0 / (one.plane_compliance() + other.plane_compliance())
}

/// Approach of a sphere and a flat: `δ = (9 F²/(16 E*² R))^⅓`.
pub fn sphere_on_flat(force: f64, radius: f64, modulus: f64) -> f64 {
    libm::cbrt(9.0 * force * force / (16.0 * modulus * modulus * radius))
}

/// Pressure under a flat round face, megapascals: `F/A`.
pub fn face_pressure(force: f64, diameter: f64) -> f64 {
    force / (PI / 4.0 * diameter * diameter)
}

/// Compression of a sheet between large faces: `Δ = p t/E`.
pub fn sheet_compression(pressure: f64, thickness: f64, young: f64) -> f64 {
    pressure * thickness / young
}

/// Free thickness of a sheet that measures `t` under pressure: `t/(1 − p/E)`; `None` where the pressure reaches E.
pub fn free_thickness(pressed: f64, pressure: f64, young: f64) -> Option<f64> {
    (young > 0.0 && pressure < young).then(|| pressed / (1.0 - pressure / young))
}

/// Diameter of the round face that gives a wanted pressure: `√(4F/(π p))`.
pub fn face_for_pressure(force: f64, pressure: f64) -> Option<f64> {
    (force > 0.0 && pressure > 0.0).then(|| (4.0 * force / (PI * pressure)).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn body(gpa: f64, poisson: f64) -> Elastic {
        Elastic {
            young_gpa: gpa,
            poisson,
        }
    }

    const CARBIDE: (f64, f64) = (620.0, 0.22);

    /// Carbide ball of radius 1.5 mm on five materials, at 1 N and 7.5 N; computed independently by script.
    #[test]
    fn a_ball_on_five_materials() {
        let carbide = body(CARBIDE.0, CARBIDE.1);
        for (gpa, poisson, at_1, at_7_5) in [
            (207.0, 0.29, 0.24, 0.91),
            (70.0, 0.33, 0.42, 1.63),
            (105.0, 0.34, 0.33, 1.28),
            (2.3, 0.36, 3.8, 14.5),
            (2.8, 0.39, 3.3, 12.5),
        ] {
            let modulus = contact_modulus(carbide, body(gpa, poisson));
            let micrometres = |force| sphere_on_flat(force, 1.5, modulus) * 1000.0;
            assert!(
                (micrometres(1.0) - at_1).abs() < 0.051 * at_1.max(0.1),
                "{gpa}"
            );
            assert!(
                (micrometres(7.5) - at_7_5).abs() < 0.006 * at_7_5,
                "{gpa}: {}",
                micrometres(7.5)
            );
        }
    }

    /// Zero set carbide on carbide takes 0.58 µm of it back.
    #[test]
    fn zero_is_pressed_too() {
        let carbide = body(CARBIDE.0, CARBIDE.1);
        let at_zero = sphere_on_flat(7.5, 1.5, contact_modulus(carbide, carbide)) * 1000.0;
        assert!((at_zero - 0.58).abs() < 0.005, "{at_zero}");
    }

    /// 6.35 mm flat on ABS at 7.5 N: 0.24 MPa, 0.10 µm for each millimetre.
    #[test]
    fn a_flat_on_plastic() {
        let pressure = face_pressure(7.5, 6.35);
        assert!((pressure - 0.24).abs() < 0.005);
        let compression = sheet_compression(pressure, 1.0, 2300.0) * 1000.0;
        assert!((compression - 0.10).abs() < 0.005);
        let free = free_thickness(1.0, pressure, 2300.0).unwrap();
        assert!((free - 1.0 - compression / 1000.0).abs() < 1e-7);
        assert_eq!(free_thickness(1.0, 3.0, 2.0), None);
        assert!((face_for_pressure(7.5, pressure).unwrap() - 6.35).abs() < 1e-12);
    }
}
