//! Units as D-SI writes them (D-SI 2.2.1, by the names of the SI brochure), and as certificates have them here.

use rust_decimal::Decimal;

/// A unit of both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unit {
    /// As D-SI writes it.
    pub si: &'static str,
    /// As it is written here.
    pub own: &'static str,
    /// Of a length: the power of ten that makes it metres.
    metres: Option<i32>,
}

const fn length(si: &'static str, own: &'static str, metres: i32) -> Unit {
    Unit {
        si,
        own,
        metres: Some(metres),
    }
}

const fn other(si: &'static str, own: &'static str) -> Unit {
    Unit {
        si,
        own,
        metres: None,
    }
}

pub const MILLIMETRE: Unit = length(r"\milli\metre", "mm", -3);
pub const MICROMETRE: Unit = length(r"\micro\metre", "um", -6);
pub const CELSIUS: Unit = other(r"\degreecelsius", "°C");
pub const KELVIN: Unit = other(r"\kelvin", "K");

/// Every unit that is read.
const ALL: [Unit; 17] = [
    MILLIMETRE,
    MICROMETRE,
    length(r"\metre", "m", 0),
    length(r"\nano\metre", "nm", -9),
    CELSIUS,
    KELVIN,
    other(r"\kelvin\tothe{-1}", "1/K"),
    other(r"\per\kelvin", "1/K"),
    other(r"\newton", "N"),
    other(r"\one", "1"),
    other(r"\percent", "%"),
    other(r"\degree", "°"),
    other(r"\arcminute", "'"),
    other(r"\arcsecond", "\""),
    other(r"\radian", "rad"),
    other(r"\pascal", "Pa"),
    other(r"\hecto\pascal", "hPa"),
];

impl Unit {
    /// The unit of this spelling.
    pub fn of(si: &str) -> Option<Self> {
        ALL.into_iter().find(|unit| unit.si == si)
    }

    /// A number of this unit in another, exactly; none where one cannot be the other.
    pub fn convert(self, number: Decimal, to: Self) -> Option<Decimal> {
        if self == to {
            return Some(number);
        }
        let shift = self.metres? - to.metres?;
        let factor = (0..shift.unsigned_abs())
            .try_fold(Decimal::ONE, |product, _| product.checked_mul(Decimal::TEN))?;
        if shift < 0 {
            number.checked_div(factor)
        } else {
            number.checked_mul(factor)
        }
    }
}
