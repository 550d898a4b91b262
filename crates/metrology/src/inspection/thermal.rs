//! What temperatures and materials give to the model.

use super::JobError;
use super::approval::{DefaultName, Usual};
use super::job::{Held, Job};
use super::model::Quantity;
use super::note::{Named, Note};
use crate::correction::Temperatures;
use crate::material;
use crate::uncertainty::Distribution;
use crate::units::Celsius;

/// From what to what temperature the room is, degrees Celsius, and whether that was stated; `None` where the temperatures
/// of the bodies were read.
pub fn room(job: &Job) -> Option<((f64, f64), bool)> {
    if job.temperature.is_some() {
        return None;
    }
    let stated = job.room.as_ref().and_then(|room| room.range);
    Some(match stated {
        Some([from, to]) => ((from.degrees(), to.degrees()), true),
        None => (job.usual(DefaultName::Room).range(), false),
    })
}

/// The room above 20 °C: nothing more where temperatures were read, for they hold it.
fn room_temperature(job: &Job) -> Named {
    let quantity = Quantity::RoomTemperature;
    let Some(((from, to), stated)) = room(job) else {
        return Named::normal(quantity, 0.0, 0.0);
    };
    let within = Distribution::Rectangular {
        half_width: (to - from).abs() / 2.0,
    };
    let middle = f64::midpoint(from, to) - Celsius::REFERENCE.degrees();
    let named = Named::new(quantity, middle, within);
    if stated {
        return named.noted(Note::RoomStated { from, to });
    }
    named.by(&job.usual(DefaultName::Room), Note::RoomUsual { from, to })
}

/// How far the mean temperature of a part in the hand may be from what was read at one place of it, or allowed for: none
/// for a part that has come to the temperature of the table it lies on.
fn part_gradient(job: &Job) -> Named {
    let quantity = Quantity::PartGradient;
    if job.held == Some(Held::Table) {
        return Named::normal(quantity, 0.0, 0.0);
    }
    let usual = job.usual(DefaultName::HandGradient);
    let within = usual.value();
    let spread = Distribution::Rectangular { half_width: within };
    Named::new(quantity, 0.0, spread).by(&usual, Note::InHandUsual { within })
}

/// Difference of temperature between part and standard that is allowed for where none was read.
pub fn unread(job: &Job) -> Usual<'_> {
    job.usual(DefaultName::PartToStandard)
}

/// The temperature of a part that was not read: about that of the standard.
fn unread_part(job: &Job) -> Named {
    let usual = unread(job);
    let within = usual.value();
    let spread = Distribution::Rectangular { half_width: within };
    Named::new(Quantity::PartTemperature, 0.0, spread)
        .by(&usual, Note::PartToStandardUsual { within })
}

/// Temperatures and expansions with what is known of them.
pub struct Thermal {
    part: (Named, &'static material::Material),
    standard: (f64, Distribution, &'static material::Material),
    instrument: (f64, Distribution, &'static material::Material),
    room: Named,
    gradient: Named,
}

impl Thermal {
    pub fn temperatures(&self) -> Temperatures<f64> {
        let room = self.room.input.estimate;
        Temperatures {
            part: self.part.0.input.estimate + room,
            standard: self.standard.0 + room,
            instrument: self.instrument.0 + room,
            part_expansion: self.part.1.expansion.value(),
            standard_expansion: self.standard.2.expansion.value(),
            instrument_expansion: self.instrument.2.expansion.value(),
        }
    }

    pub fn inputs(&self) -> [(Quantity, Named); 8] {
        let temperature = |quantity, body: &(f64, Distribution, _)| {
            let read = self.room.note.is_none().then_some(Note::Thermometer);
            let read = Named::new(quantity, body.0, body.1).noted_if(read);
            (quantity, read)
        };
        let expansion = |quantity, material: &material::Material| {
            let coefficient = material.expansion.value();
            let half_width = coefficient * material.expansion_relative_limit;
            let within = Distribution::Rectangular { half_width };
            let known = Named::new(quantity, coefficient, within).noted(Note::Expansion {
                material: material.name.clone(),
                coefficient: coefficient * 1e6,
                within: material.expansion_relative_limit,
                source: material.source,
            });
            (quantity, known)
        };
        [
            (Quantity::RoomTemperature, self.room.clone()),
            (Quantity::PartTemperature, self.part.0.clone()),
            (Quantity::PartGradient, self.gradient.clone()),
            temperature(Quantity::StandardTemperature, &self.standard),
            temperature(Quantity::InstrumentTemperature, &self.instrument),
            expansion(Quantity::PartExpansion, self.part.1),
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
        return Ok(Thermal {
            part: (unread_part(job), of(job.part_material())?),
            standard: (0.0, exact, of(job.standard_material())?),
            instrument: (0.0, exact, steel),
            room: room_temperature(job),
            gradient: part_gradient(job),
        });
    };
    let u = read.standard_uncertainty;
    let above = |temperature: Celsius| (temperature - Celsius::REFERENCE).kelvins();
    let known = Distribution::Normal {
        standard_uncertainty: u,
    };
    let part = Named::new(Quantity::PartTemperature, above(read.part), known);
    Ok(Thermal {
        part: (part.noted(Note::Thermometer), of(&read.part_material)?),
        standard: (above(read.standard), known, of(&read.standard_material)?),
        instrument: (
            above(read.instrument.unwrap_or(read.standard)),
            known,
            steel,
        ),
        room: room_temperature(job),
        gradient: part_gradient(job),
    })
}
