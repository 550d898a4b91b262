//! Identities as they are marked: blanks at the ends are slips of typing, never part of a name.

use serde::{Deserialize, Deserializer};
use toml::Spanned;

/// Reads an identity without the blanks at its ends.
pub fn one<'de, D: Deserializer<'de>>(from: D) -> Result<Spanned<String>, D::Error> {
    let read = Spanned::<String>::deserialize(from)?;
    let span = read.span();
    Ok(Spanned::new(span, read.get_ref().trim().to_owned()))
}

/// Reads one that may be left out, with its place.
pub fn placed<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Spanned<String>>, D::Error> {
    one(from).map(Some)
}

/// Reads the identities of the members of a pair.
pub fn pair<'de, D: Deserializer<'de>>(from: D) -> Result<[String; 2], D::Error> {
    let read = <[String; 2]>::deserialize(from)?;
    Ok(read.map(|id| id.trim().to_owned()))
}

/// Reads an identity that may be left out.
pub fn optional<'de, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
    let read = Option::<String>::deserialize(from)?;
    Ok(read.map(|id| id.trim().to_owned()))
}
