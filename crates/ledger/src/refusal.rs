//! Why a draft or an event is refused, and of which field.

use std::fmt;

use jiff::Timestamp;

/// Why a draft or an event is refused. Nothing of it is recorded.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum DraftError {
    /// A name or reason is missing.
    #[error("{field} is empty")]
    Empty { field: Field },
    /// A field is too long.
    #[error("{field} is {bytes} bytes long; at most {limit} are kept")]
    TooLong {
        field: Field,
        /// Its length in bytes.
        bytes: usize,
        /// The longest allowed.
        limit: usize,
    },
    /// A name begins or ends with a space: it would not be found again by what people type.
    #[error("{field} `{text}` begins or ends with a space")]
    Padded { field: Field, text: String },
    /// A control character. A reason may have line breaks (LF or CR LF), a document tabs as well; a name has neither.
    #[error("{field} holds the control character {character:?}")]
    ControlCharacter { field: Field, character: char },
    /// A mark that embeds, overrides or isolates a direction of writing: U+202A to U+202E, U+2066 to U+2069.
    #[error("{field} holds the direction mark {character:?}")]
    DirectionCharacter { field: Field, character: char },
    /// More subjects than are kept.
    #[error("{found} subjects; an entry touches at most {limit}")]
    TooManySubjects {
        /// How many.
        found: usize,
        /// The most allowed.
        limit: usize,
    },
    /// A time before the year 0, which has no plain RFC 3339 form.
    #[error("recorded_at {at} is outside the years 0 to 9999")]
    Time { at: Timestamp },
    /// The time zone is not a plain name.
    #[error("zone `{found}` is neither the name of a time zone nor an offset")]
    Zone {
        /// What was given.
        found: String,
    },
    /// An entry said to be made from no events.
    #[error("made from no events of job {job}")]
    NoEvents { job: u64 },
}

impl DraftError {
    /// A stable name for machines.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Empty { .. } => "empty",
            Self::TooLong { .. } => "too-long",
            Self::Padded { .. } => "padded",
            Self::ControlCharacter { .. } => "control-character",
            Self::DirectionCharacter { .. } => "direction-character",
            Self::TooManySubjects { .. } => "too-many-subjects",
            Self::Time { .. } => "time-out-of-range",
            Self::Zone { .. } => "zone",
            Self::NoEvents { .. } => "no-events",
        }
    }
}

/// A field of a draft or of an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Field {
    /// What sort of entry.
    Kind,
    /// The number or login of who records.
    ActorId,
    /// The name of who records.
    ActorName,
    /// The bench or computer.
    Station,
    /// The time zone of the bench.
    Zone,
    Program,
    Inputs,
    Results,
    /// The editions of the tables.
    Editions,
    /// The sentences as printed.
    Words,
    /// Why an entry is amended.
    Reason,
    /// What a subject is to the entry.
    SubjectRole,
    /// Which subject.
    SubjectIdentity,
    /// The text of an event.
    Event,
}

impl Field {
    /// A stable name for machines.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Kind => "kind",
            Self::ActorId => "actor-id",
            Self::ActorName => "actor-name",
            Self::Station => "station",
            Self::Zone => "zone",
            Self::Program => "program",
            Self::Inputs => "inputs",
            Self::Results => "results",
            Self::Editions => "editions",
            Self::Words => "words",
            Self::Reason => "reason",
            Self::SubjectRole => "subject-role",
            Self::SubjectIdentity => "subject-identity",
            Self::Event => "event",
        }
    }
}

impl fmt::Display for Field {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}
