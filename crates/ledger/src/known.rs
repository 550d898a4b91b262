//! Lists without documents.

use jiff::Timestamp;

use crate::{Entry, EntryId, Facts, Order, Page, Subject, Wanted};

/// An entry of a list.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// The entry, with its four documents left out: they are empty texts here, and it is not what was hashed.
    pub heading: Entry,
    /// What is known of it, but for what it was measured with; none where its facts were not made yet
    /// ([`Ledger::make_facts`](crate::Ledger::make_facts)).
    pub facts: Option<Facts>,
}

/// One page of a list.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownListing {
    /// The entries, in the order asked for.
    pub entries: Vec<Known>,
    /// The page after this one, if there is more.
    pub next: Option<Page>,
}

/// Which results a piece of equipment touched, in the order of time of measurement.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Touching {
    /// The role of the piece.
    pub role: String,
    pub identity: String,
    /// Measured at this time or later.
    pub since: Option<Timestamp>,
    /// Measured before this time.
    pub until: Option<Timestamp>,
    /// Only those that touch these as well.
    pub also: Vec<Subject>,
    /// Leaving out those that were amended since.
    pub standing: bool,
    pub order: Order,
    /// Beyond this one; none means from the start.
    pub beyond: Option<(Timestamp, u64)>,
    /// How many at most; brought into the range of 1 to [`Page::LARGEST`].
    pub size: u32,
    /// Of the entries up to this one alone, as they stood when it was the newest; none means of all.
    pub up_to: Option<u64>,
    /// Which facts are read of them; all where they are not made yet.
    pub wanted: Wanted,
}

/// A result that a piece of equipment touched.
#[derive(Clone, Debug, PartialEq)]
pub struct Touched<F = Facts> {
    pub entry: EntryId,
    /// When it was measured.
    pub at: Timestamp,
    /// The slope of the size over the error of the piece.
    pub sensitivity: Option<f64>,
    /// What was asked for of what is known of it, but for what it was measured with.
    pub facts: F,
}
