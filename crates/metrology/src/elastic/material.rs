//! Materials: elastic constants and thermal expansion.
//!
//! Elastic constants are from memory throughout and good to some per cent; a deformation is not sensitive to more
//! than that (it goes with the 2/3 power of the modulus).

use std::sync::OnceLock;

use serde::Deserialize;

use crate::source::{Confidence, Source};
use crate::units::Expansion;

/// Elastic constants.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elastic {
    /// Modulus of elasticity, GPa.
    pub young_gpa: f64,
    /// Poisson's ratio.
    pub poisson: f64,
}

/// A material of a part, a wire, a contact or a scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// The name it is asked for by.
    pub name: String,
    /// Elastic constants, from memory.
    pub elastic: Elastic,
    /// Linear thermal expansion.
    pub expansion: Expansion,
    /// Relative standard uncertainty of the expansion: 10 %/√3, the spread of tables.
    pub expansion_relative_uncertainty: f64,
    /// Source of the expansion.
    pub source: Source,
    /// How far the expansion has been seen in print.
    pub confidence: Confidence,
    /// What to know before use.
    pub note: String,
}

#[derive(Deserialize)]
struct Row {
    name: String,
    young_gpa: f64,
    poisson: f64,
    expansion_per_kelvin: f64,
    relative_uncertainty: f64,
    source: String,
    confidence: String,
    note: String,
}

impl Material {
    /// Every material of the table.
    pub fn all() -> &'static [Self] {
        static TABLE: OnceLock<Vec<Material>> = OnceLock::new();
        TABLE.get_or_init(|| {
            // A row that does not parse is a defect of the table; the test below finds it.
            rows().filter_map(Result::ok).collect()
        })
    }

    /// The material of this name, whatever the case of its letters.
    pub fn named(name: &str) -> Option<&'static Self> {
        Self::all()
            .iter()
            .find(|material| material.name.eq_ignore_ascii_case(name))
    }
}

fn rows() -> impl Iterator<Item = Result<Material, String>> {
    csv::Reader::from_reader(include_str!("../../../../data/elastic_materials.csv").as_bytes())
        .into_deserialize::<Row>()
        .map(|row| {
            let row = row.map_err(|error| error.to_string())?;
            Ok(Material {
                elastic: Elastic {
                    young_gpa: row.young_gpa,
                    poisson: row.poisson,
                },
                expansion: Expansion::per_kelvin(row.expansion_per_kelvin),
                expansion_relative_uncertainty: row.relative_uncertainty,
                source: row.source.parse()?,
                confidence: confidence(&row.confidence)?,
                name: row.name,
                note: row.note,
            })
        })
}

pub(super) fn confidence(word: &str) -> Result<Confidence, String> {
    match word {
        "weak" => Ok(Confidence::Weak),
        "formula-backed" => Ok(Confidence::FormulaBacked),
        "solid" => Ok(Confidence::Solid),
        other => Err(format!("`{other}` is not a degree of confidence")),
    }
}

#[cfg(test)]
mod tests {
    use super::{Material, rows};

    #[test]
    fn every_row_parses_and_is_plausible() {
        for row in rows() {
            let material = row.unwrap();
            assert!((1.0..700.0).contains(&material.elastic.young_gpa));
            assert!((0.2..0.45).contains(&material.elastic.poisson));
            assert!((1e-6..2e-4).contains(&material.expansion.value()));
        }
        assert_eq!(Material::all().len(), rows().count());
    }

    #[test]
    fn names_are_unique_and_found() {
        for material in Material::all() {
            assert_eq!(
                Material::named(&material.name.to_uppercase()),
                Some(material)
            );
        }
        assert_eq!(Material::named("unobtainium"), None);
    }
}
