//! The section `[measure]`: its own keys, and the section of a feature within, whose keys its table states.

use std::fmt;

use metrology::features::{Holds, Key};
use metrology::inspection::{FeatureKind, Scope, ThreadDiameter};
use serde::de::{self, DeserializeSeed, EnumAccess, MapAccess, VariantAccess, Visitor};
use serde::{Deserialize, Deserializer};

use super::section_keys::CoatingKeys;
use super::typed::Typed;

macro_rules! measure {
    ($($key:ident: $kind:ty),* $(,)?) => {
        /// What is measured.
        #[derive(Default)]
        pub struct Measure {
            $( pub $key: Option<$kind>, )*
            /// The sections of features; a job has one at most.
            pub features: Vec<(FeatureKind, Shaped)>,
        }

        const OWN: &[&str] = &[$( stringify!($key) ),*];

        impl<'de> Visitor<'de> for MeasureVisitor {
            type Value = Measure;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("what is measured")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Measure, A::Error> {
                let mut measure = Measure::default();
                while let Some(name) = map.next_key_seed(Name(&NAMES))? {
                    match name {
                        $( stringify!($key) => measure.$key = map.next_value()?, )*
                        name => {
                            if let Some(kind) = FeatureKind::of(name) {
                                let keys = Keys(kind.keys(), kind.key_names());
                                measure.features.push((kind, map.next_value_seed(keys)?));
                            }
                        }
                    }
                }
                // In the order of features, not of the file.
                measure.features.sort_by_key(|(kind, _)| *kind);
                Ok(measure)
            }
        }
    };
}
measure! {
    designation: String,
    diameter: ThreadDiameter,
    scope: Scope,
    name: String,
    lower: Typed,
    upper: Typed,
    nominal: Typed,
    tolerance: Typed,
    origin: String,
    plane: Typed,
    plane_within: Typed,
    coating: CoatingKeys,
}

/// Every key of the section: its own and the features.
static NAMES: [&str; OWN.len() + FeatureKind::EVERY.len()] = {
    let mut names = [""; OWN.len() + FeatureKind::EVERY.len()];
    let mut at = 0;
    while at < names.len() {
        names[at] = if at < OWN.len() {
            OWN[at]
        } else {
            FeatureKind::EVERY[at - OWN.len()].key()
        };
        at += 1;
    }
    names
};

struct MeasureVisitor;

impl<'de> Deserialize<'de> for Measure {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_map(MeasureVisitor)
    }
}

/// A section whose keys a table states, as it was given.
#[derive(Debug)]
pub struct Shaped(Vec<(&'static str, Value)>);

/// What stands under a key.
#[derive(Debug)]
pub enum Value {
    /// A length, a number, or a text that is checked at its place.
    One(Typed),
    Text(String),
    /// One of the codes of the key.
    Code(&'static str),
    List(Vec<Typed>),
    Two([Typed; 2]),
    Section(Shaped),
}

impl Shaped {
    /// What stands under a key.
    pub fn get(&self, key: &Key) -> Option<&Value> {
        let found = self.0.iter().find(|(name, _)| *name == key.name)?;
        Some(&found.1)
    }
}

/// Reads a section by its keys and their names.
struct Keys(&'static [Key], &'static [&'static str]);

impl<'de> DeserializeSeed<'de> for Keys {
    type Value = Shaped;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Shaped, D::Error> {
        from.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for Keys {
    type Value = Shaped;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a section")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Shaped, A::Error> {
        let Self(keys, names) = self;
        let mut found = Vec::new();
        while let Some(name) = map.next_key_seed(Name(names))? {
            if let Some(key) = keys.iter().find(|key| key.name == name) {
                found.push((name, map.next_value_seed(Under(key))?));
            }
        }
        let is_missing = |key: &&Key| {
            let has = found.iter().any(|(name, _)| *name == key.name);
            key.needed && key.lacking.is_none() && !has
        };
        match keys.iter().find(is_missing) {
            Some(key) => Err(de::Error::missing_field(key.name)),
            None => Ok(Shaped(found)),
        }
    }
}

/// Reads a name, one of these.
struct Name(&'static [&'static str]);

impl<'de> DeserializeSeed<'de> for Name {
    type Value = &'static str;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<&'static str, D::Error> {
        from.deserialize_identifier(self)
    }
}

impl Visitor<'_> for Name {
    type Value = &'static str;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a key")
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<&'static str, E> {
        let known = self.0.iter().find(|known| **known == text);
        known.copied().ok_or_else(|| E::unknown_field(text, self.0))
    }
}

/// Reads what stands under a key.
struct Under(&'static Key);

impl<'de> DeserializeSeed<'de> for Under {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Value, D::Error> {
        match self.0.holds {
            Holds::Length | Holds::Number(_) | Holds::Count(_) => {
                Typed::deserialize(from).map(Value::One)
            }
            // What is checked may be written as a number: a gauge, an area.
            Holds::Text if self.0.check.is_some() => Typed::deserialize(from).map(Value::One),
            Holds::Text => String::deserialize(from).map(Value::Text),
            Holds::Lengths | Holds::Texts => Vec::deserialize(from).map(Value::List),
            Holds::Bounds(_) => <[Typed; 2]>::deserialize(from).map(Value::Two),
            Holds::Code(codes) => from
                .deserialize_enum("", codes, Code(codes))
                .map(Value::Code),
            Holds::Section(keys, names) => Keys(keys, names).deserialize(from).map(Value::Section),
        }
    }
}

/// Reads a code, one of these.
struct Code(&'static [&'static str]);

impl<'de> Visitor<'de> for Code {
    type Value = &'static str;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a code")
    }

    fn visit_enum<A: EnumAccess<'de>>(self, data: A) -> Result<&'static str, A::Error> {
        let (word, rest) = data.variant::<String>()?;
        rest.unit_variant()?;
        let known = self.0.iter().find(|known| **known == word);
        known
            .copied()
            .ok_or_else(|| de::Error::unknown_variant(&word, self.0))
    }
}
