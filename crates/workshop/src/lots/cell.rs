//! What is known of a piece on one characteristic.

use jiff::Timestamp;
use ledger::{EntryId, Facts};
use metrology::decision::Verdict;
use metrology::inspection::Gauge;
use metrology::lot::Standing;
use metrology::message::Value;

use crate::event::Spot;
use crate::lot::Outcome;

/// A piece by name, and a characteristic by its place in the plan.
pub(super) type Key = (String, usize);

/// What is known of a piece on one characteristic.
#[derive(Clone, Debug)]
pub struct Cell {
    pub standing: Standing,
    /// Size and verdict; none of what was found without measuring.
    pub outcome: Option<Outcome>,
    /// Why there is no verdict, where it is withheld.
    pub because: Option<String>,
    /// The entry; none while it waits for a check.
    pub entry: Option<EntryId>,
    /// When it was measured, where that is known.
    pub at: Option<Timestamp>,
    /// Places that nobody measured.
    pub missing: Vec<Spot>,
    /// What a gauge did, where it was tried with one.
    pub gauged: Option<Box<Gauged>>,
}

/// What a gauge did on a piece.
#[derive(Clone, Debug)]
pub struct Gauged {
    /// By name.
    pub with: String,
    /// As the register described it; none where it has none of that name.
    pub gauge: Option<Box<Gauge>>,
    pub conforms: bool,
    pub turns: Option<f64>,
    /// What its status makes of it.
    pub notes: Vec<Value>,
}

impl Cell {
    /// Of what was found without measuring.
    pub(super) fn found(standing: Standing, because: Option<String>) -> Self {
        Self {
            standing,
            outcome: None,
            because,
            entry: None,
            at: None,
            missing: Vec::new(),
            gauged: None,
        }
    }

    /// Of a size on the record.
    pub(super) fn of_facts(facts: &Facts) -> Option<Self> {
        let outcome = Outcome::of_facts(facts)?;
        Some(Self {
            at: facts.at,
            outcome: Some(outcome.clone()),
            ..Self::found(outcome.standing, outcome.because)
        })
    }

    /// What is on the record shows neither: the check that would have made it final failed, it is of another plan, or something
    /// else on the record speaks against it.
    pub(super) fn leave_undecided(&mut self, because: &str) {
        self.standing = Standing::Undecided;
        self.because = Some(because.to_owned());
        if let Some(outcome) = &mut self.outcome {
            outcome.standing = Standing::Undecided;
            outcome.because.clone_from(&self.because);
            outcome.decision = Verdict::Undecided.key();
        }
    }

    /// The same where it would count as accepted, now or once its check is made.
    pub(super) fn doubt(&mut self, because: &str) -> bool {
        let counts = matches!(self.standing, Standing::Accept | Standing::Provisional);
        if counts {
            self.leave_undecided(because);
        }
        counts
    }
}
