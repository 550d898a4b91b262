//! Limits of size of UNJ threads: ASME B1.15 and SAE AS8879.
//!
//! Major and pitch diameters are those of UN class 3A and 3B. The root radius of the external thread is a limit of the
//! product, 0.150 11 P to 0.180 42 P, and with it the minor diameter: a root arc tangent to both flanks lies one radius
//! above the sharp V, so
//!
//! ```text
//! external   minor max = d max  - 1.154 700 54 P      minor min = d2 min - 0.565 80 P
//! internal   minor min = D - 0.974 278 58 P           minor max = min + TD1 of 3B, 4 decimals
//! ```
//!
//! From memory but for the height 0.5625 H (AS8879, abstract); three remembered table cells are reproduced.

use rust_decimal::Decimal;

use super::inch::{inches, printed, to};
use super::unified::{Basic, minor_tolerance};
use super::{Limits, Note, ThreadLimits};
use crate::source::{Confidence, Source};
use crate::thread::{Form, Kind, ThreadError, UnjThread};
use crate::units::LengthUnit;

/// 9/8 H: internal minor diameter. [`Source::SaeAs8879`]
const INTERNAL_HEIGHT: Decimal = printed(97427858, 8);
/// From major to root at the largest radius, 0.180 42 P. [`Source::Geometry`]
const ROOT_MAX: Decimal = printed(115470054, 8);
/// From pitch diameter to root at the smallest radius, 0.150 11 P. [`Source::Geometry`]
const ROOT_MIN: Decimal = printed(56580, 5);
/// The root radius over the pitch. [`Source::AsmeB1_15`], from memory.
const LEAST_RADIUS: Decimal = printed(15011, 5);
const LARGEST_RADIUS: Decimal = printed(18042, 5);

/// The limits of a UNJ thread.
pub(crate) fn limits(thread: &UnjThread) -> Result<ThreadLimits, ThreadError> {
    let base = &thread.base;
    let mut result = super::unified::limits(base)?;
    let basic = Basic::of(base.diameter, base.count);
    let d = Decimal::new(i64::from(base.diameter), 4);
    let p = base.count.pitch_inch();
    let inch = |limit: Option<crate::units::Length>| {
        limit.map_or(Decimal::ZERO, |limit| limit.decimal(LengthUnit::Inch))
    };
    if base.kind == Kind::External {
        let lower = inch(result.pitch_diameter.lower) - to(6, ROOT_MIN * p);
        let upper = inch(result.major.upper) - to(6, ROOT_MAX * p);
        result.minor = Limits::between(inches(to(4, lower))?, inches(to(4, upper))?);
        result.root_radius = Limits::between(
            inches(to(4, LEAST_RADIUS * p))?,
            inches(to(4, LARGEST_RADIUS * p))?,
        );
    } else {
        let lower = to(4, d - to(6, INTERNAL_HEIGHT * p));
        let upper = lower + to(4, minor_tolerance(base.class, &basic));
        result.minor = Limits::between(inches(lower)?, inches(upper)?);
    }
    result.designation = thread.to_string();
    result.form = Form::Unj;
    result.sources = vec![Source::AsmeB1_15, Source::SaeAs8879, Source::AsmeB1_1];
    result.confidence = Confidence::Weak;
    result.disputes.clear();
    result.notes = match base.kind {
        Kind::External => vec![Note::UnjProduct, Note::UnjExternal, Note::UnjBolt],
        Kind::Internal => vec![Note::UnjInternal],
    };
    Ok(result)
}
