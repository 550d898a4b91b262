//! Pitch: a length for metric threads, a count per inch for inch threads.

use std::fmt;

use rust_decimal::Decimal;

use super::length::shortest;
use super::{Length, LengthUnit};

/// Threads per inch, exact to a thousandth of a thread (`20`, `4.5`, `11.5`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ThreadsPerInch {
    thousandths: u32,
}

/// The distance between neighbouring threads along the axis.
///
/// The pitch of an inch thread is kept as threads per inch: 25.4/13 mm has no end, and a rounded length
/// would spoil every limit made from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Pitch {
    /// A length, as metric threads state it.
    Metric(Length),
    /// A count per inch.
    PerInch(ThreadsPerInch),
}

/// A number that cannot be a count of threads per inch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PitchError {
    /// None between 0.5 and 500, or with more than three decimals.
    Impossible { given: Decimal },
}

impl ThreadsPerInch {
    /// From a whole count.
    pub const fn whole(count: u16) -> Self {
        Self {
            thousandths: count as u32 * 1000,
        }
    }

    /// From a decimal count between 0.5 and 500 with at most three decimals.
    pub fn from_decimal(count: Decimal) -> Result<Self, PitchError> {
        let error = || PitchError::Impossible { given: count };
        let thousandths = count.checked_mul(Decimal::ONE_THOUSAND).ok_or_else(error)?;
        let whole: u32 = if thousandths.fract().is_zero() {
            thousandths.trunc().try_into().map_err(|_| error())?
        } else {
            return Err(error());
        };
        if (500..=500_000).contains(&whole) {
            Ok(Self { thousandths: whole })
        } else {
            Err(error())
        }
    }

    pub fn decimal(self) -> Decimal {
        shortest(i64::from(self.thousandths), 3)
    }

    /// The pitch in inches to 8 decimals, as ASME B1.30 starts its calculations.
    pub fn pitch_inch(self) -> Decimal {
        // 10^8 inches over thousandths of a thread; a tie goes to the even number.
        let thousandths = i64::from(self.thousandths);
        let (whole, rest) = (100_000_000_000 / thousandths, 100_000_000_000 % thousandths);
        let up = 2 * rest + (whole & 1) > thousandths;
        shortest(whole + i64::from(up), 8)
    }
}

impl fmt::Display for ThreadsPerInch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.decimal().fmt(f)
    }
}

impl Pitch {
    /// In millimetres.
    pub fn mm(self) -> f64 {
        match self {
            Self::Metric(length) => length.mm(),
            Self::PerInch(count) => 25_400.0 / f64::from(count.thousandths),
        }
    }

    /// In a unit, unrounded.
    pub fn in_unit(self, unit: LengthUnit) -> f64 {
        match (self, unit) {
            (Self::Metric(length), unit) => length.in_unit(unit),
            (Self::PerInch(count), LengthUnit::Inch) => 1000.0 / f64::from(count.thousandths),
            (pitch, unit) => pitch.mm() * 1e7 / unit.tenth_nanometres() as f64,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inch_pitch_is_never_a_rounded_length() {
        let thirteen = Pitch::PerInch(ThreadsPerInch::whole(13));
        assert_eq!(thirteen.mm(), 25.4 / 13.0);
        assert_eq!(
            ThreadsPerInch::whole(36).pitch_inch().to_string(),
            "0.02777778"
        );
        assert_eq!(
            ThreadsPerInch::from_decimal("4.5".parse().unwrap())
                .unwrap()
                .to_string(),
            "4.5"
        );
        assert!(ThreadsPerInch::from_decimal(Decimal::ZERO).is_err());
    }
}
