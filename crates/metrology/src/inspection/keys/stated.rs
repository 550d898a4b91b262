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

/// What is stated under a key of this name.
pub fn under<'a>(rows: &'a [Row], name: &str) -> Option<&'a Stated> {
    let found = rows.iter().find(|(key, _)| key.name == name)?;
    Some(&found.1)
}
