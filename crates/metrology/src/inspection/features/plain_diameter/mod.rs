//! A plain external diameter. Places that state `along` as a distance tell taper; three of them, barrel.

mod findings;
pub mod physics;

use super::contact_geometry::{SIDEWAYS, chord_for_diameter};
use super::{Asked, Codes, Described, Dimension, Flag, Laid, Measurand, Named, trial};
use crate::inspection::JobError;
use crate::inspection::checked::none_negative;
use crate::inspection::contact_pressure::Touch;
use crate::inspection::equipment::{ContactKind, Contacts};
use crate::inspection::finding::{Finding, Readings};
use crate::inspection::ideal::Ideal;
use crate::inspection::keys::section;
use crate::inspection::measured_with::MeasuredWith;
use crate::inspection::misfit::Misfit;
use crate::inspection::suspicion::Form;
use crate::limits::Limits;
use crate::message::{Message, Say};
use crate::units::Entered;

section! {
    /// What is asked of its form.
    #[derive(Default)]
    pub struct PlainDiameter {
        /// Largest permitted ovality: greatest less least diameter at one section.
        ovality_limit: Option<Entered>,
        /// Largest permitted difference of diameter from end to end.
        taper_limit: Option<Entered>,
        /// Largest permitted swelling or hollow of the middle against the ends.
        barrel_limit: Option<Entered>,
    }
}

impl Described for PlainDiameter {
    const ASKED: &'static [Asked] = &[
        Asked::by("sections", super::Ask::Sections).optional(),
        Asked::any(
            "limits",
            &[
                Named::of("ovality_limit", "ovality"),
                Named::of("taper_limit", "taper"),
                Named::of("barrel_limit", "barrel"),
            ],
        ),
    ];
    const OPTIONS: &'static [Flag] = &[];
    const CODES: &'static [Codes] = &[
        Size::DECLARED,
        Unfit::DECLARED,
        Unseen::DECLARED,
        findings::Code::DECLARED,
        findings::Definition::DECLARED,
    ];
}

crate::codes! {
    pub enum Size "field" {
        /// Largest permitted ovality.
        OvalityLimit "ovality-limit",
        /// Largest permitted taper.
        TaperLimit "taper-limit",
        /// Largest permitted barrel.
        BarrelLimit "barrel-limit",
    }
}

crate::messages! {
    /// Why contacts do not show it.
    pub enum Unfit "contacts-unfit" {
        /// It touches a diameter at a point; `beside` the axis by so much it reads `by` too small.
        PointOnDiameter "point-on-diameter" { beside: f64 as Difference, by: f64 as Difference },
        /// V and cone on a plain diameter.
        VAndConeOnDiameter "v-and-cone-on-diameter",
        /// A V-anvil on a diameter.
        VAnvilOnSize "v-anvil-on-size",
    }
}

crate::messages! {
    /// A limit that the readings cannot be held against.
    pub enum Unseen "feature-error" {
        /// An ovality limit, and no section read twice.
        Ovality "ovality-unseen",
        /// A taper limit, and no two sections whose places are known.
        Taper "taper-unseen",
        /// A barrel limit, and no three sections whose places are known.
        Barrel "barrel-unseen",
    }
}

impl Measurand for PlainDiameter {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (6, None, Laid::Stations)
    }

    fn dimension(&self) -> Dimension {
        Dimension::Diameter
    }

    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit> {
        match with.contacts.kind {
            ContactKind::Flat
            | ContactKind::SmallFlat
            | ContactKind::Disc
            | ContactKind::Blade
            | ContactKind::KnifeEdge => Ok(()),
            ContactKind::SphereAndFlat
            | ContactKind::Spheres
            | ContactKind::Point
            | ContactKind::BladeAndPoint => {
                let error = chord_for_diameter(with.middle(), SIDEWAYS).unwrap_or(0.0);
                let (beside, by) = (SIDEWAYS, -error);
                Err(Misfit::by(error, Unfit::PointOnDiameter { beside, by }))
            }
            ContactKind::VAndCone => Err(Misfit::new(Unfit::VAndConeOnDiameter)),
            ContactKind::VAnvil => Err(Misfit::new(Unfit::VAnvilOnSize)),
        }
    }

    fn ideal(&self, _limits: Limits) -> Message {
        Ideal::FlatFaces.message()
    }

    fn trial_contacts(&self, _limits: Limits) -> Option<Contacts> {
        trial::flat_faces()
    }

    /// Where its form has limits of its own, it is looked for.
    fn form(&self, _method: u32) -> Form {
        let limits = [&self.ovality_limit, &self.taper_limit, &self.barrel_limit];
        if limits.iter().any(|limit| limit.is_some()) {
            Form::Measured
        } else {
            Form::Small
        }
    }

    fn is_all_around(&self) -> bool {
        true
    }

    fn check(&self, _with: &MeasuredWith) -> Result<(), JobError> {
        none_negative([
            (Size::OvalityLimit.into(), self.ovality_limit.as_ref()),
            (Size::TaperLimit.into(), self.taper_limit.as_ref()),
            (Size::BarrelLimit.into(), self.barrel_limit.as_ref()),
        ])
    }

    fn touch(&self, with: &MeasuredWith) -> Option<Touch> {
        let shaft = with.middle();
        match with.contacts.kind {
            ContactKind::Flat | ContactKind::SmallFlat => Touch::along(with.face(), shaft),
            _ => with
                .round_tip()
                .map(|radius| Touch::OnShaft { radius, shaft }),
        }
    }

    fn pressed(&self, with: &MeasuredWith) -> [Option<Touch>; 2] {
        Touch::both_across(with, with.middle())
    }

    fn findings(&self, readings: &Readings) -> Result<Vec<Finding>, JobError> {
        findings::findings(readings, self)
    }
}
