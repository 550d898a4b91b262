//! Hertz: two elastic bodies that touch at a point or along a line.
//!
//! 1/E* = (1−ν1²)/E1 + (1−ν2²)/E2. Forces in newtons, lengths in millimetres, moduli and pressures in N/mm².

use std::f64::consts::PI;

use super::Elastic;
use crate::range::{self, Measure, OutOfRange, Within};
use crate::root::bracketed;

crate::messages! {
    /// Why a deformation is not computed.
    #[derive(Copy)]
    pub enum ElasticError "elastic" {
        /// A number is out of range, or not a number.
        Input "input" { error: OutOfRange as said },
        /// The contact is so wide that the theory of small contacts does not hold.
        TooSoft "too-soft" {
            /// Half width of the contact.
            width: f64 as Size,
            /// Diameter or half length that it has to be small against.
            size: f64 as Size,
        },
    }
}

impl From<OutOfRange> for ElasticError {
    fn from(error: OutOfRange) -> Self {
        Self::Input { error }
    }
}

/// A contact at a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointContact {
    /// How much the bodies come together.
    pub approach_mm: f64,
    /// Half axes of the contact ellipse, the larger first.
    pub half_axes_mm: (f64, f64),
    /// Pressure in the middle, N/mm².
    pub peak_pressure_mpa: f64,
}

/// A contact along a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineContact {
    /// How much the bodies come together.
    pub approach_mm: f64,
    /// Half width of the contact.
    pub half_width_mm: f64,
    /// Pressure in the middle, N/mm².
    pub peak_pressure_mpa: f64,
}

/// Relative curvatures that are computed with, per millimetre: flatter or hollow surfaces fit into each other.
const CURVATURES: (f64, f64) = (1e-9, 1e6);

/// Two bodies touching at a point, with half the relative curvatures `a` and `b` (per millimetre) in the two
/// principal directions: A = ½(κ1 + κ2), hollow surfaces counted negative.
///
/// [E(m)/(1−m) − K(m)]/[K(m) − E(m)] = B/A for m = 1 − (b/a)², then a³ = 3F[K − E]/(2π m A E*) and
/// δ = 3F K/(2π a E*). Sphere on plane: A = B = 1/D. Cylinders crossed square: 1/D1 and 1/D2.
/// Source: Hertz theory of contact mechanics; [`CsiroTp25`](crate::source::Source::CsiroTp25) lists the cases. Checked with the closed form for a sphere.
pub fn point_contact(
    force_n: f64,
    materials: (Elastic, Elastic),
    a: f64,
    b: f64,
) -> Result<PointContact, ElasticError> {
    let contact = point_unbounded(force_n, materials, a, b)?;
    // Half the diameter that the sharper curvature stands for.
    small(contact.half_axes_mm.1, 1.0 / a.max(b))?;
    Ok(contact)
}

/// The same however wide the contact is.
pub(crate) fn point_unbounded(
    force_n: f64,
    materials: (Elastic, Elastic),
    a: f64,
    b: f64,
) -> Result<PointContact, ElasticError> {
    force(force_n)?;
    let modulus = effective_modulus(materials)?;
    for curvature in [a, b] {
        let (least, most) = CURVATURES;
        range::permitted(
            (least..=most).contains(&curvature),
            Measure::Curvature,
            curvature,
            Within::Curvature { least, most },
        )?;
    }
    let (a, b) = (a.min(b), a.max(b));
    // ln of the ratio against ln of n = 1 − m, where it is nearly straight; its slope lies between −1 and −2/3.
    let miss = |log_n: f64| {
        let n = libm::exp(log_n);
        let (k, d) = elliptic(n);
        (libm::log((k - d) / (n * d)) - libm::log(b / a), -0.75)
    };
    // B/A = n^(−2/3…−1) at the ends of the range; 1e-18 allows for B/A up to about 1e15.
    let n = bracketed(miss, -80.0, 0.0, -1.4 * libm::log(b / a)).map_or(1.0, libm::exp);
    let (k, d) = elliptic(n);
    let major = libm::cbrt(3.0 * force_n * d / (2.0 * PI * a * modulus));
    let minor = major * n.sqrt();
    Ok(PointContact {
        approach_mm: if force_n == 0.0 {
            0.0
        } else {
            3.0 * force_n * k / (2.0 * PI * major * modulus)
        },
        half_axes_mm: (major, minor),
        peak_pressure_mpa: if force_n == 0.0 {
            0.0
        } else {
            1.5 * force_n / (PI * major * minor)
        },
    })
}

/// A cylinder of the given diameter along a plane over the given length; of two cylinders side by side
/// 1/D = 1/D1 + 1/D2.
///
/// δ = p (V1 + V2)[1 + ln(8a²/((V1 + V2) p D))], p = F/ℓ, a = ℓ/2, V = (1−ν²)/(πE). Line contacts have no approach
/// of their own: it depends on where the far field is held, here on the length of contact; published formulas differ
/// by this, by some per cent of a small number. Source: [`CsiroTp25`](crate::source::Source::CsiroTp25),
/// case 9, from memory, derived again.
pub fn line_contact(
    force_n: f64,
    materials: (Elastic, Elastic),
    diameter_mm: f64,
    length_mm: f64,
) -> Result<LineContact, ElasticError> {
    let contact = line_unbounded(force_n, materials, diameter_mm, length_mm)?;
    narrow(contact, diameter_mm, length_mm)?;
    Ok(contact)
}

/// The same however wide the contact is; where it is wider than long the approach is none.
pub(crate) fn line_unbounded(
    force_n: f64,
    materials: (Elastic, Elastic),
    diameter_mm: f64,
    length_mm: f64,
) -> Result<LineContact, ElasticError> {
    force(force_n)?;
    positive(Measure::Diameter, diameter_mm)?;
    positive(Measure::ContactLength, length_mm)?;
    let modulus = effective_modulus(materials)?;
    if force_n == 0.0 {
        return Ok(LineContact {
            approach_mm: 0.0,
            half_width_mm: 0.0,
            peak_pressure_mpa: 0.0,
        });
    }
    let yielding = force_n / length_mm / (PI * modulus);
    let half_width = (2.0 * yielding * diameter_mm).sqrt();
    let half_length = length_mm / 2.0;
    Ok(LineContact {
        approach_mm: yielding
            * (1.0 + libm::log(8.0 * half_length * half_length / (yielding * diameter_mm))),
        half_width_mm: half_width,
        peak_pressure_mpa: 2.0 * force_n / (PI * half_width * length_mm),
    })
}

/// Refuses a line that is not narrow.
pub(super) fn narrow(
    contact: LineContact,
    diameter_mm: f64,
    length_mm: f64,
) -> Result<(), ElasticError> {
    small(contact.half_width_mm, diameter_mm)?;
    small(contact.half_width_mm, length_mm / 2.0)
}

/// E*, N/mm².
fn effective_modulus((first, second): (Elastic, Elastic)) -> Result<f64, ElasticError> {
    let mut compliance = 0.0;
    for body in [first, second] {
        modulus(body)?;
        range::between(Measure::Poisson, body.poisson, -0.9, 0.5)?;
        compliance += body.plane_compliance();
    }
    Ok(1.0 / compliance)
}

fn modulus(body: Elastic) -> Result<(), OutOfRange> {
    range::between(Measure::Modulus, body.young_gpa, 1e-3, 1e4)
}

fn force(newtons: f64) -> Result<(), OutOfRange> {
    range::between(Measure::Force, newtons, 0.0, 1e6)
}

pub(super) fn positive(what: Measure, value: f64) -> Result<(), OutOfRange> {
    range::length(what, value)
}

/// The contact must be small beside the bodies: a quarter is already generous.
fn small(width_mm: f64, size_mm: f64) -> Result<(), ElasticError> {
    if width_mm > size_mm / 4.0 {
        Err(ElasticError::TooSoft {
            width: width_mm,
            size: size_mm,
        })
    } else {
        Ok(())
    }
}

/// K and (K − E)/m of the parameter m = 1 − n, by the arithmetic-geometric mean and without cancellation:
/// 1 − E/K = Σ 2^(i−1) c_i² with c_0² = m and c_(i+1) = c_i²/(4 a_(i+1)).
fn elliptic(n: f64) -> (f64, f64) {
    let m = 1.0 - n;
    let (mut mean, mut root) = (1.0, n.sqrt());
    let mut squared = m;
    let mut weight = 0.5;
    let mut sum = 0.5;
    for _ in 0..40 {
        let next = f64::midpoint(mean, root);
        root = (mean * root).sqrt();
        mean = next;
        // c² of the new stage.
        squared = squared * squared / (16.0 * mean * mean);
        weight *= 2.0;
        if m > 0.0 {
            sum += weight * squared / m;
        }
        if squared <= 1e-36 {
            break;
        }
    }
    let k = PI / (2.0 * mean);
    (k, k * sum)
}

#[cfg(test)]
mod tests {
    use super::{Elastic, elliptic, point_contact};

    const STEEL: Elastic = Elastic {
        young_gpa: 205.0,
        poisson: 0.29,
    };

    #[test]
    fn elliptic_integrals() {
        // K(0.5) = 1.8540746773013719, E(0.5) = 1.3506438810476755 (tables of elliptic integrals).
        let (k, d) = elliptic(0.5);
        assert!((k - 1.8540746773013719).abs() < 1e-15);
        assert!((0.5 * d - (1.8540746773013719 - 1.3506438810476755)).abs() < 1e-15);
        // K(0.99) = 3.6956373629898747, E(0.99) = 1.0159935450252239.
        let (k, d) = elliptic(0.01);
        assert!((k - 3.6956373629898747).abs() < 4e-15);
        assert!((0.99 * d - (3.6956373629898747 - 1.0159935450252239)).abs() < 4e-15);
    }

    /// Carbide ball of radius 1.5 mm on a flat, computed independently: µm at 7.5 N.
    #[test]
    fn carbide_ball_on_several_materials() {
        let carbide = Elastic {
            young_gpa: 620.0,
            poisson: 0.22,
        };
        for (young_gpa, poisson, expected) in [
            (207.0, 0.29, 0.91),
            (70.0, 0.33, 1.63),
            (105.0, 0.34, 1.28),
            (2.3, 0.36, 14.5),
            (2.8, 0.39, 12.5),
            (620.0, 0.22, 0.58),
        ] {
            let part = Elastic { young_gpa, poisson };
            let got = point_contact(7.5, (carbide, part), 1.0 / 3.0, 1.0 / 3.0).unwrap();
            let off = (1e3 * got.approach_mm - expected).abs();
            assert!(off < 0.006 * expected.max(1.0), "{young_gpa}");
        }
    }

    #[test]
    fn a_sphere_agrees_with_the_closed_form() {
        // a³ = 3FR/(4E*), δ = a²/R; 10 mm steel ball on a plane at 1 N: 0.2079 µm.
        let got = point_contact(1.0, (STEEL, STEEL), 0.1, 0.1).unwrap();
        let modulus = 205e3 / (2.0 * (1.0 - 0.29 * 0.29));
        let a = libm::cbrt(3.0 * 5.0 / (4.0 * modulus));
        assert!((got.approach_mm - a * a / 5.0).abs() < 1e-15);
        assert!((1e3 * got.approach_mm - 0.2079).abs() < 5e-5);
        let (major, minor) = got.half_axes_mm;
        assert!((major - a).abs() < 1e-15 && (minor - a).abs() < 1e-15);
    }

    #[test]
    fn approach_grows_with_the_two_thirds_power_of_force() {
        let at = |force: f64| {
            point_contact(force, (STEEL, STEEL), 0.03, 1.2)
                .unwrap()
                .approach_mm
        };
        assert!((at(8.0) / at(1.0) - 4.0).abs() < 1e-12);
        assert_eq!(at(0.0), 0.0);
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(point_contact(f64::NAN, (STEEL, STEEL), 0.1, 0.1).is_err());
        assert!(point_contact(1.0, (STEEL, STEEL), -0.1, 0.1).is_err());
        assert!(point_contact(1e6, (STEEL, STEEL), 1.0, 1.0).is_err());
        let jelly = Elastic {
            young_gpa: 0.0,
            poisson: 0.5,
        };
        assert!(point_contact(1.0, (STEEL, jelly), 0.1, 0.1).is_err());
    }
}
