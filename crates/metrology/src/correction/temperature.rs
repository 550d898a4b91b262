//! Temperature: what the part would measure at 20 °C.

use super::{Correction, CorrectionName};
use crate::source::Source;
use crate::uncertainty::Scalar;

/// Temperatures above 20 °C in kelvins, and expansion coefficients per kelvin, of the three bodies that matter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Temperatures<T> {
    /// The part: temperature above 20 °C.
    pub part: T,
    /// The setting standard when zero was set.
    pub standard: T,
    /// The micrometer's screw.
    pub instrument: T,
    /// Expansion coefficient of the part.
    pub part_expansion: T,
    /// Expansion coefficient of the standard.
    pub standard_expansion: T,
    /// Expansion coefficient of the micrometer's screw.
    pub instrument_expansion: T,
}

/// Size of the part at 20 °C from the certified size of the standard and the difference measured from it.
///
/// `L (1 + αp θp) = S (1 + αs θs) + D (1 + αm θm)`, solved for `L`: at the bench the standard is longer than its
/// certificate by its own expansion, the screw measures only the difference `D` from it, and the part is longer than
/// it will be at 20 °C. With `αm θm = αs θs` this is the usual `L = R (1 + αs θs)/(1 + αp θp)`.
///
/// `standard` and `difference` in millimetres, result in millimetres. Source: elementary, from the definition of the
/// expansion coefficient; reference temperature [`Source::Iso1`].
pub fn to_reference_temperature<T: Scalar>(standard: T, difference: T, t: &Temperatures<T>) -> T {
    let one = T::constant(1.0);
    (standard * (one + t.standard_expansion * t.standard)
        + difference * (one + t.instrument_expansion * t.instrument))
        / (one + t.part_expansion * t.part)
}

/// What to add to the reading so that it holds at 20 °C.
///
/// `standard` is the certified size, `difference` the corrected reading less that size, both in millimetres;
/// `standard_uncertainty` that of the correction. Vanishes when part, standard and micrometer are of one material and
/// at one temperature. Source: [`Source::Iso1`] and [`to_reference_temperature`].
///
/// ```
/// use metrology::correction::{Temperatures, temperature_correction};
///
/// // 25 mm of steel, 3 K warmer than standard and micrometer, reads 0.86 µm too long.
/// let temperatures = Temperatures {
///     part: 3.0,
///     standard: 0.0,
///     instrument: 0.0,
///     part_expansion: 11.5e-6,
///     standard_expansion: 11.5e-6,
///     instrument_expansion: 11.5e-6,
/// };
/// let correction = temperature_correction(25.0, 0.0, &temperatures, 0.0);
/// assert!((correction.value + 0.000_86).abs() < 5e-6);
/// ```
pub fn temperature_correction(
    standard: f64,
    difference: f64,
    temperatures: &Temperatures<f64>,
    standard_uncertainty: f64,
) -> Correction {
    Correction {
        name: CorrectionName::Temperature,
        value: to_reference_temperature(standard, difference, temperatures)
            - (standard + difference),
        standard_uncertainty,
        source: Source::Iso1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all_steel(part: f64, rest: f64) -> Temperatures<f64> {
        Temperatures {
            part,
            standard: rest,
            instrument: rest,
            part_expansion: 11.5e-6,
            standard_expansion: 11.5e-6,
            instrument_expansion: 11.5e-6,
        }
    }

    #[test]
    fn one_material_at_one_temperature_needs_none() {
        let correction = temperature_correction(25.0, -16.0, &all_steel(5.0, 5.0), 0.0);
        assert!(correction.value.abs() < 1e-14);
    }

    /// Steel 25 mm, 3 K warmer than the instrument: 0.86 µm too long. Elementary arithmetic.
    #[test]
    fn a_warm_part_reads_long() {
        let correction = temperature_correction(25.0, 0.0, &all_steel(3.0, 0.0), 0.0);
        assert!(
            (correction.value - -0.00086).abs() < 5e-6,
            "{}",
            correction.value
        );
    }

    /// Aluminium 25 mm, both at 25 °C, against steel: 1.45 µm. Expansion 23.1e-6 and 11.5e-6 per kelvin from
    /// J. Res. NIST 99 (1994) 31.
    #[test]
    fn aluminium_against_steel() {
        let temperatures = Temperatures {
            part_expansion: 23.1e-6,
            ..all_steel(5.0, 5.0)
        };
        let correction = temperature_correction(25.0, 0.0, &temperatures, 0.0);
        assert!(
            (correction.value - -0.00145).abs() < 5e-6,
            "{}",
            correction.value
        );
    }
}
