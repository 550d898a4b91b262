//! What a feature is measured with, as far as its physics asks: a feature knows nothing of the job around it.

use super::equipment::{ContactKind, Contacts};
use crate::limits::Limits;
use crate::units::{Entered, Length};

/// Contacts, force, materials and limits.
#[derive(Clone, Copy, Debug)]
pub struct MeasuredWith<'a> {
    pub contacts: &'a Contacts,
    /// Measuring force, newtons, where it is known.
    pub force: Option<f64>,
    /// Materials of part and setting standard, where temperatures were read.
    pub materials: Option<(&'a str, &'a str)>,
    /// Vickers hardness of the part, where it is known.
    pub hardness_hv: Option<f64>,
    /// Smallest and largest permitted size.
    pub limits: Limits,
}

impl<'a> MeasuredWith<'a> {
    /// A pair alone, used with this force.
    pub const fn of_pair(contacts: &'a Contacts, force: Option<f64>, limits: Limits) -> Self {
        Self {
            contacts,
            force,
            materials: None,
            hardness_hv: None,
            limits,
        }
    }

    /// The middle of the limits, or the one there is, millimetres.
    pub fn middle(&self) -> f64 {
        middle(self.limits)
    }

    /// Radius of a sphere, a point's tip or a knife edge, millimetres, where it is stated.
    pub fn tip_radius(&self) -> Option<f64> {
        self.contacts.tip_radius.as_ref().map(mm)
    }

    /// The same of contacts that touch at a point.
    pub fn round_tip(&self) -> Option<f64> {
        let round = matches!(
            self.contacts.kind,
            ContactKind::SphereAndFlat | ContactKind::Spheres | ContactKind::Point
        );
        self.tip_radius().filter(|radius| round && *radius > 0.0)
    }

    /// Width of the face that touches, millimetres, where it is stated.
    pub fn face(&self) -> Option<f64> {
        self.contacts.face.as_ref().map(mm)
    }

    /// Thickness of a blade or disc, millimetres, where it is stated.
    pub fn thickness(&self) -> Option<f64> {
        self.contacts.thickness.as_ref().map(mm)
    }
}

fn mm(length: &Entered) -> f64 {
    length.value().mm()
}

/// The middle of the limits, or the one there is, millimetres.
pub fn middle(limits: Limits) -> f64 {
    match (limits.lower, limits.upper) {
        (Some(lower), Some(upper)) => f64::midpoint(lower.mm(), upper.mm()),
        (Some(only), None) | (None, Some(only)) => only.mm(),
        (None, None) => 0.0,
    }
}

/// The lower limit, or the one there is, millimetres.
pub fn least(limits: Limits) -> f64 {
    limits.lower.or(limits.upper).map_or(0.0, Length::mm)
}
