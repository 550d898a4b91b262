//! Materials of parts, standards and contacts: thermal expansion and elastic constants.
//!
//! Elastic constants of metals are within 5 % of one or two books, the others from memory; a deformation goes with the
//! 2/3 power of the modulus and needs no more.

use std::error::Error;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::source::{Confidence, Source};
use crate::tables;
use crate::units::Expansion;

/// Elastic constants.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elastic {
    /// Modulus of elasticity, GPa.
    pub young_gpa: f64,
    /// Poisson's ratio.
    pub poisson: f64,
}

impl Elastic {
    /// Of a material in the table, where it has elastic constants.
    pub fn named(material: &str) -> Option<Self> {
        named(material)?.elastic
    }

    /// `(1 − ν²)/E`, per megapascal: what one of two bodies adds to `1/E*` of their contact.
    pub fn plane_compliance(self) -> f64 {
        (1.0 - self.poisson * self.poisson) / (1e3 * self.young_gpa)
    }
}

/// The least modulus of a metal that parts are made of, GPa: no plastic comes near it (common practice, no source).
const LEAST_OF_METALS: f64 = 40.0;

impl Material {
    /// Whether it is a metal, or as stiff as one.
    pub fn is_metal(&self) -> bool {
        let elastic = self.elastic;
        elastic.is_some_and(|elastic| elastic.young_gpa >= LEAST_OF_METALS)
    }
}

/// One row of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    pub name: String,
    /// Other names it goes by.
    pub also: Vec<String>,
    /// Elastic constants, where known.
    pub elastic: Option<Elastic>,
    /// Linear thermal expansion.
    pub expansion: Expansion,
    /// How far the expansion of a piece of this material may be off, as a fraction (half-width).
    pub expansion_relative_limit: f64,
    /// Where the expansion stands.
    pub source: Source,
    /// How well that is known.
    pub confidence: Confidence,
}

#[derive(Deserialize)]
struct Row {
    name: String,
    also: String,
    young_gpa: Option<f64>,
    poisson: Option<f64>,
    expansion_per_kelvin: f64,
    expansion_relative_limit: f64,
    source: String,
    confidence: Confidence,
}

static TABLE: LazyLock<Vec<Material>> = LazyLock::new(|| read().unwrap_or_default());

/// The table as compiled in. A test holds that every row is read.
fn read() -> Result<Vec<Material>, Box<dyn Error>> {
    csv::Reader::from_reader(include_str!("../data/materials.csv").as_bytes())
        .deserialize()
        .map(|row| {
            let row: Row = row?;
            Ok(Material {
                name: row.name,
                also: row
                    .also
                    .split(';')
                    .filter(|name| !name.is_empty())
                    .map(str::to_owned)
                    .collect(),
                elastic: row
                    .young_gpa
                    .zip(row.poisson)
                    .map(|(young_gpa, poisson)| Elastic { young_gpa, poisson }),
                expansion: Expansion::per_kelvin(row.expansion_per_kelvin),
                expansion_relative_limit: row.expansion_relative_limit,
                source: row.source.parse()?,
                confidence: row.confidence,
            })
        })
        .collect()
}

/// Yield strengths of usual states (data/yield-strength.csv); none of steel and cast iron, whose states differ tenfold.
static YIELDS: LazyLock<Vec<Yield>> = LazyLock::new(|| tables::rows(tables::YIELD_STRENGTH));

#[derive(Deserialize)]
struct Yield {
    material: String,
    yield_mpa: f64,
}

/// Yield strength of a material by any of its names, in the state that the table names, megapascals.
pub fn yield_strength(name: &str) -> Option<f64> {
    let material = named(name)?;
    YIELDS
        .iter()
        .find(|row| row.material == material.name)
        .map(|row| row.yield_mpa)
}

/// Yield strength by Vickers hardness, megapascals: a third of it (Tabor, from memory); 1 HV is 9.807 MPa.
pub fn yield_strength_of_hardness(vickers: f64) -> f64 {
    vickers * 9.806_65 / 3.0
}

/// All materials.
pub fn all() -> &'static [Material] {
    &TABLE
}

/// The material of this name or other name; letter case does not matter.
pub fn named(name: &str) -> Option<&'static Material> {
    let name = name.trim();
    all().iter().find(|material| {
        material.name.eq_ignore_ascii_case(name)
            || material
                .also
                .iter()
                .any(|other| other.eq_ignore_ascii_case(name))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read_and_its_source_known() {
        let rows = include_str!("../data/materials.csv").lines().count() - 1;
        assert_eq!(read().unwrap().len(), rows);
    }

    #[test]
    fn yields_are_of_known_materials() {
        let rows = crate::tables::YIELD_STRENGTH.lines().count() - 1;
        assert_eq!(YIELDS.len(), rows);
        for row in &*YIELDS {
            assert_eq!(yield_strength(&row.material), Some(row.yield_mpa));
        }
        assert_eq!(yield_strength("6061"), Some(276.0));
        assert_eq!(yield_strength("steel"), None);
    }

    #[test]
    fn found_by_any_name() {
        assert_eq!(named("Aluminum").unwrap().expansion.value(), 23.1e-6);
        assert_eq!(named("steel").unwrap().expansion.value(), 11.5e-6);
        assert!(named("unobtainium").is_none());
    }
}
