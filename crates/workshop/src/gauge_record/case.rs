//! A recall that is kept as a case: what was asked, what it lists, and what was decided of each result.

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::Subject;
use serde::{Deserialize, Serialize};

/// The subject that every case touches.
pub const CASES: (&str, &str) = ("gauge-room", "recalls");

metrology::codes! {
    /// What is decided of a result.
    pub enum Decided "recall-decision" {
        /// The customer was informed.
        Informed "informed",
        /// The part was measured again.
        MeasuredAgain "measured-again",
        /// The part is still good.
        StillGood "still-good",
        /// The part was scrapped.
        Scrapped "scrapped",
    }
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Case {
    /// The key of the role that the piece has in results.
    pub piece: String,
    pub id: String,
    /// The error of the piece, as it was entered.
    pub error: String,
    /// Where the error is what a micrometer shows less at one place of its curve than at another: its errors at the size of the
    /// parts and at that of the setting standard, as entered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub points: Option<[String; 2]>,
    pub found: Date,
    pub since: Option<Date>,
    /// `constant`, `linear` or `step`.
    pub history: String,
    pub step: Option<Date>,
    /// How many results the recall lists, of which those below are kept.
    pub listed: u64,
    pub results: Vec<CaseResult>,
    pub decisions: Vec<Decision>,
}

/// A result of a case, in its unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CaseResult {
    pub entry: String,
    pub measured_at: Timestamp,
    pub part: Option<String>,
    pub characteristic: Option<String>,
    pub sample: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<String>,
    /// Number of the piece in the order of work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<String>,
    pub size: Option<f64>,
    pub corrected: Option<f64>,
    pub unit: Option<String>,
    pub before: String,
    pub after: String,
}

/// What was decided of one result.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Decision {
    pub entry: String,
    /// The key of what was decided.
    pub decided: String,
    pub person: String,
    pub at: Timestamp,
    pub note: Option<String>,
}

impl Case {
    pub fn subjects(&self) -> BTreeSet<Subject> {
        BTreeSet::from([
            Subject::new(CASES.0, CASES.1),
            Subject::new("recalled", format!("{} {}", self.piece, self.id)),
        ])
    }

    /// What was decided of a result last.
    pub fn decision(&self, entry: &str) -> Option<&Decision> {
        self.decisions.iter().rfind(|one| one.entry == entry)
    }

    /// Whether it was decided last of a result that the part is still good.
    pub fn is_still_good(&self, entry: &str) -> bool {
        let decided = self.decision(entry);
        decided.is_some_and(|one| Decided::of(&one.decided) == Some(Decided::StillGood))
    }

    /// Results whose verdict changes, but those that were decided to be good all the same.
    pub fn in_doubt(&self) -> impl Iterator<Item = &CaseResult> {
        let all = self.results.iter();
        all.filter(|one| one.before != one.after && !self.is_still_good(&one.entry))
    }

    /// Results that nothing was decided of yet, those whose verdict changes first.
    pub fn open(&self) -> usize {
        let open = |one: &&CaseResult| self.decision(&one.entry).is_none();
        self.results.iter().filter(open).count()
    }
}
