//! The series of ASME B1.1 (`data/unified/series.csv`), and how a size and its count are written.

use std::sync::LazyLock;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::Deserialize;

use super::Series;
use crate::tables;
use crate::thread::inch::inch_text;
use crate::units::ThreadsPerInch;

/// A row of the Unified series.
#[derive(Debug)]
pub(crate) struct UnifiedSize {
    /// `#10`, `1/4`, `1 1/2`.
    pub size: String,
    /// In ten-thousandths of an inch.
    pub diameter: u32,
    pub count: ThreadsPerInch,
    pub series: Series,
}

#[derive(Deserialize)]
struct SeriesRow {
    size: String,
    d_in: String,
    tpi: String,
    series: String,
}

static UNIFIED: LazyLock<Vec<UnifiedSize>> = LazyLock::new(|| {
    let mut sizes: Vec<_> = tables::rows(tables::UNIFIED_SERIES)
        .into_iter()
        .filter_map(|row: SeriesRow| {
            Some(UnifiedSize {
                diameter: (row.d_in.parse::<Decimal>().ok()? * Decimal::from(10_000)).to_u32()?,
                count: ThreadsPerInch::from_decimal(row.tpi.parse().ok()?).ok()?,
                series: Series::from_symbol(&row.series)?.0,
                size: row.size,
            })
        })
        .collect();
    sizes.sort_by_key(|size| (size.diameter, size.count));
    sizes
});

impl UnifiedSize {
    /// Size and count as the standard prints them: `10-32`, `1 1/8-7`.
    pub fn bare(&self) -> String {
        format!("{}-{}", self.size.trim_start_matches('#'), self.count)
    }

    /// With the series: `10-32 UNF`.
    pub fn listed(&self) -> String {
        format!("{} {}", self.bare(), self.series.symbol(false))
    }
}

/// Every row, by diameter and count.
pub(crate) fn unified_sizes() -> impl Iterator<Item = &'static UnifiedSize> {
    UNIFIED.iter()
}

/// The row of a diameter with a count.
pub(crate) fn unified_size(diameter: u32, count: ThreadsPerInch) -> Option<&'static UnifiedSize> {
    UNIFIED
        .binary_search_by_key(&(diameter, count), |size| (size.diameter, size.count))
        .ok()
        .and_then(|index| UNIFIED.get(index))
}

/// The rows of the standard diameter nearest to a diameter, coarsest pitch first; none if it is more than a tenth away.
pub(crate) fn unified_sizes_near(diameter: u32) -> impl Iterator<Item = &'static UnifiedSize> {
    let nearest = UNIFIED
        .iter()
        .map(|size| size.diameter)
        .min_by_key(|listed| listed.abs_diff(diameter))
        .filter(|nearest| nearest.abs_diff(diameter) <= diameter / 10);
    UNIFIED
        .iter()
        .filter(move |size| Some(size.diameter) == nearest)
}

/// Size and count: as listed, else as a fraction, else in decimals.
pub(crate) fn size_and_count(diameter: u32, count: ThreadsPerInch) -> String {
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

/// The diameter of a number size in ten-thousandths of an inch: 0.060 + 0.013 x number.
pub(crate) fn number_size(number: u32) -> Option<u32> {
    matches!(number, 0..=6 | 8 | 10 | 12).then(|| 600 + 130 * number)
}

/// What a bare whole number before the hyphen means.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Meaning {
    Number,
    Inches,
}

/// Reads `10-32` as number 10 and `2-12` as two inches; `None` where both are possible.
///
/// A standard pair decides. Otherwise a number size takes pitches up to 0.3 of its diameter (the coarsest
/// standard one is 0.23), and no thread of an inch or more is finer than 32 per inch in any series.
pub(crate) fn bare_number(number: u32, count: Option<ThreadsPerInch>) -> Option<Meaning> {
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
