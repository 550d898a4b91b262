//! How the drawing writes lengths.

use rust_decimal::{Decimal, RoundingStrategy};

use crate::units::LengthUnit;

/// The unit and the number of decimals of the drawing: what a customer expects to read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// Unit of the drawing.
    pub unit: LengthUnit,
    /// Decimals of its limits.
    pub decimals: u32,
}

impl Drawing {
    /// Decimals beyond those of the drawing, for computed bounds.
    const EXTRA: u32 = 2;
    /// The most decimals of computed bounds: a millionth of an inch, a hundredth of a micrometre.
    const FINEST_INCH: u32 = 6;
    const FINEST_MM: u32 = 5;
    /// A number that ends within this many decimals was typed or printed so, and is shown whole.
    const TYPED: u32 = 6;
    /// The most decimals of a number shown whole.
    const WHOLE: u32 = 8;
    /// More than any drawing has.
    pub(super) const MOST: u32 = 12;

    /// A length given in millimetres, as text with its unit.
    pub fn text(self, millimetres: Decimal) -> String {
        let number = in_unit(millimetres, self.unit);
        let least = self.decimals.min(Self::MOST);
        let finest = match self.unit {
            LengthUnit::Inch | LengthUnit::Microinch => Self::FINEST_INCH,
            LengthUnit::Millimetre | LengthUnit::Micrometre => Self::FINEST_MM,
        };
        let computed = (least + Self::EXTRA).min(finest.max(least));
        let whole = number.scale().clamp(least, Self::WHOLE.max(least));
        if number.scale() <= Self::TYPED {
            return self.fixed(number, whole);
        }
        // What would round onto a number that the drawing could have written (a limit) gets the digits that tell it
        // apart: a size just above 8.994 must not read as 8.994.
        let told_apart = |decimals: &u32| rounded(number, *decimals).normalize().scale() > least;
        self.fixed(number, (computed..whole).find(told_apart).unwrap_or(whole))
    }

    /// A number in the unit of the drawing with so many decimals and the unit.
    pub(super) fn fixed(self, number: Decimal, decimals: u32) -> String {
        let rounded = rounded(number, decimals);
        format!("{rounded:.*} {}", decimals as usize, self.unit)
    }
}

/// To so many decimals, ties to even; what rounds to nothing has no sign.
pub(super) fn rounded(number: Decimal, decimals: u32) -> Decimal {
    let rounded = number.round_dp_with_strategy(decimals, RoundingStrategy::MidpointNearestEven);
    if rounded.is_zero() {
        Decimal::ZERO
    } else {
        rounded
    }
}

/// A decimal number of millimetres in another unit: exact where the decimal ends, else to 28 digits.
pub fn in_unit(millimetres: Decimal, unit: LengthUnit) -> Decimal {
    // Dividing by less than 1 can overflow; no bound that is decided upon comes near.
    let per_unit = Decimal::new(unit.tenth_nanometres(), 7);
    millimetres
        .checked_div(per_unit)
        .unwrap_or(Decimal::MAX)
        .normalize()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_is_shown_whole() {
        let inch = Drawing {
            unit: LengthUnit::Inch,
            decimals: 4,
        };
        assert_eq!(inch.text("5.49656".parse().unwrap()), "0.2164 in");
        assert_eq!(inch.text("5.258".parse().unwrap()), "0.207008 in");
        let mm = Drawing {
            unit: LengthUnit::Millimetre,
            decimals: 3,
        };
        assert_eq!(mm.text("8.9".parse().unwrap()), "8.900 mm");
        assert_eq!(mm.text("8.9940001".parse().unwrap()), "8.9940001 mm");
        assert_eq!(mm.text("8.9261538".parse().unwrap()), "8.92615 mm");
        assert_eq!(mm.text("-0.000000004".parse().unwrap()), "0.00000000 mm");
        let tenths = Drawing {
            unit: LengthUnit::Millimetre,
            decimals: 1,
        };
        assert_eq!(tenths.text("3.9996667".parse().unwrap()), "3.9997 mm");
    }
}
