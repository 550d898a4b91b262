//! Sizes and counts of threads per inch, as numbers, fractions and decimals.

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use super::Series;
use super::read::Parts;
use crate::designation::error::ThreadError;
use crate::designation::fault::Fault;
use crate::designation::sizes::{UnifiedSize, unified_size, unified_sizes};
use crate::designation::text::{Cursor, Number};
use crate::units::ThreadsPerInch;

/// Size and count: as listed, else as a fraction, else in decimals.
pub(super) fn size_and_count(diameter: u32, count: ThreadsPerInch) -> String {
    unified_size(diameter, count).map_or_else(
        || format!("{}-{count}", size_text(diameter, count)),
        UnifiedSize::bare,
    )
}

/// A size that no table lists with this count.
fn size_text(diameter: u32, count: ThreadsPerInch) -> String {
    if let Some(number) = (0..=12).find(|&number| number_size(number) == Some(diameter)) {
        return format!("#{number}");
    }
    let (inches, rest) = (diameter / 10_000, diameter % 10_000);
    if rest == 0 {
        return if bare_number(inches, Some(count)) == Some(Meaning::Inches) {
            inches.to_string()
        } else {
            format!("{inches}.000")
        };
    }
    inch_text(diameter)
}

/// A size in ten-thousandths of an inch: whole, as a fraction, or else in decimals.
pub(in crate::designation) fn inch_text(diameter: u32) -> String {
    let (inches, rest) = (diameter / 10_000, diameter % 10_000);
    if rest == 0 {
        return inches.to_string();
    }
    for denominator in [2, 4, 8, 16, 32, 64] {
        let fraction = (1..denominator)
            .step_by(2)
            .find(|&numerator| fraction_of_inch(numerator, denominator) == Some(rest));
        if let Some(numerator) = fraction {
            return match inches {
                0 => format!("{numerator}/{denominator}"),
                _ => format!("{inches} {numerator}/{denominator}"),
            };
        }
    }
    Decimal::new(i64::from(diameter), 4).normalize().to_string()
}

/// In ten-thousandths of an inch, ties to even (ASME B1.30: the basic size is taken to four decimals).
fn fraction_of_inch(numerator: u32, denominator: u32) -> Option<u32> {
    let scaled = numerator.checked_mul(20_000)?.checked_div(denominator)?;
    let exact = (numerator * 20_000).is_multiple_of(denominator);
    Some(match (scaled % 2, exact) {
        (1, true) if scaled / 2 % 2 == 0 => scaled / 2,
        (1, _) => scaled / 2 + 1,
        _ => scaled / 2,
    })
}

/// The diameter of a number size in ten-thousandths of an inch: 0.060 + 0.013 x number.
pub(super) fn number_size(number: u32) -> Option<u32> {
    matches!(number, 0..=6 | 8 | 10 | 12).then(|| 600 + 130 * number)
}

/// What a bare whole number before the hyphen means.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Meaning {
    Number,
    Inches,
}

/// Reads `10-32` as number 10 and `2-12` as two inches; `None` where both are possible.
///
/// A standard pair decides. Otherwise a number size takes pitches up to 0.3 of its diameter (the coarsest
/// standard one is 0.23), and no thread of an inch or more is finer than 32 per inch in any series.
pub(super) fn bare_number(number: u32, count: Option<ThreadsPerInch>) -> Option<Meaning> {
    let diameter = number_size(number);
    let (Some(diameter), true) = (diameter, (1..=12).contains(&number)) else {
        return Some(if number == 0 {
            Meaning::Number
        } else {
            Meaning::Inches
        });
    };
    let Some(count) = count else {
        return (number > 6).then_some(Meaning::Number);
    };
    let listed = |diameter| unified_size(diameter, count).is_some();
    match (listed(diameter), listed(number * 10_000)) {
        (true, false) => return Some(Meaning::Number),
        (false, true) => return Some(Meaning::Inches),
        _ => {}
    }
    let count = count.decimal();
    let as_number = count * Decimal::from(diameter) >= Decimal::from(33_333);
    let as_inches = number <= 6 && count < Decimal::from(36);
    match (as_number, as_inches) {
        (true, false) => Some(Meaning::Number),
        (false, _) => Some(Meaning::Inches),
        (true, true) => None,
    }
}

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
