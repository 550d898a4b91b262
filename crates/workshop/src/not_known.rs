//! Whether a piece that is named is one that there is: where the register has pieces of a kind, an identity that neither it nor
//! any record has is a slip of the keyboard.

use ledger::Ledger;

use crate::error::Error;
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::register::Register;
use crate::status;

metrology::messages! {
    /// A piece that nobody has.
    pub enum NotKnown "not-known" {
        /// Nothing that there is comes near.
        Nobody "nobody" { kind: PieceKind as code, id: String as Text },
        /// With those that may be meant, the nearest first.
        Near "near" { kind: PieceKind as code, id: String as Text, near: Vec<String> as one_of },
    }
}

/// Refuses an identity that neither the register nor any record has, where the register has pieces of its kind.
pub fn check(ledger: &Ledger, register: &Register, kind: PieceKind, id: &str) -> Result<(), Error> {
    let id = id.trim();
    let Some(registered) = kind.registered() else {
        return Ok(());
    };
    let mut pieces = register.pieces().iter();
    let is_kept = pieces.any(|piece| piece.equipment.kind() == registered);
    if !is_kept || register.find(registered, id).is_some() {
        return Ok(());
    }
    // One that differs by letter case alone is that of the register, whatever records there are.
    let alike = register.alike(registered, id).is_some();
    if !alike && status::is_named(ledger, &PieceId::new(kind, id))? {
        return Ok(());
    }
    let mut near = register.nearest(Some(registered), id);
    // Either contact of a pair has an identity too, and what is asked for is the pair.
    near.retain(|known| register.find(registered, known).is_some());
    let id = id.to_owned();
    Err(Error::input(if near.is_empty() {
        NotKnown::Nobody { kind, id }
    } else {
        NotKnown::Near { kind, id, near }
    }))
}
