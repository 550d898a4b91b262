//! Which contacts show which feature: what is refused, why, and what it would cost in numbers.

use super::feature::{Feature, Groove, Keyseat, SoftThickness, Thickness};
use super::field::Field;
use super::of_thread::ThreadDiameter;
use super::pair::{ContactKind, Contacts};
use crate::features::contact_geometry::{chord_for_diameter, flat_in_bore};
use crate::features::groove::Opening;
use crate::features::keyseat::chord_height;
use crate::features::pressing::{
    contact_modulus, face_for_pressure, face_pressure, sphere_on_flat,
};
use crate::limits::Limits;
use crate::material::Elastic;
use crate::units::{Entered, Length};

/// How far sideways a point contact sits unnoticed, millimetres (common practice, no source).
pub const SIDEWAYS: f64 = 0.1;
/// How far a foot's pressure may be from that of the standard, as a fraction (common practice, no source).
const PRESSURE_WITHIN: f64 = 0.10;
/// Poisson's ratio taken for soft material where only its modulus is stated.
pub const SOFT_POISSON: f64 = 0.4;

crate::messages! {
    /// Why contacts do not show what is measured, and what would.
    pub enum ContactsUnfit "contacts-unfit" {
        /// A size of the pair that the check rests on is not known.
        NotStated "not-stated" { field: Field as code, kind: ContactKind as code },
        /// It touches a diameter at a point; `beside` the axis by so much it reads `by` too small.
        PointOnDiameter "point-on-diameter" { beside: f64 as Difference, by: f64 as Difference },
        /// V and cone on a plain diameter.
        VAndConeOnDiameter "v-and-cone-on-diameter",
        /// V and cone where nothing but limits is known.
        VAndConeOffThread "v-and-cone-off-thread",
        /// A V-anvil on a diameter.
        VAnvilOnSize "v-anvil-on-size",
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
        /// A groove without a flat floor.
        NoFloor "no-floor" { width: Entered as Entered },
        /// Contacts that do not reach the floor of a groove.
        NotOnFloor "not-on-floor" { kind: ContactKind as code, floor: f64 as Size },
        /// A blade that does not go into the groove.
        ThickerThanGroove "thicker-than-groove" { thickness: f64 as Size, width: Entered as Entered, floor: f64 as Size },
        /// The same of a groove whose depth is known: twice that is read too much.
        OnTheLand "on-the-land" {
            thickness: f64 as Size, width: Entered as Entered, depth: Entered as Entered, floor: f64 as Size,
        },
        /// A blade that rides on the radii or walls.
        OnTheRadii "on-the-radii" { thickness: f64 as Size, floor: f64 as Size },
        /// The same, and what it reads too much.
        OnTheRadiiBy "on-the-radii-by" { thickness: f64 as Size, floor: f64 as Size, by: f64 as Difference },
        /// Contacts that do not reach between walls.
        NotBetweenWalls "not-between-walls" { kind: ContactKind as code },
        /// Discs that do not go into the groove.
        DiscsTooThick "discs-too-thick" { thickness: f64 as Size, groove: f64 as Size },
        /// A disc that does not go into the groove beside a land.
        DiscTooThick "disc-too-thick" { thickness: f64 as Size, groove: f64 as Size },
        /// Contacts that do not reach the floor of a keyseat.
        NotInSeat "not-in-seat" { kind: ContactKind as code },
        /// A contact that bridges the edges of a seat.
        WiderThanSeat "wider-than-seat" { contact: f64 as Size, seat: Entered as Entered },
        /// Readings in a V given as two-point diameters.
        VForTwoPoints "v-for-two-points",
        /// Contacts that show no two-point diameter.
        NotTwoPoint "not-two-point" { kind: ContactKind as code },
        /// Contacts that sink into soft material.
        Sinks "sinks" { kind: ContactKind as code },
        /// The same, by about so much at this force.
        SinksBy "sinks-by" { kind: ContactKind as code, by: f64 as Difference, force: f64 as Newton },
        /// The same, deeper than the formula holds.
        SinksDeep "sinks-deep" { kind: ContactKind as code },
        /// Soft material, and no force known.
        NoForce "no-force",
        /// A foot that does not press as the standard for the material states.
        OtherPressure "other-pressure" {
            face: Entered as Entered, force: f64 as Newton, pressure: f64 as Kilopascal, stated: f64 as Kilopascal,
        },
        /// The same, and the face that does.
        OtherPressureThan "other-pressure-than" {
            face: Entered as Entered, force: f64 as Newton, pressure: f64 as Kilopascal, stated: f64 as Kilopascal,
            right: f64 as Size,
        },
        /// Contacts that ride on the flash of a crimp.
        OnTheFlash "on-the-flash",
        /// Contacts that do not sit on a crimp.
        NotOnCrimp "not-on-crimp" { kind: ContactKind as code },
        /// A spindle that would turn the blade on the part.
        SpindleTurns "spindle-turns" { instrument: String as Text },
        /// A plain standard under V and cone.
        PlainStandard "plain-standard" { standard: String as Text },
        /// Outside contacts and an internal thread.
        InternalThread "internal-thread",
        /// V and cone, for another diameter than the pitch diameter.
        FlanksOnly "flanks-only" { diameter: ThreadDiameter as code },
        /// Flat faces, for another diameter than the major diameter.
        CrestsOnly "crests-only" { diameter: ThreadDiameter as code },
        /// Contacts that sit on no thread.
        OffThread "off-thread" { kind: ContactKind as code },
        /// Contacts without wires on a taper thread.
        OnTaper "on-taper" { kind: ContactKind as code },
        /// A pair of another included angle than the thread, degrees.
        OtherAngle "other-angle" { pair: f64 as number, thread: f64 as number },
        /// A thread whose grooves face grooves.
        EvenStarts "even-starts" { starts: usize as count },
        /// A pitch that the pair is not marked for, millimetres.
        OutsidePitches "outside-pitches" { low: f64 as Length, high: f64 as Length, pitch: f64 as Length },
    }
}

/// Contacts that do not suit a feature.
#[derive(Clone, Debug, PartialEq)]
pub struct Misfit {
    /// Why, and what would be right.
    pub why: ContactsUnfit,
    /// What they would add to the reading, millimetres, where that can be said.
    pub error: Option<f64>,
}

impl Misfit {
    const fn new(why: ContactsUnfit) -> Self {
        Self { why, error: None }
    }

    const fn by(error: f64, why: ContactsUnfit) -> Self {
        Self {
            why,
            error: Some(error),
        }
    }
}

/// Whether a pair, used with this force, shows this feature of a part between these limits.
pub fn check(
    contacts: &Contacts,
    force: Option<f64>,
    feature: &Feature,
    limits: Limits,
) -> Result<(), Misfit> {
    match feature {
        Feature::PlainDiameter(_) => plain_diameter(contacts, limits),
        Feature::TubeWall(wall) => in_bore(contacts, wall.bore.value().mm()),
        Feature::InsideDiameter(_) => in_bore(contacts, middle(limits)),
        Feature::BoreToFlat(web) => in_bore(contacts, web.bore.value().mm()),
        Feature::GrooveDiameter(groove) | Feature::Undercut(groove) => on_floor(contacts, groove),
        Feature::GrooveWidth(width) => {
            let thickness = width.anvil_disc.value().mm() + width.spindle_disc.value().mm();
            let groove = least(limits);
            discs(contacts)?;
            unless(
                thickness >= groove,
                ContactsUnfit::DiscsTooThick { thickness, groove },
            )
        }
        Feature::Land(land) => {
            let thickness = discs(contacts)?;
            let groove = land.groove_width.value().mm();
            unless(
                thickness >= groove,
                ContactsUnfit::DiscTooThick { thickness, groove },
            )
        }
        Feature::Keyseat(seat) => in_seat(contacts, seat),
        Feature::LobedShaft(_) => two_point(contacts),
        Feature::SoftThickness(sheet) => on_sheet(contacts, force, sheet, limits),
        Feature::CrimpHeight(_) => on_crimp(contacts),
    }
}

/// The middle of the limits, or the one there is, millimetres.
pub fn middle(limits: Limits) -> f64 {
    match (limits.lower, limits.upper) {
        (Some(lower), Some(upper)) => f64::midpoint(lower.mm(), upper.mm()),
        (Some(only), None) | (None, Some(only)) => only.mm(),
        (None, None) => 0.0,
    }
}

fn least(limits: Limits) -> f64 {
    limits.lower.or(limits.upper).map_or(0.0, Length::mm)
}

fn unless(unfit: bool, why: ContactsUnfit) -> Result<(), Misfit> {
    if unfit { Err(Misfit::new(why)) } else { Ok(()) }
}

/// A size of the pair that the check rests on.
fn need(contacts: &Contacts, field: Field) -> Result<&Entered, Misfit> {
    let size = match field {
        Field::TipRadius => &contacts.tip_radius,
        Field::Thickness => &contacts.thickness,
        _ => &contacts.face,
    };
    let kind = contacts.kind;
    size.as_ref()
        .filter(|size| size.value() > Length::ZERO)
        .ok_or_else(|| Misfit::new(ContactsUnfit::NotStated { field, kind }))
}

fn plain_diameter(contacts: &Contacts, limits: Limits) -> Result<(), Misfit> {
    let diameter = middle(limits);
    match contacts.kind {
        ContactKind::Flat
        | ContactKind::SmallFlat
        | ContactKind::Disc
        | ContactKind::Blade
        | ContactKind::KnifeEdge => Ok(()),
        ContactKind::SphereAndFlat
        | ContactKind::Spheres
        | ContactKind::Point
        | ContactKind::BladeAndPoint => {
            let error = chord_for_diameter(diameter, SIDEWAYS).unwrap_or(0.0);
            let (beside, by) = (SIDEWAYS, -error);
            Err(Misfit::by(
                error,
                ContactsUnfit::PointOnDiameter { beside, by },
            ))
        }
        ContactKind::VAndCone => Err(Misfit::new(ContactsUnfit::VAndConeOnDiameter)),
        ContactKind::VAnvil => Err(Misfit::new(ContactsUnfit::VAnvilOnSize)),
    }
}

fn in_bore(contacts: &Contacts, bore: f64) -> Result<(), Misfit> {
    let radius = bore / 2.0;
    match contacts.kind {
        ContactKind::SphereAndFlat | ContactKind::Spheres => {
            let sphere = need(contacts, Field::TipRadius)?;
            let why = ContactsUnfit::SphereTooLarge {
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
                None => Misfit::new(ContactsUnfit::FaceOutsideBore { face, bore }),
                Some(by) => Misfit::by(by, ContactsUnfit::FlatInBore { face, radius, by }),
            })
        }
        ContactKind::KnifeEdge | ContactKind::Point | ContactKind::BladeAndPoint => {
            Err(Misfit::new(ContactsUnfit::EdgeInBore))
        }
        ContactKind::VAndCone | ContactKind::VAnvil => Err(Misfit::new(ContactsUnfit::NotInBore)),
    }
}

/// The groove as the blade finds it.
pub fn opening(groove: &Groove) -> Opening {
    Opening {
        width: groove.width.value().mm(),
        root_radius: groove
            .root_radius
            .as_ref()
            .map_or(0.0, |radius| radius.value().mm()),
        wall_angle: groove.wall_angle.unwrap_or(0.0).to_radians(),
        depth: groove
            .depth
            .as_ref()
            .map_or(0.0, |depth| depth.value().mm()),
    }
}

fn on_floor(contacts: &Contacts, groove: &Groove) -> Result<(), Misfit> {
    let opening = opening(groove);
    let floor = opening.flat_floor();
    if floor <= 0.0 {
        return Err(Misfit::new(ContactsUnfit::NoFloor {
            width: groove.width.clone(),
        }));
    }
    let stated = |field| Ok::<f64, Misfit>(need(contacts, field)?.value().mm());
    let thickness = match contacts.kind {
        ContactKind::Blade => stated(Field::Thickness)?,
        ContactKind::KnifeEdge | ContactKind::Point => 2.0 * stated(Field::TipRadius)?,
        ContactKind::SmallFlat | ContactKind::Flat => stated(Field::Face)?,
        kind => return Err(Misfit::new(ContactsUnfit::NotOnFloor { kind, floor })),
    };
    if thickness > opening.width {
        let width = groove.width.clone();
        return Err(match groove.depth.clone() {
            Some(depth) => Misfit::by(
                2.0 * depth.value().mm(),
                ContactsUnfit::OnTheLand {
                    thickness,
                    width,
                    depth,
                    floor,
                },
            ),
            None => Misfit::new(ContactsUnfit::ThickerThanGroove {
                thickness,
                width,
                floor,
            }),
        });
    }
    if opening.clearance(thickness) < 0.0 {
        // Both blades ride, one on either side of the part.
        return Err(match opening.rides_by(thickness).map(|one| 2.0 * one) {
            Some(by) => Misfit::by(
                by,
                ContactsUnfit::OnTheRadiiBy {
                    thickness,
                    floor,
                    by,
                },
            ),
            None => Misfit::new(ContactsUnfit::OnTheRadii { thickness, floor }),
        });
    }
    Ok(())
}

/// The thickness of one disc, millimetres.
fn discs(contacts: &Contacts) -> Result<f64, Misfit> {
    let kind = contacts.kind;
    unless(
        kind != ContactKind::Disc,
        ContactsUnfit::NotBetweenWalls { kind },
    )?;
    Ok(need(contacts, Field::Thickness)?.value().mm())
}

fn in_seat(contacts: &Contacts, seat: &Keyseat) -> Result<(), Misfit> {
    let width = seat.width.value().mm();
    let stated = |field| Ok::<f64, Misfit>(need(contacts, field)?.value().mm());
    let contact = match contacts.kind {
        ContactKind::Flat | ContactKind::SmallFlat => stated(Field::Face)?,
        ContactKind::Blade | ContactKind::BladeAndPoint => stated(Field::Thickness)?,
        ContactKind::SphereAndFlat | ContactKind::Point | ContactKind::Spheres => {
            2.0 * stated(Field::TipRadius)?
        }
        kind => return Err(Misfit::new(ContactsUnfit::NotInSeat { kind })),
    };
    if contact >= width {
        return Err(Misfit {
            error: chord_height(seat.shaft_diameter.value().mm(), width),
            why: ContactsUnfit::WiderThanSeat {
                contact,
                seat: seat.width.clone(),
            },
        });
    }
    Ok(())
}

fn two_point(contacts: &Contacts) -> Result<(), Misfit> {
    match contacts.kind {
        ContactKind::Flat | ContactKind::SmallFlat | ContactKind::Disc | ContactKind::Blade => {
            Ok(())
        }
        ContactKind::VAnvil => Err(Misfit::new(ContactsUnfit::VForTwoPoints)),
        kind => Err(Misfit::new(ContactsUnfit::NotTwoPoint { kind })),
    }
}

fn on_sheet(
    contacts: &Contacts,
    force: Option<f64>,
    sheet: &SoftThickness,
    limits: Limits,
) -> Result<(), Misfit> {
    match contacts.kind {
        ContactKind::Disc | ContactKind::Flat | ContactKind::SmallFlat => {}
        kind => {
            let radius = contacts
                .tip_radius
                .as_ref()
                .map(|radius| radius.value().mm());
            let soft = Elastic {
                young_gpa: sheet.modulus_mpa / 1000.0,
                poisson: SOFT_POISSON,
            };
            let hard = Elastic::named(contacts.material.as_deref().unwrap_or("steel"));
            let error = match (radius, force, hard) {
                (Some(radius), Some(force), Some(hard))
                    if radius > 0.0 && sheet.modulus_mpa > 0.0 =>
                {
                    Some(-sphere_on_flat(force, radius, contact_modulus(hard, soft)))
                }
                _ => None,
            };
            // Deeper than a tenth of the radius the elastic formula holds no longer.
            let deep = error
                .zip(radius)
                .is_some_and(|(error, radius)| -error > 0.1 * radius);
            let error = error.filter(|_| !deep);
            let why = match (error, force) {
                _ if deep => ContactsUnfit::SinksDeep { kind },
                (Some(error), Some(force)) => ContactsUnfit::SinksBy {
                    kind,
                    by: -error,
                    force,
                },
                _ => ContactsUnfit::Sinks { kind },
            };
            return Err(Misfit { why, error });
        }
    }
    let face = need(contacts, Field::Face)?;
    let Some(force) = force else {
        return Err(Misfit::new(ContactsUnfit::NoForce));
    };
    let pressed = face_pressure(force, face.value().mm());
    if sheet.thickness == Thickness::UnderPressure
        && let Some(stated) = sheet.pressure_kpa
    {
        let pressure = pressed * 1000.0;
        if (pressure / stated - 1.0).abs() > PRESSURE_WITHIN {
            let face = face.clone();
            let why = match face_for_pressure(force, stated / 1000.0) {
                Some(right) => ContactsUnfit::OtherPressureThan {
                    face,
                    force,
                    pressure,
                    stated,
                    right,
                },
                None => ContactsUnfit::OtherPressure {
                    face,
                    force,
                    pressure,
                    stated,
                },
            };
            return Err(Misfit::by(
                -(pressed - stated / 1000.0) * middle(limits) / sheet.modulus_mpa,
                why,
            ));
        }
    }
    Ok(())
}

fn on_crimp(contacts: &Contacts) -> Result<(), Misfit> {
    match contacts.kind {
        ContactKind::BladeAndPoint => Ok(()),
        ContactKind::Flat | ContactKind::SmallFlat | ContactKind::Disc | ContactKind::Blade => {
            Err(Misfit::new(ContactsUnfit::OnTheFlash))
        }
        kind => Err(Misfit::new(ContactsUnfit::NotOnCrimp { kind })),
    }
}
