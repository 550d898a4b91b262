//! Unified inch threads: UN and UNR.
//!
//! Order of the elements (ASME B1.1): size, threads per inch, series, class, then in any order left hand, special
//! length of engagement, gauging system. Read as in shops: fractions, mixed fractions, decimals, number sizes,
//! `x` or a space for the hyphen, lower case, the series first (`UNC 1/4-20`) or left out.

mod sizes;

use std::fmt;

use rust_decimal::Decimal;

use super::{Assumed, Hand, Kind};
use crate::units::{Length, LengthUnit, ThreadsPerInch};
pub(crate) use sizes::{
    Meaning, UnifiedSize, bare_number, number_size, size_and_count, unified_size, unified_sizes,
    unified_sizes_near,
};

/// A Unified thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnifiedThread {
    /// The basic major diameter in ten-thousandths of an inch, as ASME B1.30 starts its calculations.
    pub(crate) diameter: u32,
    pub(crate) count: ThreadsPerInch,
    pub(crate) series: Series,
    pub(crate) series_stated: bool,
    pub(crate) rounded_root: bool,
    pub(crate) kind: Kind,
    pub(crate) class: Class,
    /// `G`: the allowance must survive coating.
    pub(crate) allowance_kept: bool,
    pub(crate) hand: Hand,
    pub(crate) starts: u16,
    /// A stated length of engagement.
    pub(crate) engagement: Option<StatedEngagement>,
    /// The gauging system of ASME B1.3: 21, 22 or 23.
    pub(crate) gauging: Option<u8>,
    pub(crate) assumed: Vec<Assumed>,
}

/// A length of engagement that a designation states.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct StatedEngagement {
    pub length: Length,
    /// `SE`: the tolerance is calculated with this length whatever the tables serve.
    pub special: bool,
}

/// A series of Unified threads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Series {
    /// UNC.
    Coarse,
    /// UNF.
    Fine,
    /// UNEF.
    ExtraFine,
    /// UN: 4, 6, 8, 12, 16, 20, 28 or 32 threads per inch.
    Constant,
    /// UNS.
    Special,
}

/// How close a Unified thread fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Loose.
    One,
    /// General purpose.
    Two,
    /// Close.
    Three,
}

impl Series {
    /// The symbol, with rounded root (UNR) or without.
    pub const fn symbol(self, rounded_root: bool) -> &'static str {
        match (self, rounded_root) {
            (Self::Coarse, false) => "UNC",
            (Self::Fine, false) => "UNF",
            (Self::ExtraFine, false) => "UNEF",
            (Self::Constant, false) => "UN",
            (Self::Special, false) => "UNS",
            (Self::Coarse, true) => "UNRC",
            (Self::Fine, true) => "UNRF",
            (Self::ExtraFine, true) => "UNREF",
            (Self::Constant, true) => "UNR",
            (Self::Special, true) => "UNRS",
        }
    }

    /// The series of a symbol, in either case, and whether its root is rounded.
    pub(crate) fn from_symbol(symbol: &str) -> Option<(Self, bool)> {
        [
            Self::Coarse,
            Self::Fine,
            Self::ExtraFine,
            Self::Constant,
            Self::Special,
        ]
        .into_iter()
        .flat_map(|series| [(series, false), (series, true)])
        .find(|(series, rounded)| symbol.eq_ignore_ascii_case(series.symbol(*rounded)))
    }
}

impl Class {
    pub(crate) const fn digit(self) -> char {
        match self {
            Self::One => '1',
            Self::Two => '2',
            Self::Three => '3',
        }
    }

    pub(crate) const fn from_digit(digit: u8) -> Option<Self> {
        match digit {
            b'1' => Some(Self::One),
            b'2' => Some(Self::Two),
            b'3' => Some(Self::Three),
            _ => None,
        }
    }
}

impl UnifiedThread {
    /// The symbol of its series: `UNC`, `UNRF`.
    pub const fn series_symbol(&self) -> &'static str {
        self.series.symbol(self.rounded_root)
    }

    /// `2A`, `3B`, `2AG`.
    pub fn class_text(&self) -> String {
        format!(
            "{}{}{}",
            self.class.digit(),
            match self.kind {
                Kind::External => 'A',
                Kind::Internal => 'B',
            },
            if self.allowance_kept { "G" } else { "" }
        )
    }

    /// `8x1.25`: no series was written, and no standard thread of an inch has so few threads per inch.
    pub(crate) fn may_be_metric(&self) -> bool {
        !self.series_stated && self.count < ThreadsPerInch::whole(4)
    }

    /// Size and count as the standard prints them, `10-32` or `1 1/8-7`.
    pub(crate) fn size_and_count(&self) -> String {
        size_and_count(self.diameter, self.count)
    }
}

/// In the notation of ASME B1.1.
impl fmt::Display for UnifiedThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.starts > 1 {
            let pitch = self.count.pitch_inch().normalize();
            let lead = (Decimal::from(self.starts) / self.count.decimal())
                .round_dp(8)
                .normalize();
            let size = Decimal::new(i64::from(self.diameter), 4);
            write!(f, "{size}-{pitch}P-{lead}L ({} STARTS)", self.starts)?;
        } else {
            f.write_str(&self.size_and_count())?;
        }
        write!(
            f,
            " {}-{}",
            self.series.symbol(self.rounded_root),
            self.class_text()
        )?;
        if self.hand == Hand::Left {
            f.write_str("-LH")?;
        }
        if let Some(stated) = self.engagement {
            let mark = if stated.special { " SE" } else { "" };
            write!(f, "{mark} LE {}", stated.length.decimal(LengthUnit::Inch))?;
        }
        if let Some(system) = self.gauging {
            write!(f, " ({system})")?;
        }
        Ok(())
    }
}
