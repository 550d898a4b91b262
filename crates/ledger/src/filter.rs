//! Which entries to list, and how many at a time.

use jiff::Timestamp;

use crate::{Entry, Subject};

/// Which entries are meant: all that meet every condition set here. The default means every entry.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Filter {
    /// That touch every one of these. An index leads from the first to its entries; put the rarest first.
    pub subjects: Vec<Subject>,
    /// Of this kind.
    pub kind: Option<String>,
    /// Recorded at this time or later.
    pub since: Option<Timestamp>,
    /// Recorded before this time.
    pub until: Option<Timestamp>,
    /// Or, whenever they were recorded, touching something between these.
    pub or_between: Option<Between>,
    /// Recorded by this person, as the name was written.
    pub person: Option<String>,
    /// With every one of these words, in either case, in the name or number of the person, the reason of an amendment
    /// or the identity of a subject. A word of three letters or more is found in any part of a word there; a shorter
    /// one at the beginning of an identity. At most 32 words.
    pub text: Option<String>,
    /// Leaving out those that were amended since: what stands today.
    pub standing: bool,
}

impl Filter {
    /// Every entry that touches one thing.
    pub fn touching(role: impl Into<String>, identity: impl Into<String>) -> Self {
        Self {
            subjects: vec![Subject::new(role, identity)],
            ..Self::default()
        }
    }
}

/// Things of one role whose identities lie between two, in the order of their letters: days, written as 2026-03-09.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Between {
    pub role: String,
    /// The first identity; none for no bound.
    pub first: Option<String>,
    /// The last one; none for no bound.
    pub last: Option<String>,
}

/// In which order entries are listed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Order {
    /// As they were recorded.
    #[default]
    OldestFirst,
    /// The latest first.
    NewestFirst,
}

/// Which part of a listing: so many entries beyond a given one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Page {
    pub order: Order,
    /// Beyond this sequence number (above it, or below it for newest first); none means from the start.
    pub beyond: Option<u64>,
    /// How many at most, 1 to 10 000; other numbers are brought into that range.
    pub size: u32,
}

impl Page {
    /// The most entries on one page.
    pub const LARGEST: u32 = 10_000;

    /// The first page in an order.
    pub const fn first(order: Order, size: u32) -> Self {
        Self {
            order,
            beyond: None,
            size,
        }
    }
}

/// One page of a listing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listing {
    /// The entries, in the order asked for.
    pub entries: Vec<Entry>,
    /// The page after this one, if there is more.
    pub next: Option<Page>,
}
