//! What the measuring force takes from a reading between faces, edges, blades or points.

use super::contact_pressure::{CONTACTS, Touch};
use super::equipment::{ContactKind, Contacts};
use super::job::Job;
use super::measured_with::MeasuredWith;
use super::note::{Named, Note, OwnName};
use super::of_thread::ThreadDiameter;
use super::target::Target;
use super::warning::Untold;
use crate::elastic::{cylinder_under_face, line_contact, point_contact, point_unbounded};
use crate::material::Elastic;
use crate::uncertainty::Distribution;
use crate::units::Entered;

/// How far an elastic deformation by these formulas may be off, as a fraction (common practice, no source).
const WITHIN: f64 = 0.3;

/// What two contacts lose on the part, less what they lost on the setting standard at zero: to be added to the reading. Only
/// where force and both materials are known.
///
/// Between faces or blades: [`cylinder_under_face`]. Under edges and tips, which touch at a point: Hertz, see
/// [`point_contact`]. The standard is taken to be flat, where faces and blades rest on an area and lose nothing; that it may be
/// a disc of the size of the part is in the doubt. Contacts too wide for these formulas have all of it in doubt.
pub fn compression(touches: [Option<Touch>; 2], with: &MeasuredWith) -> Option<Named> {
    let force = with.force.filter(|force| *force > 0.0)?;
    let (part, standard) = with.materials?;
    let contacts = with.contacts.material.as_deref().unwrap_or(CONTACTS);
    let [contacts, part, standard] = [contacts, part, standard].map(Elastic::named);
    let (contacts, part, standard) = (contacts?, part?, standard?);
    let (mut loss, mut doubt, mut is_wide) = (0.0, 0.0, false);
    for touch in touches.into_iter().flatten() {
        let (on_part, wide) = lost(touch, force, (contacts, part))?;
        let (at_zero, unsure) = at_zero(touch, with, force, (contacts, standard));
        loss += on_part - at_zero;
        doubt += if wide {
            on_part
        } else {
            WITHIN * on_part.max(at_zero) + unsure
        };
        is_wide |= wide;
    }
    if loss == 0.0 && doubt == 0.0 {
        return None;
    }
    let within = Distribution::Rectangular { half_width: doubt };
    let note = if is_wide {
        Note::PressedWide { force }
    } else {
        Note::Pressed { force }
    };
    Some(Named::new(OwnName::PartPressed, loss, within).noted(note))
}

/// Faces and blades that are not stated are taken as the narrowest in use, millimetres (common practice, no source): what is
/// narrower loses more.
const FACE: &str = "6mm";
const SMALL_FACE: &str = "2mm";
const BLADE: &str = "0.4mm";
/// The part of a face that crests carry: flats of P/8 (ISO 68-1:1998, ASME B1.1-2003) a pitch apart.
const ON_CRESTS: f64 = 1.0 / 8.0;

/// What two contacts may lose at most where it is not corrected, millimetres, and why it is not: a face that is not stated, a size
/// of what may be round, crests. As [`compression`] has it for the narrowest contact on a round part of that size, with all of its
/// doubt.
pub fn uncorrected(job: &Job, target: &Target) -> Option<(f64, Untold)> {
    if job.wires.is_some() {
        return None;
    }
    let with = job.with(target.limits);
    let narrowest = narrowest(with.contacts);
    let narrow = MeasuredWith {
        contacts: &narrowest,
        ..with
    };
    let shaft = with.middle();
    let (touches, untold) = match (&target.feature, &target.thread) {
        (Some(feature), _) => {
            let measurand = feature.measurand();
            if measurand.pressed(&with).iter().any(Option::is_some) {
                return None;
            }
            (measurand.pressed(&narrow), Untold::Face)
        }
        (None, None) => (Touch::both_across(&narrow, shaft), Untold::Shape),
        (None, Some(_)) if target.diameter == ThreadDiameter::MajorDiameter => {
            let crests = narrow.face().map(|face| ON_CRESTS * face);
            ([Touch::along(crests, shaft); 2], Untold::Crests)
        }
        (None, Some(_)) => return None,
    };
    let loss = compression(touches, &narrow)?.input;
    let doubt = f64::sqrt(3.0) * loss.standard_uncertainty();
    let most = loss.estimate.abs() + doubt;
    (most > 0.0).then_some((most, untold))
}

/// A pair with the narrowest face and blade in use where they are not stated.
fn narrowest(contacts: &Contacts) -> Contacts {
    let mut pair = contacts.clone();
    let face = match pair.kind {
        ContactKind::SmallFlat => SMALL_FACE,
        _ => FACE,
    };
    let of = |text: &str| Entered::parse(text, None).ok();
    pair.face = pair.face.or_else(|| of(face));
    pair.thickness = pair.thickness.or_else(|| of(BLADE));
    pair
}

/// What one contact loses on the part, millimetres, and whether it is too wide for the formula.
///
/// A face too wide for a line is a punch: `F/(E* l)`, of the order of a round rigid one, F/(2 a E*) (Johnson, Contact Mechanics,
/// 1985, 3.8, from memory).
fn lost(touch: Touch, force: f64, bodies: (Elastic, Elastic)) -> Option<(f64, bool)> {
    if let Touch::Flat { length, shaft } = touch {
        let Ok(line) = cylinder_under_face(force, bodies, shaft, length) else {
            let (contact, part) = bodies;
            let compliance = contact.plane_compliance() + part.plane_compliance();
            return Some((force * compliance / length, true));
        };
        return Some((line.approach_mm, false));
    }
    let (a, b) = touch.curvatures()?;
    if let Ok(point) = point_contact(force, bodies, a, b) {
        return Some((point.approach_mm, false));
    }
    let wide = point_unbounded(force, bodies, a, b).ok()?;
    Some((wide.approach_mm, true))
}

/// What the same contact loses on a flat standard, and how much more it may be on a round one, millimetres.
fn at_zero(
    touch: Touch,
    with: &MeasuredWith,
    force: f64,
    bodies: (Elastic, Elastic),
) -> (f64, f64) {
    match touch {
        Touch::Flat { length, shaft } => {
            let on_disc = cylinder_under_face(force, bodies, shaft, length);
            (0.0, on_disc.map_or(0.0, |line| line.approach_mm))
        }
        Touch::Edge { radius, .. } => {
            let length = with.face().unwrap_or(2.0 * radius);
            let along = line_contact(force, bodies, 2.0 * radius, length);
            (along.map_or(0.0, |line| line.approach_mm), 0.0)
        }
        Touch::OnFlat { radius } | Touch::OnShaft { radius, .. } | Touch::InBore { radius, .. } => {
            let curvature = 0.5 / radius;
            let tip = point_contact(force, bodies, curvature, curvature);
            (tip.map_or(0.0, |point| point.approach_mm), 0.0)
        }
    }
}
