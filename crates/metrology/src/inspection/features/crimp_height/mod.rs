//! The height of the conductor crimp of a terminal. Its limits come from the terminal maker's sheet, which is named here.

mod findings;
pub mod physics;

use std::ops::RangeInclusive;

use super::pull_force::{self, PullError};
use super::wire_size::{self, WireError};
use super::{
    Ask, Asked, Codes, Described, Dimension, Flag, Given, Lacking, Laid, Measurand, Named, Range,
    refused, trial,
};
use crate::inspection::JobError;
use crate::inspection::checked::number;
use crate::inspection::contact_pressure::Touch;
use crate::inspection::equipment::{ContactKind, Contacts};
use crate::inspection::field::Right;
use crate::inspection::finding::{Finding, Readings};
use crate::inspection::keys::{
    Holds, Key, Row, Stands, Stated, Values, choice, section, stands_in_section,
};
use crate::inspection::measured_with::MeasuredWith;
use crate::inspection::misfit::Misfit;
use crate::inspection::state::Caution;
use crate::limits::Limits;
use crate::message::{Message, Say};
use serde::{Deserialize, Serialize};

/// The area of a conductor or a barrel, square millimetres.
const AREA: Range = Range::new(0.0001, 10_000.0, " mm²");
/// The width of a crimp, millimetres.
const CRIMP_WIDTH: Range = Range::new(0.01, 1000.0, " mm");
/// A limit of the compression ratio of a crimp, percent.
const COMPRESSION: Range = Range::new(0.0, 1000.0, " %");
/// A pull force or its uncertainty, newtons.
const PULL_FORCE: Range = Range::new(0.0, 1e6, " N");
/// How much larger than height times width a section may come out where all three are rounded (common practice, no source).
const ROUNDED: f64 = 1.05;
/// The least part of its wire that a crimp holds (common practice, no source).
const LEAST_OF_WIRE: f64 = 0.5;
/// Areas of a crimp in section that a result is computed from, square millimetres (common practice, no source).
const SECTION: RangeInclusive<f64> = 1e-3..=1e4;

/// The size of a conductor, as marked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Wire {
    /// American wire gauge: `18`, `2/0`.
    Awg(String),
    /// Square millimetres.
    Mm2(String),
}

choice! {
    /// What a compression ratio is a ratio of. Always printed with the number.
    pub enum CompressionDefinition "compression" {
        /// Section after crimping over conductor and barrel before.
        ConductorAndBarrel "conductor-and-barrel",
        /// Conductor after crimping over conductor before.
        Conductor "conductor",
    }
}

section! {
    /// Areas before and after crimping, square millimetres, from a section.
    pub struct Compression {
        /// Which ratio.
        definition: CompressionDefinition,
        /// Area after crimping.
        area_after_mm2: f64 => within(AREA),
        /// Area of the barrel before, where the definition counts it.
        barrel_area_mm2: Option<f64> => within(AREA),
        /// Area of the conductor, where it is not that of its size.
        conductor_area_mm2: Option<f64> => within(AREA),
        /// Width of the crimp as the die sets it, millimetres: tells what a change of height does to the ratio.
        width_mm: Option<f64> => within(CRIMP_WIDTH),
        /// Smallest and largest permitted ratio, percent.
        limits_percent: Option<[f64; 2]> => within(COMPRESSION),
    }
}
stands_in_section!(Compression);

section! {
    /// Pull forces on samples, judged by the standard that the contract names and by no other.
    pub struct Pull {
        /// The standard: `ul-486a`, `as7928`, `nasa-std-8739.4`, `iec-60352-2`, `as39029`.
        standard: String => lacking(no_standard) known(&pull_force::STANDARDS),
        /// The forces as read, with their unit: `96N`, `21.5lbf`.
        forces: Vec<String> => checked(is_force),
        /// Breaking force of the wire itself, where the standard asks for a share of it.
        wire_strength: Option<String> => checked(is_force),
        /// Standard uncertainty of one force, newtons.
        standard_uncertainty_n: Option<f64> => within(PULL_FORCE),
    }
}
stands_in_section!(Pull);

section! {
    /// Whose limits they are, the conductor, and what was found beside the height.
    pub struct CrimpHeight {
        /// The terminal maker's sheet that the limits are from.
        sheet: String => lacking(no_sheet),
        wire: Wire,
        /// Compression, where it is asked for.
        compression: Option<Compression>,
        /// Pull forces, where they were taken.
        pull: Option<Pull>,
    }
}

const AWG: Key = Key::of::<Option<String>>("awg")
    .instead("mm2")
    .lacking(no_wire)
    .checked(is_gauge);
const MM2: Key = Key::of::<Option<String>>("mm2")
    .instead("awg")
    .checked(is_area);

/// Either of two keys.
impl Stands for Wire {
    const HOLDS: Holds = Holds::Beside(&[AWG, MM2]);

    fn take<V: Values>(values: &mut V, _key: &Key) -> Result<Option<Self>, V::Error> {
        match (values.text(&AWG)?, values.text(&MM2)?) {
            (Some(awg), None) => Ok(Some(Self::Awg(awg))),
            (None, Some(mm2)) => Ok(Some(Self::Mm2(mm2))),
            _ => Err(values.missing(&AWG)),
        }
    }

    fn rows(&self, _key: &'static Key, rows: &mut Vec<Row>) {
        let (key, text) = match self {
            Self::Awg(text) => (&AWG, text),
            Self::Mm2(text) => (&MM2, text),
        };
        rows.push((key, Stated::Text(text.clone())));
    }
}

impl Described for CrimpHeight {
    const FROM_SHEET: bool = true;
    const SAMPLED: bool = true;
    const ASKED: &'static [Asked] = &[
        Asked::value("sheet"),
        Asked::by("wire", Ask::Told(&["awg", "mm2"], wire)),
        Asked::value("pull.standard").optional(),
        Asked::value("pull.forces")
            .when("pull.standard", &[])
            .of_each_part(),
        Asked::any(
            "pull.sizes",
            &[
                Named::of("pull.wire_strength", "wire strength"),
                Named::of("pull.standard_uncertainty_n", "uncertainty"),
            ],
        )
        .when("pull.standard", &[]),
        Asked::value("compression.definition").optional(),
        Asked::value("compression.area_after_mm2")
            .when("compression.definition", &[])
            .of_each_part(),
        Asked::value("compression.barrel_area_mm2")
            .when("compression.definition", &["conductor-and-barrel"]),
        Asked::any(
            "compression.sizes",
            &[
                Named::of("compression.width_mm", "width"),
                Named::of("compression.conductor_area_mm2", "conductor"),
                Named::bound("compression.limits_percent", "at least", 0),
                Named::bound("compression.limits_percent", "at most", 1),
            ],
        )
        .when("compression.definition", &[]),
    ];
    // The advice does not depend on the sheet.
    const OPTIONS: &'static [Flag] = &[
        Flag::assumed("sheet", "-"),
        Flag::needed("awg", "awg", Lacking::Sentence("setup-refused.no-wire")),
        Flag::of("mm2", "mm2").not_with("awg"),
    ];
    const CODES: &'static [Codes] = &[
        Size::DECLARED,
        Unfit::DECLARED,
        Ideal::DECLARED,
        Asking::DECLARED,
        Typed::DECLARED,
        CrimpError::DECLARED,
        findings::Code::DECLARED,
        findings::Definition::DECLARED,
        ADVICE,
    ];
}

crate::messages! {
    /// What must be told.
    pub enum Asking "jobfile" {
        /// A crimp without its sheet.
        NoSheet "no-sheet",
        /// A crimp without its wire, or with two.
        NoWire "no-wire",
    }
}

crate::messages! {
    /// What is wrong with a line.
    pub enum Typed "bench" {
        /// No conductor.
        WireWanted "wire-wanted" { text: String as Text },
    }
}

fn no_sheet() -> Message {
    Asking::NoSheet.message()
}

fn no_wire() -> Message {
    Asking::NoWire.message()
}

fn no_standard() -> Message {
    PullError::NotNamed.message()
}

fn is_force(text: &str) -> Result<(), Message> {
    pull_force::force(text)
        .map(|_| ())
        .map_err(|error| error.message())
}

fn is_gauge(text: &str) -> Result<(), Message> {
    wire_size::conductor(text)
        .map(|_| ())
        .map_err(|error| error.message())
}

fn is_area(text: &str) -> Result<(), Message> {
    wire_size::area(text)
        .map(|_| ())
        .map_err(|error| error.message())
}

/// A conductor as people write it: `AWG 18`, `AWG 22 19/34` or `0.75 mm²`.
fn wire(text: &str) -> Result<Given, Message> {
    let said = text.trim().to_lowercase();
    let area = ["mm²", "mm2"]
        .iter()
        .find_map(|unit| said.strip_suffix(unit))
        .map(|area| area.trim().replace(',', "."));
    if let Some(area) = area {
        is_area(&area)?;
        return Ok((MM2.name, area));
    }
    // No area has a stroke, and none is solid.
    let gauge = said.strip_prefix("awg").or_else(|| {
        Some(said.as_str()).filter(|said| said.contains('/') || said.ends_with("solid"))
    });
    match gauge {
        Some(gauge) => {
            let gauge = gauge.trim().to_owned();
            is_gauge(&gauge)?;
            Ok((AWG.name, gauge))
        }
        None => Err(Typed::WireWanted {
            text: text.to_owned(),
        }
        .message()),
    }
}

/// What is said before it is measured.
const ADVICE: Codes = &[("setup.crimp", &[])];

crate::codes! {
    pub enum Size "field" {
        /// Area of a crimp in section after crimping.
        AreaAfter "area-after",
        /// Area of the barrel before crimping.
        BarrelArea "barrel-area",
        /// Area of the conductor before crimping.
        ConductorArea "conductor-area",
        /// Width of a crimp.
        CrimpWidth "crimp-width",
        /// Limit of a compression ratio.
        CompressionLimit "compression-limit",
        /// Standard uncertainty of a pull force.
        PullUncertainty "pull-uncertainty",
    }
}

crate::messages! {
    /// Why contacts do not show it.
    pub enum Unfit "contacts-unfit" {
        /// Contacts that ride on the flash of a crimp.
        OnTheFlash "on-the-flash",
        /// Contacts that do not sit on a crimp.
        NotOnCrimp "not-on-crimp" { kind: ContactKind as code },
    }
}

crate::messages! {
    /// The contacts one would want.
    pub enum Ideal "ideal" {
        /// Blade and point.
        BladeAndPoint "blade-and-point",
    }
}

crate::messages! {
    /// What is wrong with it.
    pub enum CrimpError "feature-error" {
        /// A crimp whose limits are from nowhere.
        NoSheet "no-sheet",
        /// A conductor of no known size.
        Wire "wire" { error: WireError as said },
        /// A compression that counts the barrel, without it.
        NoBarrelArea "no-barrel-area",
        /// A section after crimping that is larger than the rectangle around it.
        AreaOutside "area-outside" { area: f64 as SquareMillimetre, width: f64 as Size, height: f64 as Size, most: f64 as SquareMillimetre },
        /// A rectangle around a crimp that is far smaller than the wire in it.
        BelowWire "below-wire" { wire: f64 as SquareMillimetre, width: f64 as Size, height: f64 as Size, most: f64 as SquareMillimetre },
        /// Areas that are none.
        NoAreas "no-areas",
        /// A pull test that cannot be judged.
        Pull "pull" { error: PullError as said },
        /// A pull test without forces.
        NoForces "no-forces",
    }
}

impl Measurand for CrimpHeight {
    fn places(&self) -> (usize, Option<u32>, Laid) {
        (5, None, Laid::Samples)
    }

    fn dimension(&self) -> Dimension {
        Dimension::Height
    }

    fn suits(&self, with: &MeasuredWith) -> Result<(), Misfit> {
        match with.contacts.kind {
            ContactKind::BladeAndPoint => Ok(()),
            ContactKind::Flat | ContactKind::SmallFlat | ContactKind::Disc | ContactKind::Blade => {
                Err(Misfit::new(Unfit::OnTheFlash))
            }
            kind => Err(Misfit::new(Unfit::NotOnCrimp { kind })),
        }
    }

    fn ideal(&self, _limits: Limits) -> Message {
        Ideal::BladeAndPoint.message()
    }

    fn trial_contacts(&self, _limits: Limits) -> Option<Contacts> {
        Some(Contacts {
            tip_radius: trial::size("0.2mm"),
            thickness: trial::size("0.6mm"),
            ..trial::pair(ContactKind::BladeAndPoint)
        })
    }

    fn sheet(&self) -> Option<&str> {
        Some(&self.sheet)
    }

    fn caution(&self) -> Option<Caution> {
        Some(Caution::Electrical)
    }

    fn advice(&self) -> Option<Message> {
        Some(Message::of("setup.crimp"))
    }

    fn check(&self, _with: &MeasuredWith) -> Result<(), JobError> {
        if self.sheet.trim().is_empty() {
            return Err(refused(CrimpError::NoSheet));
        }
        if let Some(compression) = &self.compression {
            compression.check()?;
        }
        let pull = self.pull.as_ref();
        match pull.and_then(|pull| pull.standard_uncertainty_n) {
            Some(u) => {
                let good = u >= 0.0 && u.is_finite();
                number(Size::PullUncertainty, u, good, Right::PullNewtons)
            }
            None => Ok(()),
        }
    }

    /// The section of a crimp lies within its height and width, and holds at least half of its wire.
    fn check_readings(&self, height: f64) -> Result<(), JobError> {
        let compression = self.compression.as_ref();
        let Some((area, width)) =
            compression.and_then(|one| Some((one.area_after_mm2, one.width_mm?)))
        else {
            return Ok(());
        };
        let most = width * height;
        if area > most * ROUNDED {
            return Err(refused(CrimpError::AreaOutside {
                area,
                width,
                height,
                most,
            }));
        }
        match findings::least_wire(self)? {
            wire if most < wire * LEAST_OF_WIRE => Err(refused(CrimpError::BelowWire {
                wire,
                width,
                height,
                most,
            })),
            _ => Ok(()),
        }
    }

    /// A crimp is pressed flat already.
    fn touch(&self, _with: &MeasuredWith) -> Option<Touch> {
        None
    }

    fn findings(&self, readings: &Readings) -> Result<Vec<Finding>, JobError> {
        findings::findings(readings, self)
    }
}

impl Compression {
    fn check(&self) -> Result<(), JobError> {
        if let Some([lower, upper]) = self.limits_percent
            && lower > upper
        {
            return Err(JobError::PercentsReversed { lower, upper });
        }
        for (field, area) in [
            (Size::AreaAfter, Some(self.area_after_mm2)),
            (Size::BarrelArea, self.barrel_area_mm2),
            (Size::ConductorArea, self.conductor_area_mm2),
        ] {
            if let Some(area) = area {
                number(
                    field,
                    area,
                    SECTION.contains(&area),
                    Right::SquareMillimetres,
                )?;
            }
        }
        if let Some(width) = self.width_mm {
            let good = (CRIMP_WIDTH.from..=CRIMP_WIDTH.to).contains(&width);
            number(Size::CrimpWidth, width, good, Right::Millimetres)?;
        }
        for percent in self.limits_percent.into_iter().flatten() {
            let good = (COMPRESSION.from..=COMPRESSION.to).contains(&percent);
            number(Size::CompressionLimit, percent, good, Right::Percent)?;
        }
        Ok(())
    }
}
