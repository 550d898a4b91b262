//! Numbers of twice the digits of a double: an unevaluated sum of two, about 31 decimal digits.
//!
//! Sums of squares of readings that share ten leading digits lose them in doubles, already when the text is read:
//! `1000000000000.4` is no double. Here it is read to 31 digits, centred and squared without loss.
//!
//! Source: T. J. Dekker, *A floating-point technique for extending the available precision*, Numerische Mathematik 18 (1971)
//! 224; from memory, checked by the tests.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A number as the sum of two doubles, the second at most half a unit in the last place of the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoubleDouble {
    high: f64,
    low: f64,
}

/// Numbers are taken from 1e-100 to 1e100, so that no square of one overflows.
const LARGEST: f64 = 1e100;
/// Significant digits that are read; the next one is below 1e-31 of the number.
const DIGITS: u32 = 31;

/// Why a text is no number here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unread {
    /// It is not written as a number.
    NotANumber,
    /// It is infinite or `nan`.
    NotFinite,
    /// It is beyond 1e-100 to 1e100.
    OutOfRange,
}

impl DoubleDouble {
    /// Nothing.
    pub const ZERO: Self = Self {
        high: 0.0,
        low: 0.0,
    };

    /// A decimal number as it is written: `8.9253`, `-1.5e-3`.
    pub fn parse(text: &str) -> Result<Self, Unread> {
        let text = text.trim();
        let bare = text.trim_start_matches(['+', '-']).to_ascii_lowercase();
        if ["nan", "inf", "infinity"].contains(&&*bare) {
            return Err(Unread::NotFinite);
        }
        let (negative, unsigned) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let (number, exponent) = match unsigned.split_once(['e', 'E']) {
            Some((number, exponent)) => (
                number,
                exponent.parse::<i32>().map_err(|_| Unread::NotANumber)?,
            ),
            None => (unsigned, 0),
        };
        let (whole, fraction) = number.split_once('.').unwrap_or((number, ""));
        if whole.is_empty() && fraction.is_empty() {
            return Err(Unread::NotANumber);
        }
        let mut read = Self::ZERO;
        let (mut digits, mut scale) = (0, exponent.clamp(-100_000, 100_000));
        for (place, digit) in whole.chars().chain(fraction.chars()).enumerate() {
            let digit = digit.to_digit(10).ok_or(Unread::NotANumber)?;
            let of_fraction = place >= whole.len();
            if digits < DIGITS {
                read = read * Self::from(10.0) + Self::from(f64::from(digit));
                digits += u32::from(digits > 0 || digit > 0);
                scale -= i32::from(of_fraction);
            } else {
                scale += i32::from(!of_fraction);
            }
        }
        if read.high == 0.0 {
            return Ok(Self::ZERO);
        }
        if !(-250..=250).contains(&scale) {
            return Err(Unread::OutOfRange);
        }
        let power = Self::power_of_ten(scale.unsigned_abs());
        let read = if scale < 0 {
            read / power
        } else {
            read * power
        };
        if !(1.0 / LARGEST..=LARGEST).contains(&read.high) {
            return Err(Unread::OutOfRange);
        }
        Ok(if negative { -read } else { read })
    }

    /// The nearest double.
    pub const fn value(self) -> f64 {
        self.high
    }

    /// The square root; zero of what is below zero by rounding.
    pub fn sqrt(self) -> Self {
        if self.high <= 0.0 {
            return Self::ZERO;
        }
        // One step of Newton's rule doubles the digits of the root in doubles.
        let root = Self::from(self.high.sqrt());
        let rest = self - root * root;
        root + Self::from(rest.high / (2.0 * root.high))
    }

    /// Without its sign.
    pub fn abs(self) -> Self {
        if self.high < 0.0 { -self } else { self }
    }

    pub fn squared(self) -> Self {
        self * self
    }

    fn power_of_ten(exponent: u32) -> Self {
        let (mut power, mut base, mut left) = (Self::from(1.0), Self::from(10.0), exponent);
        while left > 0 {
            if left % 2 == 1 {
                power = power * base;
            }
            base = base * base;
            left /= 2;
        }
        power
    }

    /// The sum of two doubles, exact; the first is not the smaller.
    fn quick(high: f64, low: f64) -> Self {
        let sum = high + low;
        Self {
            high: sum,
            low: low - (sum - high),
        }
    }

    fn exact_sum(a: f64, b: f64) -> Self {
        let sum = a + b;
        let of_b = sum - a;
        Self {
            high: sum,
            low: (a - (sum - of_b)) + (b - of_b),
        }
    }

    fn exact_product(a: f64, b: f64) -> Self {
        let product = a * b;
        Self {
            high: product,
            low: a.mul_add(b, -product),
        }
    }
}

impl From<f64> for DoubleDouble {
    fn from(value: f64) -> Self {
        Self {
            high: value,
            low: 0.0,
        }
    }
}

impl From<usize> for DoubleDouble {
    /// How many; exact up to 2⁵³.
    fn from(count: usize) -> Self {
        Self::from(count as f64)
    }
}

impl Neg for DoubleDouble {
    type Output = Self;
    fn neg(self) -> Self {
        Self {
            high: -self.high,
            low: -self.low,
        }
    }
}

impl Add for DoubleDouble {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let high = Self::exact_sum(self.high, other.high);
        let low = Self::exact_sum(self.low, other.low);
        let sum = Self::quick(high.high, high.low + low.high);
        Self::quick(sum.high, sum.low + low.low)
    }
}

impl Sub for DoubleDouble {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Mul for DoubleDouble {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let product = Self::exact_product(self.high, other.high);
        Self::quick(
            product.high,
            product.low + (self.high * other.low + self.low * other.high),
        )
    }
}

impl Div for DoubleDouble {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let first = self.high / other.high;
        let rest = self - Self::from(first) * other;
        let second = rest.high / other.high;
        let rest = rest - Self::from(second) * other;
        Self::quick(first, second) + Self::from(rest.high / other.high)
    }
}

impl std::iter::Sum for DoubleDouble {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, |sum, next| sum + next)
    }
}

/// The mean; zero of nothing.
pub fn mean(values: &[DoubleDouble]) -> DoubleDouble {
    if values.is_empty() {
        return DoubleDouble::ZERO;
    }
    values.iter().copied().sum::<DoubleDouble>() / values.len().into()
}

/// The sum of squares about a centre.
pub fn squares_about(values: &[DoubleDouble], centre: DoubleDouble) -> DoubleDouble {
    values.iter().map(|value| (*value - centre).squared()).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> DoubleDouble {
        DoubleDouble::parse(text).unwrap()
    }

    #[test]
    fn decimals_are_read_as_written() {
        let difference = read("1000000000000.4") - read("1000000000000.3");
        assert_eq!(difference.value(), 0.1);
        assert_eq!((difference - read("0.1")).value().abs().max(1e-19), 1e-19);
        assert_eq!(read("-1.5e-3").value(), -1.5e-3);
        assert_eq!(read(" +007.50 ").value(), 7.5);
        assert_eq!(read("0.000").value(), 0.0);
        assert_eq!(
            read("123456789012345678901234567890123456789").value(),
            123456789012345678901234567890123456789.0
        );
        assert_eq!(read(".5").value(), 0.5);
        assert_eq!(read("5.").value(), 5.0);
        for text in [
            "", ".", "-", "1.2.3", "1,5", "e5", "1e", "0x1", "1 2", "½", "--1", "+-1",
        ] {
            assert_eq!(DoubleDouble::parse(text), Err(Unread::NotANumber), "{text}");
        }
        for text in ["NaN", "inf", "-Infinity"] {
            assert_eq!(DoubleDouble::parse(text), Err(Unread::NotFinite), "{text}");
        }
        for text in ["1e101", "1e-101", "1e999999", "1e-99999"] {
            assert_eq!(DoubleDouble::parse(text), Err(Unread::OutOfRange), "{text}");
        }
    }

    #[test]
    fn arithmetic_has_thirty_digits() {
        let third = read("1") / read("3");
        let rest = (third + third + third) - read("1");
        assert!(rest.value().abs() < 1e-30);
        let two = read("2").sqrt().squared() - read("2");
        assert!(two.value().abs() < 1e-30);
        assert_eq!((-read("4")).sqrt(), DoubleDouble::ZERO);
        assert_eq!((-read("4")).abs().value(), 4.0);
    }
}
