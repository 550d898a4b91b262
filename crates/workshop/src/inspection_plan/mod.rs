//! What an inspection plan is: which characteristics, where, by which way, on how many pieces, decided how.

mod error;
mod pieces;
mod room;

pub use error::{PlanError, PlanNote};
pub use pieces::{By, Pieces, Take};
pub use room::{RoomLimits, USUAL_WITHIN};

use metrology::inspection::{Characteristic, GaugeMember, RuleName, Scope, Target};
use metrology::units::LengthUnit;
use serde::{Deserialize, Serialize};

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
    /// What the room must be like while pieces are measured.
    pub room: Option<RoomLimits>,
    /// The characteristics in the order of the plan.
    pub characteristics: Vec<Planned>,
    /// What should be known of it.
    pub notes: Vec<PlanNote>,
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
    pub way: Way,
    /// Which gauge shows it, where that is a gauge and the plan says which.
    pub gauge: Option<GaugeMember>,
    /// How much hangs on it.
    pub class: Class,
    /// The decision rule.
    pub rule: RuleName,
    /// Who agreed the rule, or where.
    pub agreed: Option<String>,
    /// The edition of the standard that the drawing names.
    pub edition: Option<String>,
}

impl Planned {
    /// The thread that a gauge checks, in the notation of its standard, where the plan says which.
    pub fn gauged_thread(&self) -> Option<String> {
        let measured = self.measured.as_ref().filter(|_| self.way == Way::Gauge)?;
        let thread = Target::of(measured).ok()?.thread?;
        Some(thread.designation)
    }

    /// Who agreed the rule, to stand with the result.
    pub fn rule_agreed(&self) -> Option<PlanNote> {
        let agreed = self.agreed.as_ref().filter(|_| !self.rule.assumed);
        agreed.map(|by| PlanNote::RuleAgreed { by: by.clone() })
    }
}

impl Plan {
    /// The characteristic of a number.
    pub fn find(&self, number: &str) -> Option<&Planned> {
        self.characteristics.iter().find(|one| one.number == number)
    }

    /// What it is called: by its number, or by its drawing where it has none.
    pub fn name(&self) -> String {
        self.number.clone().unwrap_or_else(|| self.drawing())
    }

    /// Drawing and revision, as a job file has them.
    pub fn drawing(&self) -> String {
        match &self.revision {
            Some(revision) => format!("{} rev {revision}", self.drawing),
            None => self.drawing.clone(),
        }
    }
}
