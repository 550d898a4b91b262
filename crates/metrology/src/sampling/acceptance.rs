//! What a single sampling plan accepts: the operating characteristic curve.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::error::SamplingError;
use crate::probability::{binomial_at_most, hypergeometric_at_most};

/// The largest lot and sample that are counted: a thousand million.
pub const LARGEST_LOT: u64 = 1_000_000_000;

/// A single plan: of `n` pieces at most `c` may be nonconforming.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Acceptance {
    n: u64,
    c: u64,
    lot: Option<u64>,
}

/// One point of the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Fraction nonconforming of what is offered.
    pub fraction: f64,
    /// Nonconforming pieces of the lot; `None` where the lot is taken as endless.
    pub nonconforming: Option<u64>,
    /// Probability that the plan accepts.
    pub probability_of_acceptance: f64,
    /// Fraction nonconforming of what goes out when rejected lots are sorted and nonconforming pieces replaced:
    /// Pa p (N − n)/N, or Pa p of an endless lot (NIST/SEMATECH e-Handbook, 6.2.3.2; from memory).
    pub average_outgoing_quality: f64,
}

impl Acceptance {
    /// A plan for a lot of so many, or for a process where none is given.
    pub fn new(n: u64, c: u64, lot: Option<u64>) -> Result<Self, SamplingError> {
        check_lot(lot)?;
        if n == 0 {
            return Err(SamplingError::NoSample);
        }
        if n > LARGEST_LOT {
            return Err(SamplingError::LargeSample {
                given: n,
                largest: LARGEST_LOT,
            });
        }
        if let Some(lot) = lot.filter(|lot| n > *lot) {
            return Err(SamplingError::SampleOverLot { sample: n, lot });
        }
        if c >= n {
            return Err(SamplingError::AcceptsAll {
                sample: n,
                acceptance: c,
            });
        }
        Ok(Self { n, c, lot })
    }

    /// The point at this fraction nonconforming. In a lot it is the nearest whole number of pieces.
    pub fn at_fraction(&self, fraction: Decimal) -> Result<Point, SamplingError> {
        let part = part(fraction)?;
        match self.lot {
            None => Ok(self.of_process(part)),
            Some(lot) => {
                let pieces = (fraction * Decimal::from(lot)).round_dp_with_strategy(
                    0,
                    rust_decimal::RoundingStrategy::MidpointAwayFromZero,
                );
                self.at_nonconforming(pieces.to_u64().unwrap_or(lot))
            }
        }
    }

    /// The point of a lot with so many nonconforming pieces.
    pub fn at_nonconforming(&self, pieces: u64) -> Result<Point, SamplingError> {
        let lot = self.lot.ok_or(SamplingError::NoLot)?;
        if pieces > lot {
            return Err(SamplingError::TooManyNonconforming { given: pieces, lot });
        }
        Ok(self.of_lot(lot, pieces))
    }

    /// The largest fraction nonconforming that is accepted with at least this probability, between 0 and 1; in a lot that
    /// of a whole number of pieces.
    pub fn accepted_with(&self, probability: f64) -> f64 {
        match self.lot {
            None => {
                let (mut low, mut high) = (0.0, 1.0);
                for _ in 0..200 {
                    let middle = f64::midpoint(low, high);
                    if binomial_at_most(self.c, self.n, middle) >= probability {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                low
            }
            Some(lot) => {
                let (mut low, mut high) = (0, lot);
                while low < high {
                    let middle = low + (high - low).div_ceil(2);
                    if hypergeometric_at_most(self.c, self.n, lot, middle) >= probability {
                        low = middle;
                    } else {
                        high = middle - 1;
                    }
                }
                low as f64 / lot as f64
            }
        }
    }

    fn of_process(&self, fraction: f64) -> Point {
        let accepted = binomial_at_most(self.c, self.n, fraction);
        Point {
            fraction,
            nonconforming: None,
            probability_of_acceptance: accepted,
            average_outgoing_quality: accepted * fraction,
        }
    }

    fn of_lot(&self, lot: u64, pieces: u64) -> Point {
        let accepted = hypergeometric_at_most(self.c, self.n, lot, pieces);
        let fraction = pieces as f64 / lot as f64;
        Point {
            fraction,
            nonconforming: Some(pieces),
            probability_of_acceptance: accepted,
            average_outgoing_quality: accepted * fraction * (lot - self.n) as f64 / lot as f64,
        }
    }
}

pub(super) fn check_lot(lot: Option<u64>) -> Result<(), SamplingError> {
    match lot {
        Some(given) if given == 0 || given > LARGEST_LOT => Err(SamplingError::Lot {
            given,
            largest: LARGEST_LOT,
        }),
        _ => Ok(()),
    }
}

/// A part of a whole, 0 to 1.
pub(super) fn part(fraction: Decimal) -> Result<f64, SamplingError> {
    if fraction < Decimal::ZERO || fraction > Decimal::ONE {
        return Err(SamplingError::Fraction { given: fraction });
    }
    fraction
        .to_string()
        .parse()
        .map_err(|_| SamplingError::Fraction { given: fraction })
}
