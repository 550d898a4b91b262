//! Where published Unified tables and the formula part ways.
//!
//! `data/unified/exceptions.csv` holds the few values that are taken from the tables, `disputed.csv` every cell
//! known to differ, with the reason; the reader is shown both values.

use std::sync::LazyLock;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::Deserialize;

use super::inch::inches;
use super::{Dispute, DisputeReason, DisputedLimit, ThreadLimits};
use crate::tables;
use crate::thread::UnifiedThread;
use crate::units::{Entered, Length, LengthUnit, ThreadsPerInch};

/// A published value that is taken against the general rule.
#[derive(Deserialize)]
struct ExceptionRow {
    d_in: String,
    tpi: String,
    quantity: String,
    value_in: String,
}

struct Exception {
    diameter: u32,
    count: ThreadsPerInch,
    quantity: String,
    value: Decimal,
}

static EXCEPTIONS: LazyLock<Vec<Exception>> = LazyLock::new(|| {
    tables::rows(tables::UNIFIED_EXCEPTIONS)
        .into_iter()
        .filter_map(|row: ExceptionRow| {
            Some(Exception {
                diameter: ten_thousandths(&row.d_in)?,
                count: ThreadsPerInch::from_decimal(row.tpi.parse().ok()?).ok()?,
                quantity: row.quantity,
                value: row.value_in.parse().ok()?,
            })
        })
        .collect()
});

/// A diameter of a data file in ten-thousandths of an inch, as [`UnifiedThread`] has it.
fn ten_thousandths(inches: &str) -> Option<u32> {
    (inches.parse::<Decimal>().ok()? * Decimal::from(10_000)).to_u32()
}

pub(super) fn exception(thread: &UnifiedThread, quantity: &str) -> Option<Decimal> {
    if thread.starts > 1 {
        return None;
    }
    EXCEPTIONS
        .iter()
        .find(|row| {
            row.diameter == thread.diameter && row.count == thread.count && row.quantity == quantity
        })
        .map(|row| row.value)
}

/// A cell of a published table that differs from what is answered.
#[derive(Deserialize)]
struct DisputedRow {
    d_in: String,
    tpi: String,
    class: String,
    quantity: String,
    published_in: String,
    formula_in: String,
    taken: String,
    reason: String,
    made_with_in: String,
}

struct Disputed {
    diameter: u32,
    count: ThreadsPerInch,
    class: String,
    limit: DisputedLimit,
    /// The value that is not answered: the published one, or the formula's where the table is taken.
    other: Length,
    reason: DisputeReason,
}

static DISPUTED: LazyLock<Vec<Disputed>> = LazyLock::new(|| {
    let mut cells: Vec<_> = tables::rows(tables::UNIFIED_DISPUTED)
        .into_iter()
        .filter_map(|row: DisputedRow| {
            let other = if row.taken == "table" {
                &row.formula_in
            } else {
                &row.published_in
            };
            Some(Disputed {
                diameter: ten_thousandths(&row.d_in)?,
                count: ThreadsPerInch::from_decimal(row.tpi.parse().ok()?).ok()?,
                class: row.class,
                limit: DisputedLimit::of(&row.quantity)?,
                other: inches(other.parse().ok()?).ok()?,
                reason: DisputeReason::of(
                    &row.reason,
                    Entered::parse(&row.made_with_in, Some(LengthUnit::Inch)).ok(),
                )?,
            })
        })
        .collect();
    cells.sort_by_key(|cell| (cell.diameter, cell.count));
    cells
});

/// What is answered for a limit.
fn answered(limits: &ThreadLimits, limit: DisputedLimit) -> Option<Length> {
    match limit {
        DisputedLimit::Allowance => Some(limits.allowance),
        DisputedLimit::MajorMax => limits.major.upper,
        DisputedLimit::MajorMin => limits.major.lower,
        DisputedLimit::PitchMax => limits.pitch_diameter.upper,
        DisputedLimit::PitchMin => limits.pitch_diameter.lower,
        DisputedLimit::MinorMax => limits.minor.upper,
        DisputedLimit::MinorMin => limits.minor.lower,
        DisputedLimit::PitchTolerance => None,
    }
}

pub(super) fn disputes(thread: &UnifiedThread, limits: &ThreadLimits) -> Vec<Dispute> {
    let key = (thread.diameter, thread.count);
    let from = DISPUTED.partition_point(|cell| (cell.diameter, cell.count) < key);
    DISPUTED
        .iter()
        .skip(from)
        .take_while(|cell| (cell.diameter, cell.count) == key)
        .filter(|cell| limits.class.trim_end_matches('G') == cell.class)
        .filter_map(|cell| {
            Some(Dispute {
                limit: cell.limit,
                taken: answered(limits, cell.limit)?,
                other: cell.other,
                reason: cell.reason.clone(),
            })
        })
        .collect()
}
