//! Discs between two walls.

use crate::inspection::equipment::{ContactKind, Contacts};
use crate::inspection::field::Field;
use crate::inspection::misfit::{Misfit, need, unless};

crate::messages! {
    /// Why contacts do not reach between walls.
    pub enum DiscsUnfit "contacts-unfit" {
        /// They are no discs.
        NotBetweenWalls "not-between-walls" { kind: ContactKind as code },
    }
}

/// The thickness of one disc, millimetres.
pub fn thickness(contacts: &Contacts) -> Result<f64, Misfit> {
    let kind = contacts.kind;
    unless(
        kind != ContactKind::Disc,
        DiscsUnfit::NotBetweenWalls { kind },
    )?;
    Ok(need(contacts, Field::Thickness)?.value().mm())
}
