//! A piece of equipment, as it is registered, recorded and described in a job.

use std::collections::BTreeSet;

use jiff::civil::Date;
use ledger::Subject;
use metrology::inspection::{Contacts, Instrument, Standard, State, WireSet};
use serde::{Deserialize, Serialize};

/// Under this role an entry names each of a pair of contacts.
pub const CONTACT: &str = "contact";

/// The subject that every such entry touches, so that the register is found without reading the rest.
pub const REGISTER: (&str, &str) = ("register", "equipment");

/// A piece of equipment: `{"kind": "contacts", "item": {...}}`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "item", rename_all = "kebab-case")]
pub enum Equipment {
    /// A micrometer.
    Instrument(Instrument),
    /// A pair of contacts.
    Contacts(Contacts),
    /// A setting standard.
    Standard(Standard),
    /// A set of measuring wires.
    Wires(WireSet),
    /// A set of measuring balls.
    Balls(WireSet),
}

metrology::codes! {
    /// The kinds of equipment. The key stands in files, and is the role of the subject under which inspections name a piece.
    pub enum Kind "equipment-kind" {
        /// A micrometer.
        Instrument "instrument",
        /// A pair of contacts.
        Contacts "contacts",
        /// A setting standard.
        Standard "standard",
        /// A set of wires.
        Wires "wires",
        /// A set of balls.
        Balls "balls",
    }
}

impl Serialize for Kind {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.key())
    }
}

metrology::messages! {
    /// A kind of equipment that there is not.
    pub enum UnknownKind "register" {
        /// With those that there are.
        NoKind "no-kind" { text: String as Text, known: Vec<&'static str> as one_of },
    }
}

impl std::str::FromStr for Kind {
    type Err = UnknownKind;

    fn from_str(text: &str) -> Result<Self, UnknownKind> {
        Self::of(text).ok_or_else(|| UnknownKind::NoKind {
            text: text.to_owned(),
            known: Self::EVERY.iter().map(|kind| kind.key()).collect(),
        })
    }
}

impl Equipment {
    /// Its kind.
    pub const fn kind(&self) -> Kind {
        match self {
            Self::Instrument(_) => Kind::Instrument,
            Self::Contacts(_) => Kind::Contacts,
            Self::Standard(_) => Kind::Standard,
            Self::Wires(_) => Kind::Wires,
            Self::Balls(_) => Kind::Balls,
        }
    }

    /// Its identity.
    pub fn id(&self) -> &str {
        match self {
            Self::Instrument(piece) => &piece.id,
            Self::Contacts(piece) => &piece.id,
            Self::Standard(piece) => &piece.id,
            Self::Wires(piece) | Self::Balls(piece) => &piece.id,
        }
    }

    /// Whether it may be used.
    pub const fn state(&self) -> State {
        match self {
            Self::Instrument(piece) => piece.state,
            Self::Contacts(piece) => piece.state,
            Self::Standard(piece) => piece.state,
            Self::Wires(piece) | Self::Balls(piece) => piece.state,
        }
    }

    /// Due date of its next calibration.
    pub const fn due(&self) -> Option<Date> {
        match self {
            Self::Instrument(piece) => piece.due,
            Self::Contacts(piece) => piece.due,
            Self::Standard(piece) => piece.due,
            Self::Wires(piece) | Self::Balls(piece) => piece.due,
        }
    }

    /// Its certificate.
    pub fn certificate(&self) -> Option<&str> {
        match self {
            Self::Instrument(piece) => piece.certificate.as_deref(),
            Self::Contacts(piece) => piece.certificate.as_deref(),
            Self::Standard(piece) => piece.certificate.as_deref(),
            Self::Wires(piece) | Self::Balls(piece) => piece.certificate.as_deref(),
        }
    }

    /// The date of its certificate.
    pub const fn certificate_date(&self) -> Option<Date> {
        match self {
            Self::Instrument(piece) => piece.certificate_date,
            Self::Standard(piece) => piece.certificate_date,
            Self::Contacts(_) | Self::Wires(_) | Self::Balls(_) => None,
        }
    }

    /// The same in another state.
    pub fn with_state(mut self, state: State) -> Self {
        match &mut self {
            Self::Instrument(piece) => piece.state = state,
            Self::Contacts(piece) => piece.state = state,
            Self::Standard(piece) => piece.state = state,
            Self::Wires(piece) | Self::Balls(piece) => piece.state = state,
        }
        self
    }

    /// The same piece, due at another day.
    pub fn with_due(mut self, due: Option<Date>) -> Self {
        match &mut self {
            Self::Instrument(piece) => piece.due = due,
            Self::Contacts(piece) => piece.due = due,
            Self::Standard(piece) => piece.due = due,
            Self::Wires(piece) | Self::Balls(piece) => piece.due = due,
        }
        self
    }

    pub fn subjects(&self) -> BTreeSet<Subject> {
        let mut subjects = BTreeSet::from([
            Subject::new(REGISTER.0, REGISTER.1),
            Subject::new(self.kind().key(), self.id().trim()),
            Subject::new("state", self.state().key()),
        ]);
        if let Self::Contacts(Contacts {
            members: Some(members),
            ..
        }) = self
        {
            subjects.extend(
                members
                    .iter()
                    .filter(|member| !member.trim().is_empty())
                    .map(|member| Subject::new(CONTACT, member.trim())),
            );
        }
        subjects
    }
}
