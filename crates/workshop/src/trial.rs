//! Readings taken with equipment that is quarantined, retired or lost: they may be kept, marked as a trial, and come to nothing.
//!
//! A trial has no size and no verdict, and stands under roles of its own, so that no list of results, history, lot or process
//! finds it.

use std::collections::BTreeSet;

use ledger::Subject;
use metrology::inspection::Job;
use metrology::message::Message;

/// The subject that every trial touches.
pub const TRIALS: (&str, &str) = ("trial", "readings");

/// What was read, and why it gives no result.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// What bars each piece.
    pub barred: Vec<Message>,
    /// All that was entered. It is not computed.
    pub job: Job,
}

impl Trial {
    pub fn subjects(&self) -> BTreeSet<Subject> {
        let (job, part) = (&self.job, &self.job.part);
        let wires = job.wires.as_ref().map(|wires| wires.id.as_str());
        let named = [
            ("trial-part", Some(part.name.as_str())),
            ("trial-drawing", part.drawing.as_deref()),
            ("trial-lot", part.lot.as_deref()),
            ("trial-sample", part.sample.as_deref()),
            ("trial-instrument", Some(&job.instrument.id)),
            ("trial-contacts", Some(&job.contacts.id)),
            ("trial-standard", Some(&job.standard.id)),
            ("trial-wires", wires),
        ];
        named
            .into_iter()
            .filter_map(|(role, identity)| Some((role, identity?.trim())))
            .filter(|(_, identity)| !identity.is_empty())
            .chain([TRIALS])
            .map(|(role, identity)| Subject::new(role, identity))
            .collect()
    }
}
