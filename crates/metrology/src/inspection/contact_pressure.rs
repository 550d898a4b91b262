//! How hard the contacts press on the part, and whether they leave a mark.
//!
//! Below first yield a contact springs back and Hertz holds; above it a mark stays on the part and the contact sinks in by
//! more. First yield under the surface: greatest pressure of 1.6 times the yield strength at a point, 1.8 times along a
//! line (Johnson, Contact Mechanics, 1985, from memory).

use super::equipment::ContactKind;
use super::measured_with::MeasuredWith;
use super::warning::{Instead, Warning};
use crate::elastic::{line_contact, line_unbounded, point_contact, point_unbounded};
use crate::material::{self, Elastic};

/// Material of contacts and wires that nobody named: the hardest in use presses most (common practice, no source).
pub const CONTACTS: &str = "carbide";
/// Radii of spheres up to which a larger one is looked for, millimetres: no contact has more (common practice, no source).
const LARGEST_SPHERE: f64 = 50.0;

/// Greatest pressure that a sphere may have before the part yields: `1.6 σ_y` (from memory).
fn sphere_yields_at(yield_stress: f64) -> f64 {
    1.6 * yield_stress
}

/// The same for a line: `1.8 σ_y` (from memory).
fn line_yields_at(yield_stress: f64) -> f64 {
    1.8 * yield_stress
}

/// Two bodies that touch, by their shapes; millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Touch {
    /// A sphere or rounded point of this radius in a bore of this diameter.
    InBore { radius: f64, bore: f64 },
    /// The same on a flat, or where the surface is not known.
    OnFlat { radius: f64 },
    /// The same across a shaft of this diameter.
    OnShaft { radius: f64, shaft: f64 },
    /// An edge rounded to this radius, around a shaft of this diameter.
    Edge { radius: f64, shaft: f64 },
    /// A flat of this length along a shaft of this diameter.
    Flat { length: f64, shaft: f64 },
}

impl Touch {
    /// A sphere in a bore of this diameter.
    pub const fn in_bore(radius: f64, bore: f64) -> Self {
        Self::InBore { radius, bore }
    }

    /// A sphere or a point on what is not known to be round.
    pub fn on_flat(with: &MeasuredWith) -> Option<Self> {
        with.round_tip().map(|radius| Self::OnFlat { radius })
    }

    /// A flat of this length along a shaft of this diameter; `None` of what is no size.
    pub fn along(length: Option<f64>, shaft: f64) -> Option<Self> {
        let length = length.filter(|length| *length > 0.0)?;
        (shaft > 0.0).then_some(Self::Flat { length, shaft })
    }

    /// A contact across a shaft of this diameter: a face along it, the thickness of a blade, an edge around it, or a tip; of a
    /// sphere and a flat the flat.
    pub fn across(with: &MeasuredWith, shaft: f64) -> Option<Self> {
        let radius = with.tip_radius().filter(|radius| *radius > 0.0);
        match with.contacts.kind {
            ContactKind::Flat
            | ContactKind::SmallFlat
            | ContactKind::Disc
            | ContactKind::SphereAndFlat => Self::along(with.face(), shaft),
            ContactKind::Blade => Self::along(with.thickness(), shaft),
            ContactKind::KnifeEdge => radius.map(|radius| Self::Edge { radius, shaft }),
            ContactKind::Point | ContactKind::Spheres => {
                radius.map(|radius| Self::OnShaft { radius, shaft })
            }
            ContactKind::BladeAndPoint | ContactKind::VAndCone | ContactKind::VAnvil => None,
        }
        .filter(|_| shaft > 0.0)
    }

    /// Both contacts across a shaft of this diameter.
    pub fn both_across(with: &MeasuredWith, shaft: f64) -> [Option<Self>; 2] {
        let one = Self::across(with, shaft);
        let radius = with.round_tip();
        match with.contacts.kind {
            ContactKind::SphereAndFlat => {
                let sphere = radius.map(|radius| Self::OnShaft { radius, shaft });
                [sphere, one]
            }
            _ => [one; 2],
        }
    }

    /// Approach of the bodies, millimetres, and greatest pressure, megapascals; the approach of a line is not asked for
    /// here. `None` where the contact is no small spot.
    pub fn pressed(self, force: f64, bodies: (Elastic, Elastic)) -> Option<(f64, f64)> {
        if let Self::Flat { length, shaft } = self {
            let found = line_contact(force, bodies, shaft, length).ok()?;
            return Some((0.0, found.peak_pressure_mpa));
        }
        let (a, b) = self.curvatures()?;
        let found = point_contact(force, bodies, a, b).ok()?;
        Some((found.approach_mm, found.peak_pressure_mpa))
    }

    /// Greatest pressure, megapascals, however wide the contact is.
    fn greatest_pressure(self, force: f64, bodies: (Elastic, Elastic)) -> Option<f64> {
        if let Self::Flat { length, shaft } = self {
            let found = line_unbounded(force, bodies, shaft, length).ok()?;
            return Some(found.peak_pressure_mpa);
        }
        let (a, b) = self.curvatures()?;
        let found = point_unbounded(force, bodies, a, b).ok()?;
        Some(found.peak_pressure_mpa)
    }

    /// Half the relative curvatures of a contact at a point, per millimetre.
    pub fn curvatures(self) -> Option<(f64, f64)> {
        Some(match self {
            Self::InBore { radius, bore } => (0.5 / radius - 1.0 / bore, 0.5 / radius),
            Self::OnFlat { radius } => (0.5 / radius, 0.5 / radius),
            Self::OnShaft { radius, shaft } => (0.5 / radius + 1.0 / shaft, 0.5 / radius),
            Self::Edge { radius, shaft } => (1.0 / shaft, 0.5 / radius),
            Self::Flat { .. } => return None,
        })
    }

    const fn is_line(self) -> bool {
        matches!(self, Self::Flat { .. })
    }

    /// The same with a sphere of another radius; `None` of what is no sphere, or too large for its bore.
    fn with_sphere(self, radius: f64) -> Option<Self> {
        match self {
            Self::InBore { bore, .. } if radius < bore / 2.0 => Some(Self::InBore { radius, bore }),
            Self::OnFlat { .. } => Some(Self::OnFlat { radius }),
            Self::OnShaft { shaft, .. } => Some(Self::OnShaft { radius, shaft }),
            Self::InBore { .. } | Self::Edge { .. } | Self::Flat { .. } => None,
        }
    }
}

/// A contact that presses the part beyond its first yield.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marks {
    touch: Touch,
    bodies: (Elastic, Elastic),
    /// Measuring force, newtons.
    force: f64,
    /// Greatest pressure, megapascals.
    pressure: f64,
    /// Greatest pressure at which the part first yields, megapascals.
    onset: f64,
    /// Yield strength of the part, megapascals.
    yields: f64,
}

impl Marks {
    /// Of contacts whose force, part and own material are known well enough to tell.
    pub fn of(touch: Option<Touch>, with: &MeasuredWith) -> Option<Self> {
        let touch = touch?;
        Self::under(touch, with, |force, bodies| {
            let (_, pressure) = touch.pressed(force, bodies)?;
            Some(pressure)
        })
    }

    /// The same of contacts that are no small spot, too.
    pub fn of_any(touch: Touch, with: &MeasuredWith) -> Option<Self> {
        Self::under(touch, with, |force, bodies| {
            touch.greatest_pressure(force, bodies)
        })
    }

    fn under(
        touch: Touch,
        with: &MeasuredWith,
        pressure: impl Fn(f64, (Elastic, Elastic)) -> Option<f64>,
    ) -> Option<Self> {
        let force = with.force?;
        let (material, _) = with.materials?;
        let contacts = with.contacts.material.as_deref().unwrap_or(CONTACTS);
        let bodies = (Elastic::named(contacts)?, Elastic::named(material)?);
        let yields = match with.hardness_hv {
            Some(hardness) => material::yield_strength_of_hardness(hardness),
            None => material::yield_strength(material)?,
        };
        let onset = if touch.is_line() {
            line_yields_at(yields)
        } else {
            sphere_yields_at(yields)
        };
        let pressure = pressure(force, bodies)?;
        (pressure > onset).then_some(Self {
            touch,
            bodies,
            force,
            pressure,
            onset,
            yields,
        })
    }

    /// How deep a sphere may sink in for good, millimetres: `F/(2π R H)` of the fully plastic contact with `H = 3 σ_y`,
    /// the deepest there is (Johnson, Contact Mechanics, 1985, from memory). Zero of other contacts.
    pub fn dent(&self) -> f64 {
        match self.touch {
            Touch::InBore { radius, .. }
            | Touch::OnFlat { radius }
            | Touch::OnShaft { radius, .. } => {
                self.force / (2.0 * std::f64::consts::PI * radius * 3.0 * self.yields)
            }
            Touch::Edge { .. } | Touch::Flat { .. } => 0.0,
        }
    }

    /// The warning, with what would leave no mark.
    pub fn warning(&self, material: &str) -> Warning {
        Warning::Marks {
            pressure: self.pressure,
            onset: self.onset,
            force: self.force,
            material: material.to_owned(),
            instead: self.instead(),
        }
    }

    /// The force that leaves no mark, and with the force as it is the contact that leaves none.
    fn instead(&self) -> Instead {
        // The greatest pressure goes with the cube root of the force at a point, with its square root along a line.
        let power = if self.touch.is_line() { 2.0 } else { 3.0 };
        let force = self.force * libm::pow(self.onset / self.pressure, power);
        let on_flat = matches!(self.touch, Touch::OnFlat { .. });
        match (self.touch, self.sphere()) {
            (Touch::Flat { length, .. }, _) => Instead::WiderFace {
                force,
                face: length * self.force / force,
            },
            (_, Some(radius)) if on_flat => Instead::SphereOrFlat { force, radius },
            (_, Some(radius)) => Instead::LargerSphere { force, radius },
            (_, None) if on_flat => Instead::Flat { force },
            (_, None) => Instead::LessForce { force },
        }
    }

    /// The smallest sphere that leaves no mark under the same force, millimetres.
    fn sphere(&self) -> Option<f64> {
        let marks = |radius: f64| {
            let touch = self.touch.with_sphere(radius)?;
            let (_, pressure) = touch.pressed(self.force, self.bodies)?;
            Some(pressure > self.onset)
        };
        let (mut small, mut large) = match self.touch {
            Touch::InBore { radius, bore } => (radius, 0.49 * bore),
            Touch::OnFlat { radius } | Touch::OnShaft { radius, .. } => (radius, LARGEST_SPHERE),
            Touch::Edge { .. } | Touch::Flat { .. } => return None,
        };
        if marks(large)? {
            return None;
        }
        for _ in 0..50 {
            let middle = f64::midpoint(small, large);
            if marks(middle)? {
                small = middle;
            } else {
                large = middle;
            }
        }
        Some(large)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Carbide ball of radius 1.5 mm at 7.5 N on aluminium of 276 MPa: 1469 MPa, yields at 442 (1.6 × 276); a force of
    /// 7.5 (442/1469)³ = 0.204 N, or a radius of 1.5 (1469/442)^1.5 = 9.1 mm, stays below.
    #[test]
    fn a_ball_that_dents_aluminium() {
        let bodies = (
            Elastic::named("carbide").unwrap(),
            Elastic::named("aluminium").unwrap(),
        );
        let touch = Touch::OnFlat { radius: 1.5 };
        let (_, pressure) = touch.pressed(7.5, bodies).unwrap();
        let marks = Marks {
            touch,
            bodies,
            force: 7.5,
            pressure,
            onset: sphere_yields_at(276.0),
            yields: 276.0,
        };
        assert!((pressure - 1469.0).abs() < 1.0, "{pressure}");
        let Instead::SphereOrFlat { force, radius } = marks.instead() else {
            panic!("{:?}", marks.instead());
        };
        assert!((force - 0.204).abs() < 1e-3, "{force}");
        assert!((radius - 9.1).abs() < 0.05, "{radius}");
        // In a bore the sphere nestles in, and presses less.
        let in_bore = Touch::InBore {
            radius: 1.5,
            bore: 8.0,
        };
        assert!(in_bore.pressed(7.5, bodies).unwrap().1 < pressure);
        assert!((marks.dent() - 0.000_961).abs() < 1e-6, "{}", marks.dent());
    }

    /// A face of 6.35 mm along a pin of 1 mm: √(F E*/(π R l)), 230 MPa on aluminium.
    #[test]
    fn a_flat_along_a_pin() {
        let steel = Elastic::named("carbide").unwrap();
        let bodies = (steel, Elastic::named("aluminium").unwrap());
        let touch = Touch::Flat {
            length: 6.35,
            shaft: 1.0,
        };
        let modulus = 1.0 / (bodies.0.plane_compliance() + bodies.1.plane_compliance());
        let by_hand = (7.5 * modulus / (std::f64::consts::PI * 0.5 * 6.35)).sqrt();
        let (_, pressure) = touch.pressed(7.5, bodies).unwrap();
        assert!((pressure / by_hand - 1.0).abs() < 1e-9, "{pressure}");
        assert!((pressure - 229.6).abs() < 1.0, "{pressure}");
    }
}
