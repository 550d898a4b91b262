//! Whitworth threads: BSW, BSF and the special pitches Whit.S. (BS 84).

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

/// A Whitworth thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WhitworthThread {
    /// The basic major diameter in ten-thousandths of an inch.
    pub(crate) diameter: u32,
    pub(crate) count: ThreadsPerInch,
    pub(crate) series: WhitworthSeries,
    pub(crate) class: WhitworthClass,
    pub(crate) kind: Kind,
    pub(crate) starts: u16,
    pub(crate) hand: Hand,
    pub(crate) engagement: Option<Length>,
    /// Basic pitch and minor diameter, where a table has them.
    pub(crate) listed: Option<(Decimal, Decimal)>,
    pub(crate) assumed: Vec<Assumed>,
}

/// A series of BS 84.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WhitworthSeries {
    /// BSW.
    Coarse,
    /// BSF.
    Fine,
    /// Whit.S.: special pitches.
    Special,
}

/// A class of BS 84.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WhitworthClass {
    /// Bolts, and nuts for special use.
    Close,
    /// Bolts and nuts.
    Medium,
    /// Bolts.
    Free,
    /// Nuts.
    Normal,
}

impl WhitworthSeries {
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Coarse => "BSW",
            Self::Fine => "BSF",
            Self::Special => "Whit.S",
        }
    }
}

impl WhitworthClass {
    /// As the standard writes it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Close => "close",
            Self::Medium => "medium",
            Self::Free => "free",
            Self::Normal => "normal",
        }
    }

    /// The side that the class alone names.
    pub(crate) const fn kind(self) -> Option<Kind> {
        match self {
            Self::Close | Self::Medium => None,
            Self::Free => Some(Kind::External),
            Self::Normal => Some(Kind::Internal),
        }
    }
}

#[derive(Deserialize)]
struct Row {
    d_in: Decimal,
    tpi: Decimal,
    series: String,
    pitch_diameter_in: Decimal,
    minor_in: Decimal,
    confidence: Confidence,
}

/// A listed size: the series, and basic pitch and minor diameter in inches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Listed {
    pub series: WhitworthSeries,
    pub basic: (Decimal, Decimal),
}

static SIZES: LazyLock<Vec<InchSize<Listed>>> = LazyLock::new(|| {
    tables::rows(tables::WHITWORTH_SERIES)
        .into_iter()
        .filter_map(|row: Row| {
            Some(InchSize {
                diameter: (row.d_in * Decimal::from(10_000)).to_u32()?,
                count: ThreadsPerInch::from_decimal(row.tpi).ok()?,
                series: Listed {
                    series: match row.series.as_str() {
                        "BSW" => WhitworthSeries::Coarse,
                        _ => WhitworthSeries::Fine,
                    },
                    basic: (row.pitch_diameter_in, row.minor_in),
                },
                confidence: row.confidence,
            })
        })
        .collect()
});

/// The BSW and BSF sizes.
pub(crate) fn sizes() -> &'static [InchSize<Listed>] {
    &SIZES
}

/// Size, count, series and class; `internal` where the class does not say it.
impl fmt::Display for WhitworthThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}-{} {} {}",
            inch_text(self.diameter),
            self.count,
            self.series.symbol(),
            self.class.name()
        )?;
        if self.starts > 1 {
            write!(f, " ({} starts)", self.starts)?;
        }
        let word =
            (self.class.kind().is_none() && self.kind == Kind::Internal).then_some(Kind::Internal);
        write_tail(f, self.hand, word)?;
        match self.engagement {
            Some(length) => write!(f, " LE {}", length.decimal(LengthUnit::Inch)),
            None => Ok(()),
        }
    }
}
