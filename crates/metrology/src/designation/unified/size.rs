//! Sizes and counts of threads per inch, as numbers, fractions and decimals.

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use super::parts::Parts;
use crate::designation::text::{Cursor, Number};
use crate::thread::Fault;
use crate::thread::ThreadError;
use crate::thread::inch::fraction_of_inch;
use crate::thread::unified::Series;
use crate::thread::unified::{UnifiedSize, unified_size, unified_sizes};
use crate::units::ThreadsPerInch;

/// The listed thread of a size that was written to three decimals, `.312-18` for 5/16-18.
pub(super) fn rounded_size(
    parts: &Parts<'_>,
    diameter: u32,
    count: ThreadsPerInch,
) -> Option<&'static UnifiedSize> {
    if !parts.three_decimals || unified_size(diameter, count).is_some() {
        return None;
    }
    [diameter.saturating_sub(5), diameter + 5]
        .into_iter()
        .find_map(|near| unified_size(near, count))
}

/// The largest and smallest diameters taken, in ten-thousandths of an inch. ASME B1.1 tabulates 0.060 to 6 in.
pub(super) const DIAMETERS: std::ops::RangeInclusive<u32> = 300..=120_000;

/// Coarse and fine threads with a count.
pub(super) fn with_count(count: u32) -> Vec<String> {
    let Some(count) = u16::try_from(count).ok().map(ThreadsPerInch::whole) else {
        return Vec::new();
    };
    unified_sizes()
        .filter(|size| size.count == count && matches!(size.series, Series::Coarse | Series::Fine))
        .map(UnifiedSize::listed)
        .collect()
}

pub(in crate::designation) fn whole(number: Number) -> Option<u32> {
    number.whole.then(|| number.value.to_u32()).flatten()
}

/// A decimal size in ten-thousandths of an inch.
pub(in crate::designation) fn ten_thousandths(
    c: &Cursor<'_>,
    inches: Decimal,
    from: usize,
) -> Result<u32, ThreadError> {
    inches
        .checked_mul(Decimal::from(10_000))
        .and_then(|size| {
            size.round_dp_with_strategy(0, RoundingStrategy::MidpointNearestEven)
                .to_u32()
        })
        .ok_or_else(|| c.error_from(from, Fault::NoSuchNumber))
}

/// The denominator after `a/`, and the size of `whole a/b`.
pub(in crate::designation) fn fraction(
    c: &mut Cursor<'_>,
    inches: u32,
    numerator: Number,
) -> Result<u32, ThreadError> {
    let denominator = c.number()?;
    let error = |c: &Cursor<'_>| c.error_from(numerator.from, Fault::NoSuchNumber);
    let (Some(a), Some(b)) = (whole(numerator), whole(denominator)) else {
        return Err(error(c));
    };
    if a == 0 || b == 0 || b > 128 || a > 12 * 128 {
        return Err(error(c));
    }
    fraction_of_inch(a, b)
        .and_then(|part| inches.checked_mul(10_000)?.checked_add(part))
        .ok_or_else(|| error(c))
}

/// The fraction of a mixed number, ` 1/2` or `-1/2`, if one follows the whole number.
fn mixed_fraction(c: &mut Cursor<'_>, first: Number) -> Option<Number> {
    if !first.whole {
        return None;
    }
    let mut ahead = *c;
    ahead.skip_spaces();
    if ahead.eat(b'-') {
        ahead.skip_spaces();
    }
    if ahead.at() == c.at() {
        return None;
    }
    let numerator = ahead.number().ok()?;
    if !numerator.whole || !ahead.eat(b'/') || !ahead.is_number() {
        return None;
    }
    *c = ahead;
    Some(numerator)
}

/// A mixed size such as `1 1/2` or `1-1/2`.
pub(in crate::designation) fn mixed(
    c: &mut Cursor<'_>,
    first: Number,
) -> Result<Option<u32>, ThreadError> {
    let Some(numerator) = mixed_fraction(c, first) else {
        return Ok(None);
    };
    let inches = whole(first).filter(|inches| *inches <= 1000);
    let inches = inches.ok_or_else(|| c.error_from(first.from, Fault::NoSuchNumber))?;
    fraction(c, inches, numerator).map(Some)
}

/// A count such as `20`, `4.5`, `4 1/2`.
pub(in crate::designation) fn mixed_count(
    c: &mut Cursor<'_>,
    first: Number,
) -> Result<Decimal, ThreadError> {
    if let Some(numerator) = mixed_fraction(c, first) {
        let part = Decimal::new(i64::from(fraction(c, 0, numerator)?), 4);
        return Ok(first.value + part);
    }
    Ok(first.value)
}

/// The count of a pitch written in inches, which is rounded (0.0769P is 13): the simplest count that the
/// digits allow.
pub(in crate::designation) fn count_of_pitch(
    c: &Cursor<'_>,
    pitch: Number,
) -> Result<ThreadsPerInch, ThreadError> {
    let error = || c.error_from(pitch.from, Fault::NoSuchNumber);
    let written = Decimal::new(5, (pitch.value.scale() + 1).clamp(5, 9));
    for parts_of_one in [1, 2, 4, 1000] {
        let parts_of_one = Decimal::from(parts_of_one);
        let count = parts_of_one
            .checked_div(pitch.value)
            .ok_or_else(error)?
            .round()
            / parts_of_one;
        let fits = Decimal::ONE
            .checked_div(count)
            .is_some_and(|exact| (exact - pitch.value).abs() <= written);
        if fits {
            return ThreadsPerInch::from_decimal(count).map_err(|_| error());
        }
    }
    Err(error())
}
