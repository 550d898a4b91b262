//! What is proposed at a question, computed once.

use std::sync::OnceLock;

use crate::error::Why;
use crate::register::{Kind, Register, Registered};

/// The pieces and set-ups proposed at the question of one state, from one register, on one day. Each is many plans, and a page
/// and the answer to it ask for the same.
#[derive(Debug, Default)]
pub struct Proposals {
    /// The pieces to choose from, and why not, where not.
    pub(super) choices: OnceLock<Vec<(Named, Option<Why>)>>,
    /// Whole set-ups.
    pub(super) set_ups: OnceLock<Vec<(Vec<Named>, Expected)>>,
}

/// Expanded uncertainty in millimetres, and the part of the tolerance that 2U takes where there is one.
pub type Expected = Option<(f64, Option<f64>)>;

/// A piece by its name in the register.
#[derive(Debug)]
pub(super) struct Named(Kind, String);

impl Named {
    pub fn of(piece: &Registered) -> Self {
        let equipment = &piece.equipment;
        Self(equipment.kind(), equipment.id().to_owned())
    }

    pub fn find<'a>(&self, register: &'a Register) -> Option<&'a Registered> {
        let mut pieces = register
            .pieces()
            .iter()
            .map(|piece| (piece, &piece.equipment));
        let found = pieces.find(|(_, known)| known.kind() == self.0 && known.id() == self.1);
        found.map(|(piece, _)| piece)
    }
}
