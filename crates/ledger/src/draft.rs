//! What a caller hands in to be recorded, and what is refused.

use std::collections::BTreeSet;

use jiff::Timestamp;

use crate::{Actor, EntryId, Field, Identified, JobEvents, encoding, text};

/// The longest document (inputs, results, editions, words) taken, in bytes: 16 MiB.
pub const LONGEST_DOCUMENT: usize = 16 << 20;
/// The most subjects one entry may touch.
pub const MOST_SUBJECTS: usize = 10_000;

/// The content of an entry: who recorded what, when and where, and what it touches.
///
/// The ledger keeps the four documents as text, to the byte, and does not look into them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draft {
    /// What sort of entry it is, such as `inspection`.
    pub kind: String,
    /// When, by the caller's clock; kept to the nanosecond, so round it first to the digits you want to
    /// see. Years 0 to 9999.
    pub recorded_at: Timestamp,
    /// The time zone of the bench, so that the hour on its clock can be told: `Europe/Paris`, or an offset such as
    /// `+02:00`. Up to 64 letters, digits and `/_+-:`.
    pub zone: String,
    /// Who records it.
    pub actor: Actor,
    /// The bench or computer at which it is recorded.
    pub station: String,
    /// What went in: a JSON text from which the results can be computed again.
    pub inputs: String,
    /// What came out: a JSON text.
    pub results: String,
    /// The editions of the tables used, with their digests: a JSON text.
    pub editions: String,
    /// The sentences as they were printed that day: a JSON text, `{}` where there are none.
    pub words: String,
    /// The program that computed the results, with its version.
    pub program: String,
    /// The entry this one puts right, if it does.
    pub amends: Option<Amendment>,
    /// The events of the job it was made from, if it was. They must be in this ledger.
    pub events: Option<JobEvents>,
    /// What the entry touches; a recall asks by these. A set: their order carries no meaning.
    pub subjects: BTreeSet<Subject>,
}

/// The entry put right, and why. Who and when are those of the amending entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amendment {
    /// The entry put right.
    pub entry: EntryId,
    /// Why, in words for the next reader.
    pub reason: String,
}

/// One thing an entry touches, in one role: (`instrument`, `mic-04`), (`verdict`, `accept`).
///
/// Compared byte for byte; neither part may begin or end with a space.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Subject {
    /// What it is to the entry: `part`, `lot`, `instrument`, `contacts`, `standard`, `verdict`.
    pub role: String,
    /// Which one.
    pub identity: String,
}

impl Subject {
    /// A thing in a role.
    pub fn new(role: impl Into<String>, identity: impl Into<String>) -> Self {
        Self {
            role: role.into(),
            identity: identity.into(),
        }
    }
}

/// Why a draft or an event is refused. Nothing of it is recorded.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum DraftError {
    /// A name or reason is missing.
    #[error("{field} is empty")]
    Empty {
        /// Which field.
        field: Field,
    },
    /// A field is too long.
    #[error("{field} is {bytes} bytes long; at most {limit} are kept")]
    TooLong {
        /// Which field.
        field: Field,
        /// Its length in bytes.
        bytes: usize,
        /// The longest allowed.
        limit: usize,
    },
    /// A name begins or ends with a space: it would not be found again by what people type.
    #[error("{field} `{text}` begins or ends with a space")]
    Padded {
        /// Which field.
        field: Field,
        /// The name.
        text: String,
    },
    /// A control character. A reason may have line breaks (LF or CR LF), a document tabs as well; a name has neither.
    #[error("{field} holds the control character {character:?}")]
    ControlCharacter {
        /// Which field.
        field: Field,
        /// The character.
        character: char,
    },
    /// A mark that embeds, overrides or isolates a direction of writing: U+202A to U+202E, U+2066 to U+2069.
    #[error("{field} holds the direction mark {character:?}")]
    DirectionCharacter {
        /// Which field.
        field: Field,
        /// The character.
        character: char,
    },
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
    Time {
        /// The time.
        at: Timestamp,
    },
    /// The time zone is not a plain name.
    #[error("zone `{found}` is neither the name of a time zone nor an offset")]
    Zone {
        /// What was given.
        found: String,
    },
    /// An entry said to be made from no events.
    #[error("made from no events of job {job}")]
    NoEvents {
        /// The job.
        job: u64,
    },
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

impl Draft {
    /// The thing that it touches in a role; the first by name where there are several.
    pub fn subject(&self, role: &str) -> Option<&str> {
        let found = self.subjects.iter().find(|subject| subject.role == role);
        found.map(|subject| subject.identity.as_str())
    }

    /// Whether it can be recorded.
    pub fn check(&self) -> Result<(), DraftError> {
        text::name(Field::Kind, &self.kind)?;
        text::name(Field::ActorName, &self.actor.name)?;
        match self.actor.how {
            Identified::Typed => text::name_or_nothing(Field::ActorId, &self.actor.id)?,
            _ => text::name(Field::ActorId, &self.actor.id)?,
        }
        text::name(Field::Station, &self.station)?;
        text::zone(&self.zone)?;
        text::name(Field::Program, &self.program)?;
        text::document(Field::Inputs, &self.inputs, LONGEST_DOCUMENT)?;
        text::document(Field::Results, &self.results, LONGEST_DOCUMENT)?;
        text::document(Field::Editions, &self.editions, LONGEST_DOCUMENT)?;
        text::document(Field::Words, &self.words, LONGEST_DOCUMENT)?;
        if let Some(amendment) = &self.amends {
            text::paragraph(Field::Reason, &amendment.reason, LONGEST_DOCUMENT)?;
        }
        if let Some(events) = self.events.filter(|events| events.count == 0) {
            return Err(DraftError::NoEvents { job: events.job });
        }
        if self.subjects.len() > MOST_SUBJECTS {
            return Err(DraftError::TooManySubjects {
                found: self.subjects.len(),
                limit: MOST_SUBJECTS,
            });
        }
        for subject in &self.subjects {
            text::name(Field::SubjectRole, &subject.role)?;
            text::name(Field::SubjectIdentity, &subject.identity)?;
        }
        // Years before 0 are written with a sign.
        if encoding::time(self.recorded_at).starts_with('-') {
            return Err(DraftError::Time {
                at: self.recorded_at,
            });
        }
        Ok(())
    }
}
