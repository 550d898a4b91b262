//! Sizes in inches and counts of threads per inch, as numbers, fractions and decimals.

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use super::text::{Cursor, Number};
use crate::thread::Fault;
use crate::thread::ThreadError;
use crate::thread::inch::fraction_of_inch;
use crate::units::ThreadsPerInch;

pub(super) fn whole(number: Number) -> Option<u32> {
    number.whole.then(|| number.value.to_u32()).flatten()
}

/// A decimal size in ten-thousandths of an inch.
pub(super) fn ten_thousandths(
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
pub(super) fn fraction(
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
pub(super) fn mixed(c: &mut Cursor<'_>, first: Number) -> Result<Option<u32>, ThreadError> {
    let Some(numerator) = mixed_fraction(c, first) else {
        return Ok(None);
    };
    let inches = whole(first).filter(|inches| *inches <= 1000);
    let inches = inches.ok_or_else(|| c.error_from(first.from, Fault::NoSuchNumber))?;
    fraction(c, inches, numerator).map(Some)
}

/// A count such as `20`, `4.5`, `4 1/2`.
pub(super) fn mixed_count(c: &mut Cursor<'_>, first: Number) -> Result<Decimal, ThreadError> {
    if let Some(numerator) = mixed_fraction(c, first) {
        let part = Decimal::new(i64::from(fraction(c, 0, numerator)?), 4);
        return Ok(first.value + part);
    }
    Ok(first.value)
}

/// The count of a pitch written in inches, which is rounded (0.0769P is 13): the simplest count that the
/// digits allow.
pub(super) fn count_of_pitch(c: &Cursor<'_>, pitch: Number) -> Result<ThreadsPerInch, ThreadError> {
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
