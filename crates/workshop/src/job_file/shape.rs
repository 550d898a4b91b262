//! The keys of a job file, section by section. Unknown keys are refused, so that a misspelt one is not lost.

use metrology::inspection::{ContactKind, Held, Made, Service, StandardForm, State};
use serde::Deserialize;
use toml::Spanned;

use super::identity;
use super::measure::Measure;
use super::typed::Typed;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobFile {
    pub unit: Option<Typed>,
    pub person: Option<String>,
    pub measured_at: Option<Typed>,
    pub note: Option<String>,
    pub part: Part,
    pub measure: Measure,
    pub instrument: Instrument,
    pub contacts: Contacts,
    pub wires: Option<Wires>,
    pub standard: Standard,
    pub zero: Zero,
    pub readings: Readings,
    pub temperature: Option<Temperature>,
    pub prior: Option<Prior>,
    pub decision: Option<Decision>,
    #[serde(rename = "override")]
    pub overrides: Option<Overrides>,
    pub service: Option<Service>,
}

impl JobFile {
    pub fn at_bench(&self) -> AtBench<'_> {
        AtBench {
            person: self.person.as_ref(),
            note: self.note.as_ref(),
            instrument: &self.instrument,
            contacts: &self.contacts,
            wires: self.wires.as_ref(),
            standard: &self.standard,
            zero: Some(&self.zero),
            temperature: self.temperature.as_ref(),
            prior: self.prior.as_ref(),
            overrides: self.overrides.as_ref(),
            service: self.service,
        }
    }
}

/// What is at the bench, whatever is measured with it.
pub struct AtBench<'a> {
    pub person: Option<&'a String>,
    pub note: Option<&'a String>,
    pub instrument: &'a Instrument,
    pub contacts: &'a Contacts,
    pub wires: Option<&'a Wires>,
    pub standard: &'a Standard,
    pub zero: Option<&'a Zero>,
    pub temperature: Option<&'a Temperature>,
    pub prior: Option<&'a Prior>,
    pub overrides: Option<&'a Overrides>,
    pub service: Option<Service>,
}

/// The set-up of a lot: a job file without what is measured and what was read.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetUpFile {
    pub unit: Option<Typed>,
    pub person: Option<String>,
    pub measured_at: Option<Typed>,
    pub note: Option<String>,
    pub part: Option<LotOfPart>,
    pub instrument: Instrument,
    pub contacts: Contacts,
    pub wires: Option<Wires>,
    pub standard: Standard,
    pub zero: Option<Zero>,
    pub temperature: Option<Temperature>,
    pub prior: Option<Prior>,
    #[serde(rename = "override")]
    pub overrides: Option<Overrides>,
    pub service: Option<Service>,
}

impl SetUpFile {
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

/// Which lot of the part lies at the bench; what the part is says the plan.
#[derive(Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LotOfPart {
    pub lot: Option<String>,
    pub order: Option<String>,
    pub hardness_hv: Option<Typed>,
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
}

/// A micrometer; the identity alone takes the rest from the register.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    #[serde(deserialize_with = "identity::one")]
    pub id: Spanned<String>,
    pub range: Option<[Typed; 2]>,
    pub resolution: Option<Typed>,
    pub certificate: Option<String>,
    pub certificate_date: Option<Typed>,
    pub drift_per_year: Option<Typed>,
    pub due: Option<Typed>,
    pub maximum_permissible_error: Option<Typed>,
    pub error_curve: Option<ErrorCurve>,
    pub force: Option<Typed>,
    pub spindle_turns: Option<bool>,
    pub state: Option<State>,
}

impl Instrument {
    pub fn is_identity_alone(&self) -> bool {
        self.range.is_none()
            && self.resolution.is_none()
            && self.certificate.is_none()
            && self.certificate_date.is_none()
            && self.drift_per_year.is_none()
            && self.due.is_none()
            && self.maximum_permissible_error.is_none()
            && self.error_curve.is_none()
            && self.force.is_none()
            && self.spindle_turns.is_none()
            && self.state.is_none()
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ErrorCurve {
    pub points: Vec<[Typed; 2]>,
    pub expanded_uncertainty: Typed,
    pub coverage_factor: Typed,
    pub periodic_error: Option<Typed>,
}

/// A pair of contacts; the identity alone takes the rest from the register.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Contacts {
    #[serde(deserialize_with = "identity::one")]
    pub id: Spanned<String>,
    pub kind: Option<ContactKind>,
    pub included_angle: Option<Typed>,
    pub pitch_range: Option<[Typed; 2]>,
    pub half_angle_limit: Option<Typed>,
    /// The two contacts. Beside the identity alone, what is in the micrometer now: held against the register.
    #[serde(default, deserialize_with = "identity::pair")]
    pub members: Option<[String; 2]>,
    pub tip_radius: Option<Typed>,
    pub flatness: Option<Typed>,
    pub parallelism: Option<Typed>,
    pub face: Option<Typed>,
    pub thickness: Option<Typed>,
    pub material: Option<String>,
    pub force: Option<Typed>,
    pub certificate: Option<String>,
    pub due: Option<Typed>,
    pub state: Option<State>,
}

impl Contacts {
    pub fn is_identity_alone(&self) -> bool {
        self.kind.is_none()
            && self.included_angle.is_none()
            && self.pitch_range.is_none()
            && self.half_angle_limit.is_none()
            && self.tip_radius.is_none()
            && self.flatness.is_none()
            && self.parallelism.is_none()
            && self.face.is_none()
            && self.thickness.is_none()
            && self.material.is_none()
            && self.force.is_none()
            && self.certificate.is_none()
            && self.due.is_none()
            && self.state.is_none()
    }
}

/// A setting standard; the identity alone takes the rest from the register.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Standard {
    #[serde(deserialize_with = "identity::one")]
    pub id: Spanned<String>,
    pub size: Option<Typed>,
    pub expanded_uncertainty: Option<Typed>,
    pub coverage_factor: Option<Typed>,
    pub form: Option<StandardForm>,
    pub certificate: Option<String>,
    pub certificate_date: Option<Typed>,
    pub drift_per_year: Option<Typed>,
    pub due: Option<Typed>,
    pub state: Option<State>,
}

/// Wires in a job or a register file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wires {
    #[serde(deserialize_with = "identity::one")]
    pub id: Spanned<String>,
    pub diameter: Option<Typed>,
    pub expanded_uncertainty: Option<Typed>,
    pub coverage_factor: Option<Typed>,
    pub calibrated_under_force: Option<bool>,
    pub material: Option<String>,
    pub certificate: Option<String>,
    pub due: Option<Typed>,
    pub state: Option<State>,
}

impl Wires {
    pub fn is_identity_alone(&self) -> bool {
        self.diameter.is_none()
            && self.expanded_uncertainty.is_none()
            && self.coverage_factor.is_none()
            && self.calibrated_under_force.is_none()
            && self.material.is_none()
            && self.certificate.is_none()
            && self.due.is_none()
            && self.state.is_none()
    }
}

impl Standard {
    pub fn is_identity_alone(&self) -> bool {
        self.size.is_none()
            && self.expanded_uncertainty.is_none()
            && self.coverage_factor.is_none()
            && self.form.is_none()
            && self.certificate.is_none()
            && self.certificate_date.is_none()
            && self.drift_per_year.is_none()
            && self.due.is_none()
            && self.state.is_none()
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
}
