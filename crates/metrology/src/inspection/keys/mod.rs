//! The keys of a section, each with what stands under it: of a feature, or of a kind of equipment.
//!
//! The table of keys is all that a job file, a form, a line at the bench or an option needs to know: whoever has the values
//! gives them as [`Values`], and the section takes them. What a section states is told by the same table ([`Stated`]).

mod held;
mod stated;

use jiff::civil::Date;

pub use held::{Held, Otherwise, otherwise};
pub use stated::{Row, Stated, under};

pub use crate::given::Range;

use super::field::Field;
use super::marked::{CurvePoint, PitchEntry};
use crate::message::Message;
use crate::units::Entered;

/// What stands under a key.
#[derive(Clone, Copy, Debug)]
pub enum Holds {
    /// A length with its unit.
    Length,
    /// Readings, all in one unit.
    Lengths,
    Number(Range),
    /// So many.
    Count(Range),
    /// The lower and the upper of two numbers.
    Bounds(Range),
    /// One of these codes, of this subject.
    Code(&'static [&'static str], &'static str),
    Text,
    /// Several texts.
    Texts,
    /// A section of its own, by its keys and their names.
    Section(&'static [Key], &'static [&'static str]),
    /// What the piece is marked with, written without blanks at its ends.
    Identity,
    /// Two of them.
    Identities,
    /// True or false.
    Flag,
    Day,
    /// The smaller and the larger of two lengths.
    Span,
    /// The smallest and the largest of several pitches, as they are marked.
    Pitches,
    /// The points of an error curve: where, and the error there.
    Points,
    /// Several keys that stand beside the others.
    Beside(&'static [Key]),
}

/// Which lengths make sense under a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sense {
    /// What is refused.
    pub field: Field,
    /// Whether it is above zero, and not only zero or above.
    pub positive: bool,
    /// Whether it is an error or uncertainty, and so is small.
    pub small: bool,
}

/// What is taken where nothing stands under a key.
#[derive(Clone, Copy, Debug)]
pub struct Assumed {
    /// As it would be written.
    pub text: &'static str,
    /// Another key, and the code under it that makes it so. A length may then be zero, too.
    pub when: (&'static str, &'static str),
    /// Keys that must be left out as well.
    pub without: &'static [&'static str],
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
    /// Which lengths make sense.
    pub sense: Option<Sense>,
    /// What is taken where it is left out although it is needed.
    pub assumed: Option<Assumed>,
    /// The key that may stand in its place, and not beside it.
    pub instead: Option<&'static str>,
    /// Whether the day has come already.
    pub has_been: bool,
    /// How a description of the same piece elsewhere is held against it.
    pub held: Option<Held>,
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
            sense: None,
            assumed: None,
            instead: None,
            has_been: false,
            held: None,
        }
    }

    /// By another name than that of the field.
    #[must_use]
    pub const fn named(self, name: &'static str) -> Self {
        Self { name, ..self }
    }

    /// What the piece is marked with.
    #[must_use]
    pub const fn identity(self) -> Self {
        Self {
            holds: Holds::Identity,
            ..self
        }
    }

    const fn sensible(self, field: Field, positive: bool, small: bool) -> Self {
        Self {
            sense: Some(Sense {
                field,
                positive,
                small,
            }),
            ..self
        }
    }

    /// Lengths above zero.
    #[must_use]
    pub const fn positive(self, field: Field) -> Self {
        self.sensible(field, true, false)
    }

    /// Lengths of zero or above.
    #[must_use]
    pub const fn not_negative(self, field: Field) -> Self {
        self.sensible(field, false, false)
    }

    /// How far something may be off: zero or above, and small.
    #[must_use]
    pub const fn small(self, field: Field) -> Self {
        self.sensible(field, false, true)
    }

    /// Small, and above zero: a step of a display, or an uncertainty, since zero is none.
    #[must_use]
    pub const fn step(self, field: Field) -> Self {
        self.sensible(field, true, true)
    }

    /// A day that has come already.
    #[must_use]
    pub const fn has_been(self) -> Self {
        Self {
            has_been: true,
            ..self
        }
    }

    /// The same wherever the piece is described.
    #[must_use]
    pub const fn same(self) -> Self {
        let held = Some(Held::Same);
        Self { held, ..self }
    }

    /// A limit of an error, which nobody may state smaller than it is; with what is taken where it is left out.
    #[must_use]
    pub const fn not_less(self, left_out: Option<f64>) -> Self {
        let held = Some(Held::NotLess { left_out });
        Self { held, ..self }
    }

    /// A range, which nobody may state wider than it is.
    #[must_use]
    pub const fn not_wider(self) -> Self {
        let held = Some(Held::NotWider);
        Self { held, ..self }
    }

    /// What is taken where it is left out, where another key has this code and these are left out as well.
    #[must_use]
    pub const fn assumed(
        self,
        text: &'static str,
        when: (&'static str, &'static str),
        without: &'static [&'static str],
    ) -> Self {
        Self {
            assumed: Some(Assumed {
                text,
                when,
                without,
            }),
            ..self
        }
    }

    /// The key that may stand in its place.
    #[must_use]
    pub const fn instead(self, other: &'static str) -> Self {
        Self {
            instead: Some(other),
            ..self
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
    /// Yes or no.
    fn flag(&mut self, _key: &Key) -> Result<Option<bool>, Self::Error> {
        Ok(None)
    }
    fn day(&mut self, _key: &Key) -> Result<Option<Date>, Self::Error> {
        Ok(None)
    }
    /// The smaller and the larger of two lengths.
    fn span(&mut self, _key: &Key) -> Result<Option<[Entered; 2]>, Self::Error> {
        Ok(None)
    }
    /// Two identities.
    fn identities(&mut self, _key: &Key) -> Result<Option<[String; 2]>, Self::Error> {
        Ok(None)
    }
    /// The smallest and the largest of several pitches.
    fn pitches(&mut self, _key: &Key) -> Result<Option<[PitchEntry; 2]>, Self::Error> {
        Ok(None)
    }
    /// The points of an error curve.
    fn points(&mut self, _key: &Key) -> Result<Option<Vec<CurvePoint>>, Self::Error> {
        Ok(None)
    }
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

    /// What it is where nothing stands under the key.
    fn left_out() -> Option<Self> {
        None
    }

    /// The value under a key that is needed.
    fn needed<V: Values>(values: &mut V, key: &Key) -> Result<Self, V::Error> {
        match Self::take(values, key)?.or_else(Self::left_out) {
            Some(value) => Ok(value),
            None => Err(values.missing(key)),
        }
    }

    /// What it states; nothing where it is left out.
    fn stated(&self) -> Option<Stated> {
        None
    }

    /// The rows that it adds to those of its section.
    fn rows(&self, key: &'static Key, rows: &mut Vec<Row>) {
        rows.extend(self.stated().map(|stated| (key, stated)));
    }
}

/// A section with its keys.
pub trait Section: Sized {
    /// Its keys, in the order in which they are read.
    const KEYS: &'static [Key];
    const NAMES: &'static [&'static str];

    /// Takes the section from its values.
    fn read<V: Values>(values: &mut V) -> Result<Self, V::Error>;

    /// What it states, in the order of its keys.
    fn stated(&self) -> Vec<Row>;
}

/// How many keys there are, with those that stand beside them.
pub(super) const fn count(keys: &[Key]) -> usize {
    let (mut all, mut at) = (0, 0);
    while at < keys.len() {
        all += match keys[at].holds {
            Holds::Beside(keys) => keys.len(),
            _ => 1,
        };
        at += 1;
    }
    all
}

/// All of them one after the other.
pub(super) const fn all<const N: usize>(keys: &[Key]) -> [Key; N] {
    let mut all = [Key::of::<String>(""); N];
    let (mut to, mut at) = (0, 0);
    while at < keys.len() {
        let one = [keys[at]];
        let several = match keys[at].holds {
            Holds::Beside(keys) => keys,
            _ => &one,
        };
        let mut of = 0;
        while of < several.len() {
            all[to] = several[of];
            to += 1;
            of += 1;
        }
        at += 1;
    }
    all
}

pub(super) const fn names<const N: usize>(keys: &[Key]) -> [&'static str; N] {
    let mut names = [""; N];
    let mut at = 0;
    while at < N {
        names[at] = keys[at].name;
        at += 1;
    }
    names
}

const ANY: Range = Range::new(f64::MIN, f64::MAX, "");

macro_rules! stands {
    ($($kind:ty: $holds:expr, $take:ident, $self:ident => $stated:expr;)*) => {
        $(
            impl Stands for $kind {
                const HOLDS: Holds = $holds;

                fn take<V: Values>(values: &mut V, key: &Key) -> Result<Option<Self>, V::Error> {
                    values.$take(key)
                }

                fn stated(&$self) -> Option<Stated> {
                    Some($stated)
                }
            }
        )*
    };
}
stands! {
    Entered: Holds::Length, length, self => Stated::Length(self.clone());
    Vec<Entered>: Holds::Lengths, lengths, self => list(self);
    String: Holds::Text, text, self => Stated::Text(self.clone());
    Vec<String>: Holds::Texts, texts, self => list(self);
    Date: Holds::Day, day, self => Stated::Day(*self);
    [Entered; 2]: Holds::Span, span, self => list(self);
    [String; 2]: Holds::Identities, identities, self => list(self);
    [PitchEntry; 2]: Holds::Pitches, pitches, self => Stated::List(self.iter().map(pitch).collect());
    Vec<CurvePoint>: Holds::Points, points, self => Stated::List(
        self.iter().map(|point| list(&[point.at.clone(), point.error.clone()])).collect()
    );
}

fn pitch(entry: &PitchEntry) -> Stated {
    match entry {
        PitchEntry::Length(length) => Stated::Length(length.clone()),
        PitchEntry::PerInch(text) => Stated::Text(text.clone()),
    }
}

fn list<T: Stands>(all: &[T]) -> Stated {
    Stated::List(all.iter().filter_map(Stands::stated).collect())
}

macro_rules! stands_in_range {
    ($($kind:ty: $holds:ident, $take:ident, $self:ident => $stated:expr;)*) => {
        $(
            impl Stands for $kind {
                const HOLDS: Holds = Holds::$holds(ANY);

                fn take<V: Values>(values: &mut V, key: &Key) -> Result<Option<Self>, V::Error> {
                    match key.holds {
                        Holds::$holds(range) => values.$take(key, range),
                        _ => Ok(None),
                    }
                }

                fn stated(&$self) -> Option<Stated> {
                    Some($stated)
                }
            }
        )*
    };
}
stands_in_range! {
    f64: Number, number, self => Stated::Number(*self);
    u32: Count, count, self => Stated::Number(f64::from(*self));
    [f64; 2]: Bounds, bounds, self => list(self);
}

/// What is left out is not so.
impl Stands for bool {
    const HOLDS: Holds = Holds::Flag;
    const NEEDED: bool = false;

    fn take<V: Values>(values: &mut V, key: &Key) -> Result<Option<Self>, V::Error> {
        values.flag(key)
    }

    fn left_out() -> Option<Self> {
        Some(false)
    }

    fn stated(&self) -> Option<Stated> {
        Some(Stated::Flag(*self))
    }
}

impl<T: Stands> Stands for Option<T> {
    const HOLDS: Holds = T::HOLDS;
    const NEEDED: bool = false;

    fn take<V: Values>(values: &mut V, key: &Key) -> Result<Option<Self>, V::Error> {
        T::take(values, key).map(Some)
    }

    fn stated(&self) -> Option<Stated> {
        self.as_ref().and_then(Stands::stated)
    }
}

/// Declares a choice: an enum of codes that stands under a key; where one is named behind its subject, it is the one where
/// nothing stands there.
macro_rules! choice {
    (
        $(#[$meta:meta])*
        pub enum $name:ident $subject:literal $( or $usual:ident )? {
            $( $(#[$variant_meta:meta])* $variant:ident $code:literal ),* $(,)?
        }
    ) => {
        crate::codes! {
            $(#[$meta])*
            #[derive(serde::Serialize, serde::Deserialize)]
            #[serde(rename_all = "kebab-case")]
            pub enum $name $subject { $( $(#[$variant_meta])* $variant $code ),* }
        }

        $(
            impl Default for $name {
                fn default() -> Self {
                    Self::$usual
                }
            }
        )?

        impl $crate::inspection::keys::Stands for $name {
            const HOLDS: $crate::inspection::keys::Holds =
                $crate::inspection::keys::Holds::Code(&[ $( $code ),* ], $subject);
            $( const NEEDED: bool = {
                let _ = Self::$usual;
                false
            }; )?

            fn take<V: $crate::inspection::keys::Values>(
                values: &mut V,
                key: &$crate::inspection::keys::Key,
            ) -> Result<Option<Self>, V::Error> {
                let text = values.text(key)?;
                Ok(text.and_then(|text| Self::of(&text)))
            }

            $(
                fn left_out() -> Option<Self> {
                    Some(Self::$usual)
                }
            )?

            fn stated(&self) -> Option<$crate::inspection::keys::Stated> {
                Some($crate::inspection::keys::Stated::Code((*self).into()))
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

        impl $crate::inspection::keys::Section for $name {
            const KEYS: &'static [$crate::inspection::keys::Key] = {
                const ROWS: &[$crate::inspection::keys::Key] = &[
                    $( $crate::inspection::keys::Key::of::<$kind>(stringify!($field)) $( $( .$more( $($argument),* ) )+ )? ),*
                ];
                const ALL: [$crate::inspection::keys::Key; $crate::inspection::keys::count(ROWS)] =
                    $crate::inspection::keys::all(ROWS);
                &ALL
            };

            const NAMES: &'static [&'static str] = {
                const KEYS: &[$crate::inspection::keys::Key] =
                    <$name as $crate::inspection::keys::Section>::KEYS;
                const NAMES: [&str; KEYS.len()] = $crate::inspection::keys::names(KEYS);
                &NAMES
            };

            fn read<V: $crate::inspection::keys::Values>(
                values: &mut V,
            ) -> Result<Self, V::Error> {
                Ok(Self {
                    $(
                        $field: {
                            const KEY: $crate::inspection::keys::Key = $crate::inspection::keys::Key::of::<$kind>(stringify!($field))
                                $( $( .$more( $($argument),* ) )+ )?;
                            <$kind as $crate::inspection::keys::Stands>::needed(values, &KEY)?
                        }
                    ),*
                })
            }

            fn stated(&self) -> Vec<$crate::inspection::keys::Row> {
                let mut rows = Vec::new();
                $( {
                    const KEY: $crate::inspection::keys::Key = $crate::inspection::keys::Key::of::<$kind>(stringify!($field))
                        $( $( .$more( $($argument),* ) )+ )?;
                    <$kind as $crate::inspection::keys::Stands>::rows(&self.$field, &KEY, &mut rows);
                } )*
                rows
            }
        }
    };
}
pub(super) use section;

/// Declares that a section can stand under a key.
macro_rules! stands_in_section {
    ($name:ident) => {
        impl $crate::inspection::keys::Stands for $name {
            const HOLDS: $crate::inspection::keys::Holds = $crate::inspection::keys::Holds::Section(
                <Self as $crate::inspection::keys::Section>::KEYS,
                <Self as $crate::inspection::keys::Section>::NAMES,
            );

            fn take<V: $crate::inspection::keys::Values>(
                values: &mut V,
                key: &$crate::inspection::keys::Key,
            ) -> Result<Option<Self>, V::Error> {
                use $crate::inspection::keys::Section as _;
                values
                    .section(key)?
                    .map(|mut inner| Self::read(&mut inner))
                    .transpose()
            }

            fn stated(&self) -> Option<$crate::inspection::keys::Stated> {
                let rows = $crate::inspection::keys::Section::stated(self);
                Some($crate::inspection::keys::Stated::Section(rows))
            }
        }
    };
}
pub(super) use stands_in_section;
