//! Length as an exact whole number of tenths of a nanometre.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub};
use std::str::FromStr;

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

/// A length, exact.
///
/// Held as a whole number of tenths of a nanometre, so that one millimetre (10 000 000), one inch
/// (254 000 000) and one microinch (254) are all whole: what is typed in either unit enters and leaves
/// without change, and no binary fraction decides at a limit.
///
/// Range: [`Length::MAX`] either side of zero, checked where a length is made from a number; sums of
/// lengths within that range cannot overflow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

/// A number that cannot be taken as a length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LengthError {
    /// Larger than any length this work deals with.
    TooLarge { given: String },
    /// Not a finite number.
    NotFinite,
}

/// A unit of length that people at the bench write.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
pub enum LengthUnit {
    /// Millimetre, `mm`.
    #[serde(rename = "mm")]
    Millimetre,
    /// Inch, `in`: exactly 25.4 mm.
    #[serde(rename = "in")]
    Inch,
    /// Micrometre, `um`.
    #[serde(rename = "um")]
    Micrometre,
    /// Microinch, `uin`: one millionth of an inch.
    #[serde(rename = "uin")]
    Microinch,
}

impl LengthUnit {
    /// Tenths of a nanometre in one of this unit.
    pub const fn tenth_nanometres(self) -> i64 {
        match self {
            Self::Millimetre => 10_000_000,
            Self::Inch => 254_000_000,
            Self::Micrometre => 10_000,
            Self::Microinch => 254,
        }
    }

    /// One step of the last of so many decimals in tenths of a nanometre, where it is a whole number of them.
    fn whole_step(self, decimals: u32) -> Option<i64> {
        const STEPS: [[i64; 8]; 4] = [
            whole_steps(LengthUnit::Millimetre.tenth_nanometres()),
            whole_steps(LengthUnit::Inch.tenth_nanometres()),
            whole_steps(LengthUnit::Micrometre.tenth_nanometres()),
            whole_steps(LengthUnit::Microinch.tenth_nanometres()),
        ];
        let [millimetre, inch, micrometre, microinch] = &STEPS;
        let steps = match self {
            Self::Millimetre => millimetre,
            Self::Inch => inch,
            Self::Micrometre => micrometre,
            Self::Microinch => microinch,
        };
        let step = steps.get(usize::try_from(decimals).ok()?).copied();
        step.filter(|step| *step != 0)
    }

    /// The symbol, as accepted on input.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "in",
            Self::Micrometre => "um",
            Self::Microinch => "uin",
        }
    }

    /// The unit that a drawing states sizes in: millimetre or inch.
    pub const fn of_drawing(self) -> Self {
        match self {
            Self::Millimetre | Self::Micrometre => Self::Millimetre,
            Self::Inch | Self::Microinch => Self::Inch,
        }
    }

    /// The unit that small differences are told in beside this one: micrometre or microinch.
    pub const fn small(self) -> Self {
        match self {
            Self::Millimetre | Self::Micrometre => Self::Micrometre,
            Self::Inch | Self::Microinch => Self::Microinch,
        }
    }

    /// The other system's unit of the same rank: inch for millimetre and the reverse.
    pub const fn other(self) -> Self {
        match self {
            Self::Millimetre => Self::Inch,
            Self::Inch => Self::Millimetre,
            Self::Micrometre => Self::Microinch,
            Self::Microinch => Self::Micrometre,
        }
    }
}

impl fmt::Display for LengthUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

impl FromStr for LengthUnit {
    type Err = ();

    /// Reads a unit symbol as people write it; `µ` and `u` are the same, and `"` is an inch.
    fn from_str(text: &str) -> Result<Self, ()> {
        if let Some(unit) = [Self::Millimetre, Self::Inch]
            .into_iter()
            .find(|unit| unit.symbol() == text)
        {
            return Ok(unit);
        }
        match text.trim().to_lowercase().as_str() {
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => {
                Ok(Self::Millimetre)
            }
            "in" | "in." | "inch" | "inches" | "\"" | "\u{2033}" => Ok(Self::Inch),
            "um" | "\u{b5}m" | "\u{3bc}m" => Ok(Self::Micrometre),
            "uin" | "\u{b5}in" | "\u{3bc}in" => Ok(Self::Microinch),
            _ => Err(()),
        }
    }
}

/// `count` in units of the last of so many decimals, without zeros at the end.
pub(super) fn shortest(mut count: i64, mut decimals: u32) -> Decimal {
    while decimals > 0 && count % 10 == 0 {
        count /= 10;
        decimals -= 1;
    }
    Decimal::new(count, decimals)
}

/// To so many decimals, ties to even. In one division where the digits fit 64 bits, as those of sizes do.
pub(crate) fn round_to_even(value: Decimal, decimals: u32) -> Decimal {
    let cut = value.scale().saturating_sub(decimals);
    let digits = i64::try_from(value.mantissa()).ok();
    let Some((digits, step)) = digits.zip(10_i64.checked_pow(cut)) else {
        return value.round_dp_with_strategy(decimals, RoundingStrategy::MidpointNearestEven);
    };
    Decimal::new(divided_to_even(digits, step), value.scale() - cut)
}

/// To the nearest whole number, ties to even; the divisor is above zero and a power of ten of an `i64`.
const fn divided_to_even(digits: i64, step: i64) -> i64 {
    let whole = digits.div_euclid(step);
    let rest = digits - whole * step;
    let up = 2 * rest + (whole & 1) > step;
    whole + up as i64
}

/// A number in whole parts of its unit, where 64 bits hold it.
fn in_parts(number: Decimal, parts: i64) -> Option<i64> {
    digits_in_parts(
        i64::try_from(number.mantissa()).ok()?,
        number.scale(),
        parts,
    )
}

/// What one step of the last decimal is in parts of which a unit has so many, by the number of decimals; 0 where it is not whole.
/// A division for each of millions of readings took as long as reading their digits.
const fn whole_steps(parts: i64) -> [i64; 8] {
    let mut steps = [0; 8];
    let (mut decimals, mut power) = (0, 1);
    while decimals < steps.len() {
        if parts % power == 0 {
            steps[decimals] = parts / power;
        }
        decimals += 1;
        power *= 10;
    }
    steps
}

fn digits_in_parts(digits: i64, decimals: u32, parts: i64) -> Option<i64> {
    let step = 10_i64.checked_pow(decimals)?;
    Some(divided_to_even(digits.checked_mul(parts)?, step))
}

impl Length {
    /// No length.
    pub const ZERO: Self = Self(0);
    /// The largest length that can be made from a number: 100 m.
    pub const MAX: Self = Self(1_000_000_000_000);

    /// From a whole number of tenths of a nanometre.
    pub const fn from_tenth_nanometres(count: i64) -> Self {
        Self(count)
    }

    /// From a whole number of micrometres, as tolerance tables print them.
    pub const fn from_micrometres(count: i32) -> Self {
        Self(count as i64 * 10_000)
    }

    /// From a whole number of ten-thousandths of an inch, as inch limits are printed.
    pub const fn from_ten_thousandths_inch(count: i32) -> Self {
        Self(count as i64 * 25_400)
    }

    /// From a decimal number in a unit, to the nearest tenth of a nanometre (ties to even).
    ///
    /// Exact for up to seven decimals of a millimetre and six of an inch.
    pub fn from_decimal(number: Decimal, unit: LengthUnit) -> Result<Self, LengthError> {
        let too_large = || LengthError::TooLarge {
            given: format!("{number} {unit}"),
        };
        let parts = unit.tenth_nanometres();
        let count = in_parts(number, parts)
            .or_else(|| round_to_even(number.checked_mul(Decimal::from(parts))?, 0).to_i64())
            .ok_or_else(too_large)?;
        if count.unsigned_abs() > Self::MAX.0.unsigned_abs() {
            return Err(too_large());
        }
        Ok(Self(count))
    }

    /// The same of digits of which so many are decimals; none where 64 bits do not hold it, or it is no length.
    pub(super) fn of_digits(digits: i64, decimals: u32, unit: LengthUnit) -> Option<Self> {
        let whole = unit.whole_step(decimals);
        let count = match whole {
            Some(step) => digits.checked_mul(step)?,
            None => digits_in_parts(digits, decimals, unit.tenth_nanometres())?,
        };
        (count.unsigned_abs() <= Self::MAX.0.unsigned_abs()).then_some(Self(count))
    }

    /// From a computed number of millimetres, to the nearest tenth of a nanometre.
    ///
    /// The door from geometry and statistics, which work in `f64`, back to exact lengths.
    pub fn nearest_mm(millimetres: f64) -> Result<Self, LengthError> {
        if !millimetres.is_finite() {
            return Err(LengthError::NotFinite);
        }
        let count = (millimetres * 1e7).round_ties_even();
        if count.abs() > Self::MAX.0 as f64 {
            return Err(LengthError::TooLarge {
                given: format!("{millimetres} mm"),
            });
        }
        #[expect(clippy::cast_possible_truncation, reason = "range checked above")]
        Ok(Self(count as i64))
    }

    /// The whole number of tenths of a nanometre.
    pub const fn tenth_nanometres(self) -> i64 {
        self.0
    }

    /// In millimetres, the nearest `f64`.
    pub fn mm(self) -> f64 {
        self.in_unit(LengthUnit::Millimetre)
    }

    /// In a unit, the nearest `f64`.
    pub fn in_unit(self, unit: LengthUnit) -> f64 {
        // One division of two integers below 2^53 gives the nearest f64 to the exact decimal.
        self.0 as f64 / unit.tenth_nanometres() as f64
    }

    /// In a unit, as a decimal number: exact where the decimal ends, else to 28 digits.
    pub fn decimal(self, unit: LengthUnit) -> Decimal {
        match unit {
            LengthUnit::Millimetre => shortest(self.0, 7),
            LengthUnit::Micrometre => shortest(self.0, 4),
            LengthUnit::Inch | LengthUnit::Microinch => {
                (Decimal::from(self.0) / Decimal::from(unit.tenth_nanometres())).normalize()
            }
        }
    }

    /// In millimetres with the digits it needs, as [`decimal`](Self::decimal) shows it.
    pub const fn shortest_mm(self) -> impl fmt::Display {
        Shortest(self.0)
    }

    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// Whether the length is below zero.
    pub const fn is_negative(self) -> bool {
        self.0 < 0
    }

    /// Rounded to a whole multiple of `step` (above zero), ties to the even multiple.
    pub const fn round_to(self, step: Self) -> Self {
        let (quotient, remainder) = (self.0.div_euclid(step.0), self.0.rem_euclid(step.0));
        let up = match remainder * 2 - step.0 {
            twice if twice > 0 => true,
            0 => quotient % 2 != 0,
            _ => false,
        };
        Self((if up { quotient + 1 } else { quotient }) * step.0)
    }

    /// Multiplied by a whole number.
    pub const fn times(self, factor: i32) -> Self {
        Self(self.0 * factor as i64)
    }

    /// Text with a fixed number of decimals (at most 12) in a unit, without the unit, ties to even.
    pub fn to_fixed(self, unit: LengthUnit, decimals: u32) -> String {
        let decimals = decimals.min(12);
        let rounded = self
            .decimal(unit)
            .round_dp_with_strategy(decimals, RoundingStrategy::MidpointNearestEven);
        format!("{rounded:.*}", decimals as usize)
    }
}

/// Tenths of a nanometre, written in millimetres without zeros at the end.
struct Shortest(i64);

impl fmt::Display for Shortest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let one = LengthUnit::Millimetre.tenth_nanometres().unsigned_abs();
        let count = self.0.unsigned_abs();
        if self.0 < 0 {
            f.write_str("-")?;
        }
        write!(f, "{}", count / one)?;
        let mut rest = count % one;
        if rest == 0 {
            return Ok(());
        }
        let mut decimals = 7;
        while rest.is_multiple_of(10) {
            rest /= 10;
            decimals -= 1;
        }
        write!(f, ".{rest:0decimals$}")
    }
}

/// The shortest decimal text in millimetres, with its unit.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.decimal(LengthUnit::Millimetre))
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(text: &str) -> Length {
        Length::from_decimal(text.parse().unwrap(), LengthUnit::Inch).unwrap()
    }

    #[test]
    fn inch_and_millimetre_are_both_whole() {
        assert_eq!(inch("1").tenth_nanometres(), 254_000_000);
        assert_eq!(inch("0.2070").to_fixed(LengthUnit::Millimetre, 4), "5.2578");
        assert_eq!(inch("0.000001").tenth_nanometres(), 254);
    }

    #[test]
    fn leaves_as_it_entered() {
        assert_eq!(
            inch("0.2164").in_unit(LengthUnit::Inch).to_string(),
            "0.2164"
        );
        assert_eq!(
            inch("0.2164").decimal(LengthUnit::Inch).to_string(),
            "0.2164"
        );
    }

    /// Digits times a step from the table are those divided each time.
    #[test]
    fn whole_steps_are_those_of_a_division() {
        use LengthUnit::{Inch, Microinch, Micrometre, Millimetre};
        for unit in [Millimetre, Inch, Micrometre, Microinch] {
            for decimals in 0..12 {
                for digits in [0, 1, 7, -12_345, 9_999_999_999] {
                    let parts = unit.tenth_nanometres();
                    let divided = digits_in_parts(digits, decimals, parts).map(Length);
                    let divided = divided.filter(|length| length.0.abs() <= Length::MAX.0);
                    assert_eq!(Length::of_digits(digits, decimals, unit), divided);
                }
            }
        }
        assert_eq!(Inch.whole_step(6), Some(254));
        assert_eq!(Inch.whole_step(7), None);
        assert_eq!(Millimetre.whole_step(7), Some(1));
    }

    #[test]
    fn rounding_takes_ties_to_even() {
        let step = Length::from_ten_thousandths_inch(1);
        assert_eq!(inch("0.06865").round_to(step), inch("0.0686"));
        assert_eq!(inch("0.06875").round_to(step), inch("0.0688"));
        assert_eq!(inch("-0.06865").round_to(step), inch("-0.0686"));
    }

    proptest::proptest! {
        /// Against the rounding of `rust_decimal`; few digits, so that ties come up.
        #[test]
        fn rounds_as_the_decimal_type_does(digits in -30_000_i64..30_000, more in 0_u32..16, decimals in 0_u32..8) {
            let number = Decimal::new(digits * 10_i64.pow(more % 12), more);
            proptest::prop_assert_eq!(
                round_to_even(number, decimals),
                number.round_dp_with_strategy(decimals, RoundingStrategy::MidpointNearestEven)
            );
            let long = number * Decimal::new(1_000_000_000_000_001, 15);
            proptest::prop_assert_eq!(
                round_to_even(long, decimals),
                long.round_dp_with_strategy(decimals, RoundingStrategy::MidpointNearestEven)
            );
        }
    }

    proptest::proptest! {
        /// Against the decimal type, from the smallest part to the largest length, in digits and in parts.
        #[test]
        fn is_read_and_written_as_the_decimal_type_does(count in -Length::MAX.0..=Length::MAX.0, digits in proptest::num::i64::ANY, scale in 0_u32..25) {
            let length = Length(count);
            proptest::prop_assert_eq!(
                length.shortest_mm().to_string(),
                length.decimal(LengthUnit::Millimetre).to_string()
            );
            let number = Decimal::new(digits, scale);
            for unit in [LengthUnit::Millimetre, LengthUnit::Inch, LengthUnit::Micrometre] {
                let exact = number.checked_mul(Decimal::from(unit.tenth_nanometres())).map(|exact| {
                    exact.round_dp_with_strategy(0, RoundingStrategy::MidpointNearestEven)
                });
                let expected = exact.and_then(|exact| exact.to_i64()).filter(|count| count.abs() <= Length::MAX.0);
                proptest::prop_assert_eq!(Length::from_decimal(number, unit).ok().map(|length| length.0), expected);
            }
        }
    }

    #[test]
    fn refuses_what_is_no_length() {
        assert_eq!(Length::nearest_mm(f64::NAN), Err(LengthError::NotFinite));
        assert!(Length::nearest_mm(1e9).is_err());
        assert!(Length::from_decimal(Decimal::MAX, LengthUnit::Inch).is_err());
    }
}
