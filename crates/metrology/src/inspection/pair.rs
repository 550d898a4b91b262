//! A pair of measuring contacts.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::field::Field;
use super::state::State;
use crate::units::Entered;

/// A pair of measuring contacts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Contacts {
    /// Identity of the pair.
    pub id: String,
    /// What kind.
    pub kind: ContactKind,
    /// Included angle of V and cone, degrees.
    pub included_angle: Option<f64>,
    /// Smallest and largest pitch that the pair is marked for.
    pub pitch_range: Option<[PitchEntry; 2]>,
    /// How far the half angle of each contact may be off, minutes of arc.
    pub half_angle_limit: Option<f64>,
    /// Identities of the two contacts. Another contact in either place makes another pair.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub members: Option<[String; 2]>,
    /// Radius of a sphere, a point's tip or a knife edge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tip_radius: Option<Entered>,
    /// Flatness of each measuring face.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flatness: Option<Entered>,
    /// Parallelism of the measuring faces.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parallelism: Option<Entered>,
    /// Width of the face that touches: diameter of a flat or disc, length of a blade.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub face: Option<Entered>,
    /// Thickness of a blade or disc.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Entered>,
    /// What it is made of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub material: Option<String>,
    /// Measuring force that the pair is used with, newtons, where it is not that of the micrometer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub force: Option<f64>,
    /// Certificate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub certificate: Option<String>,
    /// Due date of its next check.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due: Option<Date>,
    /// Whether it may be used.
    #[serde(default, skip_serializing_if = "State::is_active")]
    pub state: State,
}

impl Contacts {
    /// A pair in use of which nothing is known but its kind.
    pub const fn of_kind(id: String, kind: ContactKind) -> Self {
        Self {
            id,
            kind,
            included_angle: None,
            pitch_range: None,
            half_angle_limit: None,
            members: None,
            tip_radius: None,
            flatness: None,
            parallelism: None,
            face: None,
            thickness: None,
            material: None,
            force: None,
            certificate: None,
            due: None,
            state: State::Active,
        }
    }

    /// The sizes of what touches that are stated, each by its name.
    pub fn sizes(&self) -> impl Iterator<Item = (Field, &Entered)> {
        [
            (Field::TipRadius, &self.tip_radius),
            (Field::Face, &self.face),
            (Field::Thickness, &self.thickness),
        ]
        .into_iter()
        .filter_map(|(what, size)| Some((what, size.as_ref()?)))
    }
}

/// Kinds of pairs of contacts that a job can use.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ContactKind {
    /// V and cone, for the pitch diameter of external threads.
    VAndCone,
    /// Flat faces.
    Flat,
    /// Flat faces of reduced diameter, for narrow floors.
    SmallFlat,
    /// Large thin discs, for soft sheet, lands and the width of grooves.
    Disc,
    /// A sphere inside and a flat outside, for the wall of a tube.
    SphereAndFlat,
    /// Two spheres.
    Spheres,
    /// Blades on a spindle that does not turn, for the floor of a groove.
    Blade,
    /// Knife edges, for narrow grooves and undercuts in hard parts.
    KnifeEdge,
    /// Points.
    Point,
    /// A blade on top and a point below, for crimp height.
    BladeAndPoint,
    /// A V-anvil and a flat spindle on its bisector, for lobed shafts and odd flutes.
    VAnvil,
}

impl ContactKind {
    /// Every kind.
    pub const ALL: [Self; 11] = [
        Self::VAndCone,
        Self::Flat,
        Self::SmallFlat,
        Self::Disc,
        Self::SphereAndFlat,
        Self::Spheres,
        Self::Blade,
        Self::KnifeEdge,
        Self::Point,
        Self::BladeAndPoint,
        Self::VAnvil,
    ];

    /// Whether a spindle that turns as it closes would turn it on the part.
    pub const fn wants_still_spindle(self) -> bool {
        matches!(self, Self::Blade | Self::KnifeEdge | Self::BladeAndPoint)
    }
}

crate::codes! {
    impl ContactKind "contacts" {
        VAndCone "v-and-cone",
        Flat "flat",
        SmallFlat "small-flat",
        Disc "disc",
        SphereAndFlat "sphere-and-flat",
        Spheres "spheres",
        Blade "blade",
        KnifeEdge "knife-edge",
        Point "point",
        BladeAndPoint "blade-and-point",
        VAnvil "v-anvil",
    }
}

/// A pitch as marked on a pair of contacts: a length, or threads per inch (`24 tpi`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum PitchEntry {
    /// A length.
    Length(Entered),
    /// A count with `tpi` behind it.
    PerInch(String),
}
