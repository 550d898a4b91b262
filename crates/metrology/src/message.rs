//! What the calculation has to say, without words: a code and the values that its sentence needs.
//!
//! A warning, a reason, a refusal is a variant of an enum with typed fields. [`messages!`](crate::messages) declares such an
//! enum; the sentence of each code is kept by the program that shows it. So a sentence can be reworded or translated
//! and no result, record or verdict changes.

mod beneath;
mod told;

use std::borrow::Cow;
use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use crate::source::Source;
use crate::units::{Entered, Length, LengthUnit};
pub use told::Told;

/// A code, and the values that its sentence names.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Message {
    /// Subject and code, such as `warning.zero-moved`.
    pub code: Cow<'static, str>,
    /// The values, by the name of their place in the sentence.
    pub values: BTreeMap<Cow<'static, str>, Value>,
}

/// The code of a number that has no end.
pub const ENDLESS: &str = "number.endless";

/// One value of a message. Lengths are millimetres; whoever shows them chooses unit and digits.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Value {
    /// A computed size or position, millimetres.
    Size(f64),
    /// A small length, such as an error or an uncertainty, millimetres.
    Difference(f64),
    /// A standard uncertainty or a part of one that is held against another, millimetres: shown to two digits at least.
    Uncertainty(f64),
    /// A small length with its sign, as something is added or has moved, millimetres.
    Shift(f64),
    /// The thickness of a coating or a film, millimetres.
    Thickness(f64),
    /// A computed length that is shown in millimetres whatever the unit of the drawing.
    InMillimetres(f64),
    /// A computed length in millimetres that is shown in inches whatever the unit of the drawing.
    InInches(f64),
    /// A limit or bound, exact, millimetres; shown with the decimals of the drawing.
    Exact(#[serde(with = "rust_decimal::serde::str")] Decimal),
    /// A measured size, told to the digits that its uncertainty allows.
    Told(Told),
    /// A length as it was entered.
    Entered(Entered),
    /// An angle, degrees.
    Degrees(f64),
    /// An angle, minutes of arc.
    Minutes(f64),
    /// A temperature, degrees Celsius.
    Celsius(f64),
    /// A difference of temperature, kelvins.
    Kelvin(f64),
    /// How far temperatures may lie apart, kelvins, without a sign.
    Kelvins(f64),
    /// A force, newtons.
    Newton(f64),
    /// A pressure, kilopascals.
    Kilopascal(f64),
    /// A pressure or stress, megapascals.
    Megapascal(f64),
    /// An area, square millimetres.
    SquareMillimetre(f64),
    /// A time, seconds.
    Seconds(f64),
    /// A part of a whole, 1 for all of it; shown in percent.
    Share(f64),
    /// Percent, to hundredths.
    Percent(f64),
    /// A probability; shown in percent, and never as a certainty.
    Probability(f64),
    /// A plain number.
    Number(f64),
    /// A length as it was given or as a bound states it, millimetres; shown with the digits that it needs.
    Length(f64),
    /// A number with all its digits, as it was given or as a bound states it.
    Given(f64),
    /// A number as it was stated, with its digits.
    Stated(#[serde(with = "rust_decimal::serde::str")] Decimal),
    /// How many.
    Count(u64),
    /// A unit of length.
    Unit(LengthUnit),
    Date(Date),
    Time(Timestamp),
    /// What somebody typed, an identity, a designation: shown as it is.
    Text(String),
    /// Another code, shown by its own words.
    Code(Cow<'static, str>),
    /// Another message.
    Message(Box<Message>),
    /// Several, one after the other.
    List(Vec<Value>),
    /// Several, one of which is meant.
    Choice(Vec<Value>),
    /// Nothing to show here.
    Nothing,
}

/// What has a code: the name of a thing in records and machine-readable output, and the key of its words.
pub trait Coded {
    /// Subject and code, such as `contacts.v-and-cone`.
    fn code(&self) -> Cow<'static, str>;
}

/// A code that is declared elsewhere, for who passes it on and need not know which there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Code(&'static str);

impl Code {
    /// One that an enum of [`codes!`](crate::codes) declares, or a sentence of its own: subject and code.
    pub const fn declared(code: &'static str) -> Self {
        Self(code)
    }

    /// The code without its subject.
    pub fn key(self) -> &'static str {
        self.0.split_once('.').map_or(self.0, |(_, key)| key)
    }
}

impl Coded for Code {
    fn code(&self) -> Cow<'static, str> {
        self.0.into()
    }
}

/// What can be said by a code and values.
pub trait Say {
    /// The code and its values.
    fn message(&self) -> Message;
}

impl Message {
    /// A message without values.
    pub fn of(code: impl Into<Cow<'static, str>>) -> Self {
        Self {
            code: code.into(),
            values: BTreeMap::new(),
        }
    }

    /// The same with one more value.
    pub fn with(mut self, name: &'static str, value: Value) -> Self {
        self.values.insert(name.into(), value);
        self
    }

    /// The code without its subject: `zero-moved` of `warning.zero-moved`.
    pub fn key(&self) -> &str {
        self.code
            .split_once('.')
            .map_or(&*self.code, |(_, key)| key)
    }

    /// The value of this name.
    pub fn value(&self, name: &str) -> Option<&Value> {
        self.values.get(name)
    }
}

impl Say for Message {
    fn message(&self) -> Message {
        self.clone()
    }
}

impl<T: Say> Say for Box<T> {
    fn message(&self) -> Message {
        (**self).message()
    }
}

impl Value {
    /// A coded thing.
    pub fn code(of: impl Coded) -> Self {
        Self::Code(of.code())
    }

    /// Coded things, one after the other.
    pub fn codes<C: Coded>(of: Vec<C>) -> Self {
        Self::List(of.iter().map(|one| Self::Code(one.code())).collect())
    }

    /// Something said inside another sentence.
    pub fn said(what: impl Say) -> Self {
        Self::Message(Box::new(what.message()))
    }

    /// The same where it may be missing: its place in the sentence is then empty.
    pub fn said_if<S: Say>(what: Option<S>) -> Self {
        what.map_or(Self::Nothing, Self::said)
    }

    /// Several things said, one after the other.
    pub fn all_said<S: Say>(all: Vec<S>) -> Self {
        Self::List(all.into_iter().map(Self::said).collect())
    }

    /// A text as it is.
    pub fn text(of: impl Into<String>) -> Self {
        Self::Text(of.into())
    }

    /// Whether it is a text with nothing to read in it.
    pub fn is_blank(&self) -> bool {
        matches!(self, Self::Text(text) if text.trim().is_empty())
    }

    /// Texts as they are, one of which is meant.
    pub fn one_of<T: Into<String>>(all: Vec<T>) -> Self {
        Self::Choice(all.into_iter().map(Self::text).collect())
    }

    /// The thickness of a coating or a film.
    pub fn thickness(length: Length) -> Self {
        Self::Thickness(length.mm())
    }

    /// A limit or bound as an exact length.
    pub fn bound(length: Length) -> Self {
        Self::Exact(length.decimal(LengthUnit::Millimetre))
    }

    /// Texts as they are, one after the other.
    pub fn texts<T: Into<String>>(all: Vec<T>) -> Self {
        Self::List(all.into_iter().map(|one| Self::Text(one.into())).collect())
    }

    /// An exact length; nothing where there is none.
    pub fn exact(length: Option<Length>) -> Self {
        length.map_or(Self::Nothing, |length| {
            Self::Exact(length.decimal(LengthUnit::Millimetre))
        })
    }

    /// So many of something.
    pub fn count(of: usize) -> Self {
        Self::Count(u64::try_from(of).unwrap_or(u64::MAX))
    }

    /// Several numbers of things, one after the other.
    pub fn counts(of: Vec<usize>) -> Self {
        Self::List(of.into_iter().map(Self::count).collect())
    }

    /// So many, from a small number.
    pub fn whole(of: u32) -> Self {
        Self::Count(of.into())
    }

    /// Where something stands: a document by its title, anything else by its words.
    pub fn source(of: Source) -> Self {
        of.document().map_or_else(
            || Self::Code(of.code()),
            |title| Self::Text(title.to_owned()),
        )
    }

    /// A number that may have no end.
    pub fn number(value: f64) -> Self {
        if value.is_finite() {
            Self::Number(value)
        } else {
            Self::Code(ENDLESS.into())
        }
    }

    /// The value as it is, for a field that is one already.
    pub const fn itself(value: Self) -> Self {
        value
    }
}

/// Declares an enum of things to say: each variant with its code and its fields, each field with the [`Value`] that it is
/// said as.
///
/// ```
/// metrology::messages! {
///     /// What is wrong with a spring.
///     pub enum SpringError "spring" {
///         /// It is shorter than its block length.
///         Short "short" { by: f64 as Difference },
///         /// It has no turns.
///         NoTurns "no-turns",
///     }
/// }
/// use metrology::message::Say;
/// assert_eq!(SpringError::Short { by: 0.1 }.message().code, "spring.short");
/// assert_eq!(SpringError::DECLARED, [("spring.short", &["by"][..]), ("spring.no-turns", &[][..])]);
/// ```
#[macro_export]
macro_rules! messages {
    (
        $(#[$meta:meta])*
        $vis:vis enum $name:ident $subject:literal {
            $(
                $(#[$variant_meta:meta])*
                $variant:ident $code:literal $({ $( $(#[$field_meta:meta])* $field:ident : $kind:ty as $value:ident ),* $(,)? })?
            ),* $(,)?
        }
    ) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq)]
        $vis enum $name {
            $(
                $(#[$variant_meta])*
                $variant $({ $( $(#[$field_meta])* $field: $kind ),* })?
            ),*
        }

        $crate::messages! {
            impl $name $subject {
                $( $variant $code $({ $( $field as $value ),* })? ),*
            }
        }
    };
    (
        impl $name:ident $subject:literal {
            $( $variant:ident $code:literal $({ $( $field:ident as $value:ident ),* $(,)? })? ),* $(,)?
        }
    ) => {
        #[allow(dead_code, reason = "not every enum needs each of them")]
        impl $name {
            /// Every code with the names of its values.
            pub const DECLARED: &'static [(&'static str, &'static [&'static str])] = &[
                $( (concat!($subject, ".", $code), &[ $( $( stringify!($field) ),* )? ]) ),*
            ];

            /// Subject and code.
            pub const fn code(&self) -> &'static str {
                match self {
                    $( Self::$variant $({ $( $field: _ ),* })? => concat!($subject, ".", $code) ),*
                }
            }
        }

        impl $crate::message::Say for $name {
            fn message(&self) -> $crate::message::Message {
                match self {
                    $(
                        Self::$variant $({ $( $field ),* })? => {
                            $crate::message::Message::of(concat!($subject, ".", $code))
                            $( $( .with(stringify!($field), $crate::message::Value::$value($field.clone())) )* )?
                        }
                    ),*
                }
            }
        }

        /// For developers: the code and its fields.
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, "{}: {self:?}", self.code())
            }
        }

        impl std::error::Error for $name {}
    };
}

/// Declares an enum of named things without values: kinds, features, quantities. Each has a code that is stored, printed
/// in machine-readable output and worded elsewhere.
///
/// ```
/// metrology::codes! {
///     /// Sides of a coin.
///     pub enum Side "side" {
///         /// The front.
///         Head "head",
///         /// The back.
///         Tail "tail",
///     }
/// }
/// assert_eq!(Side::Tail.key(), "tail");
/// assert_eq!(Side::of("head"), Some(Side::Head));
/// ```
#[macro_export]
macro_rules! codes {
    (
        $(#[$meta:meta])*
        $vis:vis enum $name:ident $subject:literal {
            $( $(#[$variant_meta:meta])* $variant:ident $code:literal ),* $(,)?
        }
    ) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        $vis enum $name {
            $( $(#[$variant_meta])* $variant ),*
        }

        $crate::codes! { impl $name $subject { $( $variant $code ),* } }
    };
    (
        impl $name:ident $subject:literal {
            $( $variant:ident $code:literal ),* $(,)?
        }
    ) => {
        #[allow(dead_code, reason = "not every enum needs each of them")]
        impl $name {
            pub const EVERY: &'static [Self] = &[ $( Self::$variant ),* ];
            /// Every code with its subject, for the catalogue of words.
            pub const DECLARED: &'static [(&'static str, &'static [&'static str])] = &[
                $( (concat!($subject, ".", $code), &[]) ),*
            ];

            /// The code, without its subject.
            pub const fn key(self) -> &'static str {
                match self {
                    $( Self::$variant => $code ),*
                }
            }

            /// The one with this code.
            pub fn of(code: &str) -> Option<Self> {
                match code {
                    $( $code => Some(Self::$variant), )*
                    _ => None,
                }
            }
        }

        impl From<$name> for $crate::message::Code {
            fn from(one: $name) -> Self {
                Self::declared(match one {
                    $( $name::$variant => concat!($subject, ".", $code) ),*
                })
            }
        }

        impl $crate::message::Coded for $name {
            fn code(&self) -> std::borrow::Cow<'static, str> {
                $crate::message::Code::from(*self).code()
            }
        }
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    messages! {
        enum Heard "heard" {
            Loud "loud" { by: f64 as Difference, id: String as Text },
            Quiet "quiet",
        }
    }

    #[test]
    fn stored_and_read_back_to_the_bit() {
        let said = Heard::Loud {
            by: 20.900000000000002,
            id: "mic-04".into(),
        }
        .message();
        let text = serde_json::to_string(&said).unwrap();
        assert_eq!(
            text,
            r#"{"code":"heard.loud","values":{"by":{"difference":20.900000000000002},"id":{"text":"mic-04"}}}"#
        );
        assert_eq!(serde_json::from_str::<Message>(&text).unwrap(), said);
        assert_eq!(said.key(), "loud");
        assert_eq!(Heard::Quiet.code(), "heard.quiet");
    }
}
