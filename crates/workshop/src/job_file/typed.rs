//! Values as they were typed, with their place in the file.

use std::fmt;
use std::path::Path;

use jiff::civil::Date;
use metrology::message::Say;
use metrology::units::{Entered, LengthUnit};
use rust_decimal::Decimal;
use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer};
use toml::Spanned;

use super::error::Wrong;
use super::one_unit;
use super::origin::Origin;
use crate::error::Error;
use crate::given::{NumberError, Range, Whole};

/// A text, number, day or flag, and where it stands.
pub type Typed = Spanned<Scalar>;

/// What was typed.
#[derive(Clone, Debug)]
pub enum Scalar {
    /// Between quotes.
    Text(String),
    /// As it stands in the file, such as the digits of a number.
    Bare,
}

impl<'de> Deserialize<'de> for Scalar {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct OneValue;
        impl Visitor<'_> for OneValue {
            type Value = Scalar;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("one value")
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<Scalar, E> {
                Ok(Scalar::Text(text.to_owned()))
            }

            fn visit_unit<E: de::Error>(self) -> Result<Scalar, E> {
                Ok(Scalar::Bare)
            }
        }
        from.deserialize_any(OneValue)
    }
}

/// What typed values come from, and the unit that a bare number in it means.
pub struct Source<'a> {
    origin: Origin<'a>,
    unit: Option<LengthUnit>,
    /// Where a section begins that is told by no name of its own.
    within: usize,
}

impl<'a> Source<'a> {
    pub fn new(origin: Origin<'a>, unit: Option<&Typed>) -> Result<Self, Error> {
        let mut source = Self {
            origin,
            unit: None,
            within: 0,
        };
        source.unit = source.optional(unit, |source, typed| {
            let text = source.text(typed);
            text.parse()
                .map_err(|()| source.wrong_at(typed, Wrong::NoUnit { text }))
        })?;
        Ok(source)
    }

    /// Values whose bare numbers mean this unit.
    pub const fn in_unit(origin: Origin<'a>, unit: Option<LengthUnit>) -> Self {
        Self {
            origin,
            unit,
            within: 0,
        }
    }

    /// The same for one of several sections of a name, by where it begins.
    pub const fn within(&self, at: usize) -> Self {
        Self {
            within: at,
            ..*self
        }
    }

    /// The unit that a bare number in this file means.
    pub const fn unit(&self) -> Option<LengthUnit> {
        self.unit
    }

    pub fn path(&self) -> &Path {
        self.origin.path()
    }

    /// Something wrong with the whole file.
    pub fn wrong(&self, reason: impl Say) -> Error {
        self.origin.wrong(0, reason)
    }

    /// Something wrong with a section, such as `measure.keyseat`.
    pub fn wrong_in(&self, section: &str, reason: impl Say) -> Error {
        let at = match self.origin.of_section(section) {
            0 => self.within,
            found => found,
        };
        self.origin.wrong(at, reason)
    }

    pub fn wrong_at<T>(&self, typed: &Spanned<T>, reason: impl Say) -> Error {
        self.origin.wrong(typed.span().start, reason)
    }

    /// What was typed: a string's content, or a number with the digits it was written with.
    pub fn text(&self, typed: &Typed) -> String {
        match typed.get_ref() {
            Scalar::Text(text) => text.clone(),
            Scalar::Bare => self
                .origin
                .text()
                .get(typed.span())
                .unwrap_or_default()
                .to_owned(),
        }
    }

    pub fn length(&self, typed: &Typed) -> Result<Entered, Error> {
        Entered::parse(&self.text(typed), self.unit).map_err(|error| self.wrong_at(typed, error))
    }

    /// A length that nobody typed, in the unit of the file.
    pub fn assumed(&self, text: &str) -> Option<Entered> {
        let unit = self.unit.unwrap_or(LengthUnit::Millimetre);
        Entered::parse(text, Some(unit)).ok()
    }

    /// A list of readings of one size, all in one unit.
    pub fn readings(&self, typed: &[Typed]) -> Result<Vec<Entered>, Error> {
        let readings = typed
            .iter()
            .map(|one| self.length(one))
            .collect::<Result<Vec<_>, _>>()?;
        match (one_unit(readings.iter()), typed.first()) {
            (Err(wrong), Some(first)) => Err(self.wrong_at(first, wrong)),
            _ => Ok(readings),
        }
    }

    pub fn date(&self, typed: &Typed) -> Result<Date, Error> {
        let text = self.text(typed);
        text.parse()
            .map_err(|_| self.wrong_at(typed, Wrong::NoDate { text }))
    }

    /// A number with the digits it was written with.
    pub fn decimal(&self, typed: &Typed) -> Result<Decimal, Error> {
        let text = self.text(typed);
        text.parse()
            .map_err(|_| self.wrong_at(typed, Wrong::NoNumber { text }))
    }

    /// A number without a unit, within its range.
    pub fn number(&self, typed: &Typed, permitted: Range) -> Result<f64, Error> {
        self.given(typed, |key, text| permitted.read(key, text))
    }

    /// A number of things, within its range.
    pub fn whole(&self, typed: &Typed, whole: Whole) -> Result<u32, Error> {
        self.given(typed, |key, text| whole.read(key, text))
    }

    fn given<T>(
        &self,
        typed: &Typed,
        read: impl Fn(&str, &str) -> Result<T, NumberError>,
    ) -> Result<T, Error> {
        let text = self.text(typed);
        if matches!(typed.get_ref(), Scalar::Text(_)) {
            return Err(self.wrong_at(typed, Wrong::QuotedNumber { text }));
        }
        let plain = text.replace('_', "");
        read("", &plain).or_else(|_| {
            // The key is looked for where there is something to say of it.
            let (_, key) = self.origin.named(typed.span().start);
            read(&key.unwrap_or_default(), &plain).map_err(|error| self.wrong_at(typed, error))
        })
    }

    /// The same where it may be left out.
    pub fn number_if(&self, typed: Option<&Typed>, permitted: Range) -> Result<Option<f64>, Error> {
        typed.map(|typed| self.number(typed, permitted)).transpose()
    }

    /// Applies a reader where something was typed.
    pub fn optional<T>(
        &self,
        typed: Option<&Typed>,
        read: impl Fn(&Self, &Typed) -> Result<T, Error>,
    ) -> Result<Option<T>, Error> {
        typed.map(|typed| read(self, typed)).transpose()
    }
}
