//! Rounding a result and its uncertainty for print (JCGM 100:2008, 7.2.6).

use rust_decimal::{Decimal, RoundingStrategy};

/// A result and its uncertainty, rounded together; in the unit they came in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rounded {
    /// The result, rounded to the place of the uncertainty, ties to even.
    pub value: Decimal,
    /// The uncertainty to two significant digits, ties up.
    pub uncertainty: Decimal,
    /// Decimals of both; negative when the last digit that counts stands before the point (-1: tens).
    pub decimals: i32,
}

crate::codes! {
    /// One of the two numbers that are rounded together.
    pub enum Part "rounded" {
        Value "value",
        Uncertainty "uncertainty",
    }
}

crate::messages! {
    /// Why a result cannot be rounded for print.
    #[derive(Copy)]
    pub enum RoundingError "rounding-error" {
        /// No number that can be written out.
        NotANumber "not-a-number" { what: Part as code },
        /// Below zero.
        Negative "negative" { given: Decimal as Stated },
    }
}

/// Rounds an uncertainty to two significant digits and its result to the same place.
///
/// The nearest is taken, ties up: 10.47 → 10, 28.05 → 28, 0.0995 → 0.10, 9.96 → 10. Rounding happens on the
/// decimal digits, so no binary fraction decides a tie. An uncertainty of zero leaves the result as it is.
pub fn round(value: Decimal, uncertainty: Decimal) -> Result<Rounded, RoundingError> {
    if uncertainty.is_sign_negative() && !uncertainty.is_zero() {
        return Err(RoundingError::Negative { given: uncertainty });
    }
    if uncertainty.is_zero() {
        let value = value.normalize();
        return Ok(Rounded {
            value,
            uncertainty: Decimal::ZERO,
            decimals: i32::try_from(value.scale()).unwrap_or_default(),
        });
    }
    let up = RoundingStrategy::MidpointAwayFromZero;
    let mut decimals = 1 - leading_place(uncertainty);
    let mut rounded = round_at(uncertainty, decimals, up);
    // 0.0995 → 0.100: the carry made a third digit, which goes.
    if leading_place(rounded) != leading_place(uncertainty) {
        decimals -= 1;
        rounded = round_at(rounded, decimals, up);
    }
    Ok(Rounded {
        value: without_sign_of_nothing(round_at(
            value,
            decimals,
            RoundingStrategy::MidpointNearestEven,
        )),
        uncertainty: rounded,
        decimals,
    })
}

/// [`round`] for computed numbers, taken with the shortest decimal digits that name them.
pub fn round_f64(value: f64, uncertainty: f64) -> Result<Rounded, RoundingError> {
    let value = shortest_decimal(value).ok_or(RoundingError::NotANumber { what: Part::Value })?;
    let uncertainty = shortest_decimal(uncertainty).ok_or(RoundingError::NotANumber {
        what: Part::Uncertainty,
    })?;
    round(value, uncertainty)
}

impl Rounded {
    /// As `50.00084 ± 0.00013`, without a unit (7.2.4).
    pub fn plus_minus(&self) -> String {
        format!(
            "{} \u{b1} {}",
            self.fixed(self.value),
            self.fixed(self.uncertainty)
        )
    }

    /// With the uncertainty in the last digits in brackets, as `100.02147(35)`; for standard uncertainties (7.2.2).
    pub fn concise(&self) -> String {
        if self.decimals <= 0 {
            return format!(
                "{}({})",
                self.fixed(self.value),
                self.fixed(self.uncertainty)
            );
        }
        let digits = self.fixed(self.uncertainty).replace('.', "");
        let digits = digits.trim_start_matches('0');
        let digits = if digits.is_empty() { "0" } else { digits };
        format!("{}({digits})", self.fixed(self.value))
    }

    /// With all decimals, zeros included. Written out here because a precision beyond 32 characters is too much for
    /// the decimal type's own formatting.
    fn fixed(&self, number: Decimal) -> String {
        let mut text = number.to_string();
        let missing = u32::try_from(self.decimals)
            .unwrap_or(0)
            .saturating_sub(number.scale());
        if number.scale() == 0 && missing > 0 {
            text.push('.');
        }
        text.extend(std::iter::repeat_n('0', missing as usize));
        text
    }
}

/// The decimal with the fewest digits that reads back as this `f64`, cut to 28 decimals where it has more; `None` for
/// what is no number, too large, or nothing within 28 decimals.
pub fn shortest_decimal(number: f64) -> Option<Decimal> {
    if number == 0.0 {
        return Some(Decimal::ZERO);
    }
    let decimal = Decimal::from_scientific(&format!("{number:e}"))
        .or_else(|_| format!("{number:.28}").parse())
        .ok()?;
    (!decimal.is_zero()).then_some(decimal)
}

/// What rounds to nothing has no sign.
fn without_sign_of_nothing(mut number: Decimal) -> Decimal {
    if number.is_zero() {
        number.set_sign_positive(true);
    }
    number
}

/// The power of ten of the first significant digit: 0.0995 → -2, 28 → 1.
fn leading_place(number: Decimal) -> i32 {
    let digits = number
        .mantissa()
        .unsigned_abs()
        .checked_ilog10()
        .unwrap_or(0);
    i32::try_from(digits).unwrap_or(0) - i32::try_from(number.scale()).unwrap_or(0)
}

/// Rounded at a decimal place, which may stand before the point.
fn round_at(number: Decimal, decimals: i32, strategy: RoundingStrategy) -> Decimal {
    if let Ok(decimals) = u32::try_from(decimals) {
        return number.round_dp_with_strategy(decimals, strategy);
    }
    // At most 10^27: an uncertainty has no more than 29 digits.
    let step = Decimal::from_i128_with_scale(10_i128.pow(decimals.unsigned_abs().min(27)), 0);
    // Divided and multiplied by a power of ten: exact but for a digit beyond the 28th.
    (number / step)
        .round_dp_with_strategy(0, strategy)
        .checked_mul(step)
        .unwrap_or(number)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn uncertainty(number: f64) -> String {
        let rounded = round_f64(0.0, number).unwrap();
        rounded.fixed(rounded.uncertainty)
    }

    #[test]
    fn two_digits_of_uncertainty() {
        // JCGM 100:2008, 7.2.6: 28.05 → 28. The rest are the digit carries.
        for (given, printed) in [
            (28.05, "28"),
            (10.47, "10"),
            (10.5, "11"),
            (0.0995, "0.10"),
            (0.00995, "0.010"),
            (9.96, "10"),
            (9.94, "9.9"),
            (0.0125, "0.013"),
            (99.5, "100"),
            (12345.0, "12000"),
            (2.5e-7, "0.00000025"),
        ] {
            assert_eq!(uncertainty(given), printed, "{given}");
        }
    }

    #[test]
    fn value_to_the_same_place() {
        // JCGM 100:2008, 7.2.6 and 7.2.2, 7.2.4.
        assert_eq!(
            round_f64(10.05762, 0.027).unwrap().plus_minus(),
            "10.058 ± 0.027"
        );
        assert_eq!(
            round_f64(100.02147, 0.00079).unwrap().plus_minus(),
            "100.02147 ± 0.00079"
        );
        assert_eq!(
            round_f64(100.02147, 0.00035).unwrap().concise(),
            "100.02147(35)"
        );
        assert_eq!(round_f64(1234.0, 99.5).unwrap().plus_minus(), "1230 ± 100");
        assert_eq!(round_f64(1234.0, 99.5).unwrap().concise(), "1230(100)");
        assert_eq!(round_f64(5.0, 9.96).unwrap().concise(), "5(10)");
        assert_eq!(round_f64(5.16, 1.2).unwrap().concise(), "5.2(12)");
        assert_eq!(
            round_f64(-0.0025, 0.11).unwrap().plus_minus(),
            "0.00 ± 0.11"
        );
        assert_eq!(
            round_f64(-0.025, 0.11).unwrap().plus_minus(),
            "-0.02 ± 0.11"
        );
    }

    #[test]
    fn small_numbers_with_many_digits_are_numbers() {
        let decimal = shortest_decimal(1.2345678901234567e-13).unwrap();
        assert_eq!(decimal.to_string(), "0.0000000000001234567890123457");
        assert_eq!(uncertainty(1.2345678901234567e-13), "0.00000000000012");
        assert_eq!(shortest_decimal(1e-30), None);
        assert_eq!(shortest_decimal(1e30), None);
    }

    #[test]
    fn nothing_uncertain() {
        assert_eq!(round_f64(8.994, 0.0).unwrap().plus_minus(), "8.994 ± 0.000");
    }

    #[test]
    fn refuses_what_cannot_be_printed() {
        assert!(round_f64(f64::NAN, 0.1).is_err());
        assert!(round_f64(1.0, f64::INFINITY).is_err());
        assert!(round_f64(1.0, 1e-40).is_err());
        assert!(round_f64(1e40, 0.1).is_err());
        assert_eq!(
            round_f64(1.0, -0.1),
            Err(RoundingError::Negative {
                given: "-0.1".parse().unwrap()
            })
        );
        // The largest decimal does not overflow.
        assert!(round(Decimal::MAX, Decimal::MAX).is_ok());
    }
}
