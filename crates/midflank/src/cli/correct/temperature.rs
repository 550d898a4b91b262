//! Temperatures of part, standard and instrument, with a gradient along the part.

use clap::Args;
use metrology::correction::{Temperatures, temperature_correction};
use metrology::effect::{Effect, EffectName, ValidFor};
use metrology::inspection::{too_cold, too_hot};
use metrology::material::{self, Material};

use super::leading;
use crate::document::{Correct, Instead};
use crate::failure::Failure;
use crate::given;
use crate::look_up::thread::optional_length;
use crate::option::Within;
use crate::say;
use crate::words::number;

/// The standard reference temperature, ISO 1.
const REFERENCE: f64 = 20.0;

#[derive(Args)]
pub struct Temperature {
    #[arg(long, value_name = "LEN")]
    size: String,
    #[arg(long, value_name = "LEN")]
    standard_size: Option<String>,
    #[arg(
        value_parser = Within(given::TEMPERATURE),
        long,
        value_name = "C,C",
        value_delimiter = ',',
        required = true,
        allow_hyphen_values = true
    )]
    part: Vec<f64>,
    #[arg(long, value_name = "C", default_value_t = REFERENCE, allow_hyphen_values = true, value_parser = Within(given::TEMPERATURE))]
    standard: f64,
    #[arg(long, value_name = "C", allow_hyphen_values = true, value_parser = Within(given::TEMPERATURE))]
    instrument: Option<f64>,
    #[arg(long, value_name = "NAME", default_value = "steel")]
    material: String,
    #[arg(long, value_name = "NAME", default_value = "steel")]
    standard_material: String,
}

impl Temperature {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, size) = leading("--size", &self.size)?;
        let standard_size =
            optional_length("--standard-size", self.standard_size.as_ref())?.unwrap_or(size);
        let instrument = self.instrument.unwrap_or(self.standard);
        for degrees in self.part.iter().chain([&self.standard, &instrument]) {
            too_hot(*degrees)
                .and_then(|()| too_cold(*degrees))
                .map_err(|error| Failure::refused(&error))?;
        }
        let (coldest, hottest) = self
            .part
            .iter()
            .fold((f64::MAX, f64::MIN), |(low, high), degrees| {
                (low.min(*degrees), high.max(*degrees))
            });
        let mean = self.part.iter().sum::<f64>() / self.part.len() as f64;
        let part = named(&self.material)?;
        let standard = named(&self.standard_material)?;
        let temperatures = Temperatures {
            part: mean - REFERENCE,
            standard: self.standard - REFERENCE,
            instrument: instrument - REFERENCE,
            part_expansion: part.expansion.value(),
            standard_expansion: standard.expansion.value(),
            instrument_expansion: named("steel")?.expansion.value(),
        };
        let correction =
            temperature_correction(standard_size, size - standard_size, &temperatures, 0.0);
        Ok(Correct {
            unit,
            effect: Effect {
                name: EffectName::Temperature,
                correction_mm: correction.value,
                valid_for: ValidFor::Settled,
                source: correction.source,
                confidence: part.confidence.min(standard.confidence),
            },
            half_width_mm: (hottest > coldest)
                .then(|| size.abs() * part.expansion.value() * (hottest - coldest) / 2.0),
            why: say!(
                "correct.expands",
                temperature = number::fixed(mean, 2),
                expansion = number::fixed(part.expansion.value() * 1e6, 1)
            ),
            instead: Instead::TimeToSettle,
            notes: vec![say!(
                "correct.expansion-known",
                material = part.name,
                limit = number::percent(part.expansion_relative_limit)
            )],
        })
    }
}

fn named(name: &str) -> Result<&'static Material, Failure> {
    material::named(name).ok_or_else(|| {
        let known: Vec<&str> = material::all()
            .iter()
            .map(|material| material.name.as_str())
            .collect();
        Failure::Input(say!(
            "correct-refused.material",
            name = name,
            known = known.join(", ")
        ))
    })
}
