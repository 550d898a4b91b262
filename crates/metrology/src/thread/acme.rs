//! Acme threads: general purpose 2G, 3G, 4G and centralizing 2C, 3C, 4C (ASME B1.5), and Stub Acme 2G (ASME B1.8).

use std::fmt;
use std::sync::LazyLock;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::Deserialize;

use super::assumed::Assumed;
use super::inch::{InchSize, inch_text, write_tail};
use super::{Hand, Kind};
use crate::source::Confidence;
use crate::tables;
use crate::units::{Length, LengthUnit, ThreadsPerInch};

/// An Acme or Stub Acme thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AcmeThread {
    /// Stub Acme: 0.3 of the pitch high instead of one half.
    pub(crate) stub: bool,
    /// The basic major diameter in ten-thousandths of an inch.
    pub(crate) diameter: u32,
    pub(crate) count: ThreadsPerInch,
    pub(crate) class: AcmeClass,
    pub(crate) kind: Kind,
    pub(crate) starts: u16,
    pub(crate) hand: Hand,
    pub(crate) engagement: Option<Length>,
    pub(crate) assumed: Vec<Assumed>,
}

/// A class of Acme threads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AcmeClass {
    /// 2, 3 or 4; 4 is the closest.
    pub(crate) digit: u8,
    /// C: the nut bears on the major diameter.
    pub(crate) centralizing: bool,
}

pub(crate) const fn class(digit: u8, centralizing: bool) -> AcmeClass {
    AcmeClass {
        digit,
        centralizing,
    }
}

impl fmt::Display for AcmeClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = if self.centralizing { 'C' } else { 'G' };
        write!(f, "{}{letter}", self.digit)
    }
}

#[derive(Deserialize)]
struct Row {
    d_in: Decimal,
    tpi: Decimal,
    confidence: Confidence,
}

static SIZES: LazyLock<Vec<InchSize<()>>> = LazyLock::new(|| {
    tables::rows(tables::ACME_SERIES)
        .into_iter()
        .filter_map(|row: Row| {
            Some(InchSize {
                diameter: (row.d_in * Decimal::from(10_000)).to_u32()?,
                count: ThreadsPerInch::from_decimal(row.tpi).ok()?,
                series: (),
                confidence: row.confidence,
            })
        })
        .collect()
});

/// The standard series.
pub(crate) fn sizes() -> &'static [InchSize<()>] {
    &SIZES
}

/// As ASME B1.5 writes it; `internal` where it is.
impl fmt::Display for AcmeThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.starts > 1 {
            let size = Decimal::new(i64::from(self.diameter), 4).normalize();
            let pitch = self.count.pitch_inch().normalize();
            let lead = (Decimal::from(self.starts) / self.count.decimal())
                .round_dp(8)
                .normalize();
            write!(f, "{size}-{pitch}P-{lead}L")?;
        } else {
            write!(f, "{}-{}", inch_text(self.diameter), self.count)?;
        }
        let symbol = if self.stub { "STUB ACME" } else { "ACME" };
        write!(f, " {symbol}-{}", self.class)?;
        write_tail(
            f,
            self.hand,
            (self.kind == Kind::Internal).then_some(Kind::Internal),
        )?;
        match self.engagement {
            Some(length) => write!(f, " LE {}", length.decimal(LengthUnit::Inch)),
            None => Ok(()),
        }
    }
}
