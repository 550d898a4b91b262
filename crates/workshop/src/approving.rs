//! What a laboratory approves, as it is recorded: a value in the place of a default, or an uncertainty of its own.

use std::collections::BTreeSet;

use ledger::Subject;
use metrology::inspection::{
    Approval, Approved, Characteristic, Contacts, Instrument, OwnUncertainty, StudyPrior, Target,
    WireSet,
};
use metrology::units::{Entered, Length};

/// The subject that every such entry touches, so that they are found without reading the rest.
pub const APPROVALS: (&str, &str) = ("register", "approvals");

/// What is approved.
#[derive(Clone, Debug, PartialEq)]
pub enum Approving {
    /// A value in the place of a default.
    Default(Approved),
    /// An uncertainty of the laboratory's own.
    Uncertainty(Box<SetUpUncertainty>),
    /// A study of a set-up, for its repeatability and how operators differ.
    Study(Box<ApprovedStudy>),
}

/// A study that was approved for a set-up.
#[derive(Clone, Debug, PartialEq)]
pub struct ApprovedStudy {
    pub set_up: SetUp,
    /// Smallest and largest limit of what it counts for; any where none is stated.
    pub sizes: Option<[Entered; 2]>,
    /// What it tells, and who approved it.
    pub prior: StudyPrior,
}

impl ApprovedStudy {
    /// Whether it counts for such a characteristic by its sizes: both its limits lie within them.
    pub fn holds(&self, characteristic: &Characteristic) -> bool {
        let Some([from, to]) = &self.sizes else {
            return true;
        };
        let limits = Target::of(characteristic).map(|target| target.limits);
        let limits = limits.map(|limits| [limits.lower, limits.upper]);
        let limits: Vec<Length> = limits.into_iter().flatten().flatten().collect();
        let within = |limit: &Length| *limit >= from.value() && *limit <= to.value();
        !limits.is_empty() && limits.iter().all(within)
    }
}

/// An uncertainty of the laboratory's own, and what it is for.
#[derive(Clone, Debug, PartialEq)]
pub struct SetUpUncertainty {
    /// By which set-up.
    pub set_up: SetUp,
    /// How much, and who approved it.
    pub own: OwnUncertainty,
}

/// A set-up and what is measured with it, by identities.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SetUp {
    pub instrument: String,
    /// Its wires where there are any, else its contacts.
    pub with: String,
    /// Which diameter of a thread, which feature, or `size`.
    pub characteristic: String,
}

/// What a size with stated limits is called that is neither of a thread nor of a feature.
pub const SIZE: &str = "size";

/// What is measured: which diameter of a thread, which feature, or `size`.
pub fn characteristic_key(characteristic: &Characteristic) -> &'static str {
    match characteristic {
        Characteristic::Thread { diameter, .. } => diameter.key(),
        Characteristic::Stated { .. } => SIZE,
        Characteristic::Feature { feature, .. } => feature.kind().key(),
    }
}

impl SetUp {
    /// The set-up of a job.
    pub fn of(
        characteristic: &Characteristic,
        instrument: &Instrument,
        contacts: &Contacts,
        wires: Option<&WireSet>,
    ) -> Self {
        let characteristic = characteristic_key(characteristic);
        let with = wires.map_or(&contacts.id, |wires| &wires.id);
        Self {
            instrument: instrument.id.trim().to_owned(),
            with: with.trim().to_owned(),
            characteristic: characteristic.to_owned(),
        }
    }
}

impl SetUp {
    /// Whether the micrometer and what it touches with are the same, whatever is measured.
    pub fn is_of_the_same_pieces(&self, other: &Self) -> bool {
        self.instrument == other.instrument && self.with == other.with
    }
}

impl Approving {
    /// What it is found by: of a set-up each part by itself, so that no two read alike.
    pub fn subjects(&self) -> BTreeSet<Subject> {
        let mut subjects = BTreeSet::from([Subject::new(APPROVALS.0, APPROVALS.1)]);
        match self {
            Self::Default(approved) => {
                subjects.insert(Subject::new("default", approved.what.key()));
            }
            Self::Uncertainty(own) => subjects.extend([
                Subject::new("own-uncertainty", &own.set_up.characteristic),
                Subject::new("own-uncertainty-instrument", &own.set_up.instrument),
                Subject::new("own-uncertainty-with", &own.set_up.with),
            ]),
            Self::Study(one) => subjects.extend([
                Subject::new("approved-study", &one.prior.study),
                Subject::new("approved-study-instrument", &one.set_up.instrument),
                Subject::new("approved-study-with", &one.set_up.with),
            ]),
        }
        subjects
    }

    /// Who approved it, and when.
    pub fn approval(&self) -> Option<&Approval> {
        match self {
            Self::Default(approved) => Some(&approved.approval),
            Self::Uncertainty(uncertainty) => uncertainty.own.approval.as_ref(),
            Self::Study(one) => Some(&one.prior.approval),
        }
    }

    /// Whether both approve the same thing.
    pub fn is_of_the_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Default(one), Self::Default(other)) => one.what == other.what,
            (Self::Uncertainty(one), Self::Uncertainty(other)) => one.set_up == other.set_up,
            (Self::Study(one), Self::Study(other)) => {
                let sizes = |of: &ApprovedStudy| {
                    let sizes = of.sizes.as_ref();
                    sizes.map(|sizes| sizes.each_ref().map(Entered::value))
                };
                one.set_up == other.set_up && sizes(one) == sizes(other)
            }
            _ => false,
        }
    }
}
