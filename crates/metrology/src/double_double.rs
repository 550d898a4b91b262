//! Numbers of twice the digits of a double, with a power of ten beside them: a decimal is held as it is written.
//!
//! Sums of squares of readings that share ten leading digits lose them in doubles, already when the text is read:
//! `1000000000000.4` is no double. Here it is the whole number 10000000000004 and a tenth. Whole numbers are added, subtracted
//! and multiplied exactly up to 2¹⁰⁶, about 31 digits, so that readings that are alike have no spread at all, and the sum of
//! readings is what it is on paper; what does not come out even, as a third, is right to 31 digits.
//!
//! Source: T. J. Dekker, *A floating-point technique for extending the available precision*, Numerische Mathematik 18 (1971)
//! 224; from memory, checked by the tests.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A number as the sum of two doubles, the second at most half a unit in the last place of the first, times a power of ten.
#[derive(Clone, Copy, Debug)]
pub struct DoubleDouble {
    high: f64,
    low: f64,
    exponent: i32,
}

/// Numbers are taken from 1e-100 to 1e100, so that no square of one overflows.
const LARGEST: f64 = 1e100;
/// Significant digits that are read; the next one is below 1e-31 of the number.
const DIGITS: u32 = 31;
/// Powers of ten up to this one are doubles.
const EXACT_POWER: i32 = 22;
/// Between these the digits before the power of ten stay; beyond 2¹⁰⁶ they are rounded in any case.
const DIGITS_WITHIN: (f64, f64) = (1e-32, 1e64);
/// By how many places the digits are moved that left them.
const MOVED: i32 = 32;
/// Of two numbers that are further apart the smaller one is below the last digit of the other.
const FAR: i32 = 150;

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

/// A power of ten as it is written; one of too many digits is out of range.
fn exponent_of(text: &str) -> Result<i32, Unread> {
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    if digits.is_empty() || !digits.bytes().all(|digit| digit.is_ascii_digit()) {
        return Err(Unread::NotANumber);
    }
    text.parse().map_err(|_| Unread::OutOfRange)
}

impl DoubleDouble {
    /// Zero.
    pub const ZERO: Self = Self {
        high: 0.0,
        low: 0.0,
        exponent: 0,
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
            Some((number, exponent)) => (number, exponent_of(exponent)?),
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
        read.exponent = scale;
        if !(1.0 / LARGEST..=LARGEST).contains(&read.value()) {
            return Err(Unread::OutOfRange);
        }
        Ok(if negative { -read } else { read })
    }

    /// The decimal that a double stands for: the shortest that is read as it.
    pub fn decimal(value: f64) -> Self {
        Self::parse(&value.to_string()).unwrap_or_else(|_| Self::from(value))
    }

    /// The nearest double.
    pub fn value(self) -> f64 {
        let (mut digits, mut left) = (self, self.exponent);
        digits.exponent = 0;
        // No power of ten that is needed at once is beyond what a double holds.
        while left != 0 && digits.high != 0.0 && digits.high.is_finite() {
            let step = left.clamp(-FAR, FAR);
            digits = digits.shifted(step);
            digits.exponent = 0;
            left -= step;
        }
        digits.high
    }

    /// The square root; zero of what is below zero by rounding.
    pub fn sqrt(self) -> Self {
        if self.high <= 0.0 {
            return Self::ZERO;
        }
        // Half of an even power is one.
        let even = if self.exponent % 2 == 0 {
            self
        } else {
            self.with_exponent(self.exponent - 1)
        };
        let digits = Self {
            exponent: 0,
            ..even
        };
        // One step of Newton's rule doubles the digits of the root in doubles.
        let root = Self::from(digits.high.sqrt());
        let rest = digits - root * root;
        let root = root + Self::from(rest.value() / (2.0 * root.high));
        Self {
            exponent: root.exponent + even.exponent / 2,
            ..root
        }
    }

    /// Without its sign.
    pub fn abs(self) -> Self {
        if self.high < 0.0 { -self } else { self }
    }

    pub fn squared(self) -> Self {
        self * self
    }

    /// Whether it is zero.
    pub fn is_zero(self) -> bool {
        self.high == 0.0
    }

    /// A power of ten; exact up to 10⁴⁴.
    fn power_of_ten(mut exponent: i32) -> Self {
        let mut power = Self::from(1.0);
        while exponent > 0 {
            let step = exponent.min(EXACT_POWER);
            power = power.times((0..step).fold(1.0, |power, _| power * 10.0));
            exponent -= step;
        }
        power
    }

    /// The digits, times a power of ten.
    fn shifted(self, places: i32) -> Self {
        if places < 0 {
            self.over(Self::power_of_ten(-places))
        } else {
            self.product(Self::power_of_ten(places))
        }
    }

    /// The same number with another power of ten beside it.
    fn with_exponent(self, exponent: i32) -> Self {
        Self {
            exponent,
            ..self.shifted(self.exponent - exponent)
        }
    }

    /// With digits that are neither too many nor too few to compute with.
    fn within(self) -> Self {
        let size = self.high.abs();
        if size == 0.0 {
            return Self::ZERO;
        }
        if size > DIGITS_WITHIN.1 && size.is_finite() {
            return self.with_exponent(self.exponent + MOVED).within();
        }
        if size < DIGITS_WITHIN.0 {
            return self.with_exponent(self.exponent - MOVED).within();
        }
        self
    }

    /// The sum of the digits of two with one power of ten.
    fn digits_added(self, other: Self) -> Self {
        let high = Self::exact_sum(self.high, other.high);
        let low = Self::exact_sum(self.low, other.low);
        let sum = Self::quick(high.high, high.low + low.high);
        Self {
            exponent: self.exponent,
            ..Self::quick(sum.high, sum.low + low.low)
        }
    }

    /// The digits times those of another.
    fn product(self, other: Self) -> Self {
        let product = Self::exact_product(self.high, other.high);
        Self::quick(
            product.high,
            product.low + (self.high * other.low + self.low * other.high),
        )
    }

    /// The digits times a double.
    fn times(self, factor: f64) -> Self {
        self.product(Self::from(factor))
    }

    /// The digits over those of another.
    fn over(self, other: Self) -> Self {
        let digits = |of: Self| Self { exponent: 0, ..of };
        let (whole, divisor) = (digits(self), digits(other));
        let less = |rest: Self, part: f64| rest.digits_added(-divisor.times(part));
        let first = whole.high / divisor.high;
        let rest = less(whole, first);
        let second = rest.high / divisor.high;
        let rest = less(rest, second);
        let third = Self::from(rest.high / divisor.high);
        Self::quick(first, second).digits_added(third)
    }

    /// The sum of two doubles, exact; the first is not the smaller.
    fn quick(high: f64, low: f64) -> Self {
        let sum = high + low;
        Self {
            high: sum,
            low: low - (sum - high),
            exponent: 0,
        }
    }

    fn exact_sum(a: f64, b: f64) -> Self {
        let sum = a + b;
        let of_b = sum - a;
        Self {
            high: sum,
            low: (a - (sum - of_b)) + (b - of_b),
            exponent: 0,
        }
    }

    fn exact_product(a: f64, b: f64) -> Self {
        let product = a * b;
        Self {
            high: product,
            low: a.mul_add(b, -product),
            exponent: 0,
        }
    }
}

impl From<f64> for DoubleDouble {
    fn from(value: f64) -> Self {
        Self {
            high: value,
            low: 0.0,
            exponent: 0,
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
            exponent: self.exponent,
        }
    }
}

impl PartialEq for DoubleDouble {
    /// As numbers: 1.0 is 1.
    fn eq(&self, other: &Self) -> bool {
        (*self - *other).is_zero()
    }
}

impl Add for DoubleDouble {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        if self.is_zero() {
            return other;
        }
        if other.is_zero() {
            return self;
        }
        let (coarse, fine) = if self.exponent >= other.exponent {
            (self, other)
        } else {
            (other, self)
        };
        let apart = coarse.exponent.saturating_sub(fine.exponent);
        if apart > FAR {
            return coarse;
        }
        let coarse = match apart {
            0 => coarse,
            _ => coarse.with_exponent(fine.exponent),
        };
        coarse.digits_added(fine).within()
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
        let product = Self {
            exponent: self.exponent.saturating_add(other.exponent),
            ..self.product(other)
        };
        product.within()
    }
}

impl Div for DoubleDouble {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let quotient = Self {
            exponent: self.exponent.saturating_sub(other.exponent),
            ..self.over(other)
        };
        quotient.within()
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

/// The decimals that doubles stand for.
pub fn decimals(values: &[f64]) -> Vec<DoubleDouble> {
    values.iter().copied().map(DoubleDouble::decimal).collect()
}

/// The sum of squares about their mean: zero of readings that are alike, and of whole numbers exact up to the last division, as
/// Σ(x − x̄)² = Σ(n x − Σx)²/n².
pub fn squares(values: &[DoubleDouble]) -> DoubleDouble {
    let Some(first) = values.first() else {
        return DoubleDouble::ZERO;
    };
    let n = DoubleDouble::from(values.len());
    let off: Vec<DoubleDouble> = values.iter().map(|value| *value - *first).collect();
    let sum: DoubleDouble = off.iter().copied().sum();
    let squares: DoubleDouble = off.iter().map(|off| (*off * n - sum).squared()).sum();
    squares / n.squared()
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
        assert_eq!(difference, read("0.1"));
        assert_eq!(read("1.50"), read("15e-1"));
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

    /// On paper these come out even.
    #[test]
    fn decimals_are_added_as_on_paper() {
        let tenth = read("0.1");
        assert_eq!(tenth + tenth + tenth, read("0.3"));
        assert_eq!(tenth.squared().sqrt(), tenth);
        assert_eq!((read("10.001") * read("3") - read("30.003")).value(), 0.0);
        for text in ["10.001", "0.3937", "-7.0000001", "123456789.012345"] {
            for n in [3, 7, 10, 25, 49] {
                let alike = vec![read(text); n];
                assert_eq!(mean(&alike), read(text), "{text} {n}");
                assert_eq!(squares(&alike).value(), 0.0, "{text} {n}");
            }
        }
        // n Σx² − (Σx)² = 3 · 0.21 − 0.49 = 0.14, over n.
        let three = [read("0.1"), read("0.2"), read("0.4")];
        let by_fractions = read("14") / read("300");
        assert!((squares(&three) - by_fractions).abs().value() < 1e-32);
        assert_eq!(DoubleDouble::decimal(0.1), tenth);
        assert_eq!(DoubleDouble::decimal(-2.5e-7), read("-2.5e-7"));
    }

    #[test]
    fn numbers_far_apart_are_added() {
        let far = read("1e100") + read("1e-100") - read("1e100");
        assert_eq!(far.value(), 0.0);
        assert_eq!((read("1e90") * read("1e90") / read("1e90")).value(), 1e90);
        let small = read("1e-90").squared().squared() / read("1e-90").squared();
        assert!((small.value() / 1e-180 - 1.0).abs() < 1e-15, "{small:?}");
        assert_eq!(read("1e-99").squared().sqrt().value(), 1e-99);
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
