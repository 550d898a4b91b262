//! A length as somebody entered it.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::{Length, LengthError, LengthUnit};

/// A length as it was typed or sent by an instrument: its text, digits and unit are kept, so that a record
/// shows what was read and not what a program made of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entered {
    text: String,
    number: Decimal,
    value: Length,
    unit: LengthUnit,
}

/// Why an entry cannot be taken as a length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EntryError {
    /// Nothing there.
    Empty,
    /// No number at the start.
    NotANumber {
        /// As it was entered.
        text: String,
    },
    /// A number without a unit where none is agreed.
    MissingUnit {
        /// As it was entered.
        text: String,
    },
    /// A letter where a digit must have been meant: the whole entry, the letter, and the entry with the digit that
    /// the letter looks like.
    LetterForDigit {
        /// As it was entered.
        text: String,
        letter: char,
        /// The entry with the digit in its place.
        digits: String,
    },
    /// A unit nobody knows: the whole entry, and what stands where the unit should.
    UnknownUnit {
        /// As it was entered.
        text: String,
        /// What stands where the unit should.
        unit: String,
    },
    /// Two decimal signs.
    TwoDecimalSigns {
        /// As it was entered.
        text: String,
    },
    /// Beyond the range of a length.
    Range {
        /// As it was entered.
        text: String,
        why: LengthError,
    },
}

impl Entered {
    /// Reads a length; `unit` is what a bare number means, or `None` where a unit must be written.
    ///
    /// A point or a comma is the decimal sign; a thousands separator is refused rather than guessed, and so is a letter that
    /// looks like a digit. A power of ten may follow, as programs write it.
    pub fn parse(text: &str, unit: Option<LengthUnit>) -> Result<Self, EntryError> {
        Self::read(text, unit).map_err(|error| letter_for_digit(text, unit).unwrap_or(error))
    }

    fn read(text: &str, unit: Option<LengthUnit>) -> Result<Self, EntryError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(EntryError::Empty);
        }
        let end = text
            .find(|c: char| {
                !(c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-' | '\u{2212}'))
            })
            .unwrap_or(text.len());
        let end = end + exponent(&text[end..]);
        let (number, suffix) = text.split_at(end);
        let suffix = suffix.trim();
        if number.matches(['.', ',']).count() > 1 {
            return Err(EntryError::TwoDecimalSigns {
                text: text.to_owned(),
            });
        }
        let number = number.replace(',', ".").replace('\u{2212}', "-");
        let decimal = if number.contains(['e', 'E']) {
            Decimal::from_scientific(&number).ok()
        } else {
            number.parse().ok()
        };
        let decimal = decimal
            .filter(|_| number.contains(|c: char| c.is_ascii_digit()))
            .ok_or_else(|| EntryError::NotANumber {
                text: text.to_owned(),
            })?;
        let unit = if suffix.is_empty() {
            unit.ok_or_else(|| EntryError::MissingUnit {
                text: text.to_owned(),
            })?
        } else {
            suffix.parse().map_err(|()| EntryError::UnknownUnit {
                text: text.to_owned(),
                unit: suffix.to_owned(),
            })?
        };
        let value = Length::from_decimal(decimal, unit).map_err(|why| EntryError::Range {
            text: text.to_owned(),
            why,
        })?;
        let text = if suffix.is_empty() {
            format!("{text}{unit}")
        } else {
            text.to_owned()
        };
        Ok(Self {
            text,
            number: decimal,
            value,
            unit,
        })
    }

    /// A length that is known exactly, written in a unit in which its digits end.
    pub fn of(value: Length, unit: LengthUnit) -> Self {
        let number = value.decimal(unit).normalize();
        Self {
            text: format!("{number}{unit}"),
            number,
            value,
            unit,
        }
    }

    /// As entered, always with its unit.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The same for people, with a space before the unit: `0.866 mm`.
    pub fn words(&self) -> String {
        format!("{} {}", self.number, self.unit)
    }

    /// The length meant.
    pub const fn value(&self) -> Length {
        self.value
    }

    /// The unit it was entered in.
    pub const fn unit(&self) -> LengthUnit {
        self.unit
    }

    /// How many decimals were entered.
    pub const fn decimals(&self) -> u32 {
        self.number.scale()
    }

    /// The number as entered, in its unit, exact to the last digit.
    pub const fn number(&self) -> Decimal {
        self.number
    }

    /// One step of the last digit entered: what the display resolves when nothing better is known.
    ///
    /// At least a tenth of a nanometre.
    pub fn resolution(&self) -> Length {
        step(self.decimals(), self.unit)
    }
}

/// A length as it was entered, without its text: what calculations need of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Digits {
    pub value: Length,
    pub decimals: u32,
    pub unit: LengthUnit,
}

impl Digits {
    /// Of an entry in this unit that is nothing but digits with a point among them, as [`Entered::parse`] reads it; none of any
    /// other, right or wrong.
    pub fn plain(text: &str, unit: LengthUnit) -> Option<Self> {
        /// As many digits as 64 bits hold in the smallest parts of any unit.
        const MOST: usize = 10;
        let (mut digits, mut decimals, mut point) = (0_i64, 0, false);
        let bytes = text.as_bytes();
        if bytes.len() > MOST {
            return None;
        }
        for byte in bytes {
            match byte {
                b'0'..=b'9' => {
                    digits = digits * 10 + i64::from(byte - b'0');
                    decimals += u32::from(point);
                }
                b'.' if !point => point = true,
                _ => return None,
            }
        }
        let inside = |end: Option<&u8>| end.is_some_and(u8::is_ascii_digit);
        if !inside(bytes.first()) || !inside(bytes.last()) {
            return None;
        }
        let value = Length::of_digits(digits, decimals, unit)?;
        Some(Self {
            value,
            decimals,
            unit,
        })
    }

    /// One step of the last digit, see [`Entered::resolution`].
    pub fn resolution(&self) -> Length {
        step(self.decimals, self.unit)
    }
}

impl From<&Entered> for Digits {
    fn from(entered: &Entered) -> Self {
        Self {
            value: entered.value,
            decimals: entered.decimals(),
            unit: entered.unit,
        }
    }
}

fn step(decimals: u32, unit: LengthUnit) -> Length {
    let step = Length::of_digits(1, decimals, unit).or_else(|| {
        let step = Decimal::new(1, decimals.min(28));
        Length::from_decimal(step, unit).ok()
    });
    step.unwrap_or_default()
        .max(Length::from_tenth_nanometres(1))
}

/// How many bytes of what follows a number are its power of ten, as programs write small numbers: `8e-05`.
fn exponent(rest: &str) -> usize {
    let after = rest.strip_prefix(['e', 'E']).unwrap_or_default();
    let power = after.strip_prefix(['+', '-']).unwrap_or(after);
    let digits = power.bytes().take_while(u8::is_ascii_digit).count();
    if digits == 0 {
        return 0;
    }
    rest.len() - power.len() + digits
}

/// Where letters stand for the digits that they look like and nothing else is wrong, that.
fn letter_for_digit(text: &str, unit: Option<LengthUnit>) -> Option<EntryError> {
    let text = text.trim();
    let letter = text.chars().find(|c| digit_like(*c).is_some())?;
    let digits: String = text.chars().map(|c| digit_like(c).unwrap_or(c)).collect();
    // The letter alone is no number, and a number is there without it.
    (text.contains(|c: char| c.is_ascii_digit()) && Entered::read(&digits, unit).is_ok()).then(
        || EntryError::LetterForDigit {
            text: text.to_owned(),
            letter,
            digits,
        },
    )
}

/// The digit that a letter looks like.
pub(crate) const fn digit_like(letter: char) -> Option<char> {
    match letter {
        'O' | 'o' => Some('0'),
        'l' | 'I' => Some('1'),
        _ => None,
    }
}

/// As its text.
impl std::fmt::Display for Entered {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.text)
    }
}

impl Serialize for Entered {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl<'de> Deserialize<'de> for Entered {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text, None).map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_power_of_ten_may_follow_the_digits() {
        let mm = Some(LengthUnit::Millimetre);
        for (text, plain) in [
            ("8e-05", "0.00008mm"),
            ("1.50E-3mm", "0.00150mm"),
            ("-2e+1 um", "-20um"),
        ] {
            let (entered, plain) = (Entered::parse(text, mm), Entered::parse(plain, None));
            let (entered, plain) = (entered.unwrap(), plain.unwrap());
            assert_eq!(entered.value(), plain.value(), "{text}");
            assert_eq!(entered.decimals(), plain.decimals(), "{text}");
        }
        for text in ["8e", "8e-", "8e-05e2", "e3", "8e-30", "8e99", "8e3.5"] {
            assert!(Entered::parse(text, mm).is_err(), "{text}");
        }
    }

    #[test]
    fn a_letter_that_looks_like_a_digit_is_named() {
        for (text, digits) in [
            ("8.93O", "8.930"),
            ("O.2164in", "0.2164in"),
            ("l0,001 mm", "10,001 mm"),
        ] {
            let error = Entered::parse(text, Some(LengthUnit::Millimetre)).unwrap_err();
            let EntryError::LetterForDigit { digits: said, .. } = error else {
                panic!("{error}");
            };
            assert_eq!(said, digits);
        }
        for text in ["lo", "O", "8.93 foo", "8.9o.3"] {
            let error = Entered::parse(text, Some(LengthUnit::Millimetre)).unwrap_err();
            assert!(
                !matches!(error, EntryError::LetterForDigit { .. }),
                "{error}"
            );
        }
    }

    #[test]
    fn keeps_digits_and_unit() {
        let reading = Entered::parse("8.870", Some(LengthUnit::Millimetre)).unwrap();
        assert_eq!(reading.text(), "8.870mm");
        assert_eq!(reading.decimals(), 3);
        assert_eq!(reading.resolution(), Length::from_micrometres(1));
        let again = Entered::parse(reading.text(), None).unwrap();
        assert_eq!(again, reading);
    }

    #[test]
    fn takes_point_and_comma() {
        let comma = Entered::parse("8,871 mm", None).unwrap();
        assert_eq!(comma.value(), Length::from_micrometres(8871));
        assert!(matches!(
            Entered::parse("1,008.871mm", None),
            Err(EntryError::TwoDecimalSigns { .. })
        ));
    }

    #[test]
    fn says_what_is_wrong() {
        assert_eq!(Entered::parse(" ", None), Err(EntryError::Empty));
        assert_eq!(
            Entered::parse("8.871", None),
            Err(EntryError::MissingUnit {
                text: "8.871".to_owned()
            })
        );
        assert!(matches!(
            Entered::parse("8.871ft", None),
            Err(EntryError::UnknownUnit { .. })
        ));
        assert!(matches!(
            Entered::parse("mm", None),
            Err(EntryError::NotANumber { .. })
        ));
        assert!(matches!(
            Entered::parse(".mm", None),
            Err(EntryError::NotANumber { .. })
        ));
        assert!(matches!(
            Entered::parse("9999999in", None),
            Err(EntryError::Range { .. })
        ));
    }
}
