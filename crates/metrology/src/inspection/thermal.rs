//! What temperatures and materials give to the model.

use super::JobError;
use super::inputs::named;
use super::job::Job;
use super::model::Quantity;
use crate::correction::Temperatures;
use crate::material;
use crate::uncertainty::{Distribution, Input};
use crate::units::Celsius;

/// Difference of temperature between part and standard that is allowed for when none was read, kelvins (common
/// practice, no source).
const UNREAD_TEMPERATURE: f64 = 1.0;

/// Temperatures and expansions with what is known of them.
pub struct Thermal {
    part: (f64, Distribution, &'static material::Material),
    standard: (f64, Distribution, &'static material::Material),
    instrument: (f64, Distribution, &'static material::Material),
}

impl Thermal {
    pub fn temperatures(&self) -> Temperatures<f64> {
        Temperatures {
            part: self.part.0,
            standard: self.standard.0,
            instrument: self.instrument.0,
            part_expansion: self.part.2.expansion.value(),
            standard_expansion: self.standard.2.expansion.value(),
            instrument_expansion: self.instrument.2.expansion.value(),
        }
    }

    pub fn inputs(&self) -> [(Quantity, Input); 6] {
        let temperature = |quantity, body: &(f64, Distribution, _)| {
            (quantity, named(quantity, body.0, body.1, "thermometer"))
        };
        let expansion = |quantity, material: &material::Material| {
            let coefficient = material.expansion.value();
            let half_width = coefficient * material.expansion_relative_limit;
            let note = format!(
                "{}, {:.1}e-6/K within {:.0} % ({})",
                material.name,
                coefficient * 1e6,
                material.expansion_relative_limit * 100.0,
                material.source
            );
            (
                quantity,
                named(
                    quantity,
                    coefficient,
                    Distribution::Rectangular { half_width },
                    &note,
                ),
            )
        };
        [
            temperature(Quantity::PartTemperature, &self.part),
            temperature(Quantity::StandardTemperature, &self.standard),
            temperature(Quantity::InstrumentTemperature, &self.instrument),
            expansion(Quantity::PartExpansion, self.part.2),
            expansion(Quantity::StandardExpansion, self.standard.2),
            expansion(Quantity::InstrumentExpansion, self.instrument.2),
        ]
    }
}

pub fn thermal(job: &Job) -> Result<Thermal, JobError> {
    let of = |name: &str| {
        material::named(name).ok_or_else(|| JobError::Material {
            name: name.to_owned(),
            known: material::all()
                .iter()
                .map(|material| material.name.clone())
                .collect(),
        })
    };
    // The screw of a micrometer is steel.
    let steel = of("steel")?;
    let Some(read) = &job.temperature else {
        let exact = Distribution::Normal {
            standard_uncertainty: 0.0,
        };
        let unread = Distribution::Rectangular {
            half_width: UNREAD_TEMPERATURE,
        };
        return Ok(Thermal {
            part: (0.0, unread, steel),
            standard: (0.0, exact, steel),
            instrument: (0.0, exact, steel),
        });
    };
    let u = read.standard_uncertainty;
    let above = |temperature: Celsius| (temperature - Celsius::REFERENCE).kelvins();
    let known = Distribution::Normal {
        standard_uncertainty: u,
    };
    Ok(Thermal {
        part: (above(read.part), known, of(&read.part_material)?),
        standard: (above(read.standard), known, of(&read.standard_material)?),
        instrument: (
            above(read.instrument.unwrap_or(read.standard)),
            known,
            steel,
        ),
    })
}
