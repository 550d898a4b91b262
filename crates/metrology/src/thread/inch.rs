//! What threads with a size in inches share: the size as text, a row of a series, the end of a designation.

use rust_decimal::Decimal;

use super::{Hand, Kind};
use crate::units::ThreadsPerInch;

/// A listed diameter with its count, of a series of its form.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct InchSize<S> {
    /// In ten-thousandths of an inch.
    pub diameter: u32,
    pub count: ThreadsPerInch,
    pub series: S,
    pub confidence: crate::source::Confidence,
}

impl<S> InchSize<S> {
    /// Size and count: `1 1/8-7`.
    pub fn bare(&self) -> String {
        format!("{}-{}", inch_text(self.diameter), self.count)
    }
}

/// What follows the class in every form: hand, starts, length of engagement, the word `internal` where needed.
pub(crate) fn write_tail(
    f: &mut std::fmt::Formatter<'_>,
    hand: Hand,
    word: Option<Kind>,
) -> std::fmt::Result {
    if hand == Hand::Left {
        f.write_str(" LH")?;
    }
    match word {
        Some(kind) => write!(f, " {}", kind.key()),
        None => Ok(()),
    }
}

/// A size in ten-thousandths of an inch: whole, as a fraction, or else in decimals.
pub(crate) fn inch_text(diameter: u32) -> String {
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
pub(crate) fn fraction_of_inch(numerator: u32, denominator: u32) -> Option<u32> {
    let scaled = numerator.checked_mul(20_000)?.checked_div(denominator)?;
    let exact = (numerator * 20_000).is_multiple_of(denominator);
    Some(match (scaled % 2, exact) {
        (1, true) if scaled / 2 % 2 == 0 => scaled / 2,
        (1, _) => scaled / 2 + 1,
        _ => scaled / 2,
    })
}
