//! A piece of equipment, as it is registered, recorded and described in a job.

use std::collections::BTreeSet;

use jiff::civil::Date;
use ledger::Subject;
use metrology::inspection::equipment::Piece;
use metrology::inspection::keys::{Key, Section as _, Values};
use metrology::inspection::{
    Contacts, Gauge, Instrument, Job, KelvinDrift, Standard, State, Thermometer, WireSet,
    YearlyDrift,
};
use serde::{Deserialize, Serialize};

use crate::kind_meant::kinds_meant;

/// Under this role an entry names each of a pair of contacts.
pub const CONTACT: &str = "contact";

/// The subject that every such entry touches, so that the register is found without reading the rest.
pub const REGISTER: (&str, &str) = ("register", "equipment");

/// Makes kinds of equipment known: variant, table of keys, key.
macro_rules! kinds {
    ($( $(#[$meta:meta])* $variant:ident($piece:ty) $key:literal ),* $(,)?) => {
        /// A piece of equipment: `{"kind": "contacts", "item": {...}}`.
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        #[serde(tag = "kind", content = "item", rename_all = "kebab-case")]
        pub enum Equipment {
            $( $(#[$meta])* $variant($piece) ),*
        }

        metrology::codes! {
            /// The kinds of equipment. The key stands in files, and is the role of the subject under which inspections name
            /// a piece.
            pub enum Kind "equipment-kind" {
                $( $(#[$meta])* $variant $key ),*
            }
        }

        impl Kind {
            /// The keys of its section.
            pub const fn keys(self) -> &'static [Key] {
                match self {
                    $( Self::$variant => <$piece>::KEYS ),*
                }
            }

            /// The names of those keys.
            pub const fn key_names(self) -> &'static [&'static str] {
                match self {
                    $( Self::$variant => <$piece>::NAMES ),*
                }
            }
        }

        impl Equipment {
            pub const fn kind(&self) -> Kind {
                match self {
                    $( Self::$variant(_) => Kind::$variant ),*
                }
            }

            /// Takes a piece from the values of its section.
            pub fn read<V: Values>(kind: Kind, values: &mut V) -> Result<Self, V::Error> {
                Ok(match kind {
                    $( Kind::$variant => Self::$variant(<$piece>::read(values)?) ),*
                })
            }

            /// What it can be asked, whatever its kind.
            pub fn piece(&self) -> &dyn Piece {
                match self {
                    $( Self::$variant(piece) => piece ),*
                }
            }

            fn piece_mut(&mut self) -> &mut dyn Piece {
                match self {
                    $( Self::$variant(piece) => piece ),*
                }
            }
        }
    };
}
kinds! {
    Instrument(Instrument) "instrument",
    /// A pair of contacts.
    Contacts(Contacts) "contacts",
    /// A setting standard.
    Standard(Standard) "standard",
    /// A set of measuring wires.
    Wires(WireSet) "wires",
    /// A set of measuring balls.
    Balls(WireSet) "balls",
    /// A GO or NOT GO gauge for a thread.
    Gauge(Gauge) "gauge",
    /// What the temperatures of a job are read with.
    Thermometer(Thermometer) "thermometer",
}

/// What a job cannot do without.
pub const NEEDED: [Kind; 3] = [Kind::Instrument, Kind::Contacts, Kind::Standard];

impl Kind {
    /// Under which role an inspection names a piece: balls lie in a thread as wires do.
    pub const fn role(self) -> &'static str {
        match self {
            Self::Balls => Self::Wires.key(),
            kind => kind.key(),
        }
    }

    /// What a piece of it is called in the notes of a job.
    pub const fn in_notes(self) -> metrology::inspection::Piece {
        use metrology::inspection::Piece;
        match self {
            Self::Instrument => Piece::Micrometer,
            Self::Contacts => Piece::Contacts,
            Self::Standard => Piece::Standard,
            Self::Wires | Self::Balls => Piece::Wires,
            Self::Gauge => Piece::Gauge,
            Self::Thermometer => Piece::Thermometer,
        }
    }

    /// Whether zero is set anew with another piece of it.
    pub fn is_zeroed(self) -> bool {
        self == Self::Contacts
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
        /// With the one that was meant.
        Meant "kind-meant" { text: String as Text, meant: Vec<&'static str> as one_of },
    }
}

impl std::str::FromStr for Kind {
    type Err = UnknownKind;

    fn from_str(text: &str) -> Result<Self, UnknownKind> {
        Self::of(text).ok_or_else(|| {
            let known: Vec<&str> = Self::EVERY.iter().map(|kind| kind.key()).collect();
            let (meant, text) = (kinds_meant(text, &known), text.to_owned());
            if meant.is_empty() {
                UnknownKind::NoKind { text, known }
            } else {
                UnknownKind::Meant { text, meant }
            }
        })
    }
}

/// The pieces of a job, in the order of the work.
pub fn pieces(job: &Job) -> impl Iterator<Item = (Kind, &dyn Piece)> {
    let wires = job
        .wires
        .as_ref()
        .map(|wires| (Kind::Wires, wires as &dyn Piece));
    let thermometer = job
        .thermometer()
        .map(|one| (Kind::Thermometer, one as &dyn Piece));
    [
        Some((Kind::Instrument, &job.instrument as &dyn Piece)),
        Some((Kind::Contacts, &job.contacts)),
        wires,
        Some((Kind::Standard, &job.standard)),
        thermometer,
    ]
    .into_iter()
    .flatten()
}

impl Equipment {
    pub fn id(&self) -> &str {
        self.piece().id()
    }

    /// Whether it may be used.
    pub fn state(&self) -> State {
        self.piece().state()
    }

    /// Due date of its next calibration.
    pub fn due(&self) -> Option<Date> {
        self.piece().due()
    }

    pub fn certificate(&self) -> Option<&str> {
        self.piece().certificate()
    }

    /// The date of its certificate.
    pub fn certificate_date(&self) -> Option<Date> {
        self.piece().certificate_date()
    }

    /// The same in another state.
    pub fn with_state(mut self, state: State) -> Self {
        *self.piece_mut().state_mut() = state;
        self
    }

    /// The same piece, due at another day.
    pub fn with_due(mut self, due: Option<Date>) -> Self {
        *self.piece_mut().due_mut() = due;
        self
    }

    /// The same with what its certificates show of its drift in a year, where it is of a kind that has one and states none, or
    /// less.
    pub fn drifting(mut self, shown: impl FnOnce() -> Option<YearlyDrift>) -> Self {
        if let Some(stated) = self.piece_mut().drift_mut()
            && let Some(shown) = shown()
            && stated
                .as_ref()
                .is_none_or(|stated| stated.per_year.value() < shown.per_year.value())
        {
            *stated = Some(shown);
        }
        self
    }

    /// The same of one that shows temperatures.
    pub fn drifting_in_kelvins(mut self, shown: impl FnOnce() -> Option<KelvinDrift>) -> Self {
        if let Some(stated) = self.piece_mut().kelvin_drift_mut()
            && let Some(shown) = shown()
            && stated
                .as_ref()
                .is_none_or(|stated| stated.per_year < shown.per_year)
        {
            *stated = Some(shown);
        }
        self
    }

    pub fn subjects(&self) -> BTreeSet<Subject> {
        let mut subjects = BTreeSet::from([
            Subject::new(REGISTER.0, REGISTER.1),
            Subject::new(self.kind().key(), self.id().trim()),
            Subject::new("state", self.state().key()),
        ]);
        let members = self.piece().members().into_iter().flatten();
        let members = members.map(|member| member.trim());
        subjects.extend(
            members
                .filter(|member| !member.is_empty())
                .map(|member| Subject::new(CONTACT, member)),
        );
        subjects
    }
}
