//! The diameter at the floor of a groove or undercut around a shaft.

mod findings;
pub mod physics;

use super::input::{input, rectangular};
use super::{
    Asked, Codes, Described, Dimension, Flag, Lacking, Laid, Measurand, Named, Range, refused,
    trial,
};
use crate::inspection::JobError;
use crate::inspection::checked::{all_positive, none_negative, number};
use crate::inspection::contact_pressure::Touch;
use crate::inspection::converted::Conversion;
use crate::inspection::equipment::{ContactKind, Contacts};
use crate::inspection::field::{Field, Right};
use crate::inspection::finding::{Finding, Readings};
use crate::inspection::keys::section;
use crate::inspection::measured_with::MeasuredWith;
use crate::inspection::misfit::{Misfit, need};
use crate::inspection::model::Quantity;
use crate::inspection::warning::Warning;
use crate::limits::Limits;
use crate::message::{Message, Say};
use crate::units::Entered;
use physics::Opening;

/// A groove wall from square, degrees.
const WALL_ANGLE: Range = Range::new(0.0, 80.0, "°");

section! {
    /// A groove or undercut around a shaft.
    pub struct Groove {
        /// Width at the top.
        width: Entered,
        /// Radius where walls meet floor.
        root_radius: Option<Entered>,
        /// Slope of each wall from square, degrees; with `depth`, for tapered walls.
        wall_angle: Option<f64> => within(WALL_ANGLE),
        /// Depth of the groove.
        depth: Option<Entered>,
        /// Diameter of the land beside it; tells the depth of the groove.
        land_diameter: Option<Entered>,
    }
}

impl Described for Groove {
    const ASKED: &'static [Asked] = &[
        Asked::value("width"),
        Asked::any(
            "sizes",
            &[
                Named::of("root_radius", "root radius"),
                Named::of("wall_angle", "wall angle"),
                Named::of("depth", "depth"),
                Named::of("land_diameter", "land"),
            ],
        ),
    ];
    const OPTIONS: &'static [Flag] = &[
        Flag::needed(
            "width",
            "width",
            Lacking::What("setup-refused.groove-width"),
        ),
        Flag::of("root-radius", "root_radius"),
        Flag::of("wall-angle", "wall_angle"),
        Flag::of("depth", "depth"),
    ];
    const CODES: &'static [Codes] = &[
        Size::DECLARED,
        Unfit::DECLARED,
        Line::DECLARED,
        Note::DECLARED,
        Ideal::DECLARED,
        GrooveError::DECLARED,
        findings::Code::DECLARED,
        findings::Definition::DECLARED,
        ADVICE,
    ];
}

/// What is said before it is measured.
const ADVICE: Codes = &[("setup.blades", &[])];

crate::codes! {
    pub enum Size "field" {
        /// Width of a groove.
        Width "groove-width",
        /// Depth of a groove.
        Depth "groove-depth",
        /// Radius where walls meet floor.
        RootRadius "root-radius",
        /// Slope of a wall from square.
        WallAngle "wall-angle",
        /// Diameter of the land beside a groove.
        LandDiameter "land-diameter",
    }
}

crate::messages! {
    /// Why contacts do not show it.
    pub enum Unfit "contacts-unfit" {
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
    }
}

crate::codes! {
    /// Its line of the budget.
    pub enum Line "line" {
        /// Blades on the radii of a groove.
        OnRadii "on-radii",
    }
}

crate::messages! {
    /// Where the numbers of that line come from.
    pub enum Note "note" {
        /// An estimate, used on the reason given.
        Estimate "estimate",
    }
}

crate::messages! {
    /// The contacts one would want.
    pub enum Ideal "ideal" {
        /// Blades.
        Blades "blades" { floor: f64 as Size },
    }
}

crate::messages! {
    /// What is wrong with it.
    pub enum GrooveError "feature-error" {
        /// A land no larger than the floor of the groove.
        LandNotLarger "land-not-larger" { land: Entered as Entered, floor: f64 as Size },
        /// A depth that land and floor rule out: what they give for it, millimetres.
        DepthRuledOut "depth-ruled-out" { depth: Entered as Entered, land: Entered as Entered, floor: f64 as Size, reckoned: f64 as Size },
    }
}

/// How far a groove may be from its stated depth beside the last digit of that, millimetres: a depth without a tolerance of its
/// own is within 0.1 mm up to 6 mm (ISO 2768-1, class m; from memory).
const DEPTH_TOLERANCE: f64 = 0.1;
/// The part of the larger of two depths by which they cannot differ and be of one groove (common practice, no source).
const RULED_OUT: f64 = 0.5;

/// A stated depth beside what the diameters of land and floor give for it, millimetres.
struct Depths<'a> {
    stated: &'a Entered,
    land: &'a Entered,
    reckoned: f64,
}

impl Depths<'_> {
    fn apart(&self) -> f64 {
        (self.reckoned - self.stated.value().mm()).abs()
    }

    /// How far apart they may be: the tolerance of the depth and one step of its last digit.
    fn allowed(&self) -> f64 {
        DEPTH_TOLERANCE + self.stated.resolution().mm()
    }

    /// No groove has both.
    fn rule_each_other_out(&self) -> bool {
        let larger = self.reckoned.max(self.stated.value().mm());
        self.apart() > (RULED_OUT * larger).max(self.allowed())
    }
}

impl Groove {
    /// Both depths, where both are known.
    fn depths(&self, floor: f64) -> Option<Depths<'_>> {
        let (stated, land) = (self.depth.as_ref()?, self.land_diameter.as_ref()?);
        let reckoned = physics::depth(land.value().mm(), floor);
        Some(Depths {
            stated,
            land,
            reckoned,
        })
    }

    /// The groove as the blade finds it.
    pub fn opening(&self) -> Opening {
        let mm = |length: &Option<Entered>| length.as_ref().map_or(0.0, |one| one.value().mm());
        Opening {
            width: self.width.value().mm(),
            root_radius: mm(&self.root_radius),
            wall_angle: self.wall_angle.unwrap_or(0.0).to_radians(),
            depth: mm(&self.depth),
        }
    }
}

impl Measurand for Groove {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (3, Some(60), Laid::Around)
    }

    fn dimension(&self) -> Dimension {
        Dimension::Diameter
    }

    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit> {
        let opening = self.opening();
        let floor = opening.flat_floor();
        if floor <= 0.0 {
            let width = self.width.clone();
            return Err(Misfit::new(Unfit::NoFloor { width }));
        }
        let stated = |field| Ok::<f64, Misfit>(need(with.contacts, field)?.value().mm());
        let thickness = match with.contacts.kind {
            ContactKind::Blade => stated(Field::Thickness)?,
            ContactKind::KnifeEdge | ContactKind::Point => 2.0 * stated(Field::TipRadius)?,
            ContactKind::SmallFlat | ContactKind::Flat => stated(Field::Face)?,
            kind => return Err(Misfit::new(Unfit::NotOnFloor { kind, floor })),
        };
        if thickness > opening.width {
            let width = self.width.clone();
            return Err(match self.depth.clone() {
                Some(depth) => Misfit::by(
                    2.0 * depth.value().mm(),
                    Unfit::OnTheLand {
                        thickness,
                        width,
                        depth,
                        floor,
                    },
                ),
                None => Misfit::new(Unfit::ThickerThanGroove {
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
                    Unfit::OnTheRadiiBy {
                        thickness,
                        floor,
                        by,
                    },
                ),
                None => Misfit::new(Unfit::OnTheRadii { thickness, floor }),
            });
        }
        Ok(())
    }

    fn ideal(&self, _limits: Limits) -> Message {
        let floor = self.opening().flat_floor().max(0.0);
        Ideal::Blades { floor }.message()
    }

    fn trial_contacts(&self, _limits: Limits) -> Option<Contacts> {
        Some(Contacts {
            thickness: trial::share(&self.width, 0.1),
            ..trial::pair(ContactKind::Blade)
        })
    }

    fn is_all_around(&self) -> bool {
        true
    }

    fn advice(&self) -> Option<Message> {
        Some(Message::of("setup.blades"))
    }

    fn check(&self, _with: &MeasuredWith) -> Result<(), JobError> {
        all_positive([
            (Size::Width.into(), Some(&self.width)),
            (Size::Depth.into(), self.depth.as_ref()),
            (Size::LandDiameter.into(), self.land_diameter.as_ref()),
        ])?;
        none_negative([(Size::RootRadius.into(), self.root_radius.as_ref())])?;
        match self.wall_angle {
            Some(angle) => number(
                Size::WallAngle,
                angle,
                (WALL_ANGLE.from..WALL_ANGLE.to).contains(&angle),
                Right::WallDegrees,
            ),
            None => Ok(()),
        }
    }

    /// The land beside a groove is larger than its floor, by about twice the depth.
    fn check_readings(&self, floor: f64) -> Result<(), JobError> {
        match &self.land_diameter {
            Some(land) if land.value().mm() <= floor => {
                let land = land.clone();
                return Err(refused(GrooveError::LandNotLarger { land, floor }));
            }
            _ => {}
        }
        match self.depths(floor) {
            Some(depths) if depths.rule_each_other_out() => {
                Err(refused(GrooveError::DepthRuledOut {
                    depth: depths.stated.clone(),
                    land: depths.land.clone(),
                    floor,
                    reckoned: depths.reckoned,
                }))
            }
            _ => Ok(()),
        }
    }

    /// A depth that is not the one that land and floor give.
    fn warning(&self, _limits: Limits, floor: f64) -> Option<Warning> {
        let depths = self.depths(floor)?;
        (depths.apart() > depths.allowed()).then(|| Warning::OtherDepth {
            depth: depths.stated.clone(),
            land: depths.land.clone(),
            floor,
            reckoned: depths.reckoned,
            allowed: depths.allowed(),
        })
    }

    /// Blades too thick for the floor, used on the reason given, ride on the radii on both sides.
    fn conversion(&self, with: &MeasuredWith, _repeatability: f64) -> Result<Conversion, JobError> {
        let opening = self.opening();
        let error = with
            .thickness()
            .and_then(|thickness| opening.rides_by(thickness))
            .map_or(0.0, |one| 2.0 * one);
        if error <= 0.0 {
            return Ok(Conversion::default());
        }
        let on_radii = input(
            Line::OnRadii,
            -error,
            rectangular(error / 2.0),
            Note::Estimate,
        );
        Ok(Conversion {
            inputs: vec![(Quantity::ContactGeometry, on_radii)],
            ..Conversion::default()
        })
    }

    fn touch(&self, with: &MeasuredWith) -> Option<Touch> {
        let shaft = with.middle();
        match with.contacts.kind {
            ContactKind::KnifeEdge => {
                let radius = with.tip_radius().filter(|radius| *radius > 0.0)?;
                Some(Touch::Edge { radius, shaft })
            }
            ContactKind::Blade => Touch::along(with.thickness(), shaft),
            _ => with
                .round_tip()
                .map(|radius| Touch::OnShaft { radius, shaft }),
        }
    }

    fn pressed(&self, with: &MeasuredWith) -> [Option<Touch>; 2] {
        Touch::both_across(with, with.middle())
    }

    fn findings(&self, readings: &Readings) -> Result<Vec<Finding>, JobError> {
        Ok(findings::findings(readings, self))
    }
}
