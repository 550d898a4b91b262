//! What is to be known of an entry that is no fault.

use jiff::Timestamp;

use crate::EntryId;

/// Something to know of an entry that is no fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    pub entry: EntryId,
    pub kind: RemarkKind,
}

/// What is remarked.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum RemarkKind {
    /// Its time lies before that of the entry before it.
    WentBack {
        /// The time of the entry before.
        from: Timestamp,
        to: Timestamp,
    },
    /// It names something that the caller does not know, and cannot hold against anything.
    NotKnown {
        /// Where: `tables_sha256`.
        path: String,
        stored: String,
    },
}

impl RemarkKind {
    /// A stable name for machines.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::WentBack { .. } => "went-back",
            Self::NotKnown { .. } => "not-known",
        }
    }
}
