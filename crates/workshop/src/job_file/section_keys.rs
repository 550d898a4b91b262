//! The keys of the sections in `[measure]`: of each feature, and of a coating.

use metrology::inspection::{
    CoatingState, CompressionDefinition, EccentricityDefinition, KeyseatConvention, Thickness,
    VScale,
};
use serde::Deserialize;

use super::typed::Typed;

/// The sections of the features; a job has one at most.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(clippy::struct_field_names, reason = "the keys as people write them")]
pub struct PlainDiameterKeys {
    pub ovality_limit: Option<Typed>,
    pub taper_limit: Option<Typed>,
    pub barrel_limit: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TubeWallKeys {
    pub bore: Typed,
    pub definition: Option<EccentricityDefinition>,
    pub percent_limit: Option<Typed>,
    pub eccentricity_limit: Option<Typed>,
    pub run_out_limit: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InsideDiameterKeys {
    pub outside_diameter: Typed,
    pub outside_diameter_uncertainty: Typed,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoreToFlatKeys {
    pub bore: Typed,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GrooveKeys {
    pub width: Typed,
    pub root_radius: Option<Typed>,
    pub wall_angle: Option<Typed>,
    pub depth: Option<Typed>,
    pub land_diameter: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GrooveWidthKeys {
    pub anvil_disc: Typed,
    pub spindle_disc: Typed,
    pub disc_uncertainty: Typed,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LandKeys {
    pub groove_width: Typed,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeyseatKeys {
    pub convention: Option<KeyseatConvention>,
    pub shaft_diameter: Typed,
    pub shaft_diameter_uncertainty: Typed,
    pub width: Typed,
    pub width_uncertainty: Typed,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LobedShaftKeys {
    pub lobes: Typed,
    pub v_angle: Typed,
    pub v_scale: Option<VScale>,
    pub v_readings: Vec<Typed>,
    pub roundness_limit: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoftThicknessKeys {
    pub thickness: Thickness,
    pub modulus_mpa: Typed,
    pub modulus_relative_limit: Typed,
    pub dwell_seconds: Typed,
    pub pressure_kpa: Option<Typed>,
    pub creep: Option<Typed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CrimpHeightKeys {
    pub sheet: Option<String>,
    pub awg: Option<Typed>,
    pub mm2: Option<Typed>,
    pub compression: Option<CompressionKeys>,
    pub pull: Option<PullKeys>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CompressionKeys {
    pub definition: CompressionDefinition,
    pub area_after_mm2: Typed,
    pub barrel_area_mm2: Option<Typed>,
    pub conductor_area_mm2: Option<Typed>,
    pub width_mm: Option<Typed>,
    pub limits_percent: Option<[Typed; 2]>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PullKeys {
    pub standard: Option<String>,
    pub forces: Vec<Typed>,
    pub wire_strength: Option<Typed>,
    pub standard_uncertainty_n: Option<Typed>,
}

/// `[measure.coating]`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoatingKeys {
    pub thickness: Typed,
    pub state: Option<CoatingState>,
    pub limits_hold: Option<CoatingState>,
}
