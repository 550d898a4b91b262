//! What a feature needs to know beside readings and limits: the keys of its section, each with what stands under it.
//!
//! The table of keys is all that a job file, a line at the bench or an option needs to know of a feature: whoever has the
//! values of one of them gives them as [`Values`], and the feature takes them.

use crate::message::Message;
use crate::units::Entered;

/// The least and the largest number that may stand under a key, and their unit as it is written behind them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The least.
    pub from: f64,
    /// The largest.
    pub to: f64,
    /// The unit with the space before it.
    pub unit: &'static str,
}

impl Range {
    /// From the least to the largest, both finite.
    pub const fn new(from: f64, to: f64, unit: &'static str) -> Self {
        Self { from, to, unit }
    }
}

/// What stands under a key.
#[derive(Clone, Copy, Debug)]
pub enum Holds {
    /// A length with its unit.
    Length,
    /// Readings, all in one unit.
    Lengths,
    /// A number.
    Number(Range),
    /// So many.
    Count(Range),
    /// The lower and the upper of two numbers.
    Bounds(Range),
    /// One of these codes.
    Code(&'static [&'static str]),
    /// A text.
    Text,
    /// Several texts.
    Texts,
    /// A section of its own, by its keys and their names.
    Section(&'static [Key], &'static [&'static str]),
}

/// What is wrong with a text.
pub type Check = fn(&str) -> Result<(), Message>;

/// A key of a section.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// As it is written in a job file.
    pub name: &'static str,
    /// What stands under it.
    pub holds: Holds,
    /// Whether it may not be left out.
    pub needed: bool,
    /// What is said where it is left out all the same, if that is more than that it is missing.
    pub lacking: Option<fn() -> Message>,
    /// What is wrong with a text under it.
    pub check: Option<Check>,
    /// The texts to choose from, where not any will do at the bench.
    pub known: &'static [&'static str],
}

impl Key {
    /// A key under which such a value stands.
    pub const fn of<T: Stands>(name: &'static str) -> Self {
        Self {
            name,
            holds: T::HOLDS,
            needed: T::NEEDED,
            lacking: None,
            check: None,
            known: &[],
        }
    }

    /// Numbers within a range.
    #[must_use]
    pub const fn within(self, range: Range) -> Self {
        let holds = match self.holds {
            Holds::Number(_) => Holds::Number(range),
            Holds::Count(_) => Holds::Count(range),
            Holds::Bounds(_) => Holds::Bounds(range),
            other => other,
        };
        Self { holds, ..self }
    }

    /// What is said where it is left out.
    #[must_use]
    pub const fn lacking(self, lacking: fn() -> Message) -> Self {
        Self {
            lacking: Some(lacking),
            ..self
        }
    }

    /// What is wrong with a text.
    #[must_use]
    pub const fn checked(self, check: Check) -> Self {
        Self {
            check: Some(check),
            ..self
        }
    }

    /// The texts to choose from at the bench.
    #[must_use]
    pub const fn known(self, known: &'static [&'static str]) -> Self {
        Self { known, ..self }
    }
}

/// The key under a path, a point leading into a section within.
pub fn find(keys: &'static [Key], path: &str) -> Option<&'static Key> {
    let (name, within) = path
        .split_once('.')
        .map_or((path, None), |(a, b)| (a, Some(b)));
    let key = keys.iter().find(|key| key.name == name)?;
    match (within, key.holds) {
        (None, _) => Some(key),
        (Some(within), Holds::Section(keys, _)) => find(keys, within),
        (Some(_), _) => None,
    }
}

/// Whoever has the values of a section. A value that is left out is none; one that is no such value is an error of theirs.
pub trait Values: Sized {
    /// What is wrong with a value.
    type Error;

    /// A length.
    fn length(&mut self, key: &Key) -> Result<Option<Entered>, Self::Error>;
    /// Readings.
    fn lengths(&mut self, key: &Key) -> Result<Option<Vec<Entered>>, Self::Error>;
    /// A number within the range of the key.
    fn number(&mut self, key: &Key, range: Range) -> Result<Option<f64>, Self::Error>;
    /// So many, within the range of the key.
    fn count(&mut self, key: &Key, range: Range) -> Result<Option<u32>, Self::Error>;
    /// Two numbers, each within the range of the key.
    fn bounds(&mut self, key: &Key, range: Range) -> Result<Option<[f64; 2]>, Self::Error>;
    /// A text; of a key that holds codes, one of them.
    fn text(&mut self, key: &Key) -> Result<Option<String>, Self::Error>;
    /// Texts.
    fn texts(&mut self, key: &Key) -> Result<Option<Vec<String>>, Self::Error>;
    /// The section under a key.
    fn section(&mut self, key: &Key) -> Result<Option<Self>, Self::Error>;
    /// Nothing stands under a key that is needed.
    fn missing(&self, key: &Key) -> Self::Error;
}

/// What can stand under a key.
pub trait Stands: Sized {
    /// As what.
    const HOLDS: Holds;
    /// Whether it may not be left out.
    const NEEDED: bool = true;

    /// The value under a key.
    fn take<V: Values>(values: &mut V, key: &Key) -> Result<Option<Self>, V::Error>;

    /// The value under a key that is needed.
    fn needed<V: Values>(values: &mut V, key: &Key) -> Result<Self, V::Error> {
        match Self::take(values, key)? {
            Some(value) => Ok(value),
            None => Err(values.missing(key)),
        }
    }
}

/// A section with its keys.
pub trait Section: Sized {
    /// Its keys, in the order in which they are read.
    const KEYS: &'static [Key];
    /// Their names.
    const NAMES: &'static [&'static str];

    /// Takes the section from its values.
    fn read<V: Values>(values: &mut V) -> Result<Self, V::Error>;
}

/// A choice that is written by its code.
pub trait Choice: Sized {
    /// Every code.
    const KEYS: &'static [&'static str];

    /// The one with this code.
    fn of_key(key: &str) -> Option<Self>;
}

const ANY: Range = Range::new(f64::MIN, f64::MAX, "");

macro_rules! stands {
    ($($kind:ty: $holds:expr, $take:ident;)*) => {
        $(
            impl Stands for $kind {
                const HOLDS: Holds = $holds;

                fn take<V: Values>(values: &mut V, key: &Key) -> Result<Option<Self>, V::Error> {
                    values.$take(key)
                }
            }
        )*
    };
}
stands! {
    Entered: Holds::Length, length;
    Vec<Entered>: Holds::Lengths, lengths;
    String: Holds::Text, text;
    Vec<String>: Holds::Texts, texts;
}

macro_rules! stands_in_range {
    ($($kind:ty: $holds:ident, $take:ident;)*) => {
        $(
            impl Stands for $kind {
                const HOLDS: Holds = Holds::$holds(ANY);

                fn take<V: Values>(values: &mut V, key: &Key) -> Result<Option<Self>, V::Error> {
                    match key.holds {
                        Holds::$holds(range) => values.$take(key, range),
                        _ => Ok(None),
                    }
                }
            }
        )*
    };
}
stands_in_range! {
    f64: Number, number;
    u32: Count, count;
    [f64; 2]: Bounds, bounds;
}

impl<T: Stands> Stands for Option<T> {
    const HOLDS: Holds = T::HOLDS;
    const NEEDED: bool = false;

    fn take<V: Values>(values: &mut V, key: &Key) -> Result<Option<Self>, V::Error> {
        T::take(values, key).map(Some)
    }
}

/// Declares a choice: an enum of codes that stands under a key.
macro_rules! choice {
    (
        $(#[$meta:meta])*
        pub enum $name:ident $subject:literal {
            $( $(#[$variant_meta:meta])* $variant:ident $code:literal ),* $(,)?
        }
    ) => {
        crate::codes! {
            $(#[$meta])*
            #[derive(serde::Serialize, serde::Deserialize)]
            #[serde(rename_all = "kebab-case")]
            pub enum $name $subject { $( $(#[$variant_meta])* $variant $code ),* }
        }

        impl $crate::inspection::features::section::Choice for $name {
            const KEYS: &'static [&'static str] = &[ $( $code ),* ];

            fn of_key(key: &str) -> Option<Self> {
                Self::of(key)
            }
        }

        impl $crate::inspection::features::section::Stands for $name {
            const HOLDS: $crate::inspection::features::section::Holds =
                $crate::inspection::features::section::Holds::Code(
                    <Self as $crate::inspection::features::section::Choice>::KEYS,
                );

            fn take<V: $crate::inspection::features::section::Values>(
                values: &mut V,
                key: &$crate::inspection::features::section::Key,
            ) -> Result<Option<Self>, V::Error> {
                let text = values.text(key)?;
                Ok(text.and_then(|text| Self::of(&text)))
            }
        }
    };
}
pub(super) use choice;

/// Declares a section: a struct, each field under the key of its name, and what else is to be known of the key.
macro_rules! section {
    (
        $(#[$meta:meta])*
        pub struct $name:ident {
            $(
                $(#[$field_meta:meta])*
                $field:ident : $kind:ty $( => $( $more:ident ( $($argument:expr),* ) )+ )?
            ),* $(,)?
        }
    ) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name { $( $(#[$field_meta])* pub $field: $kind ),* }

        impl $crate::inspection::features::section::Section for $name {
            const KEYS: &'static [$crate::inspection::features::section::Key] = &[
                $(
                    $crate::inspection::features::section::Key::of::<$kind>(stringify!($field))
                        $( $( .$more( $($argument),* ) )+ )?
                ),*
            ];

            const NAMES: &'static [&'static str] = &[ $( stringify!($field) ),* ];

            fn read<V: $crate::inspection::features::section::Values>(
                values: &mut V,
            ) -> Result<Self, V::Error> {
                Ok(Self {
                    $(
                        $field: {
                            const KEY: $crate::inspection::features::section::Key =
                                $crate::inspection::features::section::Key::of::<$kind>(
                                    stringify!($field),
                                )
                                $( $( .$more( $($argument),* ) )+ )?;
                            <$kind as $crate::inspection::features::section::Stands>::needed(
                                values, &KEY,
                            )?
                        }
                    ),*
                })
            }
        }
    };
}
pub(super) use section;

/// Declares that a section can stand under a key.
macro_rules! stands_in_section {
    ($name:ident) => {
        impl $crate::inspection::features::section::Stands for $name {
            const HOLDS: $crate::inspection::features::section::Holds =
                $crate::inspection::features::section::Holds::Section(
                    <Self as $crate::inspection::features::section::Section>::KEYS,
                    <Self as $crate::inspection::features::section::Section>::NAMES,
                );

            fn take<V: $crate::inspection::features::section::Values>(
                values: &mut V,
                key: &$crate::inspection::features::section::Key,
            ) -> Result<Option<Self>, V::Error> {
                use $crate::inspection::features::section::Section as _;
                values
                    .section(key)?
                    .map(|mut inner| Self::read(&mut inner))
                    .transpose()
            }
        }
    };
}
pub(super) use stands_in_section;
