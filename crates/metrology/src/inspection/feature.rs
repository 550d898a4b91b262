//! Features other than threads: what each needs to know beside readings and limits.
//!
//! Every one of them goes the way of a thread: zero, readings, corrections, budget, decision. What differs is the
//! last step from a corrected reading to the size that the drawing states ([`super::conversion`]) and what else the
//! readings tell ([`super::findings`]).

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use super::suspicion::Form;
use crate::message::Coded;
use crate::units::Entered;

/// A feature, with what it needs to know.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Feature {
    /// A plain external diameter.
    PlainDiameter(PlainDiameter),
    /// The wall of a tube, sphere inside, all around.
    TubeWall(TubeWall),
    /// The inside diameter of a tube from its wall and its outside diameter.
    InsideDiameter(InsideDiameter),
    /// From an inside diameter to a flat surface: the web beside a bore.
    BoreToFlat(BoreToFlat),
    /// The diameter at the floor of a groove.
    GrooveDiameter(Groove),
    /// The diameter at the floor of an undercut beside a shoulder.
    Undercut(Groove),
    /// The width of a groove, between its walls, by the outer faces of discs.
    GrooveWidth(GrooveWidth),
    /// The width of a land, between two grooves, by the inner faces of discs.
    Land(Land),
    /// The depth of a keyseat in a shaft.
    Keyseat(Keyseat),
    /// A lobed shaft: two-point diameter against V-block reading.
    LobedShaft(LobedShaft),
    /// The thickness of soft sheet.
    SoftThickness(SoftThickness),
    /// The height of the conductor crimp of a terminal.
    CrimpHeight(CrimpHeight),
}

impl Feature {
    /// Which one.
    pub const fn kind(&self) -> FeatureKind {
        match self {
            Self::PlainDiameter(_) => FeatureKind::PlainDiameter,
            Self::TubeWall(_) => FeatureKind::TubeWall,
            Self::InsideDiameter(_) => FeatureKind::InsideDiameter,
            Self::BoreToFlat(_) => FeatureKind::BoreToFlat,
            Self::GrooveDiameter(_) => FeatureKind::GrooveDiameter,
            Self::Undercut(_) => FeatureKind::Undercut,
            Self::GrooveWidth(_) => FeatureKind::GrooveWidth,
            Self::Land(_) => FeatureKind::Land,
            Self::Keyseat(_) => FeatureKind::Keyseat,
            Self::LobedShaft(_) => FeatureKind::LobedShaft,
            Self::SoftThickness(_) => FeatureKind::SoftThickness,
            Self::CrimpHeight(_) => FeatureKind::CrimpHeight,
        }
    }

    /// The key in files and on the command line.
    pub const fn key(&self) -> &'static str {
        self.kind().key()
    }

    /// How far the part itself may put readings apart: walls and lobes differ from place to place, and a diameter where its
    /// form has limits of its own.
    pub const fn form(&self) -> Form {
        match self {
            Self::PlainDiameter(plain) if plain.has_limits_of_form() => Form::Measured,
            Self::TubeWall(_)
            | Self::InsideDiameter(_)
            | Self::BoreToFlat(_)
            | Self::LobedShaft(_) => Form::Measured,
            Self::PlainDiameter(_)
            | Self::GrooveDiameter(_)
            | Self::Undercut(_)
            | Self::GrooveWidth(_)
            | Self::Land(_)
            | Self::Keyseat(_)
            | Self::SoftThickness(_)
            | Self::CrimpHeight(_) => Form::Small,
        }
    }
}

crate::codes! {
    /// Features by their names.
    pub enum FeatureKind "feature" {
        /// [`Feature::PlainDiameter`].
        PlainDiameter "plain-diameter",
        /// [`Feature::TubeWall`].
        TubeWall "tube-wall",
        /// [`Feature::InsideDiameter`].
        InsideDiameter "inside-diameter",
        /// [`Feature::BoreToFlat`].
        BoreToFlat "bore-to-flat",
        /// [`Feature::GrooveDiameter`].
        GrooveDiameter "groove-diameter",
        /// [`Feature::Undercut`].
        Undercut "undercut",
        /// [`Feature::GrooveWidth`].
        GrooveWidth "groove-width",
        /// [`Feature::Land`].
        Land "land",
        /// [`Feature::Keyseat`].
        Keyseat "keyseat",
        /// [`Feature::LobedShaft`].
        LobedShaft "lobed-shaft",
        /// [`Feature::SoftThickness`].
        SoftThickness "soft-thickness",
        /// [`Feature::CrimpHeight`].
        CrimpHeight "crimp-height",
    }
}

impl Coded for Feature {
    fn code(&self) -> Cow<'static, str> {
        self.kind().code()
    }
}

/// A plain external diameter. Places that state `along` as a distance tell taper; three of them, barrel.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlainDiameter {
    /// Largest permitted ovality: greatest less least diameter at one section.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ovality_limit: Option<Entered>,
    /// Largest permitted difference of diameter from end to end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taper_limit: Option<Entered>,
    /// Largest permitted swelling or hollow of the middle against the ends.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub barrel_limit: Option<Entered>,
}

impl PlainDiameter {
    const fn has_limits_of_form(&self) -> bool {
        self.ovality_limit.is_some() || self.taper_limit.is_some() || self.barrel_limit.is_some()
    }
}

/// What a percentage of eccentricity is a percentage of. Sources differ; the same tube has three numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum EccentricityDefinition {
    /// `(t_max − t_min) / (t_max + t_min)`.
    RunOutOverSum,
    /// `(t_max − t_min) / t̄`.
    RunOutOverMean,
    /// `t_min / t_max`, called concentricity by some.
    LeastOverMost,
}

impl EccentricityDefinition {
    /// Every definition.
    pub const ALL: [Self; 3] = [
        Self::RunOutOverSum,
        Self::RunOutOverMean,
        Self::LeastOverMost,
    ];

    /// The formula, to be printed beside the number.
    pub const fn formula(self) -> &'static str {
        match self {
            Self::RunOutOverSum => "(most \u{2212} least) / (most + least) × 100 %",
            Self::RunOutOverMean => "(most \u{2212} least) / mean × 100 %",
            Self::LeastOverMost => "least / most × 100 %",
        }
    }
}

crate::codes! {
    impl EccentricityDefinition "eccentricity" {
        RunOutOverSum "run-out-over-sum",
        RunOutOverMean "run-out-over-mean",
        LeastOverMost "least-over-most",
    }
}

/// The wall of a tube.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TubeWall {
    /// Inside diameter, near enough to see whether the sphere fits: nominal or measured.
    pub bore: Entered,
    /// Which percentage is asked for, by its definition.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub definition: Option<EccentricityDefinition>,
    /// Limit of that percentage: the largest, or for `least-over-most` the smallest permitted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub percent_limit: Option<f64>,
    /// Largest permitted eccentricity: offset of the two centres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub eccentricity_limit: Option<Entered>,
    /// Largest permitted wall run-out: greatest less least wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub run_out_limit: Option<Entered>,
}

/// The inside diameter from wall and outside diameter at one section: `D_i = D_o − 2 t̄`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InsideDiameter {
    /// Mean outside diameter at the section.
    pub outside_diameter: Entered,
    /// Its expanded uncertainty, k = 2.
    pub outside_diameter_uncertainty: Entered,
}

/// From an inside diameter to a flat surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoreToFlat {
    /// Inside diameter.
    pub bore: Entered,
}

/// A groove or undercut around a shaft.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Groove {
    /// Width at the top.
    pub width: Entered,
    /// Radius where walls meet floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub root_radius: Option<Entered>,
    /// Slope of each wall from square, degrees; with `depth`, for tapered walls.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall_angle: Option<f64>,
    /// Depth of the groove.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<Entered>,
    /// Diameter of the land beside it; tells the depth of the groove.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub land_diameter: Option<Entered>,
}

/// Where zero of a pair of discs is: faces that touch each other inside, or a gauge block.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GrooveWidth {
    /// Thickness of the disc on the anvil.
    pub anvil_disc: Entered,
    /// Thickness of the disc on the spindle.
    pub spindle_disc: Entered,
    /// Expanded uncertainty of each thickness, k = 2.
    pub disc_uncertainty: Entered,
}

/// A land between two grooves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Land {
    /// Width of the narrower groove that a disc goes into.
    pub groove_width: Entered,
}

/// How a drawing states the depth of a keyseat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum KeyseatConvention {
    /// From the floor to the opposite side of the shaft, `S`.
    BottomToOppositeSide,
    /// From where the crown of the shaft was.
    DepthFromCrown,
    /// From the edge of the seat, down its wall.
    DepthFromEdge,
}

impl KeyseatConvention {
    /// Every convention.
    pub const ALL: [Self; 3] = [
        Self::BottomToOppositeSide,
        Self::DepthFromCrown,
        Self::DepthFromEdge,
    ];
}

crate::codes! {
    impl KeyseatConvention "keyseat" {
        BottomToOppositeSide "bottom-to-opposite-side",
        DepthFromCrown "depth-from-crown",
        DepthFromEdge "depth-from-edge",
    }
}

/// A keyseat, measured from its floor to the opposite side of the shaft.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Keyseat {
    /// What the limits of the drawing mean.
    pub convention: KeyseatConvention,
    /// Diameter of the shaft at the seat, measured.
    pub shaft_diameter: Entered,
    /// Its expanded uncertainty, k = 2.
    pub shaft_diameter_uncertainty: Entered,
    /// Width of the seat.
    pub width: Entered,
    /// Its expanded uncertainty, k = 2.
    pub width_uncertainty: Entered,
}

/// What the scale shows that a shaft in a V is read on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum VScale {
    /// The travel of the spindle itself: the distance from the apex of the V, or the movement of an indicator.
    Distance,
    /// The diameter of a round part: the distance from the apex over [`lobes::distance_to_diameter`]. So do V-anvil
    /// micrometers.
    ///
    /// [`lobes::distance_to_diameter`]: crate::features::lobes::distance_to_diameter
    Diameter,
}

crate::codes! {
    impl VScale "v-scale" {
        Distance "distance",
        Diameter "diameter",
    }
}

/// A lobed shaft. The readings of the job are two-point diameters; those in the V stand here.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LobedShaft {
    /// How many lobes, counted as peaks in one turn on the V.
    pub lobes: u32,
    /// Included angle of the V, degrees.
    pub v_angle: f64,
    /// What the scale in the V shows; `None` where nobody said: the distance, which the level of the readings must bear
    /// out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub v_scale: Option<VScale>,
    /// Readings over one turn in the V, spindle on the bisector; only their spread counts.
    pub v_readings: Vec<Entered>,
    /// Largest permitted departure from roundness, peak to valley.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub roundness_limit: Option<Entered>,
}

/// Which thickness of a soft sheet is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Thickness {
    /// Free of load: what force and foot take away is added back.
    Free,
    /// Under the stated pressure: the standard for the material defines it so, and nothing is added.
    UnderPressure,
}

/// The thickness of a soft sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoftThickness {
    /// Which thickness.
    pub thickness: Thickness,
    /// Young's modulus in compression, megapascals.
    pub modulus_mpa: f64,
    /// How far it may be off, as a fraction (half-width).
    pub modulus_relative_limit: f64,
    /// Seconds between closing and reading.
    pub dwell_seconds: f64,
    /// Pressure that the standard for the material states, kilopascals.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pressure_kpa: Option<f64>,
    /// How much the reading still falls in as long again as the dwell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub creep: Option<Entered>,
}

/// The height of a conductor crimp. Its limits come from the terminal maker's sheet, which is named here.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CrimpHeight {
    /// The terminal maker's sheet that the limits are from.
    pub sheet: String,
    /// The conductor.
    pub wire: Wire,
    /// Compression, where it is asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub compression: Option<Compression>,
    /// Pull forces, where they were taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pull: Option<Pull>,
}

/// The size of a conductor, as marked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Wire {
    /// American wire gauge: `18`, `2/0`.
    Awg(String),
    /// Square millimetres.
    Mm2(String),
}

/// What a compression ratio is a ratio of. Always printed with the number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CompressionDefinition {
    /// Section after crimping over conductor and barrel before.
    ConductorAndBarrel,
    /// Conductor after crimping over conductor before.
    Conductor,
}

/// Areas before and after crimping, square millimetres, from a section.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Compression {
    /// Which ratio.
    pub definition: CompressionDefinition,
    /// Area after crimping.
    pub area_after_mm2: f64,
    /// Area of the barrel before, where the definition counts it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub barrel_area_mm2: Option<f64>,
    /// Area of the conductor, where it is not that of its size.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub conductor_area_mm2: Option<f64>,
    /// Width of the crimp as the die sets it, millimetres: tells what a change of height does to the ratio.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width_mm: Option<f64>,
    /// Smallest and largest permitted ratio, percent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits_percent: Option<[f64; 2]>,
}

/// Pull forces on samples, judged by the standard that the contract names and by no other.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pull {
    /// The standard: `ul-486a`, `as7928`, `nasa-std-8739.4`, `iec-60352-2`, `as39029`.
    pub standard: String,
    /// The forces as read, with their unit: `96N`, `21.5lbf`.
    pub forces: Vec<String>,
    /// Breaking force of the wire itself, where the standard asks for a share of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wire_strength: Option<String>,
    /// Standard uncertainty of one force, newtons.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standard_uncertainty_n: Option<f64>,
}
