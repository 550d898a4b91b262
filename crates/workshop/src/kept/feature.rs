//! The stored form of what a feature needs to know, schema of [`JOB`](super::JOB).

use metrology::features as now;

use super::kept;

kept! { Feature of enum now::Feature {
    PlainDiameter(plain: PlainDiameter),
    TubeWall(wall: TubeWall),
    InsideDiameter(inside: InsideDiameter),
    BoreToFlat(web: BoreToFlat),
    GrooveDiameter(groove: Groove),
    Undercut(groove: Groove),
    GrooveWidth(width: GrooveWidth),
    Land(land: Land),
    Keyseat(seat: Keyseat),
    LobedShaft(shaft: LobedShaft),
    SoftThickness(sheet: SoftThickness),
    CrimpHeight(crimp: CrimpHeight),
} }

kept! { PlainDiameter of now::plain_diameter::PlainDiameter {
    ovality_limit: Option<String>,
    taper_limit: Option<String>,
    barrel_limit: Option<String>,
} }

kept! { TubeWall of now::tube_wall::TubeWall {
    bore: String,
    definition: Option<EccentricityDefinition>,
    percent_limit: Option<f64>,
    eccentricity_limit: Option<String>,
    run_out_limit: Option<String>,
} }

kept! { EccentricityDefinition of enum now::tube_wall::EccentricityDefinition { RunOutOverSum, RunOutOverMean, LeastOverMost } }

kept! { InsideDiameter of now::inside_diameter::InsideDiameter { outside_diameter: String, outside_diameter_uncertainty: String } }

kept! { BoreToFlat of now::bore_to_flat::BoreToFlat { bore: String } }

kept! { Groove of now::groove_diameter::Groove {
    width: String,
    root_radius: Option<String>,
    wall_angle: Option<f64>,
    depth: Option<String>,
    land_diameter: Option<String>,
} }

kept! { GrooveWidth of now::groove_width::GrooveWidth { anvil_disc: String, spindle_disc: String, disc_uncertainty: String } }

kept! { Land of now::land::Land { groove_width: String } }

kept! { Keyseat of now::keyseat::Keyseat {
    convention: KeyseatConvention,
    shaft_diameter: String,
    shaft_diameter_uncertainty: String,
    width: String,
    width_uncertainty: String,
} }

kept! { KeyseatConvention of enum now::keyseat::KeyseatConvention { BottomToOppositeSide, DepthFromCrown, DepthFromEdge } }

kept! { LobedShaft of now::lobed_shaft::LobedShaft {
    lobes: u32,
    v_angle: f64,
    v_scale: Option<VScale>,
    v_readings: Vec<String>,
    roundness_limit: Option<String>,
} }

kept! { VScale of enum now::lobed_shaft::VScale { Distance, Diameter } }

kept! { SoftThickness of now::soft_thickness::SoftThickness {
    thickness: Thickness,
    modulus_mpa: f64,
    modulus_relative_limit: f64,
    dwell_seconds: f64,
    pressure_kpa: Option<f64>,
    creep: Option<String>,
} }

kept! { Thickness of enum now::soft_thickness::Thickness { Free, UnderPressure } }

kept! { CrimpHeight of now::crimp_height::CrimpHeight {
    sheet: String,
    wire: Wire,
    compression: Option<Compression>,
    pull: Option<Pull>,
} }

kept! { Wire of enum now::crimp_height::Wire { Awg(gauge: String), Mm2(area: String) } }

kept! { Compression of now::crimp_height::Compression {
    definition: CompressionDefinition,
    area_after_mm2: f64,
    barrel_area_mm2: Option<f64>,
    conductor_area_mm2: Option<f64>,
    width_mm: Option<f64>,
    limits_percent: Option<[f64; 2]>,
} }

kept! { CompressionDefinition of enum now::crimp_height::CompressionDefinition { ConductorAndBarrel, Conductor } }

kept! { Pull of now::crimp_height::Pull {
    standard: String,
    forces: Vec<String>,
    wire_strength: Option<String>,
    standard_uncertainty_n: Option<f64>,
} }
