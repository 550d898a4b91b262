//! A cylinder pressed across its axis between flat faces.

use std::f64::consts::PI;

use super::hertz::{ElasticError, LineContact, line_unbounded, narrow};
use crate::material::Elastic;

/// One side of a cylinder of the given diameter, pressed along a line of the given length by a flat face against what lies
/// opposite: how much face and axis come together.
///
/// The cylinder gives `p V_c [2 ln(2D/b) − 1]` on each side, which does not depend on the length of contact (Johnson, Contact
/// Mechanics, 1985, eq. 5.57, from memory), the face as a half space `p V_f [1 + 2 ln(2ℓ/b)]` (CSIRO NSL TP 25, case 9, see
/// [`line_contact`](super::line_contact)); p = F/ℓ, V = (1 − ν²)/(π E), b² = 2 p (V_c + V_f) D.
pub fn cylinder_under_face(
    force_n: f64,
    (face, cylinder): (Elastic, Elastic),
    diameter_mm: f64,
    length_mm: f64,
) -> Result<LineContact, ElasticError> {
    let line = line_unbounded(force_n, (face, cylinder), diameter_mm, length_mm)?;
    narrow(line, diameter_mm, length_mm)?;
    if force_n == 0.0 {
        return Ok(line);
    }
    let per_length = force_n / length_mm / PI;
    let width = line.half_width_mm;
    let of_cylinder =
        cylinder.plane_compliance() * (2.0 * libm::log(2.0 * diameter_mm / width) - 1.0);
    let of_face = face.plane_compliance() * (1.0 + 2.0 * libm::log(2.0 * length_mm / width));
    Ok(LineContact {
        approach_mm: per_length * (of_cylinder + of_face),
        ..line
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn body(young_gpa: f64, poisson: f64) -> Elastic {
        Elastic { young_gpa, poisson }
    }

    /// ABS of 12 mm between carbide faces of 6.35 mm under 20 N: 7.63 µm of the cylinder and 0.03 µm of the faces; steel under
    /// 7.5 N: 0.05 and 0.02 µm. Computed by an independent script.
    #[test]
    fn a_cylinder_between_two_faces() {
        let carbide = body(620.0, 0.22);
        let both = |newtons: f64, part: Elastic| {
            let side = cylinder_under_face(newtons, (carbide, part), 12.0, 6.35).unwrap();
            (2e3 * side.approach_mm, side.half_width_mm)
        };
        let (plastic, width) = both(20.0, body(2.3, 0.36));
        assert!((plastic - (7.6266 + 0.0332)).abs() < 1e-3, "{plastic}");
        assert!((width - 0.09562).abs() < 1e-5, "{width}");
        let (steel, _) = both(7.5, body(207.0, 0.29));
        assert!((steel - (0.050_53 + 0.018_37)).abs() < 1e-4, "{steel}");
        assert_eq!(both(0.0, carbide).0, 0.0);
    }

    #[test]
    fn too_soft_is_refused() {
        let rubber = body(0.01, 0.49);
        let steel = body(207.0, 0.29);
        let found = cylinder_under_face(50.0, (steel, rubber), 12.0, 6.35);
        assert!(matches!(found, Err(ElasticError::TooSoft { .. })));
    }
}
