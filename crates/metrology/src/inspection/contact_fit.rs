//! Which contacts show which feature: what is refused, why, and what it would cost in numbers.

use super::feature::{Feature, Groove, Keyseat, SoftThickness, Thickness};
use super::job::{ContactKind, Contacts};
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

/// Contacts that do not suit a feature.
#[derive(Clone, Debug, PartialEq)]
pub struct Misfit {
    /// Why, and what would be right.
    pub why: String,
    /// What they would add to the reading, millimetres, where that can be said.
    pub error: Option<f64>,
}

impl Misfit {
    fn new(why: impl Into<String>) -> Self {
        Self {
            why: why.into(),
            error: None,
        }
    }

    fn by(error: f64, why: impl Into<String>) -> Self {
        Self {
            why: why.into(),
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
        Feature::GrooveWidth(width) => discs(
            contacts,
            width.anvil_disc.value().mm() + width.spindle_disc.value().mm(),
            least(limits),
            "the groove",
        ),
        Feature::Land(land) => discs(
            contacts,
            need(contacts, "thickness", contacts.thickness.as_ref()).unwrap_or(0.0),
            land.groove_width.value().mm(),
            "the groove beside the land",
        ),
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

/// A size of the pair that the check rests on.
fn need(contacts: &Contacts, key: &str, size: Option<&Entered>) -> Result<f64, Misfit> {
    size.map(|size| size.value().mm())
        .filter(|size| *size > 0.0)
        .ok_or_else(|| {
            Misfit::new(format!(
                "nothing is known of its `{key}`; state it with the pair, as {} need it here",
                contacts.kind.words()
            ))
        })
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
            Err(Misfit::by(
                error,
                format!(
                    "it touches at a point: {SIDEWAYS} mm beside the axis it reads {:.1} µm too small; use flat faces",
                    -error * 1000.0
                ),
            ))
        }
        ContactKind::VAndCone => Err(Misfit::new("V and cone sit on threads; use flat faces")),
        ContactKind::VAnvil => Err(Misfit::new(
            "a V-anvil reads lobes, not a diameter; use flat faces, and the V for the lobes of a `lobed-shaft`",
        )),
    }
}

fn in_bore(contacts: &Contacts, bore: f64) -> Result<(), Misfit> {
    let radius = bore / 2.0;
    match contacts.kind {
        ContactKind::SphereAndFlat | ContactKind::Spheres => {
            let sphere = need(contacts, "tip_radius", contacts.tip_radius.as_ref())?;
            if sphere >= radius {
                return Err(Misfit::new(format!(
                    "a sphere of radius {sphere} mm does not go to the wall of a bore of {bore} mm; its radius must be \
                     below {radius} mm"
                )));
            }
            Ok(())
        }
        ContactKind::Flat | ContactKind::SmallFlat | ContactKind::Disc | ContactKind::Blade => {
            let (key, width) = if contacts.kind == ContactKind::Blade {
                ("thickness", contacts.thickness.as_ref())
            } else {
                ("face", contacts.face.as_ref())
            };
            let width = need(contacts, key, width)?;
            let error = flat_in_bore(radius, width).filter(|_| width < bore);
            Err(error.map_or_else(
                || Misfit::new(format!("a face of {width} mm does not go into a bore of {bore} mm; use a sphere")),
                |error| {
                    Misfit::by(
                        error,
                        format!(
                            "a flat face of {width} mm rests on its edges in a bore of radius {radius} mm and reads \
                             {error:.3} mm too large; use a sphere of a radius below {radius} mm and measure again"
                        ),
                    )
                },
            ))
        }
        ContactKind::KnifeEdge | ContactKind::Point | ContactKind::BladeAndPoint => {
            Err(Misfit::new(
                "an edge or point digs into the wall and shows no smallest reading; use a sphere",
            ))
        }
        ContactKind::VAndCone | ContactKind::VAnvil => Err(Misfit::new(
            "it does not sit on the wall of a bore; use a sphere",
        )),
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
        return Err(Misfit::new(format!(
            "a groove {} wide with these walls and root radius has no flat floor; check them, or measure the root with a point",
            groove.width.text()
        )));
    }
    let thickness = match contacts.kind {
        ContactKind::Blade => need(contacts, "thickness", contacts.thickness.as_ref())?,
        ContactKind::KnifeEdge | ContactKind::Point => {
            2.0 * need(contacts, "tip_radius", contacts.tip_radius.as_ref())?
        }
        ContactKind::SmallFlat | ContactKind::Flat => {
            need(contacts, "face", contacts.face.as_ref())?
        }
        kind => {
            return Err(Misfit::new(format!(
                "{} do not stand on the floor of a groove; use blades of at most {floor:.3} mm",
                kind.words()
            )));
        }
    };
    if thickness > opening.width {
        let depth = groove.depth.as_ref().map_or(String::new(), |depth| {
            format!(
                " and reads the land, up to twice {} too large",
                depth.text()
            )
        });
        return Err(Misfit {
            why: format!(
                "{thickness} mm is thicker than the groove, {} mm: it does not go in{depth}; use a blade of at most \
                 {floor:.3} mm, the flat of the floor",
                opening.width
            ),
            error: groove.depth.as_ref().map(|depth| 2.0 * depth.value().mm()),
        });
    }
    if opening.clearance(thickness) < 0.0 {
        // Both blades ride, one on either side of the part.
        let error = opening.rides_by(thickness).map(|one| 2.0 * one);
        let by = error.map_or(String::new(), |error| {
            format!(" and reads {error:.4} mm too large")
        });
        return Err(Misfit {
            why: format!(
                "{thickness} mm is more than the flat of the floor, {floor:.3} mm (width less both root radii): it rides \
                 on the radii or walls{by}; use a blade of at most {floor:.3} mm"
            ),
            error,
        });
    }
    Ok(())
}

fn discs(contacts: &Contacts, thickness: f64, opening: f64, what: &str) -> Result<(), Misfit> {
    if contacts.kind != ContactKind::Disc {
        return Err(Misfit::new(format!(
            "{} do not reach between the walls; use thin discs",
            contacts.kind.words()
        )));
    }
    need(contacts, "thickness", contacts.thickness.as_ref())?;
    if thickness >= opening {
        return Err(Misfit::new(format!(
            "discs that take up {thickness:.4} mm do not go into {what}, {opening:.4} mm wide; use thinner discs"
        )));
    }
    Ok(())
}

fn in_seat(contacts: &Contacts, seat: &Keyseat) -> Result<(), Misfit> {
    let width = seat.width.value().mm();
    let contact = match contacts.kind {
        ContactKind::Flat | ContactKind::SmallFlat => {
            need(contacts, "face", contacts.face.as_ref())?
        }
        ContactKind::Blade | ContactKind::BladeAndPoint => {
            need(contacts, "thickness", contacts.thickness.as_ref())?
        }
        ContactKind::SphereAndFlat | ContactKind::Point | ContactKind::Spheres => {
            2.0 * need(contacts, "tip_radius", contacts.tip_radius.as_ref())?
        }
        kind => {
            return Err(Misfit::new(format!(
                "{} do not stand on the floor of a keyseat; use small flat faces",
                kind.words()
            )));
        }
    };
    if contact >= width {
        let height = chord_height(seat.shaft_diameter.value().mm(), width);
        return Err(Misfit {
            why: format!(
                "a contact {contact} mm wide does not go into a seat {width} mm wide and bridges its edges; use small flat faces or a \
                 blade well below {width} mm"
            ),
            error: height,
        });
    }
    Ok(())
}

fn two_point(contacts: &Contacts) -> Result<(), Misfit> {
    match contacts.kind {
        ContactKind::Flat | ContactKind::SmallFlat | ContactKind::Disc | ContactKind::Blade => {
            Ok(())
        }
        ContactKind::VAnvil => Err(Misfit::new(
            "the readings of the job are two-point diameters; take them with flat faces and give those in the V as \
             `v_readings`",
        )),
        kind => Err(Misfit::new(format!(
            "{} do not show a two-point diameter; use flat faces",
            kind.words()
        ))),
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
            let by = match error {
                _ if deep => ", deeper than can be reckoned".to_owned(),
                Some(error) => format!(
                    " by about {:.1} µm at {} N",
                    -error * 1000.0,
                    force.unwrap_or_default()
                ),
                None => String::new(),
            };
            return Err(Misfit {
                why: format!("{} sink into soft material{by}; use discs", kind.words()),
                error,
            });
        }
    }
    let face = need(contacts, "face", contacts.face.as_ref())?;
    let Some(force) = force else {
        return Err(Misfit::new(
            "nothing is known of the measuring force, and soft material gives way to it; state `force` in newtons with \
             the pair or the micrometer",
        ));
    };
    let pressure = face_pressure(force, face);
    if sheet.thickness == Thickness::UnderPressure
        && let Some(stated) = sheet.pressure_kpa
    {
        let kilopascals = pressure * 1000.0;
        if (kilopascals / stated - 1.0).abs() > PRESSURE_WITHIN {
            let right = face_for_pressure(force, stated / 1000.0).map_or(String::new(), |face| {
                format!("; at {force} N a face of {face:.1} mm gives it")
            });
            return Err(Misfit::by(
                -(pressure - stated / 1000.0) * middle(limits) / sheet.modulus_mpa,
                format!(
                    "a face of {face} mm at {force} N presses with {kilopascals:.1} kPa where the standard for the \
                     material states {stated} kPa{right}"
                ),
            ));
        }
    }
    Ok(())
}

fn on_crimp(contacts: &Contacts) -> Result<(), Misfit> {
    match contacts.kind {
        ContactKind::BladeAndPoint => Ok(()),
        ContactKind::Flat | ContactKind::SmallFlat | ContactKind::Disc | ContactKind::Blade => {
            Err(Misfit::new(
                "it rides on the flash at the bottom of the crimp and reads too high by the height of the flash \
                 (0.08 mm is one maker's limit for it); use a blade on top and a point below",
            ))
        }
        kind => Err(Misfit::new(format!(
            "{} do not sit on a crimp; use a blade on top and a point below",
            kind.words()
        ))),
    }
}
