//! What is recorded of a lot beside its inspections: that it was begun, the zero checks that made its results final, and what
//! was found without measuring.

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::Subject;
use metrology::correction::zero_error;
use metrology::inspection::{Gauge, withholding};
use metrology::lot::Standing;
use metrology::message::{Message, Value};
use metrology::units::{Entered, Length};

use crate::inspection_plan::{Pieces, Plan, Way};

/// Under this role an entry names the plan that it is of, or was made under.
pub const PLAN: &str = "plan";
/// Under this role an entry names its lot.
pub const LOT: &str = "lot";
/// Under this role an entry names a piece.
pub const SAMPLE: &str = "sample";
/// Under this role an entry names the number of its characteristic in the plan.
pub const NUMBER: &str = "planned";

/// Under this role an entry names the gauge that it was found with.
pub const GAUGE: &str = "gauge";

/// Under this role a lot names the rejected lot that comes back as it.
pub const RESUBMITS: &str = "resubmits";

impl Plan {
    /// What the entry of a plan touches.
    pub fn subjects(&self) -> BTreeSet<Subject> {
        touched([
            (PLAN, Some(self.name().as_str())),
            ("part", Some(&self.part)),
            ("drawing", Some(&self.drawing())),
        ])
    }
}

/// A lot that was begun, and the plan it stays with.
#[derive(Clone, Debug, PartialEq)]
pub struct LotBegun {
    pub number: String,
    /// What the plan is called, and the entry that holds it.
    pub plan: String,
    pub plan_entry: String,
    pub part: String,
    pub drawing: String,
    /// How many pieces of it are taken.
    pub pieces: Pieces,
    pub customer: Option<String>,
    pub order: Option<String>,
    /// The rejected lot that comes back as this one.
    pub resubmits: Option<String>,
    /// The day on which it came in, and how it was then.
    pub received: Option<Date>,
    pub condition: Option<String>,
}

impl LotBegun {
    pub fn subjects(&self) -> BTreeSet<Subject> {
        touched([
            (LOT, Some(self.number.as_str())),
            (PLAN, Some(&self.plan)),
            ("part", Some(&self.part)),
            ("drawing", Some(&self.drawing)),
            ("order", self.order.as_deref()),
            (RESUBMITS, self.resubmits.as_deref()),
        ])
    }
}

/// A zero check between pieces of a lot: all that were measured since the last good one are final by it, or undecided.
#[derive(Clone, Debug, PartialEq)]
pub struct ZeroCheck {
    pub lot: String,
    /// The characteristic by its number in the plan.
    pub number: String,
    pub instrument: String,
    pub contacts: String,
    pub standard: String,
    /// Certified size of the standard.
    pub certified: Entered,
    /// The readings on it of the last good check, and of this one.
    pub before: Vec<Entered>,
    pub after: Vec<Entered>,
    /// The drift that is put up with.
    pub limit: Entered,
    /// Why a check in doubt was taken as it is.
    pub accepted: Option<String>,
    /// When the micrometer was closed the last time before and now.
    pub before_at: Timestamp,
    pub after_at: Timestamp,
    /// The pieces between the two checks, by name, in the order in which they were measured.
    pub pieces: Vec<String>,
}

/// What a zero check comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Checked {
    /// How far the zero moved, millimetres.
    pub drift: f64,
    /// Whether that is within the limit.
    pub good: bool,
}

impl ZeroCheck {
    /// What it comes to; none where readings are missing.
    pub fn checked(&self) -> Option<Checked> {
        let values = |all: &[Entered]| all.iter().map(Entered::value).collect::<Vec<Length>>();
        let certified = self.certified.value();
        let error = zero_error(&values(&self.before), &values(&self.after), certified)?;
        let drift = error.drift()?;
        Some(Checked {
            drift,
            good: drift.abs() <= self.limit.value().mm(),
        })
    }

    pub fn subjects(&self) -> BTreeSet<Subject> {
        touched([
            (LOT, Some(self.lot.as_str())),
            (NUMBER, Some(&self.number)),
            ("instrument", Some(&self.instrument)),
            ("contacts", Some(&self.contacts)),
            ("standard", Some(&self.standard)),
        ])
    }
}

/// What was found of a piece without measuring it: by eye, by a GO/NOT GO gauge, in another document.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    pub lot: String,
    pub plan_entry: String,
    pub part: String,
    pub drawing: String,
    pub piece: String,
    /// The characteristic by its number in the plan, and what the plan says of it.
    pub number: String,
    pub says: String,
    pub way: Way,
    pub conforms: bool,
    /// The gauge or the document by name.
    pub with: Option<String>,
    /// The gauge as the register described it; none where it has none of that name.
    pub gauge: Option<Box<Gauge>>,
    /// What the status of the gauge makes of it.
    pub notes: Vec<Value>,
    /// Turns that a GO gauge went in.
    pub turns: Option<f64>,
    pub note: Option<String>,
    pub at: Timestamp,
    /// Answers on the piece that were taken back before this one, the first first.
    pub earlier: Vec<Earlier>,
}

/// An answer on a piece that was taken back.
#[derive(Clone, Debug, PartialEq)]
pub struct Earlier {
    pub conforms: bool,
    pub turns: Option<f64>,
    pub note: Option<String>,
    pub at: Timestamp,
}

impl Found {
    /// How the piece stands by it: neither where the status of the gauge withholds the verdict.
    pub fn standing(&self) -> Standing {
        standing(self.conforms, &self.notes)
    }

    /// Why it has no verdict, by a code.
    pub fn because(&self) -> Option<&str> {
        because(&self.notes)
    }

    /// The gauge by name, registered or not.
    pub fn gauged_with(&self) -> Option<&str> {
        self.with.as_deref().filter(|_| self.way == Way::Gauge)
    }

    pub fn subjects(&self) -> BTreeSet<Subject> {
        touched([
            (LOT, Some(self.lot.as_str())),
            (PLAN, Some(&self.plan_entry)),
            (NUMBER, Some(&self.number)),
            (SAMPLE, Some(&self.piece)),
            ("part", Some(&self.part)),
            ("drawing", Some(&self.drawing)),
            ("verdict", Some(self.standing().key())),
            ("with", self.with.as_deref()),
            (GAUGE, self.gauged_with()),
        ])
    }
}

/// How a piece stands that was looked at, by what the status of the gauge makes of it.
pub fn standing(conforms: bool, notes: &[Value]) -> Standing {
    match (because(notes), conforms) {
        (Some(_), _) => Standing::Undecided,
        (None, true) => Standing::Accept,
        (None, false) => Standing::Reject,
    }
}

/// Why there is no verdict, by a code.
pub fn because(notes: &[Value]) -> Option<&str> {
    withholding(notes).map(Message::key)
}

fn touched<'a>(
    named: impl IntoIterator<Item = (&'static str, Option<&'a str>)>,
) -> BTreeSet<Subject> {
    named
        .into_iter()
        .filter_map(|(role, identity)| Some((role, identity?.trim())))
        .filter(|(_, identity)| !identity.is_empty())
        .map(|(role, identity)| Subject::new(role, identity))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_check_is_good_up_to_the_limit() {
        let mm = |text: &str| Entered::parse(text, None).unwrap();
        let check = |after: &str| ZeroCheck {
            lot: "L-1".to_owned(),
            number: "1".to_owned(),
            instrument: "mic-04".to_owned(),
            contacts: "vc-60-3".to_owned(),
            standard: "rod-10".to_owned(),
            certified: mm("9.9994mm"),
            before: vec![mm("10.001mm"); 3],
            after: vec![mm(after); 3],
            limit: mm("2um"),
            accepted: None,
            before_at: Timestamp::UNIX_EPOCH,
            after_at: Timestamp::UNIX_EPOCH,
            pieces: vec!["1".to_owned()],
        };
        assert!(check("10.003mm").checked().unwrap().good);
        let moved = check("10.004mm").checked().unwrap();
        assert!(!moved.good && (moved.drift - 0.003).abs() < 1e-12);
        assert_eq!(
            ZeroCheck {
                before: Vec::new(),
                ..check("10.004mm")
            }
            .checked(),
            None
        );
    }
}
