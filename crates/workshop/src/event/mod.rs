//! What happens in a job at the bench. How it is stored and read again years later is declared in [`kept`](crate::kept).

mod calibration;
mod lot;
pub mod places;
mod stated;

use std::collections::BTreeMap;

use jiff::Timestamp;
use metrology::inspection::{
    Characteristic, Contacts, Gauge, Instrument, RuleName, Service, Standard, Temperature, WireSet,
};
use metrology::message::Value;
use metrology::units::{Entered, LengthUnit};

pub use calibration::{BlockSet, OfCalibration, OfPair};
pub use lot::OfLot;
pub use places::Spot;
pub use stated::Stated;

use crate::gauge_record::study::StudyPlan;

/// One thing that happened.
#[derive(Clone, Debug, PartialEq)]
pub enum Event {
    /// The job began, with what it keeps of an earlier one.
    Begun { keeps: Option<Box<Kept>> },
    /// What is measured was stated.
    Characteristic { characteristic: Characteristic },
    /// A feature was named with its limits; what else it needs to know is asked next.
    Feature { stated: Stated },
    /// One thing that was asked of the feature; nothing passes it over, or ends a list.
    Detail { key: String, answer: Option<String> },
    /// What the part is called.
    Name { name: String },
    /// Drawing and revision; none was stated.
    Drawing { drawing: Option<String> },
    /// Lot, and which sample of it.
    Lot {
        lot: Option<String>,
        sample: Option<String>,
    },
    /// The decision rule.
    Rule { rule: RuleName },
    /// Whether a wrong acceptance could hurt someone, and how.
    Service { service: Option<Service> },
    /// The micrometer was chosen; all that the register says of it is kept here.
    Instrument { instrument: Instrument },
    /// The contacts were chosen.
    Contacts { contacts: Contacts },
    /// The wires between them and the thread were chosen.
    Wires { wires: WireSet },
    /// The setting standard was chosen.
    Standard { standard: Standard },
    /// The unit that the micrometer shows.
    Unit { unit: LengthUnit },
    /// Temperatures, or that none were read.
    Temperature { temperature: Option<Temperature> },
    /// A closure on the setting standard.
    Closure {
        when: When,
        reading: Entered,
        by: By,
    },
    /// The closures so far were set aside and the check begins anew.
    ZeroAgain { when: When },
    /// A check that is in doubt was taken as it is, for a reason that stands on the record.
    ZeroAccepted { when: When, reason: String },
    /// A reading of the part at a place.
    Reading {
        spot: Spot,
        reading: Entered,
        by: By,
    },
    /// A reading was asked to be taken again.
    Retaking { of: u64 },
    /// A reading was taken again: it stands in the place of an earlier one, which stays in the story.
    Retaken { of: u64, reading: Entered, by: By },
    /// A reading that was asked to be taken again stays as it was read; that answers no flag.
    StandsAsRead { of: u64 },
    /// A reading that looks like a mistake is left as read, for a reason that stands on the record.
    LeftAsRead { of: u64, reason: String },
    /// More places were added.
    More { spots: Vec<Spot> },
    /// The readings were ended before all places were measured.
    ReadingsEnded,
    /// The verdict was seen; the job goes on to its closing check.
    VerdictSeen,
    /// An earlier answer was taken back.
    TakenBack { of: u64 },
    /// The job was put aside at the station that kept it; nothing follows but that it is taken up.
    Parked,
    /// It goes on, at the station of this event; it was parked at that one.
    TakenUp { parked_at: String },
    /// Who measured; the record is made next.
    Closing { person: String },
    /// The record is on the disk. Ends the job.
    Recorded { entry: String },
    /// The job was given up. Ends the job.
    Dropped,
    /// The job is a run of pieces of a lot on one characteristic; all that the plan says of it is kept here.
    Run { of: Box<OfLot> },
    /// Who measures.
    Person { person: String },
    /// The last check of the job before is the opening check of this one.
    ZeroKept {
        job: u64,
        readings: Vec<Entered>,
        at: Timestamp,
    },
    /// The next piece is under the contacts.
    Piece { name: String },
    /// A piece that is not accepted was left as it is, and the run goes on.
    WentOn,
    /// The zero check that is due was put off.
    CheckPutOff,
    /// What was found of a piece without measuring it; the turns that a GO gauge went in, where it is one.
    Found {
        piece: String,
        conforms: bool,
        turns: Option<f64>,
        note: Option<String>,
    },
    /// The gauge or the document that shows it; of a gauge all that the register says of it, and what its status makes of the
    /// results.
    With {
        name: String,
        gauge: Option<Box<Gauge>>,
        notes: Vec<Value>,
    },
    /// The pieces since the check before are on the record, by the zero check of this entry where they were measured; whether
    /// it was good.
    Settled { entry: Option<String>, good: bool },
    /// No more pieces are measured in this run. Ends the job.
    RunEnded,
    /// The job is the calibration of a micrometer.
    Calibration { of: Box<OfCalibration> },
    /// The gauge blocks were chosen; all that their certificate says is kept here.
    Blocks { set: BlockSet },
    /// One thing that was asked of the calibration, by its key.
    CalibrationTold { asked: String, answer: String },
    /// The job is a study of a way of measuring; all that its plan says is kept here.
    Study { plan: Box<StudyPlan> },
    /// The job is the check of a pair of thread contacts on two plugs.
    PairCheck { of: Box<OfPair> },
    /// A plug was chosen, as the register has it; which of the two, by the key of what is asked.
    Plug { asked: String, plug: Standard },
}

impl Event {
    /// Whether nothing follows it.
    pub const fn ends(&self) -> bool {
        matches!(self, Self::Recorded { .. } | Self::Dropped | Self::RunEnded)
    }

    /// Whether the micrometer was closed on something.
    pub const fn closes_the_micrometer(&self) -> bool {
        matches!(
            self,
            Self::Closure { .. } | Self::Reading { .. } | Self::Retaken { .. }
        )
    }

    /// Whether it is stored in the form that came with lots.
    pub const fn came_with_lots(&self) -> bool {
        matches!(
            self,
            Self::Run { .. }
                | Self::Person { .. }
                | Self::ZeroKept { .. }
                | Self::Piece { .. }
                | Self::WentOn
                | Self::CheckPutOff
                | Self::Found { .. }
                | Self::With { .. }
                | Self::Settled { .. }
                | Self::RunEnded
        )
    }

    /// Whether it is stored in the form that came with calibrations.
    pub const fn came_with_calibrations(&self) -> bool {
        matches!(
            self,
            Self::Calibration { .. } | Self::Blocks { .. } | Self::CalibrationTold { .. }
        )
    }

    /// Whether it is stored in the form that came with studies.
    pub const fn came_with_studies(&self) -> bool {
        matches!(self, Self::Study { .. })
    }

    /// Whether it is stored in the form that came with checks of pairs.
    pub const fn came_with_pairs(&self) -> bool {
        matches!(self, Self::PairCheck { .. } | Self::Plug { .. })
    }

    /// The event that this one takes back.
    pub const fn takes_back(&self) -> Option<u64> {
        match self {
            Self::TakenBack { of } => Some(*of),
            _ => None,
        }
    }

    /// Whether it is an answer that may be taken back. A reading may not: it is taken again.
    pub const fn may_be_taken_back(&self) -> bool {
        matches!(
            self,
            Self::Characteristic { .. }
                | Self::Feature { .. }
                | Self::Detail { .. }
                | Self::Name { .. }
                | Self::Drawing { .. }
                | Self::Lot { .. }
                | Self::Rule { .. }
                | Self::Service { .. }
                | Self::Instrument { .. }
                | Self::Contacts { .. }
                | Self::Wires { .. }
                | Self::Standard { .. }
                | Self::Unit { .. }
                | Self::Temperature { .. }
                | Self::VerdictSeen
                | Self::With { .. }
                | Self::Found { .. }
                | Self::ZeroKept { .. }
                | Self::Blocks { .. }
                | Self::CalibrationTold { .. }
                | Self::Plug { .. }
        )
    }
}

metrology::codes! {
    /// Before or after the readings of the part.
    pub enum When "when" {
        /// The opening check of the zero.
        Before "before",
        /// The closing check.
        After "after",
    }
}

/// How a reading came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// Typed, by hand or by a cable that types.
    Keyboard,
    /// By the serial line.
    Serial,
}

/// What the next part of a lot keeps of the one before.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// The job it is kept from.
    pub job: u64,
    pub characteristic: Characteristic,
    /// The feature and what is known of every such part, where it is one; what belongs to one part is asked anew.
    pub feature: Option<(Stated, Answers)>,
    pub name: String,
    pub drawing: Option<String>,
    pub lot: Option<String>,
    pub sample: Option<String>,
    pub rule: RuleName,
    pub service: Option<Service>,
    pub instrument: Instrument,
    pub contacts: Contacts,
    pub wires: Option<WireSet>,
    pub standard: Standard,
    pub unit: LengthUnit,
    pub temperature: Option<Temperature>,
    /// The closing check of the job before, which is the opening check of this one; empty where it was not good.
    pub zero: Vec<Entered>,
    /// Who measured.
    pub person: String,
}

/// What was answered to one of them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    /// As typed; lines of a list one after the other. Empty where it was passed over.
    pub text: String,
    /// Whether nothing more is asked of it.
    pub done: bool,
}

/// Answers by their keys.
pub type Answers = BTreeMap<String, Said>;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::places::Station;
    use crate::kept;

    #[test]
    fn events_read_back_as_written() {
        let rule = RuleName {
            name: "probability".into(),
            parameter: Some("0.90".parse().unwrap()),
            assumed: false,
        };
        let reading = Entered::parse("8,930 mm", None).unwrap();
        for event in [
            Event::Begun { keeps: None },
            Event::Rule { rule },
            Event::Rule {
                rule: RuleName {
                    name: "iso14253-1".into(),
                    parameter: None,
                    assumed: true,
                },
            },
            Event::Reading {
                spot: Spot::new(Station::Middle, 90.0),
                reading,
                by: By::Serial,
            },
            Event::Parked,
            Event::TakenUp {
                parked_at: "bench 2".into(),
            },
            Event::Dropped,
        ] {
            let text = kept::write(kept::EVENT, &event).unwrap();
            assert_eq!(
                kept::read::<Event>(kept::EVENT, &text).unwrap(),
                event,
                "{text}"
            );
        }
    }
}
