//! What a gauge room looks after, by kind and identity.

use ledger::Subject;
use serde::{Deserialize, Serialize};

use crate::equipment::Kind;
use crate::kind_meant::kinds_meant;

metrology::codes! {
    /// Kinds of pieces: those of the register, and what jobs do not name by themselves.
    pub enum PieceKind "piece-kind" {
        Instrument "instrument",
        /// A pair of contacts.
        Contacts "contacts",
        /// A setting standard.
        Standard "standard",
        /// A set of wires.
        Wires "wires",
        /// A set of balls.
        Balls "balls",
        /// A set of gauge blocks.
        Blocks "gauge-blocks",
        /// A limit gauge, GO or NOT GO.
        Gauge "gauge",
        Thermometer "thermometer",
        /// A piece that is measured to check a set-up.
        CheckPart "check-part",
    }
}

metrology::messages! {
    /// A kind of pieces that there is not.
    pub enum UnknownPiece "gauge-room" {
        /// With those that there are.
        NoKind "no-kind" { text: String as Text, known: Vec<&'static str> as one_of },
        /// With the one that was meant.
        Meant "kind-meant" { text: String as Text, meant: Vec<&'static str> as one_of },
    }
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct PieceId {
    /// The key of its kind.
    pub kind: String,
    pub id: String,
}

impl PieceKind {
    /// The one of this key.
    pub fn read(text: &str) -> Result<Self, UnknownPiece> {
        Self::of(text.trim()).ok_or_else(|| {
            let known: Vec<&str> = Self::EVERY.iter().map(|kind| kind.key()).collect();
            let (meant, text) = (kinds_meant(text, &known), text.to_owned());
            if meant.is_empty() {
                UnknownPiece::NoKind { text, known }
            } else {
                UnknownPiece::Meant { text, meant }
            }
        })
    }

    /// The kind of the register, where it has one.
    pub fn registered(self) -> Option<Kind> {
        Kind::of(self.key())
    }
}

impl PieceId {
    /// Of a kind.
    pub fn new(kind: PieceKind, id: &str) -> Self {
        Self {
            kind: kind.key().to_owned(),
            id: id.trim().to_owned(),
        }
    }

    /// Its kind, where this build knows it.
    pub fn kind(&self) -> Option<PieceKind> {
        PieceKind::of(&self.kind)
    }

    /// What an entry about it touches, under a role that inspections do not use: of what they name a recall asks.
    pub fn subject(&self) -> Subject {
        Subject::new("gauge-room", format!("{} {}", self.kind, self.id))
    }
}
