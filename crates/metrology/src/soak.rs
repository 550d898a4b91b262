//! How long a part wants to lie until it has the temperature of the room.
//!
//! A lumped body in still air falls off by `e` in `τ = ρ c V/(h A)`; a long cylinder has `τ = ρ c d/(4 h)`, a sheet
//! `ρ c t/(2 h)`. With `h` about 8 W/(m² K), from memory and uncertain by a factor of two, the answer is an estimate:
//! read the temperature of part and standard, and do not count minutes alone.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::material;
use crate::tables;

/// Heat transfer to still air, W/(m² K), from memory.
pub const STILL_AIR: f64 = 8.0;

/// Density and specific heat (data/heat.csv).
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Heat {
    /// Name of the material, as in data/materials.csv.
    pub material: String,
    /// Density, kg/m³.
    pub density_kg_per_m3: f64,
    /// Specific heat, J/(kg K).
    pub specific_heat_j_per_kg_k: f64,
}

static TABLE: LazyLock<Vec<Heat>> = LazyLock::new(|| tables::rows(tables::HEAT));

/// Density and specific heat of a material by any of its names.
pub fn heat(name: &str) -> Option<&'static Heat> {
    let material = material::named(name)?;
    TABLE.iter().find(|heat| heat.material == material.name)
}

/// The form of the part, as far as heat is concerned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Body {
    /// A long cylinder of this diameter, millimetres.
    Cylinder(f64),
    /// A sheet or tube wall of this thickness, millimetres, open to air on both sides.
    Sheet(f64),
}

/// Time in which the difference of temperature falls by `e`, seconds.
pub fn time_constant(body: Body, heat: &Heat) -> f64 {
    let per_metre = heat.density_kg_per_m3 * heat.specific_heat_j_per_kg_k / STILL_AIR;
    match body {
        Body::Cylinder(diameter) => per_metre * diameter / 1000.0 / 4.0,
        Body::Sheet(thickness) => per_metre * thickness / 1000.0 / 2.0,
    }
}

/// Time until a difference of `from` kelvins has fallen to `to`: `τ ln(from/to)`, seconds; zero where it is there.
///
/// ```
/// use metrology::soak::{Body, heat, soak_time, time_constant};
///
/// // A steel bar of 25 mm, 5 K warm, to within 0.1 K of the room.
/// let constant = time_constant(Body::Cylinder(25.0), heat("steel").unwrap());
/// let hours = soak_time(constant, 5.0, 0.1).unwrap() / 3600.0;
/// assert!((hours - 3.2).abs() < 0.05);
/// ```
pub fn soak_time(time_constant: f64, from: f64, to: f64) -> Option<f64> {
    (to > 0.0 && from.is_finite() && time_constant.is_finite())
        .then(|| (time_constant * libm::log(from.abs() / to)).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Steel of 10, 25, 50 mm: 20, 49, 98 minutes; aluminium 13, 32, 63. Computed independently by script.
    #[test]
    fn minutes_of_cylinders() {
        for (material, minutes) in [
            ("steel", [20.0, 49.0, 98.0]),
            ("aluminium", [13.0, 32.0, 63.0]),
        ] {
            for (diameter, expected) in [10.0, 25.0, 50.0].into_iter().zip(minutes) {
                let tau = time_constant(Body::Cylinder(diameter), heat(material).unwrap()) / 60.0;
                assert!((tau - expected).abs() < 0.6, "{material} {diameter}: {tau}");
            }
        }
    }

    /// From 5 K to 0.1 K takes 3.9 time constants; 25 mm of steel 3.2 hours.
    #[test]
    fn three_hours_for_a_warm_bar() {
        let tau = time_constant(Body::Cylinder(25.0), heat("steel").unwrap());
        let hours = soak_time(tau, 5.0, 0.1).unwrap() / 3600.0;
        assert!((hours - 3.2).abs() < 0.05, "{hours}");
        assert!((soak_time(tau, 5.0, 0.1).unwrap() / tau - 3.91).abs() < 0.01);
        assert_eq!(soak_time(tau, 0.05, 0.1), Some(0.0));
        assert_eq!(soak_time(tau, 5.0, 0.0), None);
    }

    #[test]
    fn every_row_names_a_material() {
        assert!(TABLE.len() > 10);
        assert_eq!(TABLE.len(), tables::HEAT.lines().count() - 1);
        assert!(
            TABLE
                .iter()
                .all(|heat| heat.material == material::named(&heat.material).unwrap().name)
        );
        assert!(heat("304").is_some());
    }
}
