//! Plans that accept a lot only when nothing nonconforming is found.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::acceptance::{check_lot, part};
use super::error::SamplingError;
use crate::probability::hypergeometric_at_most;

/// The least number of pieces of a lot so that a lot with the limiting fraction nonconforming, or with the next whole number
/// of pieces above it, is accepted with at most this risk: the least n with C(N − D, n)/C(N, n) ≤ β, D = ⌈p N⌉.
///
/// Source: elementary probability (hypergeometric distribution).
///
/// ```
/// use metrology::sampling::zero_acceptance;
///
/// // A lot of 80 with 4 nonconforming pieces is accepted by 35 good ones in at most one of ten cases.
/// assert_eq!(zero_acceptance(80, "0.05".parse()?, 0.10)?, 35);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn zero_acceptance(lot: u64, limiting: Decimal, risk: f64) -> Result<u64, SamplingError> {
    check_lot(Some(lot))?;
    if part(limiting)? <= 0.0 {
        return Err(SamplingError::NoFraction);
    }
    if !(risk > 0.0 && risk < 1.0) {
        return Err(SamplingError::Risk { given: risk });
    }
    let pieces = (limiting * Decimal::from(lot))
        .ceil()
        .to_u64()
        .unwrap_or(lot);
    // A risk that is met exactly is met, whatever the last digit.
    let most = risk * (1.0 + 1e-12);
    let (mut low, mut high) = (1, lot);
    while low < high {
        let middle = low + (high - low) / 2;
        if hypergeometric_at_most(0, middle, lot, pieces) <= most {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    Ok(low)
}
