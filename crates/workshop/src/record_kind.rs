//! The kinds of records. What is known of each stands in [`registry`](crate::registry).

use ledger::{Entry, Filter};

metrology::codes! {
    /// What an entry of the ledger holds. The key is stored.
    pub enum RecordKind "record-kind" {
        /// An inspection: a job and its result.
        Inspection "inspection",
        /// A piece of equipment.
        Equipment "equipment",
        /// What the laboratory approved.
        Approval "approval",
        /// A validation of the program.
        Validation "validation",
        /// A calibration done in house.
        Calibration "calibration",
        /// A certificate from outside.
        Certificate "certificate",
        /// A change of status.
        Status "status",
        /// A check part measured with a set-up.
        Check "check",
        /// What a thermometer of the room showed.
        Room "room",
        /// A recall kept as a case.
        Recall "recall",
        /// Words to an earlier entry, and nothing else.
        Note "note",
        /// A badge that says who somebody is.
        Badge "badge",
        /// The inspection plan of a drawing revision.
        Plan "plan",
        /// A lot that was begun.
        Lot "lot",
        /// A zero check between pieces of a lot.
        ZeroCheck "zero-check",
        /// What was found of a piece without measuring it.
        Found "found",
        /// What was decided on a nonconforming piece.
        Nonconformance "nonconformance",
        /// Readings with equipment that is set apart, kept without a result.
        Trial "trial",
        /// A study of a way of measuring that was run at the bench.
        Study "study",
        /// A first article that was issued.
        FirstArticle "first-article",
    }
}

impl RecordKind {
    /// The kind of an entry; none where a later build recorded it.
    pub fn of_entry(entry: &Entry) -> Option<Self> {
        Self::of(&entry.content.kind)
    }

    /// Whether an entry is of this kind.
    pub fn is_of(self, entry: &Entry) -> bool {
        entry.content.kind == self.key()
    }

    /// All entries of this kind.
    pub fn all(self) -> Filter {
        Filter {
            kind: Some(self.key().to_owned()),
            ..Filter::default()
        }
    }

    /// Those that no later entry amends.
    pub fn standing(self) -> Filter {
        Filter {
            standing: true,
            ..self.all()
        }
    }
}
