//! What a caller hands in to be recorded, and what is refused.

use std::collections::BTreeSet;

use jiff::Timestamp;

use crate::{EntryId, encoding};

/// The longest document (inputs, results, editions) taken, in bytes: 16 MiB.
pub const LONGEST_DOCUMENT: usize = 16 << 20;
/// The longest name (kind, person, program, role, identity) taken, in bytes.
pub const LONGEST_NAME: usize = 1024;
/// The most subjects one entry may touch.
pub const MOST_SUBJECTS: usize = 10_000;

/// The content of an entry: who recorded what, when, and what it touches.
///
/// The ledger keeps the three documents as text, to the byte, and does not look into them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draft {
    /// What sort of entry it is, such as `inspection`.
    pub kind: String,
    /// When, by the caller's clock; kept to the nanosecond, so round it first to the digits you want to
    /// see. Years 0 to 9999.
    pub recorded_at: Timestamp,
    /// Who records it.
    pub person: String,
    /// What went in: a JSON text from which the results can be computed again.
    pub inputs: String,
    /// What came out: a JSON text.
    pub results: String,
    /// The editions of the tables used, with their digests: a JSON text.
    pub editions: String,
    /// The program that computed the results, with its version.
    pub program: String,
    /// The entry this one puts right, if it does.
    pub amends: Option<Amendment>,
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

/// Why a draft is refused. Nothing of it is recorded.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum DraftError {
    /// A name or reason is missing.
    #[error("{field} is empty; an entry must say it")]
    Empty {
        /// Which field.
        field: &'static str,
    },
    /// A field is too long.
    #[error("{field} is {bytes} bytes long; at most {limit} are kept")]
    TooLong {
        /// Which field.
        field: &'static str,
        /// Its length in bytes.
        bytes: usize,
        /// The longest allowed.
        limit: usize,
    },
    /// A name begins or ends with a space: it would not be found again by what people type.
    #[error("{field} `{text}` begins or ends with a space; leave the space out")]
    Padded {
        /// Which field.
        field: &'static str,
        /// The name.
        text: String,
    },
    /// A line break, NUL or other control character where none may be.
    #[error("{field} holds the control character {character:?}; leave it out")]
    ControlCharacter {
        /// Which field.
        field: &'static str,
        /// The character.
        character: char,
    },
    /// More subjects than are kept.
    #[error(
        "an entry touches at most {MOST_SUBJECTS} subjects, this one {0}; record several entries"
    )]
    TooManySubjects(usize),
    /// A time before the year 0, which has no plain RFC 3339 form.
    #[error("recorded_at {0} is outside the years 0 to 9999")]
    Time(Timestamp),
}

impl Draft {
    /// The thing that it touches in a role; the first by name where there are several.
    pub fn subject(&self, role: &str) -> Option<&str> {
        let found = self.subjects.iter().find(|subject| subject.role == role);
        found.map(|subject| subject.identity.as_str())
    }

    /// Whether it can be recorded.
    pub fn check(&self) -> Result<(), DraftError> {
        name("kind", &self.kind)?;
        name("person", &self.person)?;
        name("program", &self.program)?;
        document("inputs", &self.inputs)?;
        document("results", &self.results)?;
        document("editions", &self.editions)?;
        if let Some(amendment) = &self.amends {
            if amendment.reason.trim().is_empty() {
                return Err(DraftError::Empty { field: "reason" });
            }
            document("reason", &amendment.reason)?;
        }
        if self.subjects.len() > MOST_SUBJECTS {
            return Err(DraftError::TooManySubjects(self.subjects.len()));
        }
        for subject in &self.subjects {
            name("the role of a subject", &subject.role)?;
            name("the identity of a subject", &subject.identity)?;
        }
        // Years before 0 are written with a sign.
        if encoding::time(self.recorded_at).starts_with('-') {
            return Err(DraftError::Time(self.recorded_at));
        }
        Ok(())
    }
}

/// A short text on one line that people search by.
fn name(field: &'static str, text: &str) -> Result<(), DraftError> {
    length(field, text, LONGEST_NAME)?;
    if text.trim().is_empty() {
        return Err(DraftError::Empty { field });
    }
    if let Some(character) = text.chars().find(|c| c.is_control()) {
        return Err(DraftError::ControlCharacter { field, character });
    }
    if text.trim() != text {
        let text = text.to_owned();
        return Err(DraftError::Padded { field, text });
    }
    Ok(())
}

/// A text kept as it is. A NUL would end it early for some readers of the file.
fn document(field: &'static str, text: &str) -> Result<(), DraftError> {
    length(field, text, LONGEST_DOCUMENT)?;
    if text.contains('\0') {
        let character = '\0';
        return Err(DraftError::ControlCharacter { field, character });
    }
    Ok(())
}

fn length(field: &'static str, text: &str, limit: usize) -> Result<(), DraftError> {
    if text.len() > limit {
        let bytes = text.len();
        return Err(DraftError::TooLong {
            field,
            bytes,
            limit,
        });
    }
    Ok(())
}
