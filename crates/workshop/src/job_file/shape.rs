//! The keys of a job file, section by section. Unknown keys are refused, so that a misspelt one is not lost.

use std::marker::PhantomData;

use metrology::inspection::keys::Section;
use metrology::inspection::{Contacts, Held, Instrument, Made, Service, Standard, WireSet};
use serde::de::DeserializeSeed as _;
use serde::{Deserialize, Deserializer};
use toml::Spanned;

use super::by_keys::{Keys, Shaped};
use super::identity;
use super::measure::Measure;
use super::typed::Typed;

/// Declares a file that states what is at the bench, whatever is measured with it, beside keys of its own.
macro_rules! file {
    ($(#[$meta:meta])* $name:ident { $( $field:ident: $kind:ty ),* $(,)? }) => {
        $(#[$meta])*
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $( pub $field: $kind, )*
            pub unit: Option<Typed>,
            pub person: Option<String>,
            pub measured_at: Option<Typed>,
            pub note: Option<String>,
            pub instrument: Described<Instrument>,
            pub contacts: Described<Contacts>,
            pub wires: Option<Described<WireSet>>,
            pub standard: Described<Standard>,
            pub zero: Option<Zero>,
            pub temperature: Option<Temperature>,
            pub prior: Option<Prior>,
            #[serde(rename = "override")]
            pub overrides: Option<Overrides>,
            pub service: Option<Service>,
        }

        impl $name {
            pub fn at_bench(&self) -> AtBench<'_> {
                AtBench {
                    person: self.person.as_ref(),
                    note: self.note.as_ref(),
                    instrument: &self.instrument,
                    contacts: &self.contacts,
                    wires: self.wires.as_ref(),
                    standard: &self.standard,
                    zero: self.zero.as_ref(),
                    temperature: self.temperature.as_ref(),
                    prior: self.prior.as_ref(),
                    overrides: self.overrides.as_ref(),
                    service: self.service,
                }
            }
        }
    };
}
file! {
    JobFile { part: Part, measure: Measure, readings: Readings, decision: Option<Decision> }
}
file! {
    /// The set-up of a lot: a job file without what is measured and what was read.
    SetUpFile { part: Option<LotOfPart> }
}

/// What is at the bench, whatever is measured with it.
pub struct AtBench<'a> {
    pub person: Option<&'a String>,
    pub note: Option<&'a String>,
    pub instrument: &'a Described<Instrument>,
    pub contacts: &'a Described<Contacts>,
    pub wires: Option<&'a Described<WireSet>>,
    pub standard: &'a Described<Standard>,
    pub zero: Option<&'a Zero>,
    pub temperature: Option<&'a Temperature>,
    pub prior: Option<&'a Prior>,
    pub overrides: Option<&'a Overrides>,
    pub service: Option<Service>,
}

/// Which lot of the part lies at the bench; what the part is says the plan.
#[derive(Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LotOfPart {
    pub lot: Option<String>,
    pub order: Option<String>,
    pub hardness_hv: Option<Typed>,
    pub customer: Option<String>,
    pub received: Option<Typed>,
    pub condition: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    pub name: String,
    pub drawing: Option<String>,
    pub order: Option<String>,
    pub lot: Option<String>,
    pub sample: Option<String>,
    pub piece: Option<String>,
    pub serial: Option<String>,
    pub characteristic: Option<String>,
    pub hardness_hv: Option<Typed>,
    pub customer: Option<String>,
    pub received: Option<Typed>,
    pub condition: Option<String>,
}

/// A piece of equipment; the identity alone takes the rest from the register.
pub struct Described<T> {
    pub keys: Shaped,
    of: PhantomData<T>,
}

impl<'de, T: Section> Deserialize<'de> for Described<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        Ok(Self {
            keys: Keys::of_piece(T::KEYS, T::NAMES).deserialize(from)?,
            of: PhantomData,
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Zero {
    #[serde(default)]
    pub before: Vec<Typed>,
    #[serde(default)]
    pub after: Vec<Typed>,
    #[serde(default, deserialize_with = "identity::optional")]
    pub contacts: Option<String>,
    pub allowance: Option<Typed>,
    pub last: Option<Typed>,
}

/// Rules put aside on purpose, each with the reason.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Overrides {
    pub zero: Option<String>,
    pub equipment: Option<String>,
    pub contacts: Option<String>,
}

/// Readings on the part: a list, a file, or place by place.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Readings {
    pub values: Option<Vec<Typed>>,
    pub file: Option<Typed>,
    pub place: Option<Vec<Place>>,
    /// With `values`: degrees that the part was turned by between one reading and the next.
    pub step: Option<Typed>,
    /// With `values` and `step`: where along the part they were taken.
    pub along: Option<String>,
    #[serde(default)]
    pub struck: Vec<Struck>,
    #[serde(default)]
    pub left: Vec<Struck>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    pub along: Option<String>,
    pub angle: Option<Typed>,
    pub values: Vec<Typed>,
}

/// A reading that was taken again, or left standing in spite of a flag, with the reason.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Struck {
    pub reading: Typed,
    pub reason: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Temperature {
    pub part: Option<Typed>,
    pub standard: Option<Typed>,
    pub instrument: Option<Typed>,
    pub standard_uncertainty: Option<Typed>,
    pub part_material: Option<String>,
    pub standard_material: Option<String>,
    /// The registered thermometer that they were read with.
    #[serde(default, deserialize_with = "identity::placed")]
    pub thermometer: Option<Spanned<String>>,
    /// In the hand or on a table.
    pub held: Option<Held>,
    /// Where nothing was read: the lowest and the highest temperature of the room.
    pub room: Option<[Typed; 2]>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Prior {
    pub repeatability: Option<Typed>,
    pub degrees_of_freedom: Option<Typed>,
    pub form: Option<Typed>,
    pub drift_limit: Option<Typed>,
    pub flank_angle: Option<Typed>,
    pub flank_angles: Option<[Typed; 2]>,
    pub flank_angles_within: Option<Typed>,
    pub made: Option<Made>,
    pub pitch_error: Option<Typed>,
    pub expanded_uncertainty: Option<Typed>,
    pub coverage_factor: Option<Typed>,
    pub source: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Decision {
    pub rule: Option<Typed>,
    pub parameter: Option<Typed>,
    pub agreed: Option<String>,
}
