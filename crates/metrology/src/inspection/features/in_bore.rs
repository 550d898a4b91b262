//! Contacts on the wall of a bore: which reach it, what they read too much, how they press.

use super::contact_geometry::{SIDEWAYS, flat_in_bore, sphere_off_centre};
use super::input::{input, rectangular};
use crate::inspection::contact_pressure::{Marks, Touch};
use crate::inspection::converted::Conversion;
use crate::inspection::equipment::{ContactKind, Contacts};
use crate::inspection::field::Field;
use crate::inspection::measured_with::MeasuredWith;
use crate::inspection::misfit::{Misfit, need, unless};
use crate::inspection::model::Quantity;
use crate::inspection::note::Named;
use crate::material::Elastic;
use crate::message::{Message, Say};
use crate::units::{Entered, Length, LengthUnit};

/// How far an elastic deformation by these formulas may be off, as a fraction (common practice, no source).
const ELASTIC_WITHIN: f64 = 0.3;

crate::messages! {
    /// Why contacts do not show the wall of a bore.
    pub enum InBoreUnfit "contacts-unfit" {
        /// A sphere that does not reach the wall of a bore.
        SphereTooLarge "sphere-too-large" { radius: Entered as Entered, bore: f64 as Size, below: f64 as Size },
        /// A face that does not go into a bore.
        FaceOutsideBore "face-outside-bore" { face: Entered as Entered, bore: f64 as Size },
        /// A flat face that rests on its edges in a bore.
        FlatInBore "flat-in-bore" { face: Entered as Entered, radius: f64 as Size, by: f64 as Difference },
        /// An edge or point on the wall of a bore.
        EdgeInBore "edge-in-bore",
        /// V and cone, or a V-anvil, on the wall of a bore.
        NotInBore "not-in-bore",
    }
}

crate::codes! {
    /// Lines of the budget that contacts in a bore add.
    pub enum InBoreLine "line" {
        /// A sphere in a bore, off the line through both centres.
        SphereOffCentre "sphere-off-centre",
        /// A flat face in a bore.
        FlatInBore "flat-in-bore",
        /// A sphere pressed into the part.
        Indentation "indentation",
    }
}

crate::messages! {
    /// Where the numbers of such a line come from.
    pub enum InBoreNote "note" {
        /// A sphere kept near the line of centres, smallest reading taken.
        NearCentre "near-centre" { within: Entered as Entered },
        /// The sagitta of a flat face, used on the reason given.
        Sagitta "sagitta",
        /// Hertz, part less standard.
        Hertz "hertz",
    }
}

crate::messages! {
    /// The contacts one would want for the wall of a bore.
    pub enum InBoreIdeal "ideal" {
        Sphere "sphere" { below: f64 as Size },
    }
}

/// Whether a pair shows the wall of a bore of this diameter.
pub fn suits(contacts: &Contacts, bore: f64) -> Result<(), Misfit> {
    let radius = bore / 2.0;
    match contacts.kind {
        ContactKind::SphereAndFlat | ContactKind::Spheres => {
            let sphere = need(contacts, Field::TipRadius)?;
            let why = InBoreUnfit::SphereTooLarge {
                radius: sphere.clone(),
                bore,
                below: radius,
            };
            unless(sphere.value().mm() >= radius, why)
        }
        ContactKind::Flat | ContactKind::SmallFlat | ContactKind::Disc | ContactKind::Blade => {
            let face = need(
                contacts,
                if contacts.kind == ContactKind::Blade {
                    Field::Thickness
                } else {
                    Field::Face
                },
            )?;
            let width = face.value().mm();
            let error = flat_in_bore(radius, width).filter(|_| width < bore);
            let face = face.clone();
            Err(match error {
                None => Misfit::new(InBoreUnfit::FaceOutsideBore { face, bore }),
                Some(by) => Misfit::by(by, InBoreUnfit::FlatInBore { face, radius, by }),
            })
        }
        ContactKind::KnifeEdge | ContactKind::Point | ContactKind::BladeAndPoint => {
            Err(Misfit::new(InBoreUnfit::EdgeInBore))
        }
        ContactKind::VAndCone | ContactKind::VAnvil => Err(Misfit::new(InBoreUnfit::NotInBore)),
    }
}

/// The sphere that one would want.
pub fn ideal(bore: f64) -> Message {
    InBoreIdeal::Sphere { below: bore / 2.0 }.message()
}

/// A sphere of three tenths of the bore.
pub fn trial_contacts(bore: &Entered) -> Option<Contacts> {
    super::trial::sphere(super::trial::share(bore, 0.3))
}

/// What the contacts add on the wall of this bore, and what the force takes away.
pub fn conversion(with: &MeasuredWith, bore: f64) -> Conversion {
    let geometry = geometry(with, bore).map(|geometry| (Quantity::ContactGeometry, geometry));
    Conversion {
        inputs: geometry
            .into_iter()
            .chain(indentation(with, bore))
            .collect(),
        ..Conversion::default()
    }
}

/// A sphere in a bore is exact on the line through both centres and reads large beside it; a flat one used on purpose
/// is taken back by what geometry says, and half of that stays in doubt.
fn geometry(with: &MeasuredWith, bore: f64) -> Option<Named> {
    let radius = bore / 2.0;
    match with.contacts.kind {
        ContactKind::SphereAndFlat | ContactKind::Spheres => {
            let error = sphere_off_centre(radius, with.tip_radius()?, SIDEWAYS)?;
            Some(input(
                InBoreLine::SphereOffCentre,
                0.0,
                rectangular(error),
                InBoreNote::NearCentre {
                    within: Entered::of(Length::nearest_mm(SIDEWAYS).ok()?, LengthUnit::Millimetre),
                },
            ))
        }
        _ => {
            let error = flat_in_bore(radius, with.face()?)?;
            Some(input(
                InBoreLine::FlatInBore,
                -error,
                rectangular(error / 2.0),
                InBoreNote::Sagitta,
            ))
        }
    }
}

/// What force takes away on the part, less what it took away at zero: sphere in the bore against sphere on the flat
/// standard. Only where force and both materials are known.
fn indentation(with: &MeasuredWith, bore: f64) -> Option<(Quantity, Named)> {
    let (radius, force) = (with.tip_radius()?, with.force?);
    let tip = Elastic::named(with.contacts.material.as_deref()?)?;
    let (part, standard) = with.materials?;
    let (part, standard) = (Elastic::named(part)?, Elastic::named(standard)?);
    let (on_part, _) = Touch::in_bore(radius, bore).pressed(force, (tip, part))?;
    let (at_zero, _) = Touch::OnFlat { radius }.pressed(force, (tip, standard))?;
    // Where the part yields, the sphere sinks in by up to its dent more.
    let dent = Marks::of(touch(with, bore), with).map_or(0.0, |marks| marks.dent());
    Some((
        Quantity::Deformation,
        input(
            InBoreLine::Indentation,
            on_part - at_zero,
            rectangular(ELASTIC_WITHIN * on_part.max(at_zero) + dent),
            InBoreNote::Hertz,
        ),
    ))
}

/// Where a sphere or a point touches the wall.
pub fn touch(with: &MeasuredWith, bore: f64) -> Option<Touch> {
    with.round_tip().map(|radius| Touch::in_bore(radius, bore))
}
