//! What is stated under the keys of a section, for who shows or compares it.

use jiff::civil::Date;

use super::Key;
use crate::message::Code;
use crate::units::Entered;

/// A key with what is stated under it.
pub type Row = (&'static Key, Stated);

/// What is stated under a key.
#[derive(Clone, Debug)]
pub enum Stated {
    /// A length as entered.
    Length(Entered),
    /// A number, in the unit of the range of its key.
    Number(f64),
    /// Yes or no.
    Flag(bool),
    Day(Date),
    /// One of the codes of its key.
    Code(Code),
    Text(String),
    /// Several.
    List(Vec<Stated>),
    /// What stands in a section within.
    Section(Vec<Row>),
}

impl Stated {
    /// Whether both state the same: lengths by value, so that 10mm is 10.000mm. A section is held against another by its keys.
    pub fn is_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Length(one), Self::Length(other)) => one.value() == other.value(),
            (Self::Text(one), Self::Text(other)) => one.trim() == other.trim(),
            (Self::Number(one), Self::Number(other)) => one == other,
            (Self::Flag(one), Self::Flag(other)) => one == other,
            (Self::Day(one), Self::Day(other)) => one == other,
            (Self::Code(one), Self::Code(other)) => one == other,
            (Self::List(one), Self::List(other)) => {
                one.len() == other.len()
                    && one.iter().zip(other).all(|(one, other)| one.is_same(other))
            }
            _ => false,
        }
    }
}

impl Stated {
    /// As it is written; none of a section.
    pub fn text(&self) -> Option<String> {
        match self {
            Self::Text(text) => Some(text.clone()),
            Self::Length(length) => Some(length.text().to_owned()),
            Self::Number(number) => Some(number.to_string()),
            Self::Flag(flag) => Some(flag.to_string()),
            Self::Day(day) => Some(day.to_string()),
            Self::Code(code) => Some(code.key().to_owned()),
            Self::List(all) => {
                let texts: Option<Vec<String>> = all.iter().map(Self::text).collect();
                Some(texts?.join(", "))
            }
            Self::Section(_) => None,
        }
    }
}

/// What is stated under a key of this name.
pub fn under<'a>(rows: &'a [Row], name: &str) -> Option<&'a Stated> {
    let found = rows.iter().find(|(key, _)| key.name == name)?;
    Some(&found.1)
}
