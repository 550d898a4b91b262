//! The keys of a job file, section by section. Unknown keys are refused, so that a misspelt one is not lost.

use metrology::inspection::{ContactKind, StandardForm, ThreadDiameter};
use serde::Deserialize;

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
    pub standard: Standard,
    pub zero: Zero,
    pub readings: Readings,
    pub temperature: Option<Temperature>,
    pub prior: Option<Prior>,
    pub decision: Option<Decision>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    pub name: String,
    pub drawing: Option<String>,
    pub order: Option<String>,
    pub lot: Option<String>,
    pub sample: Option<String>,
    pub characteristic: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measure {
    pub designation: Option<String>,
    pub diameter: Option<ThreadDiameter>,
    pub name: Option<String>,
    pub lower: Option<Typed>,
    pub upper: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    pub id: String,
    pub range: [Typed; 2],
    pub resolution: Option<Typed>,
    pub certificate: Option<String>,
    pub due: Option<Typed>,
    pub maximum_permissible_error: Option<Typed>,
    pub error_curve: Option<ErrorCurve>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ErrorCurve {
    pub points: Vec<[Typed; 2]>,
    pub expanded_uncertainty: Typed,
    pub coverage_factor: f64,
    pub periodic_error: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Contacts {
    pub id: String,
    pub kind: ContactKind,
    pub included_angle: Option<f64>,
    pub pitch_range: Option<[Typed; 2]>,
    pub half_angle_limit: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Standard {
    pub id: String,
    pub size: Typed,
    pub expanded_uncertainty: Typed,
    pub coverage_factor: f64,
    pub form: Option<StandardForm>,
    pub certificate: Option<String>,
    pub due: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Zero {
    pub before: Vec<Typed>,
    #[serde(default)]
    pub after: Vec<Typed>,
}

/// Readings on the part: a list, a file, or place by place.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Readings {
    pub values: Option<Vec<Typed>>,
    pub file: Option<Typed>,
    pub place: Option<Vec<Place>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    pub along: Option<String>,
    pub angle: Option<f64>,
    pub values: Vec<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Temperature {
    pub part: f64,
    pub standard: f64,
    pub instrument: Option<f64>,
    pub standard_uncertainty: f64,
    pub part_material: String,
    pub standard_material: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Prior {
    pub repeatability: Option<Typed>,
    pub degrees_of_freedom: Option<f64>,
    pub form: Option<Typed>,
    pub drift_limit: Option<Typed>,
    pub flank_angle: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Decision {
    pub rule: String,
    pub parameter: Option<Typed>,
}
