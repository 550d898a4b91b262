//! The inspection plan of a drawing revision: which characteristics, where, by which way, on how many pieces, decided how.

mod error;
mod read;
mod shape;

pub use error::{PlanError, PlanNote};
pub use read::{parse, read};

use metrology::inspection::{Characteristic, Job, Part, RuleName, Scope};
use metrology::message::Value;
use metrology::units::LengthUnit;
use serde::{Deserialize, Serialize};

use crate::error::Error;
use crate::job_file::{AtHand, Wanted};
use crate::register::Shelf;

/// A plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Its own number.
    pub number: Option<String>,
    /// What the part is called.
    pub part: String,
    /// Drawing number.
    pub drawing: String,
    /// Revision of the drawing.
    pub revision: Option<String>,
    /// Unit of a bare number.
    pub unit: Option<LengthUnit>,
    /// How many pieces, and what the lot's verdict follows.
    pub pieces: Pieces,
    /// The characteristics in the order of the plan.
    pub characteristics: Vec<Planned>,
    /// What should be known of it.
    pub notes: Vec<PlanNote>,
}

/// How many pieces are taken, and with how many nonconforming ones the lot is accepted or rejected.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pieces {
    /// How they are chosen.
    pub take: Take,
    /// Pieces of the lot, where that is stated.
    pub lot_size: Option<u64>,
    /// Pieces to be measured; none where all are and nobody said how many there are.
    pub n: Option<u64>,
    /// Acceptance number Ac.
    pub accept: u64,
    /// Rejection number Re.
    pub reject: u64,
}

metrology::codes! {
    /// How many pieces of a lot are taken.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Take "plan-take" {
        /// Every piece.
        All "all",
        /// A number that somebody stated.
        Fixed "fixed",
        /// A single plan of MIL-STD-105E.
        #[serde(rename = "105e")]
        MilStd105E "105e",
        /// The least sample that accepts on zero at a stated risk.
        ZeroAcceptance "zero-acceptance",
    }
}

metrology::codes! {
    /// How a characteristic is shown to conform.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Way "plan-way" {
        /// Measured with contacts.
        Contacts "contacts",
        /// Measured over wires.
        Wires "wires",
        /// By a GO/NOT GO gauge.
        Gauge "gauge",
        /// By eye.
        ByEye "by-eye",
        /// Taken from another document.
        Document "document",
    }
}

metrology::codes! {
    /// How much hangs on a characteristic.
    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Class "plan-class" {
        /// As any other.
        Ordinary "ordinary",
        /// No nonconforming piece is accepted.
        Key "key",
        /// No nonconforming piece is accepted.
        Critical "critical",
    }
}

impl Way {
    /// Whether readings of a micrometer show it.
    pub const fn is_measured(self) -> bool {
        matches!(self, Self::Contacts | Self::Wires)
    }
}

impl Class {
    /// Whether no nonconforming piece is accepted.
    pub const fn accepts_none(self) -> bool {
        matches!(self, Self::Key | Self::Critical)
    }
}

/// One characteristic of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// Its number on the drawing.
    pub number: String,
    /// The line of the plan that it begins on.
    pub line: usize,
    /// What is measured and within which limits; none of one that is not measured.
    pub measured: Option<Characteristic>,
    /// What the verdict has to cover.
    pub scope: Option<Scope>,
    /// What is looked at, where nothing is measured.
    pub says: Option<String>,
    /// Where it is measured, by name; empty where that is left to who measures.
    pub places: Vec<String>,
    /// How.
    pub way: Way,
    /// How much hangs on it.
    pub class: Class,
    /// The decision rule.
    pub rule: RuleName,
    /// Who agreed the rule, or where.
    pub agreed: Option<String>,
    /// The edition of the standard that the drawing names.
    pub edition: Option<String>,
}

impl Plan {
    /// The characteristic of a number.
    pub fn find(&self, number: &str) -> Option<&Planned> {
        self.characteristics.iter().find(|one| one.number == number)
    }

    /// Drawing and revision, as a job file has them.
    pub fn drawing(&self) -> String {
        match &self.revision {
            Some(revision) => format!("{} rev {revision}", self.drawing),
            None => self.drawing.clone(),
        }
    }

    /// The job of a characteristic with a set-up, before anything was read; none where nothing is measured of it.
    pub fn job(
        &self,
        planned: &Planned,
        at_hand: &AtHand,
        shelf: &Shelf,
    ) -> Result<Option<Job>, Error> {
        let Some(characteristic) = planned.measured.clone() else {
            return Ok(None);
        };
        let wanted = Wanted {
            characteristic,
            scope: planned.scope,
            part: Part {
                name: self.part.clone(),
                drawing: Some(self.drawing()),
                characteristic: Some(planned.number.clone()),
                ..Part::default()
            },
            rule: planned.rule.clone(),
        };
        let mut job = at_hand.job(wanted, shelf)?;
        if let (false, Some(agreed)) = (planned.rule.assumed, &planned.agreed) {
            let by = agreed.clone();
            job.notes.push(Value::said(PlanNote::RuleAgreed { by }));
        }
        Ok(Some(job))
    }
}
