//! Reads keys and values into a shape, and says by kind what does not fit.
//!
//! Of a file the TOML crate gives the table with the place of every value; its own sentences are shown to nobody. Every text is
//! looked over here, in the one place where all of them pass.

use std::fmt::Display;
use std::ops::Range;

use metrology::message::{Message, Say};
use serde::de::value::{MapDeserializer, SeqDeserializer, StrDeserializer};
use serde::de::{self, DeserializeOwned, IntoDeserializer, Visitor};
use serde::{Deserializer, forward_to_deserialize_any};
use serde_spanned::de::{SpannedDeserializer, is_spanned};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::error::Wrong;
use super::origin::Origin;
use super::section;
use crate::equipment::NEEDED;
use crate::given;
use crate::kind_meant::kinds_meant;

/// The one key whose text may have several lines.
const ON_LINES: &str = "note";

/// What is wrong, and the bytes that it is about.
#[derive(Debug)]
pub struct Trouble {
    pub at: Option<Range<usize>>,
    /// The key that is missing there.
    pub missing: Option<String>,
    pub reason: Message,
}

/// Reads what was given; an error without a place is about the whole of it.
pub fn read<T: DeserializeOwned>(origin: Origin) -> Result<T, Trouble> {
    let text = origin.text();
    let read = match origin {
        Origin::File { text, .. } => {
            let table = DeTable::parse(text).map_err(|error| not_toml(text, error.span()))?;
            let span = table.span();
            let root = Spanned::new(span, DeValue::Table(table.into_inner()));
            T::deserialize(At::root(Node::Toml(&root), text))
        }
        Origin::Given(placed) => T::deserialize(At::root(Node::Given(&placed.root), text)),
    };
    read.map_err(|mut trouble| {
        // At the top stand sections; what else may stand there may be left out.
        if trouble.at.is_none()
            && let Some(section) = trouble.missing.take()
        {
            trouble.reason = Wrong::MissingSection { section }.message();
        }
        trouble
    })
}

/// What is wrong where the text is no TOML, told by what stands there.
fn not_toml(text: &str, at: Option<Range<usize>>) -> Trouble {
    let at = at.unwrap_or_default();
    let before = text.get(..at.start).unwrap_or_default();
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    let line = text
        .get(line_start..)
        .and_then(|rest| rest.lines().next())
        .unwrap_or_default();
    let value = text.get(at.clone()).unwrap_or_default();
    let key = line.split('=').next().unwrap_or_default().trim();
    let reason = if is_repeated(text.get(..line_start).unwrap_or_default(), key) {
        Wrong::Twice {
            key: key.to_owned(),
        }
    } else if is_like_a_time(value) {
        Wrong::NoSuchDay { text: short(value) }
    } else {
        Wrong::NotToml { text: short(line) }
    };
    Trouble {
        at: Some(at),
        missing: None,
        reason: reason.message(),
    }
}

/// Whether a key or a header is right by itself, and wrong only behind what stands before it.
fn is_repeated(before: &str, key: &str) -> bool {
    let line = if key.starts_with('[') {
        key.to_owned()
    } else {
        format!("{key} = 0")
    };
    DeTable::parse(before).is_ok()
        && DeTable::parse(&line).is_ok()
        && DeTable::parse(&format!("{before}{line}\n")).is_err()
}

/// Whether somebody wrote a day or a time there.
fn is_like_a_time(text: &str) -> bool {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    matches!(
        (digits, text.as_bytes().get(digits)),
        (4, Some(b'-')) | (2, Some(b':'))
    )
}

/// The beginning of a text, to be shown in a sentence.
fn short(text: &str) -> String {
    let line = text.lines().next().unwrap_or_default().trim();
    line.chars().take(60).collect()
}

/// A value at its place, in a file or in what a form gives.
#[derive(Clone, Copy)]
enum Node<'a> {
    Toml(&'a Spanned<DeValue<'a>>),
    Given(&'a section::Entry),
}

/// What a value is.
enum View<'a> {
    Text(&'a str),
    Flag(bool),
    /// A number or a day, as it stands there.
    Bare,
    List(Box<dyn Iterator<Item = Node<'a>> + 'a>),
    Section(Box<dyn Iterator<Item = (Key<'a>, Node<'a>)> + 'a>),
}

impl<'a> Node<'a> {
    fn span(self) -> Range<usize> {
        match self {
            Self::Toml(value) => value.span(),
            Self::Given(entry) => entry.at.clone(),
        }
    }

    fn view(self) -> View<'a> {
        match self {
            Self::Toml(value) => match value.get_ref() {
                DeValue::String(text) => View::Text(text),
                DeValue::Boolean(flag) => View::Flag(*flag),
                DeValue::Integer(_) | DeValue::Float(_) | DeValue::Datetime(_) => View::Bare,
                DeValue::Array(items) => View::List(Box::new(items.iter().map(Node::Toml))),
                DeValue::Table(table) => {
                    View::Section(Box::new(table.iter().map(|(key, value)| {
                        let (name, at) = (&**key.get_ref(), key.span());
                        (Key { name, at }, Node::Toml(value))
                    })))
                }
            },
            Self::Given(entry) => match &entry.value {
                section::Node::Text(text) => View::Text(text),
                section::Node::Flag(flag) => View::Flag(*flag),
                section::Node::Number => View::Bare,
                section::Node::List(items) => View::List(Box::new(items.iter().map(Node::Given))),
                section::Node::Section(keys) => {
                    View::Section(Box::new(keys.iter().map(|(name, entry)| {
                        let at = entry.at.clone();
                        (Key { name, at }, Node::Given(entry))
                    })))
                }
            },
        }
    }
}

/// A value under its key.
#[derive(Clone, Copy)]
struct At<'a> {
    value: Node<'a>,
    key: &'a str,
    text: &'a str,
}

impl<'a> At<'a> {
    const fn root(value: Node<'a>, text: &'a str) -> Self {
        Self {
            value,
            key: "",
            text,
        }
    }

    /// As it is written.
    fn written(&self) -> String {
        short(self.text.get(self.value.span()).unwrap_or_default())
    }

    fn wrong(&self, reason: impl FnOnce(String) -> Wrong) -> Trouble {
        self.trouble(reason(self.written()))
    }

    fn trouble(&self, reason: impl Say) -> Trouble {
        Trouble {
            at: Some(self.value.span()),
            missing: None,
            reason: reason.message(),
        }
    }

    /// Its text, if it is one and can be shown as it is meant.
    fn string(&self) -> Result<&'a str, Trouble> {
        let View::Text(text) = self.value.view() else {
            return Err(self.wrong(|text| Wrong::NotText { text }));
        };
        let checked = if self.key == ON_LINES {
            given::on_lines(self.key, text)
        } else {
            given::on_one_line(self.key, text)
        };
        checked.map_err(|error| self.trouble(error))?;
        Ok(text)
    }

    fn items(&self) -> Option<impl Iterator<Item = At<'a>> + use<'a>> {
        let View::List(items) = self.value.view() else {
            return None;
        };
        let At { key, text, .. } = *self;
        Some(items.map(move |value| At { value, key, text }))
    }

    fn section<'de, V: Visitor<'de>>(
        self,
        keys: impl Iterator<Item = (Key<'a>, Node<'a>)>,
        visitor: V,
    ) -> Result<V::Value, Trouble> {
        let text = self.text;
        let entries = keys.map(move |(key, value)| {
            let name = key.name;
            let at = At {
                value,
                key: name,
                text,
            };
            (key, at)
        });
        visitor
            .visit_map(MapDeserializer::new(entries))
            .map_err(|trouble| self.place(trouble))
    }

    /// The place of trouble that has none; trouble of the whole file keeps none.
    fn place(&self, mut trouble: Trouble) -> Trouble {
        if !self.key.is_empty() {
            trouble.at.get_or_insert_with(|| self.value.span());
        }
        trouble
    }
}

impl<'de> Deserializer<'de> for At<'_> {
    type Error = Trouble;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Trouble> {
        let done = match self.value.view() {
            View::Text(_) => visitor.visit_str(self.string()?),
            // Whoever asks for such a value takes it as it stands there.
            View::Flag(_) | View::Bare => visitor.visit_unit(),
            View::List(_) => self.deserialize_seq(visitor),
            View::Section(keys) => self.section(keys, visitor),
        };
        done.map_err(|trouble| self.place(trouble))
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Trouble> {
        visitor
            .visit_str(self.string()?)
            .map_err(|trouble: Trouble| self.place(trouble))
    }

    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Trouble> {
        self.deserialize_string(visitor)
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Trouble> {
        match self.value.view() {
            View::Flag(flag) => visitor.visit_bool(flag),
            _ => Err(self.wrong(|text| Wrong::NotFlag { text })),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Trouble> {
        visitor.visit_some(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _words: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Trouble> {
        let word: StrDeserializer<'_, Trouble> = self.string()?.into_deserializer();
        visitor
            .visit_enum(word)
            .map_err(|trouble| self.place(trouble))
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Trouble> {
        let items = self
            .items()
            .ok_or_else(|| self.wrong(|text| Wrong::NotList { text }))?;
        visitor
            .visit_seq(SeqDeserializer::new(items))
            .map_err(|trouble| self.place(trouble))
    }

    fn deserialize_tuple<V: Visitor<'de>>(
        self,
        len: usize,
        visitor: V,
    ) -> Result<V::Value, Trouble> {
        if self.items().is_some_and(|items| items.count() == len) {
            self.deserialize_seq(visitor)
        } else {
            Err(self.wrong(|text| Wrong::NotTwo { text }))
        }
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Trouble> {
        match self.value.view() {
            View::Section(keys) => self.section(keys, visitor),
            _ => Err(self.wrong(|text| Wrong::NotSection { text })),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        _keys: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Trouble> {
        if is_spanned(name) {
            let span = self.value.span();
            return visitor.visit_map(SpannedDeserializer::new(self, span));
        }
        self.deserialize_map(visitor)
    }

    forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char bytes byte_buf unit unit_struct newtype_struct
        tuple_struct identifier ignored_any
    }
}

impl IntoDeserializer<'_, Trouble> for At<'_> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

/// A key at its place.
struct Key<'a> {
    name: &'a str,
    at: Range<usize>,
}

impl<'de> Deserializer<'de> for Key<'_> {
    type Error = Trouble;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Trouble> {
        visitor
            .visit_str(self.name)
            .map_err(|mut trouble: Trouble| {
                trouble.at.get_or_insert(self.at);
                trouble
            })
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

impl IntoDeserializer<'_, Trouble> for Key<'_> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

impl From<Wrong> for Trouble {
    fn from(wrong: Wrong) -> Self {
        Self {
            at: None,
            missing: None,
            reason: wrong.message(),
        }
    }
}

impl de::Error for Trouble {
    // Shapes that are derived say nothing of their own.
    fn custom<T: Display>(_: T) -> Self {
        Wrong::NotValue.into()
    }

    fn invalid_type(_: de::Unexpected<'_>, _: &dyn de::Expected) -> Self {
        Wrong::NotValue.into()
    }

    fn missing_field(field: &'static str) -> Self {
        Self {
            missing: Some(field.to_owned()),
            // Of which section is known where the place is looked up.
            ..Wrong::NotValue.into()
        }
    }

    fn duplicate_field(field: &'static str) -> Self {
        Wrong::Twice {
            key: field.to_owned(),
        }
        .into()
    }

    fn unknown_field(field: &str, known: &'static [&'static str]) -> Self {
        let key = field.to_owned();
        match nearest(field, known).or_else(|| kind_meant(field, known)) {
            Some(near) => Wrong::UnknownKeyNear { key, near },
            None => Wrong::UnknownKey {
                key,
                known: known.to_vec(),
            },
        }
        .into()
    }

    fn unknown_variant(word: &str, known: &'static [&'static str]) -> Self {
        let written = word.to_owned();
        match nearest(word, known) {
            Some(near) => Wrong::UnknownWordNear {
                word: written,
                near,
            },
            None => Wrong::UnknownWord {
                word: written,
                known: known.to_vec(),
            },
        }
        .into()
    }
}

impl Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:?}", self.reason)
    }
}

impl std::error::Error for Trouble {}

/// The section of a piece that somebody must have meant by a word of the shop, where there are such sections.
fn kind_meant(word: &str, known: &[&'static str]) -> Option<String> {
    if !NEEDED.iter().all(|kind| known.contains(&kind.key())) {
        return None;
    }
    kinds_meant(word, known)
        .first()
        .map(|&kind| kind.to_owned())
}

/// The known word that somebody must have meant.
fn nearest(word: &str, known: &[&str]) -> Option<String> {
    known
        .iter()
        .map(|known| (strsim::damerau_levenshtein(word, known), known))
        .min_by_key(|(distance, _)| *distance)
        .filter(|(distance, _)| *distance <= 2)
        .map(|(_, known)| (*known).to_owned())
}
