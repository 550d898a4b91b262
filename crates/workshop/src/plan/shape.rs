//! The keys of a plan, section by section.

use serde::Deserialize;
use toml::Spanned;

use metrology::inspection::GaugeMember;

use super::{Class, Take, Way};
use crate::job_file::measure::Measure;
use crate::job_file::typed::Typed;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanFile {
    pub unit: Option<Typed>,
    pub part: PartKeys,
    pub pieces: Spanned<PiecesKeys>,
    pub room: Option<Spanned<RoomKeys>>,
    pub decision: Option<DecisionKeys>,
    pub characteristic: Vec<Spanned<CharacteristicKeys>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartKeys {
    pub name: String,
    pub drawing: String,
    pub revision: Option<Typed>,
    pub plan: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PiecesKeys {
    pub take: Take,
    pub lot_size: Option<Typed>,
    pub n: Option<Typed>,
    pub accept: Option<Typed>,
    pub reject: Option<Typed>,
    pub level: Option<Typed>,
    pub aql: Option<Typed>,
    pub severity: Option<Typed>,
    pub limiting_fraction: Option<Typed>,
    pub risk: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RoomKeys {
    pub temperature: Option<[Typed; 2]>,
    pub humidity: Option<[Typed; 2]>,
    pub within: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DecisionKeys {
    pub rule: Option<Typed>,
    pub parameter: Option<Typed>,
    pub agreed: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CharacteristicKeys {
    pub number: Typed,
    pub measure: Option<Measure>,
    pub says: Option<String>,
    pub way: Option<Way>,
    pub gauge: Option<Spanned<GaugeMember>>,
    pub class: Option<Class>,
    #[serde(default)]
    pub places: Vec<Typed>,
    pub decision: Option<DecisionKeys>,
    pub edition: Option<Typed>,
}
