//! Limits of size of MJ threads: ISO 5855-1, on the tolerances of ISO 965-1.
//!
//! Major and pitch diameters as M. The root radius of the external thread is a limit of the product, 0.150 11 P to
//! 0.180 42 P; with a root arc tangent to both flanks the root lies one radius above the sharp V:
//!
//! ```text
//! external   d3 max = d2 max - 0.505 18 P = d - 1.154 701 P + es      d3 min = d2 min - 0.565 80 P = d - 1.215 319 P + es - Td2
//! internal   D1 min = D - 9/8 H = D - 0.974 279 P                     D1 max = D1 min + TD1
//! ```
//!
//! From memory, consistent by geometry; limits to 0.001 mm, each root diameter rounded once, from d.

use super::metric::less;
use super::{Limits, Note, ThreadLimits};
use crate::source::{Confidence, Source};
use crate::thread::{Form, Kind, MjThread, ThreadError};
use crate::units::Length;

/// Parts of the pitch, in billionths. [`Source::Geometry`] from [`Source::Iso5855_1`]
const INTERNAL_HEIGHT: i64 = 974_278_579;
const ROOT_MAX: i64 = 1_154_700_538;
const ROOT_MIN: i64 = 1_215_319_053;
/// Root radii. [`Source::Iso5855_1`], from memory.
const LEAST_RADIUS: i64 = 150_110_000;
const LARGEST_RADIUS: i64 = 180_420_000;

/// The limits of an MJ thread.
pub(crate) fn limits(thread: &MjThread) -> Result<ThreadLimits, ThreadError> {
    let base = &thread.base;
    let mut result = super::metric::limits(base)?;
    let p = base.pitch;
    if let (Some(major), Some(tolerance), Kind::External) = (
        result.major.upper,
        result.pitch_diameter.tolerance(),
        result.kind,
    ) {
        let lower = less(major - tolerance, ROOT_MIN, p)?;
        result.minor = Limits::between(lower, less(major, ROOT_MAX, p)?);
        result.root_radius = Limits::between(
            -less(Length::ZERO, LEAST_RADIUS, p)?,
            -less(Length::ZERO, LARGEST_RADIUS, p)?,
        );
    } else if let Some(tolerance) = result.minor.tolerance() {
        let lower = less(base.diameter, INTERNAL_HEIGHT, p)? + result.allowance;
        result.minor = Limits::between(lower, lower + tolerance);
    }
    result.rounded_root_minor_max = None;
    result.designation = thread.to_string();
    result.form = Form::Mj;
    result.sources = vec![Source::Iso5855_1, Source::Iso965_1, Source::Iso724];
    result.confidence = Confidence::Weak;
    result.notes = match result.kind {
        Kind::External => vec![Note::MjExternal, Note::MjBolt],
        Kind::Internal => vec![Note::MjInternal],
    };
    Ok(result)
}
