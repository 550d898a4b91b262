//! Limits of size of Whitworth threads: BS 84.
//!
//! Symbols: D basic major diameter, p pitch, L length of engagement (D where none is stated); inches.
//!
//! ```text
//! h = 0.640 327 p to 4 decimals      E = D - h      K = D - 2 h
//! T = 0.002 D^(1/3) + 0.003 L^(1/2) + 0.005 p^(1/2)
//!
//! bolt     effective                major                 minor
//! close    2/3 T                    2/3 T + 0.01 p^(1/2)  2/3 T + 0.013 p^(1/2)
//! medium   T                        T + 0.01 p^(1/2)      T + 0.02 p^(1/2)
//! free     3/2 T                    3/2 T + 0.01 p^(1/2)  3/2 T + 0.02 p^(1/2)
//! nut      close 2/3 T, medium T, normal 3/2 T            see `nut_minor_tolerance`
//! ```
//!
//! Bolts medium and free stand off by 0.3 T up to 3/4 in; below 1/4 in by that of the 1/4 in size. Tolerances and
//! allowance are rounded to 4 decimals. Listed sizes have E and K from the table. BS 84 itself was not read: profile and basic sizes agree with published
//! tables, the form of the major tolerance with a public discussion of BS 84:2007, and the rest is Machinery's
//! Handbook, 27th ed., p. 1857, from memory. The tables of BS 84 differ from the formula by 0.0001 in some rows.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::inch::{decimal, inches, printed, to};
use super::{Engagement, Identity, Limits, Note, ThreadLimits};
use crate::source::Source;
use crate::thread::whitworth::{WhitworthClass, WhitworthSeries};
use crate::thread::{Form, Kind, ThreadError, WhitworthThread};
use crate::units::{LengthUnit, Pitch, ThreadsPerInch};

/// Basic depth over pitch: 2/3 of H. [`Source::Bs84`]
const DEPTH: Decimal = printed(640327, 6);

/// The limits of a Whitworth thread.
pub(crate) fn limits(thread: &WhitworthThread) -> Result<ThreadLimits, ThreadError> {
    let d = Decimal::new(i64::from(thread.diameter), 4);
    let p = thread.count.pitch_inch();
    let depth = to(4, DEPTH * p);
    let engagement = thread
        .engagement
        .map_or(d, |length| length.decimal(LengthUnit::Inch));
    let t = tolerance_unit(d, engagement, p) * class_factor(thread.class);
    let root_p = root(p);

    let mut result = ThreadLimits::of(
        Identity {
            designation: thread.to_string(),
            form: Form::Whitworth,
            kind: thread.kind,
            unit: LengthUnit::Inch,
            nominal: inches(d)?,
            pitch: Pitch::PerInch(thread.count),
            included_angle_deg: 55.0,
            class: thread.class.name().to_owned(),
        },
        &[Source::Bs84, Source::Handbook27],
    );
    let below = |upper: Decimal, tolerance| -> Result<Limits, ThreadError> {
        Ok(Limits::between(
            inches(upper - to(4, tolerance))?,
            inches(upper)?,
        ))
    };
    let above = |lower: Decimal, tolerance| -> Result<Limits, ThreadError> {
        Ok(Limits::between(
            inches(lower)?,
            inches(lower + to(4, tolerance))?,
        ))
    };
    let (pitch, minor) = thread.listed.unwrap_or((d - depth, d - depth - depth));
    if thread.kind == Kind::External {
        let allowance = allowance(thread, d, p);
        let of_minor = if thread.class == WhitworthClass::Close {
            printed(13, 3)
        } else {
            printed(2, 2)
        };
        result.allowance = inches(allowance)?;
        result.major = below(d - allowance, t + printed(1, 2) * root_p)?;
        result.pitch_diameter = below(pitch - allowance, t)?;
        result.minor = below(minor - allowance, t + of_minor * root_p)?;
    } else {
        result.major = Limits::at_least(inches(d)?);
        result.pitch_diameter = above(pitch, t)?;
        result.minor = above(minor, nut_minor_tolerance(thread.count, p))?;
    }
    result.engagement = Some(Engagement::Length(inches(engagement)?));
    result.starts = thread.starts;
    result.hand = thread.hand;
    result.assumed.clone_from(&thread.assumed);
    result.notes = notes(thread);
    Ok(result)
}

fn root(value: Decimal) -> Decimal {
    decimal(value.to_f64().unwrap_or(0.0).sqrt())
}

/// T of class medium, unrounded. [`Source::Handbook27`] p. 1857, from memory.
fn tolerance_unit(d: Decimal, engagement: Decimal, p: Decimal) -> Decimal {
    let cube_root = decimal(libm::cbrt(d.to_f64().unwrap_or(0.0)));
    printed(2, 3) * cube_root + printed(3, 3) * root(engagement) + printed(5, 3) * root(p)
}

/// Class tolerance over T. [`Source::Handbook27`] p. 1857, from memory.
fn class_factor(class: WhitworthClass) -> Decimal {
    match class {
        WhitworthClass::Close => Decimal::TWO / Decimal::from(3),
        WhitworthClass::Medium => Decimal::ONE,
        WhitworthClass::Free | WhitworthClass::Normal => printed(15, 1),
    }
}

/// 0.3 T of a tabulated engagement: bolts medium and free, up to 3/4 in. [`Source::Memory`]
fn allowance(thread: &WhitworthThread, d: Decimal, p: Decimal) -> Decimal {
    if thread.class == WhitworthClass::Close || d > printed(75, 2) {
        return Decimal::ZERO;
    }
    let quarter = printed(25, 2);
    let (d, p) = if d >= quarter {
        (d, p)
    } else {
        let of_quarter = match thread.series {
            WhitworthSeries::Coarse => ThreadsPerInch::whole(20).pitch_inch(),
            WhitworthSeries::Fine => ThreadsPerInch::whole(26).pitch_inch(),
            WhitworthSeries::Special => p,
        };
        (quarter, of_quarter)
    };
    to(4, printed(3, 1) * tolerance_unit(d, d, p))
}

/// Of every class, by count; from memory.
fn nut_minor_tolerance(count: ThreadsPerInch, p: Decimal) -> Decimal {
    let constant = if count >= ThreadsPerInch::whole(26) {
        4
    } else if count >= ThreadsPerInch::whole(22) {
        5
    } else {
        7
    };
    printed(2, 1) * p + printed(constant, 3)
}

fn notes(thread: &WhitworthThread) -> Vec<Note> {
    let mut notes = vec![Note::Whitworth];
    if thread.series == WhitworthSeries::Fine && thread.diameter == 42_500 {
        notes.push(Note::WhitworthSize);
    }
    if thread.engagement.is_none() {
        notes.push(Note::WhitworthEngagement);
    }
    if thread.class == WhitworthClass::Close {
        notes.push(match thread.kind {
            Kind::External => Note::WhitworthCloseBolt,
            Kind::Internal => Note::WhitworthCloseNut,
        });
    }
    notes
}
