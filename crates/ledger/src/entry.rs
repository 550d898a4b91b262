//! A recorded entry.

use jiff::Timestamp;

use crate::{Draft, EntryId, Hash, Mark, Remark, RemarkKind, encoding};

/// One recorded entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its place: 1 for the first, without gaps.
    pub sequence: u64,
    /// The hash of the entry before it; [`Hash::NONE`] in the first.
    pub previous: Hash,
    /// The hash of this entry, over all the fields above and the content.
    pub hash: Hash,
    /// What was recorded.
    pub content: Draft,
    /// The entry that amends this one, if one does by now. Not part of what is hashed: it comes later.
    pub amended_by: Option<EntryId>,
    /// The time of the entry before, where that is later than this one's: a clock was set back, or a time was given by
    /// hand. A remark, no fault, and not part of what is hashed: it follows from the two entries.
    pub went_back: Option<Timestamp>,
}

impl Entry {
    /// Whether the content is what its hash was made of. A whole chain needs [`verify`](crate::verify): a forger can
    /// hash again what stands after.
    pub fn is_intact(&self) -> bool {
        encoding::hash(self.sequence, &self.previous, &self.content) == self.hash
    }

    /// The short name people use.
    pub fn id(&self) -> EntryId {
        self.mark().id()
    }

    /// The entry it amends, if that comes before it, as it must.
    pub(crate) fn amends(&self) -> Option<EntryId> {
        let amended = self.content.amends.as_ref()?.entry;
        Some(amended).filter(|amended| amended.sequence() < self.sequence)
    }

    /// The entry that amends it, if that comes after it, as it must.
    pub(crate) fn is_amended_by(&self) -> Option<EntryId> {
        self.amended_by.filter(|by| by.sequence() > self.sequence)
    }

    /// Its place in the chain.
    pub fn mark(&self) -> Mark {
        Mark {
            sequence: self.sequence,
            hash: self.hash,
        }
    }

    /// What is to be known of it that is no fault, if there is anything.
    pub fn remark(&self) -> Option<Remark> {
        self.went_back.map(|from| Remark {
            entry: self.id(),
            kind: RemarkKind::WentBack {
                from,
                to: self.content.recorded_at,
            },
        })
    }
}
