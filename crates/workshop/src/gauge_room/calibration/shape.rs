//! The keys of a calibration file and of a certificate file, section by section.

use serde::Deserialize;
use toml::Spanned;

use crate::job_file::typed::Typed;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CalibrationFile {
    pub unit: Option<Typed>,
    pub person: String,
    pub on: Typed,
    pub due: Option<Typed>,
    pub received: Option<Typed>,
    pub condition: Option<String>,
    pub certificate: CertificateKeys,
    pub criterion: Option<CriterionKeys>,
    pub micrometer: Option<MicrometerKeys>,
    pub conditions: Option<ConditionsKeys>,
    pub repeatability: Option<RepeatabilityKeys>,
    #[serde(default)]
    pub block: Vec<Spanned<BlockKeys>>,
    #[serde(default)]
    pub found: Vec<Spanned<PointKeys>>,
    #[serde(default)]
    pub left: Vec<Spanned<PointKeys>>,
    pub faces: Option<FacesKeys>,
    pub pair: Option<PairKeys>,
    #[serde(default)]
    pub plug: Vec<Spanned<PlugKeys>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CertificateKeys {
    pub issuer: String,
    pub number: String,
    pub accreditation_body: Option<String>,
    pub accreditation_number: Option<String>,
    pub national_institute: Option<bool>,
    #[serde(default)]
    pub chain: Vec<String>,
    pub procedure: Option<String>,
    pub conditions: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CriterionKeys {
    pub shape: String,
    pub limit: Typed,
    pub guard: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MicrometerKeys {
    pub id: String,
    pub range: [Typed; 2],
    pub resolution: Typed,
    pub turn: Option<Typed>,
    pub frame_per_ten_newtons: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ConditionsKeys {
    pub off_reference: Option<Typed>,
    pub apart: Option<Typed>,
    pub force_within: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RepeatabilityKeys {
    pub standard_deviation: Typed,
    pub degrees_of_freedom: Typed,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlockKeys {
    pub nominal: Typed,
    pub grade: Option<String>,
    pub deviation: Option<Typed>,
    pub expanded_uncertainty: Option<Typed>,
    pub coverage_factor: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PointKeys {
    pub at: Option<Typed>,
    pub blocks: Option<Vec<Typed>>,
    pub readings: Vec<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FacesKeys {
    #[serde(default)]
    pub flatness: Vec<Spanned<FormKeys>>,
    pub flatness_limit: Option<Typed>,
    pub parallelism: Option<Spanned<FormKeys>>,
    pub parallelism_limit: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormKeys {
    pub bands: Option<Typed>,
    pub wavelength: Option<Typed>,
    pub readings: Option<Vec<Typed>>,
    pub value: Option<Typed>,
    pub standard_uncertainty: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PairKeys {
    pub contacts: String,
    pub instrument: String,
    pub resolution: Typed,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlugKeys {
    pub id: String,
    pub pitch: Typed,
    pub size: Typed,
    pub expanded_uncertainty: Typed,
    pub coverage_factor: Typed,
    pub readings: Vec<Typed>,
}
