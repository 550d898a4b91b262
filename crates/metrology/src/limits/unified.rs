//! Limits of size of Unified inch threads: ASME B1.1, rounded as ASME B1.30.
//!
//! Symbols: D basic major diameter, n threads per inch, P = 1/n, LE length of engagement; inches.
//!
//! ```text
//! Td2      = 0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3)        pitch diameter, class 2A
//! class    1A 1.5   2A 1   3A 0.75   1B 1.95   2B 1.3   3B 0.975     times Td2
//! es       0.300 Td2 for 1A and 2A, else 0                           allowance
//! Td       0.060 P^(2/3), class 1A 0.090 P^(2/3)                     external major diameter
//! TD1      see `minor_tolerance`                                     internal minor diameter
//! ```
//!
//! Rounding (ASME B1.30, read in worked examples of Machinery's Handbook, 31st ed., pp. 2010-2023): D to 4
//! decimals, P to 8; heights and tolerances to 6; allowance, TD1 and every limit to 4, each limit *before* the
//! next is made from it; ties to even (inferred from the tables, not read in words). Class tolerances multiply
//! the unrounded base.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::inch::{decimal, inches, printed, to};
use super::unified_published::{disputes, exception};
use super::{Engagement, Limits, Note, ThreadLimits};
use crate::source::{Confidence, Source};
use crate::thread::unified::{Class, Series};
use crate::thread::{Assumed, Form, Kind, ThreadError, UnifiedThread};
use crate::units::{Angle, Entered, LengthUnit, Pitch, ThreadsPerInch};

/// 3/4 H: basic major to basic pitch diameter, on the diameter. [`Source::Geometry`]
const PITCH_HEIGHT: Decimal = printed(64951905, 8);
/// 5/4 H: basic major to basic minor diameter of the internal thread. [`Source::Geometry`]
const INTERNAL_HEIGHT: Decimal = printed(108253175, 8);
/// 11/8 H: to the rounded root of UNR, max. [`Source::Handbook31`] p. 2011
const ROUNDED_HEIGHT: Decimal = printed(119078493, 8);

/// The limits of a Unified thread.
pub(crate) fn limits(thread: &UnifiedThread) -> Result<ThreadLimits, ThreadError> {
    let basic = Basic::of(thread.diameter, thread.count);
    let table_length = table_engagement(thread, &basic);
    let (engagement, mut assumed, stated) = engagement(thread, &basic, table_length);
    let base = basic.base_tolerance(engagement);
    let external = thread.kind == Kind::External;

    let allowance = if !external || thread.class == Class::Three {
        Decimal::ZERO
    } else if let Some(value) = exception(thread, "allowance") {
        value
    } else {
        // A special length of engagement changes the tolerance, not the allowance.
        to(
            4,
            printed(300, 3) * to(6, basic.base_tolerance(table_length)),
        )
    };
    let tolerance = to(6, factor(thread.class, thread.kind) * base);
    let sizes = if external {
        external_sizes(thread, &basic, allowance, tolerance)
    } else {
        internal_sizes(thread, &basic, tolerance)
    };

    let mut all_assumed = thread.assumed.clone();
    all_assumed.append(&mut assumed);
    let mut result = ThreadLimits {
        designation: thread.to_string(),
        form: Form::Unified,
        kind: thread.kind,
        unit: LengthUnit::Inch,
        nominal: inches(basic.diameter)?,
        pitch: Pitch::PerInch(thread.count),
        starts: thread.starts,
        hand: thread.hand,
        included_angle: Angle::from_degrees(60.0),
        class: thread.class_text(),
        allowance: inches(allowance)?,
        engagement: Some(if engagement == table_length && in_pitches(thread) {
            Engagement::Pitches(PITCHES)
        } else {
            Engagement::Length(inches(engagement)?)
        }),
        major: sizes.major.limits()?,
        pitch_diameter: sizes.pitch.limits()?,
        minor: sizes.minor.limits()?,
        hot_rolled_major_min: sizes.hot_rolled.map(inches).transpose()?,
        rounded_root_minor_max: None,
        root_radius: Limits::default(),
        taper: None,
        assumed: all_assumed,
        sources: vec![Source::AsmeB1_1],
        confidence: confidence(thread, &basic, stated),
        notes: notes(thread),
        disputes: Vec::new(),
    };
    if thread.starts == 1 && !stated {
        result.disputes = disputes(thread, &result);
    }
    Ok(result)
}

/// Diameter and pitch with their powers.
pub(super) struct Basic {
    diameter: Decimal,
    pitch: Decimal,
    count: Decimal,
    /// D^(1/3)
    root_diameter: Decimal,
    /// P^(2/3)
    power_pitch: Decimal,
}

impl Basic {
    pub(super) fn of(ten_thousandths: u32, count: ThreadsPerInch) -> Self {
        let pitch = count.pitch_inch();
        let cube_root = libm::cbrt(pitch.to_f64().unwrap_or(0.0));
        Self {
            diameter: Decimal::new(i64::from(ten_thousandths), 4),
            pitch,
            count: count.decimal(),
            root_diameter: decimal(libm::cbrt(f64::from(ten_thousandths) / 1e4)),
            power_pitch: decimal(cube_root * cube_root),
        }
    }

    /// Td2 of class 2A, unrounded. [`Source::AsmeB1_1`], confirmed by its tables.
    fn base_tolerance(&self, engagement: Decimal) -> Decimal {
        let root = decimal(engagement.to_f64().unwrap_or(0.0).sqrt());
        printed(15, 4) * (self.root_diameter + root) + printed(15, 3) * self.power_pitch
    }
}

/// Class tolerance over class 2A tolerance. [`Source::AsmeB1_1`], confirmed by its tables.
const fn factor(class: Class, kind: Kind) -> Decimal {
    match (class, kind) {
        (Class::One, Kind::External) => printed(15, 1),
        (Class::Two, Kind::External) => printed(1, 0),
        (Class::Three, Kind::External) => printed(75, 2),
        (Class::One, Kind::Internal) => printed(195, 2),
        (Class::Two, Kind::Internal) => printed(13, 1),
        (Class::Three, Kind::Internal) => printed(975, 3),
    }
}

/// The length of engagement behind the tabulated tolerances: D for UNC, UNF and 4-, 6- and 8-UN, else 9 P.
/// Confirmed by the tables; the exceptions are listed with their reasons.
fn table_engagement(thread: &UnifiedThread, basic: &Basic) -> Decimal {
    if let Some(value) = exception(thread, "engagement") {
        return value;
    }
    if serves_diameter(thread) {
        basic.diameter
    } else {
        Decimal::from(PITCHES) * basic.pitch
    }
}

/// Pitches of engagement of the series that do not go by the diameter.
const PITCHES: u8 = 9;

fn in_pitches(thread: &UnifiedThread) -> bool {
    !serves_diameter(thread) && exception(thread, "engagement").is_none()
}

fn serves_diameter(thread: &UnifiedThread) -> bool {
    match thread.series {
        Series::Coarse | Series::Fine => true,
        Series::Constant => thread.count <= ThreadsPerInch::whole(8),
        Series::ExtraFine | Series::Special => false,
    }
}

/// The length of engagement used, what to say about it, and whether a stated one is used.
///
/// The tables serve up to 1.5 D (first group) or 5 P to 15 P (second group; [`Source::Memory`]). A length inside
/// keeps them; one outside, or any with SE, makes its own tolerance.
fn engagement(
    thread: &UnifiedThread,
    basic: &Basic,
    table: Decimal,
) -> (Decimal, Vec<Assumed>, bool) {
    let Some(stated) = thread.engagement else {
        return (table, Vec::new(), false);
    };
    let length = stated.length.decimal(LengthUnit::Inch);
    if stated.special {
        return (length, Vec::new(), true);
    }
    let (least, most) = if serves_diameter(thread) {
        (Decimal::ZERO, basic.diameter * printed(15, 1))
    } else {
        (
            basic.pitch * Decimal::from(5),
            basic.pitch * Decimal::from(15),
        )
    };
    if (least..=most).contains(&length) {
        let said = Assumed::EngagementServed {
            length: Entered::of(stated.length, LengthUnit::Inch),
            made_for: to(4, table).normalize(),
        };
        (table, vec![said], false)
    } else {
        let said = Assumed::EngagementOutside {
            length: Entered::of(stated.length, LengthUnit::Inch),
        };
        (length, vec![said], true)
    }
}

/// Decimal limits.
#[derive(Default)]
struct Pair {
    lower: Option<Decimal>,
    upper: Option<Decimal>,
}

#[derive(Default)]
struct Sizes {
    major: Pair,
    pitch: Pair,
    minor: Pair,
    hot_rolled: Option<Decimal>,
}

fn external_sizes(
    thread: &UnifiedThread,
    basic: &Basic,
    allowance: Decimal,
    tolerance: Decimal,
) -> Sizes {
    let major_max = to(4, basic.diameter - allowance);
    let major_tolerance = |coefficient| to(6, printed(coefficient, 3) * basic.power_pitch);
    let own = if thread.class == Class::One { 90 } else { 60 };
    let pitch_max = to(4, major_max - to(6, PITCH_HEIGHT * basic.pitch));
    let hot_rolled = thread.class == Class::Two
        && match thread.series {
            Series::Coarse => true,
            Series::Constant => thread.count == ThreadsPerInch::whole(8),
            _ => false,
        };
    Sizes {
        major: Pair {
            lower: Some(to(4, major_max - major_tolerance(own))),
            upper: Some(major_max),
        },
        pitch: Pair {
            lower: Some(to(4, pitch_max - tolerance)),
            upper: Some(pitch_max),
        },
        minor: Pair {
            lower: None,
            upper: Some(to(4, major_max - to(6, ROUNDED_HEIGHT * basic.pitch))),
        },
        hot_rolled: hot_rolled.then(|| to(4, major_max - major_tolerance(90))),
    }
}

/// The minor diameter follows the published tables: both limits from D1 and TD1 at 4 decimals; from 0.138 in
/// (number 6) up both to 3 decimals for 1B and 2B, the minimum alone for 3B (ASME B1.30-2002, 3.1.3(a)).
fn internal_sizes(thread: &UnifiedThread, basic: &Basic, tolerance: Decimal) -> Sizes {
    let pitch_min = to(4, basic.diameter - to(6, PITCH_HEIGHT * basic.pitch));
    let minor_min = to(4, basic.diameter - to(6, INTERNAL_HEIGHT * basic.pitch));
    let minor_max = minor_min + to(4, minor_tolerance(thread.class, basic));
    let (lower, upper) = match thread.class {
        _ if basic.diameter < printed(138, 3) => (4, 4),
        Class::Three => (3, 4),
        _ => (3, 3),
    };
    Sizes {
        major: Pair {
            lower: Some(basic.diameter),
            upper: None,
        },
        pitch: Pair {
            lower: Some(pitch_min),
            upper: Some(to(4, pitch_min + tolerance)),
        },
        minor: Pair {
            lower: Some(to(lower, minor_min)),
            upper: Some(to(upper, minor_max)),
        },
        hot_rolled: None,
    }
}

/// TD1, unrounded. From memory, then confirmed by about 150 tabulated minor diameters; the rule below 4 threads
/// per inch is from memory only.
pub(super) fn minor_tolerance(class: Class, basic: &Basic) -> Decimal {
    let p = basic.pitch;
    let free = || {
        let small = basic.diameter.max(printed(1, 4));
        printed(5, 2) * basic.power_pitch + printed(3, 2) * p / small - printed(2, 3)
    };
    let cap = printed(394, 3) * p;
    let coarse = printed(25, 2) * p - printed(40, 2) * p * p;
    if class == Class::Three {
        let floor = if basic.count <= Decimal::from(12) {
            printed(120, 3) * p
        } else {
            printed(23, 2) * p - printed(15, 1) * p * p
        };
        free().max(floor).min(cap)
    } else if basic.diameter < printed(25, 2) {
        free().max(coarse).min(cap)
    } else if basic.count >= Decimal::from(4) {
        coarse
    } else {
        printed(15, 2) * p
    }
}

impl Pair {
    fn limits(&self) -> Result<Limits, ThreadError> {
        Ok(Limits {
            lower: self.lower.map(inches).transpose()?,
            upper: self.upper.map(inches).transpose()?,
        })
    }
}

fn confidence(thread: &UnifiedThread, basic: &Basic, stated_engagement: bool) -> Confidence {
    let coarse_minor = basic.count < Decimal::from(4)
        && thread.kind == Kind::Internal
        && thread.class != Class::Three;
    let outside = !(600..=60_000).contains(&thread.diameter) || basic.count > Decimal::from(80);
    if stated_engagement || thread.starts > 1 || coarse_minor {
        Confidence::Weak
    } else if outside {
        Confidence::FormulaBacked
    } else {
        Confidence::Solid
    }
}

fn notes(thread: &UnifiedThread) -> Vec<Note> {
    let mut notes = vec![match thread.kind {
        Kind::External => Note::UnifiedExternal,
        Kind::Internal => Note::UnifiedInternal,
    }];
    if thread.allowance_kept {
        notes.push(Note::AllowanceKept);
    }
    if !(600..=60_000).contains(&thread.diameter) || thread.count > ThreadsPerInch::whole(80) {
        notes.push(Note::OutsideTables);
    }
    if thread.starts > 1 {
        notes.push(Note::SeveralStarts);
    }
    notes
}
