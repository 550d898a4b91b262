//! What is asked next. At every moment of a job that is one thing.

use super::calibration::Ask;
use super::details::Detail;
use super::event::When;
use super::run::Stop;
use super::zero::Doubt;
use crate::register::Kind;

/// The steps of the work, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    Part,
    SetUp,
    Zero,
    Readings,
    ClosingZero,
    Verdict,
    Close,
}

impl Step {
    pub const ALL: [Self; 7] = [
        Self::Part,
        Self::SetUp,
        Self::Zero,
        Self::Readings,
        Self::ClosingZero,
        Self::Verdict,
        Self::Close,
    ];
}

/// The one thing that is asked.
#[derive(Clone, Debug, PartialEq)]
pub enum Question {
    /// Which thread, or which size with its limits.
    Designation,
    /// What a feature needs to know beside its limits.
    Detail(Detail),
    /// What the part is called.
    Name,
    Drawing,
    /// Lot and sample.
    Lot,
    Rule,
    /// Whether a wrong acceptance could hurt someone.
    Service,
    Instrument,
    Contacts,
    /// Which wires lie between flat faces and the thread.
    Wires,
    Standard,
    Unit,
    Temperature,
    /// A closure on the standard: which of the check.
    Closure {
        when: When,
        number: usize,
    },
    /// A check that is complete and in doubt.
    ZeroDoubt {
        when: When,
        doubt: Doubt,
    },
    /// A reading at a place of the plan, counted from 0.
    Reading {
        index: usize,
    },
    /// A reading again; the number of the event of the one before.
    Again {
        of: u64,
    },
    /// All are taken; one that looks like a mistake is to be taken again, or left for a reason.
    Flagged {
        of: u64,
    },
    /// How the thread was made, where the verdict hangs on it.
    Made,
    /// The verdict is final, and waits for the signature of who measured.
    Sign,
    /// Signed, record not made: the program stopped in between.
    Finish,
    /// Recorded; what next.
    Recorded,
    /// Given up.
    Dropped,
    /// Who measures.
    Person,
    /// A piece of a run that is not simply accepted: what is to be done with it.
    Stopped {
        stop: Stop,
    },
    /// The check is done, the record of its pieces not made: the program stopped in between.
    Settle,
    /// Which gauge, or which document, shows it.
    With,
    /// Whether a piece conforms, where it is not measured.
    Find,
    /// All pieces of the run are done; what next.
    RunDone,
    /// What a calibration needs to know beside its readings.
    Calibration(Ask),
    /// Put aside at this step, until a station takes it up.
    Parked {
        step: Step,
    },
}

impl Question {
    pub const fn step(&self) -> Step {
        match self {
            Self::Calibration(ask) if ask.follows_readings() => Step::Verdict,
            Self::Designation
            | Self::Detail(_)
            | Self::Name
            | Self::Drawing
            | Self::Lot
            | Self::Rule
            | Self::Service => Step::Part,
            Self::Instrument
            | Self::Contacts
            | Self::Wires
            | Self::Standard
            | Self::Unit
            | Self::Temperature
            | Self::Person
            | Self::With
            | Self::Calibration(_) => Step::SetUp,
            Self::Closure {
                when: When::Before, ..
            }
            | Self::ZeroDoubt {
                when: When::Before, ..
            } => Step::Zero,
            Self::Reading { .. }
            | Self::Again { .. }
            | Self::Flagged { .. }
            | Self::Made
            | Self::Stopped { .. }
            | Self::Find => Step::Readings,
            Self::Closure { .. } | Self::ZeroDoubt { .. } | Self::Settle => Step::ClosingZero,
            Self::Sign => Step::Verdict,
            Self::Finish | Self::Recorded | Self::Dropped | Self::RunDone => Step::Close,
            Self::Parked { step } => *step,
        }
    }

    /// Whether a number from the micrometer answers it, so that the serial line is heard.
    pub const fn takes_reading(&self) -> bool {
        matches!(
            self,
            Self::Closure { .. }
                | Self::ZeroDoubt { .. }
                | Self::Reading { .. }
                | Self::Again { .. }
                | Self::Flagged { .. }
        )
    }

    /// Whether a reading answers it, or a reason for leaving what is in doubt as it is.
    pub const fn takes_reason(&self) -> bool {
        matches!(self, Self::ZeroDoubt { .. } | Self::Flagged { .. })
    }

    /// The kind of equipment that is chosen, where one is.
    pub const fn kind(&self) -> Option<Kind> {
        match self {
            Self::Instrument => Some(Kind::Instrument),
            Self::Contacts => Some(Kind::Contacts),
            Self::Wires => Some(Kind::Wires),
            Self::Standard => Some(Kind::Standard),
            _ => None,
        }
    }

    /// Whether a piece of equipment is chosen.
    pub const fn chooses(&self) -> bool {
        self.kind().is_some()
    }

    /// Whether the field is for words, so that a letter is a letter.
    pub const fn takes_words(&self) -> bool {
        match self {
            Self::ZeroDoubt { .. }
            | Self::Flagged { .. }
            | Self::Made
            | Self::Sign
            | Self::Find
            | Self::RunDone
            | Self::Calibration(_) => true,
            Self::Parked { .. } => false,
            other => matches!(other.step(), Step::Part | Step::SetUp),
        }
    }
}
