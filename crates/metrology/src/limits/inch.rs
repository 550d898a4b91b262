//! Arithmetic in inches, as the inch standards round.

use rust_decimal::Decimal;

use crate::thread::{Fault, ThreadError};
use crate::units::{Length, LengthUnit, round_to_even};

/// A constant as printed.
pub(super) const fn printed(digits: u32, decimals: u32) -> Decimal {
    Decimal::from_parts(digits, 0, 0, false, decimals)
}

/// A rounded step of the calculation.
pub(super) fn to(decimals: u32, value: Decimal) -> Decimal {
    round_to_even(value, decimals)
}

/// A power, cut to 12 decimals: binary noise ends far behind, so that a tie at 4 to 6 decimals stays a tie.
pub(super) fn decimal(power: f64) -> Decimal {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "powers of sizes below 200 are far below the range"
    )]
    let scaled = (power * 1e12).round_ties_even() as i64;
    Decimal::new(scaled, 12)
}

pub(super) fn inches(value: Decimal) -> Result<Length, ThreadError> {
    Length::from_decimal(value, LengthUnit::Inch).map_err(|_| ThreadError::new(Fault::Range))
}
