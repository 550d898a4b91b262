//! What a caller hands in to be recorded, and what is refused.

use std::collections::BTreeSet;

use jiff::Timestamp;

use crate::{Actor, DraftError, EntryId, Field, Identified, JobEvents, text, time};

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
        if time::written(self.recorded_at).starts_with('-') {
            return Err(DraftError::Time {
                at: self.recorded_at,
            });
        }
        Ok(())
    }
}
