//! The depth of a keyseat in a shaft, measured from its floor to the opposite side.

mod findings;
pub mod physics;

use super::input::{input, stated};
use super::{Asked, Codes, Described, Dimension, Flag, Lacking, Laid, Measurand, refused, trial};
use crate::inspection::JobError;
use crate::inspection::checked::{not_negative, positive};
use crate::inspection::contact_pressure::Touch;
use crate::inspection::converted::Conversion;
use crate::inspection::equipment::{ContactKind, Contacts};
use crate::inspection::field::Field;
use crate::inspection::finding::{Finding, Readings};
use crate::inspection::keys::{choice, section};
use crate::inspection::measured_with::MeasuredWith;
use crate::inspection::misfit::{Misfit, need};
use crate::inspection::model::{Comparison, Quantity};
use crate::inspection::note;
use crate::inspection::warning::Warning;
use crate::limits::Limits;
use crate::message::{Message, Say, Value};
use crate::soak::Body;
use crate::uncertainty::Distribution;
use crate::units::Entered;
use physics::{chord_height, chord_height_slopes};

choice! {
    /// How a drawing states the depth of a keyseat.
    pub enum KeyseatConvention "keyseat" {
        /// From the floor to the opposite side of the shaft, `S`.
        BottomToOppositeSide "bottom-to-opposite-side",
        /// From where the crown of the shaft was.
        DepthFromCrown "depth-from-crown",
        /// From the edge of the seat, down its wall.
        DepthFromEdge "depth-from-edge",
    }
}

section! {
    /// What the drawing means, and the sizes that it is reckoned from.
    pub struct Keyseat {
        /// What the limits of the drawing mean.
        convention: KeyseatConvention => lacking(no_convention),
        /// Diameter of the shaft at the seat, measured.
        shaft_diameter: Entered,
        /// Its expanded uncertainty, k = 2.
        shaft_diameter_uncertainty: Entered,
        /// Width of the seat.
        width: Entered,
        /// Its expanded uncertainty, k = 2.
        width_uncertainty: Entered,
    }
}

impl Described for Keyseat {
    const ASKED: &'static [Asked] = &[
        Asked::value("convention"),
        Asked::value("shaft_diameter").of_each_part(),
        Asked::value("shaft_diameter_uncertainty"),
        Asked::value("width").of_each_part(),
        Asked::value("width_uncertainty"),
    ];
    const OPTIONS: &'static [Flag] = &[
        Flag::needed(
            "convention",
            "convention",
            Lacking::Sentence("setup-refused.convention"),
        ),
        Flag::needed(
            "shaft",
            "shaft_diameter",
            Lacking::What("setup-refused.shaft"),
        ),
        Flag::assumed("shaft_diameter_uncertainty", "0mm"),
        Flag::needed("width", "width", Lacking::What("setup-refused.seat")),
        Flag::assumed("width_uncertainty", "0mm"),
    ];
    const CODES: &'static [Codes] = &[
        KeyseatConvention::DECLARED,
        Asking::DECLARED,
        Size::DECLARED,
        Unfit::DECLARED,
        Line::DECLARED,
        Note::DECLARED,
        Formula::DECLARED,
        Ideal::DECLARED,
        KeyseatError::DECLARED,
        findings::Code::DECLARED,
        findings::Definition::DECLARED,
    ];
}

crate::messages! {
    /// What must be told.
    pub enum Asking "jobfile" {
        /// A keyseat without its convention.
        NoConvention "no-convention" { known: Vec<&'static str> as one_of },
    }
}

fn no_convention() -> Message {
    let known = KeyseatConvention::EVERY.iter().map(|one| one.key());
    let known = known.collect();
    Asking::NoConvention { known }.message()
}

crate::codes! {
    pub enum Size "field" {
        /// Diameter of the shaft at a keyseat.
        ShaftDiameter "shaft-diameter",
        ShaftDiameterUncertainty "shaft-diameter-uncertainty",
        /// Width of a keyseat.
        SeatWidth "seat-width",
        SeatWidthUncertainty "seat-width-uncertainty",
    }
}

crate::messages! {
    /// Why contacts do not show it.
    pub enum Unfit "contacts-unfit" {
        /// Contacts that do not reach the floor of a keyseat.
        NotInSeat "not-in-seat" { kind: ContactKind as code },
        /// A contact that bridges the edges of a seat.
        WiderThanSeat "wider-than-seat" { contact: f64 as Size, seat: Entered as Entered },
    }
}

crate::codes! {
    /// Its lines of the budget.
    pub enum Line "line" {
        /// The diameter of a shaft with a keyseat.
        ShaftDiameter "shaft-diameter",
        /// The width of a keyseat.
        SeatWidth "seat-width",
    }
}

crate::messages! {
    /// Where the numbers of those lines come from.
    pub enum Note "note" {
        /// Stated, less the height of the arc.
        StatedLessArc "stated-less-arc",
        /// Stated, through the height of the arc.
        StatedThroughArc "stated-through-arc",
    }
}

crate::messages! {
    /// The step from reading to size.
    pub enum Formula "conversion" {
        /// A keyseat read to the opposite side.
        OppositeSide "opposite-side",
        /// A keyseat's depth from the crown.
        FromCrown "from-crown" { shaft: Entered as Entered },
        /// A keyseat's depth from the edge.
        FromEdge "from-edge" { shaft: Entered as Entered, height: f64 as Size },
    }
}

crate::messages! {
    /// The contacts one would want.
    pub enum Ideal "ideal" {
        /// Small flats.
        SmallFlats "small-flats" { seat: Entered as Entered },
    }
}

crate::messages! {
    /// What is wrong with it.
    pub enum KeyseatError "feature-error" {
        /// Limits of a distance that look like a depth.
        LooksLikeDepth "looks-like-depth" { convention: KeyseatConvention as code, shaft: Entered as Entered },
        /// Limits of a depth that look like a distance.
        LooksLikeDistance "looks-like-distance" { convention: KeyseatConvention as code, shaft: Entered as Entered },
        /// A seat wider than its shaft.
        SeatTooWide "seat-too-wide" { width: Entered as Entered, shaft: Entered as Entered },
        /// Readings on a keyseat that put its floor above the edge of its walls.
        SeatAboveEdge "seat-above-edge" { reading: f64 as Size, shaft: Entered as Entered, depth: f64 as Size, convention: KeyseatConvention as code },
        /// Readings on a keyseat that put its floor below the axis of the shaft.
        SeatBelowAxis "seat-below-axis" { reading: f64 as Size, shaft: Entered as Entered },
    }
}

impl Keyseat {
    fn shaft(&self) -> f64 {
        self.shaft_diameter.value().mm()
    }

    fn seat(&self) -> f64 {
        self.width.value().mm()
    }

    fn too_wide(&self) -> JobError {
        refused(KeyseatError::SeatTooWide {
            width: self.width.clone(),
            shaft: self.shaft_diameter.clone(),
        })
    }
}

impl Measurand for Keyseat {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (3, None, Laid::Along)
    }

    fn dimension(&self) -> Dimension {
        match self.convention {
            KeyseatConvention::DepthFromCrown | KeyseatConvention::DepthFromEdge => {
                Dimension::Depth
            }
            KeyseatConvention::BottomToOppositeSide => Dimension::Size,
        }
    }

    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit> {
        let width = self.seat();
        let stated = |field| Ok::<f64, Misfit>(need(with.contacts, field)?.value().mm());
        let contact = match with.contacts.kind {
            ContactKind::Flat | ContactKind::SmallFlat => stated(Field::Face)?,
            ContactKind::Blade | ContactKind::BladeAndPoint => stated(Field::Thickness)?,
            ContactKind::SphereAndFlat | ContactKind::Point | ContactKind::Spheres => {
                2.0 * stated(Field::TipRadius)?
            }
            kind => return Err(Misfit::new(Unfit::NotInSeat { kind })),
        };
        if contact >= width {
            let seat = self.width.clone();
            return Err(Misfit {
                error: chord_height(self.shaft(), width),
                ..Misfit::new(Unfit::WiderThanSeat { contact, seat })
            });
        }
        Ok(())
    }

    fn ideal(&self, _limits: Limits) -> Message {
        let seat = self.width.clone();
        Ideal::SmallFlats { seat }.message()
    }

    fn trial_contacts(&self, _limits: Limits) -> Option<Contacts> {
        Some(Contacts {
            face: trial::share(&self.width, 0.3),
            ..trial::pair(ContactKind::SmallFlat)
        })
    }

    fn is_reckoned(&self) -> bool {
        true
    }

    fn body(&self, _size: f64) -> Body {
        Body::Cylinder(self.shaft())
    }

    /// A seat is less deep than half its shaft, so limits below the radius are a depth and limits above it the distance
    /// to the opposite side: which was stated shows in the numbers.
    fn check(&self, with: &MeasuredWith) -> Result<(), JobError> {
        let shaft = positive(Size::ShaftDiameter, &self.shaft_diameter)?;
        let width = positive(Size::SeatWidth, &self.width)?;
        not_negative(
            Size::ShaftDiameterUncertainty,
            &self.shaft_diameter_uncertainty,
        )?;
        not_negative(Size::SeatWidthUncertainty, &self.width_uncertainty)?;
        if width >= shaft {
            return Err(self.too_wide());
        }
        let Some(depth) = with.limits.lower.max(with.limits.upper) else {
            return Ok(());
        };
        let (convention, shaft) = (self.convention, self.shaft_diameter.clone());
        let looks_like_a_depth = depth.mm() < shaft.value().mm() / 2.0;
        let stated_as_a_depth = convention != KeyseatConvention::BottomToOppositeSide;
        match (looks_like_a_depth, stated_as_a_depth) {
            (true, false) => Err(refused(KeyseatError::LooksLikeDepth { convention, shaft })),
            (false, true) => Err(refused(KeyseatError::LooksLikeDistance {
                convention,
                shaft,
            })),
            _ => Ok(()),
        }
    }

    /// The floor of a seat lies below the edge of its walls and above the axis of the shaft: readings from the floor to the
    /// opposite side that put it elsewhere are of something else, or the shaft is.
    fn check_readings(&self, reading: f64) -> Result<(), JobError> {
        let Some(height) = chord_height(self.shaft(), self.seat()) else {
            // A seat that does not fit its shaft, which is said where it is computed with.
            return Ok(());
        };
        let (convention, shaft) = (self.convention, self.shaft_diameter.clone());
        let depth = self.shaft() - height - reading;
        if depth <= 0.0 {
            return Err(refused(KeyseatError::SeatAboveEdge {
                reading,
                shaft,
                depth,
                convention,
            }));
        }
        if reading < self.shaft() / 2.0 {
            return Err(refused(KeyseatError::SeatBelowAxis { reading, shaft }));
        }
        Ok(())
    }

    fn conversion(
        &self,
        _with: &MeasuredWith,
        _repeatability: f64,
    ) -> Result<Conversion, JobError> {
        let (shaft, width) = (self.shaft(), self.seat());
        let u_shaft = stated(&self.shaft_diameter_uncertainty);
        let u_width = stated(&self.width_uncertainty);
        let height = chord_height(shaft, width).ok_or_else(|| self.too_wide())?;
        let normal = |standard_uncertainty| Distribution::Normal {
            standard_uncertainty,
        };
        let of_shaft = self.shaft_diameter.clone();
        let (inputs, formula) = match self.convention {
            KeyseatConvention::BottomToOppositeSide => {
                return Ok(Conversion {
                    formula: Some(Formula::OppositeSide.message()),
                    ..Conversion::default()
                });
            }
            KeyseatConvention::DepthFromCrown => (
                vec![(
                    Quantity::Companion,
                    input(Line::ShaftDiameter, shaft, u_shaft, note::Note::Stated),
                )],
                Formula::FromCrown { shaft: of_shaft },
            ),
            KeyseatConvention::DepthFromEdge => {
                let (by_shaft, by_width) = chord_height_slopes(shaft, width).unwrap_or_default();
                let of_shaft_less_arc = input(
                    Line::ShaftDiameter,
                    shaft - height,
                    normal(u_shaft.standard_uncertainty() * (1.0 - by_shaft).abs()),
                    Note::StatedLessArc,
                );
                let of_width = input(
                    Line::SeatWidth,
                    0.0,
                    normal(u_width.standard_uncertainty() * by_width.abs()),
                    Note::StatedThroughArc,
                );
                (
                    vec![
                        (Quantity::Companion, of_shaft_less_arc),
                        (Quantity::SecondCompanion, of_width),
                    ],
                    Formula::FromEdge {
                        shaft: of_shaft,
                        height,
                    },
                )
            }
        };
        Ok(Conversion {
            model: Comparison { scale: -1.0 },
            inputs,
            formula: Some(formula.message()),
            by_place: true,
        })
    }

    /// A face rests on the flat of the seat, and on the round opposite along a line; the blade of a blade and point is in the seat.
    fn pressed(&self, with: &MeasuredWith) -> [Option<Touch>; 2] {
        let opposite = match (with.contacts.kind, with.tip_radius()) {
            (ContactKind::BladeAndPoint, Some(radius)) if radius > 0.0 => Some(Touch::OnShaft {
                radius,
                shaft: self.shaft(),
            }),
            _ => Touch::across(with, self.shaft()),
        };
        [Touch::on_flat(with), opposite]
    }

    fn findings(&self, readings: &Readings) -> Result<Vec<Finding>, JobError> {
        Ok(findings::findings(readings, self))
    }

    /// A keyseat that is outside its limits as they were stated and inside as the other depth.
    fn warning(&self, limits: Limits, size: f64) -> Option<Warning> {
        let height = chord_height(self.shaft(), self.seat())?;
        let (other, change) = match self.convention {
            KeyseatConvention::DepthFromEdge => (KeyseatConvention::DepthFromCrown, height),
            KeyseatConvention::DepthFromCrown => (KeyseatConvention::DepthFromEdge, -height),
            KeyseatConvention::BottomToOppositeSide => return None,
        };
        let within = |size: f64| {
            limits.lower.is_none_or(|lower| size >= lower.mm())
                && limits.upper.is_none_or(|upper| size <= upper.mm())
        };
        (!within(size) && within(size + change)).then_some(Warning::OtherConvention {
            stated: Value::code(self.convention),
            other: Value::code(other),
            size: size + change,
        })
    }
}
