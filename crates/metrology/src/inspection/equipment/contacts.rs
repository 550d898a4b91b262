//! A pair of measuring contacts.

use jiff::civil::Date;

use super::super::approval::DefaultName;
use super::super::field::Field;
use super::super::keys::{choice, section};
use super::super::marked::PitchEntry;
use super::super::state::State;
use super::{FORCE, HALF_ANGLE_LIMIT, INCLUDED_ANGLE, Piece};
use crate::units::Entered;

section! {
    /// A pair of measuring contacts.
    pub struct Contacts {
        /// Identity of the pair.
        id: String => identity(),
        /// What kind.
        kind: ContactKind => same(),
        /// Included angle of V and cone, degrees.
        included_angle: Option<f64> => within(INCLUDED_ANGLE) same(),
        /// Smallest and largest pitch that the pair is marked for.
        pitch_range: Option<[PitchEntry; 2]> => not_wider(),
        /// How far the half angle of each contact may be off, minutes of arc.
        half_angle_limit: Option<f64> => within(HALF_ANGLE_LIMIT) not_less(Some(DefaultName::HalfAngleLimit.value())),
        /// Radius of a sphere, a point's tip or a knife edge.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        tip_radius: Option<Entered> => positive(Field::TipRadius),
        /// Width of the face that touches: diameter of a flat or disc, length of a blade.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        face: Option<Entered> => positive(Field::Face),
        /// Flatness of each measuring face.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        flatness: Option<Entered> => small(Field::Flatness),
        /// Parallelism of the measuring faces.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        parallelism: Option<Entered> => small(Field::Parallelism),
        /// Thickness of a blade or disc.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        thickness: Option<Entered> => positive(Field::Thickness),
        /// Identities of the two contacts. Another contact in either place makes another pair.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        members: Option<[String; 2]>,
        /// What it is made of.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        material: Option<String>,
        /// Measuring force that the pair is used with, newtons, where it is not that of the micrometer.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        force: Option<f64> => within(FORCE),
        /// Certificate.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        certificate: Option<String>,
        /// Due date of its next check.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        due: Option<Date>,
        /// Whether it may be used.
        #[serde(default, skip_serializing_if = "State::is_active")]
        state: State,
    }
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
}

choice! {
    /// Kinds of pairs of contacts that a job can use.
    pub enum ContactKind "contacts" {
        /// V and cone, for the pitch diameter of external threads.
        VAndCone "v-and-cone",
        /// Flat faces.
        Flat "flat",
        /// Flat faces of reduced diameter, for narrow floors.
        SmallFlat "small-flat",
        /// Large thin discs, for soft sheet, lands and the width of grooves.
        Disc "disc",
        /// A sphere inside and a flat outside, for the wall of a tube.
        SphereAndFlat "sphere-and-flat",
        /// Two spheres.
        Spheres "spheres",
        /// Blades on a spindle that does not turn, for the floor of a groove.
        Blade "blade",
        /// Knife edges, for narrow grooves and undercuts in hard parts.
        KnifeEdge "knife-edge",
        /// Points.
        Point "point",
        /// A blade on top and a point below, for crimp height.
        BladeAndPoint "blade-and-point",
        /// A V-anvil and a flat spindle on its bisector, for lobed shafts and odd flutes.
        VAnvil "v-anvil",
    }
}

impl ContactKind {
    /// Whether a spindle that turns as it closes would turn it on the part.
    pub const fn wants_still_spindle(self) -> bool {
        matches!(self, Self::Blade | Self::KnifeEdge | Self::BladeAndPoint)
    }
}

impl Piece for Contacts {
    super::common!();

    fn members(&self) -> Option<&[String; 2]> {
        self.members.as_ref()
    }

    fn is_made_as(&self) -> Option<&'static str> {
        Some(self.kind.key())
    }
}
