//! Contacts to try a job with before any are chosen: sizes that suit whatever the part is.

use crate::inspection::equipment::{ContactKind, Contacts};
use crate::units::{Entered, Length, LengthUnit};

/// A light measuring force, newtons (common practice, no source).
pub const LIGHT: f64 = 3.0;

/// A pair of this kind under a light force.
pub fn pair(kind: ContactKind) -> Contacts {
    Contacts {
        force: Some(LIGHT),
        ..Contacts::of_kind(String::new(), kind)
    }
}

/// Flat faces of 6.35 mm.
pub fn flat_faces() -> Option<Contacts> {
    Some(Contacts {
        face: size("6.35mm"),
        ..pair(ContactKind::Flat)
    })
}

/// A sphere inside.
pub fn sphere(radius: Option<Entered>) -> Option<Contacts> {
    Some(Contacts {
        tip_radius: radius,
        ..pair(ContactKind::SphereAndFlat)
    })
}

/// Discs.
pub fn discs(face: Option<Entered>, thickness: Option<Entered>) -> Option<Contacts> {
    Some(Contacts {
        face,
        thickness,
        ..pair(ContactKind::Disc)
    })
}

/// A size as it stands here.
pub fn size(text: &str) -> Option<Entered> {
    Entered::parse(text, None).ok()
}

/// A part of a length.
pub fn share(length: &Entered, share: f64) -> Option<Entered> {
    finely(Length::nearest_mm(length.value().mm() * share).ok()?)
}

/// A length in millimetres, to hundredths of a micrometre.
pub fn finely(length: Length) -> Option<Entered> {
    let unit = LengthUnit::Millimetre;
    Entered::parse(&length.to_fixed(unit, 5), Some(unit)).ok()
}
