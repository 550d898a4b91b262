//! What temperatures and materials give to the model.

use jiff::civil::Date;

use super::JobError;
use super::approval::{DefaultName, Usual};
use super::job::{Held, Job, Temperature};
use super::model::Quantity;
use super::note::{Named, Note};
use super::since_certificate;
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

/// The standard uncertainty of each temperature that was read, kelvins, and where it comes from.
///
/// With a thermometer that is named what is stated is the uncertainty of the reading alone, and in quadrature to it come the
/// uncertainty U/k of the certified error, that error itself, and the drift since the certificate as half-width of a rectangular
/// distribution:
///
/// `u² = u(reading)² + (U/k)² + e² + (r t)²/3`
///
/// The temperatures are taken as they are stated: whether they were corrected by the certificate nobody says, and so the error is
/// taken as one that was not (S. D. Phillips, K. R. Eberhardt, B. Parry, J. Res. NIST 102 (1997) 577, their RSSuc, from memory).
/// The three temperatures are taken as independent, as where none is named: the larger for like materials.
fn of_reading(read: &Temperature, used: Date) -> (f64, Note) {
    let stated = read.standard_uncertainty;
    let Some(thermometer) = &read.thermometer else {
        return (stated, Note::Thermometer);
    };
    let certified = libm::hypot(
        thermometer.expanded_uncertainty / thermometer.coverage_factor,
        thermometer.error,
    );
    let (half_width, days) = since_certificate::of_thermometer(thermometer, used);
    let drift = half_width / f64::sqrt(3.0);
    let note = Note::ThermometerNamed {
        id: thermometer.id.clone(),
        read: stated,
        certified,
        drift,
        days,
    };
    let variance = stated * stated + certified * certified + drift * drift;
    (f64::sqrt(variance), note)
}

impl Temperature {
    /// Standard uncertainty of each temperature on the day of the measurement, kelvins: of the reading, and of the thermometer
    /// where it is named.
    pub fn uncertainty(&self, used: Date) -> f64 {
        of_reading(self, used).0
    }
}

/// Temperatures and expansions with what is known of them.
pub struct Thermal {
    /// Where temperatures that were read come from.
    read: Option<Note>,
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
            let read = Named::new(quantity, body.0, body.1).noted_if(self.read.clone());
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
            read: None,
            part: (unread_part(job), of(job.part_material())?),
            standard: (0.0, exact, of(job.standard_material())?),
            instrument: (0.0, exact, steel),
            room: room_temperature(job),
            gradient: part_gradient(job),
        });
    };
    let (u, note) = of_reading(read, job.measured_on);
    let above = |temperature: Celsius| (temperature - Celsius::REFERENCE).kelvins();
    let known = Distribution::Normal {
        standard_uncertainty: u,
    };
    let part = Named::new(Quantity::PartTemperature, above(read.part), known);
    Ok(Thermal {
        part: (part.noted(note.clone()), of(&read.part_material)?),
        read: Some(note),
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

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::super::equipment::{KelvinDrift, Thermometer};
    use super::super::state::State;
    use super::*;

    /// By hand: 0.3 K for the reading; U/k = 0.05 K and e = 0.12 K make 0.13 K; 0.0866 K a year over 365.25 days make 0.05 K;
    /// √(0.09 + 0.0169 + 0.0025) K. Nothing of it where no thermometer is named, and no drift where none is known.
    #[test]
    fn reading_certificate_and_drift_in_quadrature() {
        let read = |thermometer: Option<Thermometer>| Temperature {
            part: Celsius::new(21.0),
            standard: Celsius::new(20.5),
            instrument: None,
            standard_uncertainty: 0.3,
            part_material: "steel".to_owned(),
            standard_material: "steel".to_owned(),
            thermometer: thermometer.map(Box::new),
        };
        let drifting = |drift| Thermometer {
            id: "th-2".to_owned(),
            error: -0.12,
            expanded_uncertainty: 0.10,
            coverage_factor: 2.0,
            certificate: None,
            certificate_date: Some(date(2023, 3, 1)),
            drift,
            due: None,
            state: State::Active,
        };
        // Four years are 1461 days.
        let used = date(2027, 3, 1);
        let per_year = 0.05 * f64::sqrt(3.0) / 4.0;
        let known = drifting(Some(KelvinDrift {
            per_year,
            certificates: Some(2),
        }));
        let (u, note) = of_reading(&read(Some(known)), used);
        assert!((u - f64::sqrt(0.1094)).abs() < 1e-12, "{u}");
        let Note::ThermometerNamed {
            certified,
            drift,
            days,
            ..
        } = note
        else {
            panic!("{note:?}");
        };
        assert!((certified - 0.13).abs() < 1e-12, "{certified}");
        assert!((drift - 0.05).abs() < 1e-12, "{drift}");
        assert_eq!(days, 1461);
        let (u, _) = of_reading(&read(Some(drifting(None))), used);
        assert!((u - f64::sqrt(0.1069)).abs() < 1e-12, "{u}");
        assert_eq!(of_reading(&read(None), used), (0.3, Note::Thermometer));
    }
}
