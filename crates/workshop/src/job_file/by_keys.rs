//! A section whose keys a table states: of a feature, or of a piece of equipment.

use std::fmt;

use metrology::inspection::keys::{Holds, Key};
use serde::de::{self, DeserializeSeed, EnumAccess, MapAccess, SeqAccess, VariantAccess, Visitor};
use serde::{Deserialize, Deserializer};
use toml::Spanned;

use super::identity;
use super::typed::Typed;

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
    Points(Vec<[Typed; 2]>),
    Flag(bool),
    Identity(Spanned<String>),
    Identities([String; 2]),
    Section(Shaped),
}

impl Shaped {
    /// What stands under a key.
    pub fn get(&self, key: &Key) -> Option<&Value> {
        self.under(key.name)
    }

    /// What stands under the key of this name.
    pub fn under(&self, name: &str) -> Option<&Value> {
        let found = self.0.iter().find(|(known, _)| *known == name)?;
        Some(&found.1)
    }

    /// The identity of a piece, and where it stands.
    pub fn identity(&self) -> Option<&Spanned<String>> {
        self.values().find_map(|value| match value {
            Value::Identity(id) => Some(id),
            _ => None,
        })
    }

    /// What stands in the section, in the order in which it was given.
    pub fn values(&self) -> impl Iterator<Item = &Value> {
        self.0.iter().map(|(_, value)| value)
    }
}

/// Reads a section by its keys and their names.
#[derive(Clone, Copy)]
pub struct Keys {
    all: &'static [Key],
    names: &'static [&'static str],
    /// Whether every key must be there that is needed; else the identity must.
    whole: bool,
}

/// Reads several sections with the same keys.
pub struct Each(pub Keys);

impl<'de> DeserializeSeed<'de> for Each {
    type Value = Vec<Shaped>;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Vec<Shaped>, D::Error> {
        from.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Each {
    type Value = Vec<Shaped>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("sections")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut all: A) -> Result<Vec<Shaped>, A::Error> {
        let mut found = Vec::new();
        while let Some(one) = all.next_element_seed(self.0)? {
            found.push(one);
        }
        Ok(found)
    }
}

impl Keys {
    /// A section with all that it needs.
    pub const fn whole(keys: &'static [Key], names: &'static [&'static str]) -> Self {
        Self {
            all: keys,
            names,
            whole: true,
        }
    }

    /// A piece, or its identity alone.
    pub const fn of_piece(keys: &'static [Key], names: &'static [&'static str]) -> Self {
        Self {
            all: keys,
            names,
            whole: false,
        }
    }
}

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
        let Self {
            all: keys,
            names,
            whole,
        } = self;
        let mut found = Vec::new();
        while let Some(name) = map.next_key_seed(Name(names))? {
            if let Some(key) = keys.iter().find(|key| key.name == name) {
                found.push((name, map.next_value_seed(Under(key))?));
            }
        }
        let is_missing = |key: &&Key| {
            let has = found.iter().any(|(name, _)| *name == key.name);
            let is_needed = whole || matches!(key.holds, Holds::Identity);
            is_needed && key.needed && key.lacking.is_none() && !has
        };
        match keys.iter().find(is_missing) {
            Some(key) => Err(de::Error::missing_field(key.name)),
            None => Ok(Shaped(found)),
        }
    }
}

/// Reads a name, one of these.
pub struct Name(pub &'static [&'static str]);

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
            Holds::Length | Holds::Number(_) | Holds::Count(_) | Holds::Day => {
                Typed::deserialize(from).map(Value::One)
            }
            // What is checked may be written as a number: a gauge, an area.
            Holds::Text if self.0.check.is_some() => Typed::deserialize(from).map(Value::One),
            Holds::Text => String::deserialize(from).map(Value::Text),
            Holds::Lengths | Holds::Texts => Vec::deserialize(from).map(Value::List),
            Holds::Bounds(_) | Holds::Span | Holds::Pitches => {
                <[Typed; 2]>::deserialize(from).map(Value::Two)
            }
            Holds::Points => Vec::deserialize(from).map(Value::Points),
            Holds::Flag => bool::deserialize(from).map(Value::Flag),
            Holds::Identity => identity::one(from).map(Value::Identity),
            Holds::Identities => identity::pair(from).map(Value::Identities),
            Holds::Code(codes, _) => from
                .deserialize_enum("", codes, Code(codes))
                .map(Value::Code),
            Holds::Section(keys, names) => Keys::whole(keys, names)
                .deserialize(from)
                .map(Value::Section),
            // The table has them one by one.
            Holds::Beside(_) => Err(de::Error::custom("")),
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
