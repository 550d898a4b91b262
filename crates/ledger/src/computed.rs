//! What a caller says of an entry when it computes the results again.

use std::collections::BTreeSet;

use crate::{Difference, Facts, RemarkKind, Subject};

/// What the caller finds when it computes the results of an entry again from its inputs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Recomputed {
    /// The same results, or an entry without results to compute.
    Same,
    /// Something else follows from the documents: other results, or another kind, person or time than the entry has
    /// beside them. A fault.
    Differs(Vec<Difference>),
    /// It could not be computed. A fault, unless the method is one that the caller says it may not know
    /// ([`VerifyOptions::accept_methods`](crate::VerifyOptions::accept_methods)).
    NotComputed { reason: NotComputed },
}

/// Why results could not be computed again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotComputed {
    /// The program does not know the method by which they were computed.
    MethodUnknown { method: u32 },
    /// The calculation refuses the inputs.
    Refused {
        /// The code of the refusal.
        code: String,
    },
    /// The documents cannot be read.
    Unreadable {
        /// Where and why.
        detail: String,
    },
    /// The program knows no entries of this kind.
    KindUnknown { kind: String },
}

impl NotComputed {
    /// A stable name for machines.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::MethodUnknown { .. } => "method-unknown",
            Self::Refused { .. } => "refused",
            Self::Unreadable { .. } => "unreadable",
            Self::KindUnknown { .. } => "kind-unknown",
        }
    }
}

/// All that a caller says of an entry, from its documents alone.
#[derive(Clone, Debug, PartialEq)]
pub struct Computed {
    pub results: Recomputed,
    /// What an entry with these documents touches; it is compared with what this one touches. None where the caller
    /// derives no subjects for this kind, or cannot read the documents.
    pub subjects: Option<BTreeSet<Subject>>,
    /// What is to be known of the entry that is no fault.
    pub remarks: Vec<RemarkKind>,
    /// The facts of an entry with these documents; they are compared with those stored. None where the caller makes none.
    pub facts: Option<Facts>,
}

impl From<Recomputed> for Computed {
    fn from(results: Recomputed) -> Self {
        Self {
            results,
            subjects: None,
            remarks: Vec::new(),
            facts: None,
        }
    }
}
