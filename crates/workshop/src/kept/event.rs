//! The stored form of what happens in a job at the bench: schema 1, schema 2 for what happens in a lot alone, 3 in a calibration,
//! 4 in a study, and 5 in the check of a pair.

use super::calibration::Block;
use super::job::{
    Characteristic, Contacts, Gauge, GaugeMember, Instrument, RuleName, Scope, Service, Standard,
    Temperature, WireSet,
};
use super::kept;
use super::lot::Way;
use super::study::StudyPlan;
use crate::event as now;
use crate::event::{Said as SaidNow, Spot as SpotNow, Stated as StatedNow};
use std::collections::BTreeMap;

use jiff::Timestamp;
use metrology::message::Value;

/// The schema number of events.
pub const EVENT: u32 = 1;
/// The schema number of events from `Run` on.
pub const LOT_EVENT: u32 = 2;
/// The schema number of events from `Calibration` on.
pub const CALIBRATION_EVENT: u32 = 3;
/// The schema number of events from `Study` on.
pub const STUDY_EVENT: u32 = 4;
/// The schema number of events from `PairCheck` on.
pub const PAIR_EVENT: u32 = 5;

kept! { Event of enum now::Event {
    Begun { keeps: Option<KeptFromBefore> },
    Characteristic { characteristic: Characteristic },
    Feature { stated: Stated },
    Detail { key: String, answer: Option<String> },
    Name { name: String },
    Drawing { drawing: Option<String> },
    Lot { lot: Option<String>, sample: Option<String> },
    Rule { rule: RuleName },
    Service { service: Option<Service> },
    Instrument { instrument: Instrument },
    Contacts { contacts: Contacts },
    Wires { wires: WireSet },
    Standard { standard: Standard },
    Unit { unit: String },
    Temperature { temperature: Option<Temperature> },
    Closure { when: When, reading: String, by: By },
    ZeroAgain { when: When },
    ZeroAccepted { when: When, reason: String },
    Reading { spot: Spot, reading: String, by: By },
    Retaking { of: u64 },
    Retaken { of: u64, reading: String, by: By },
    StandsAsRead { of: u64 },
    LeftAsRead { of: u64, reason: String },
    More { spots: Vec<Spot> },
    ReadingsEnded,
    VerdictSeen,
    TakenBack { of: u64 },
    Parked,
    TakenUp { parked_at: String },
    Closing { person: String },
    Recorded { entry: String },
    Dropped,
    Run { of: OfLot },
    Person { person: String },
    ZeroKept { job: u64, readings: Vec<String>, at: Timestamp },
    Piece { name: String },
    WentOn,
    CheckPutOff,
    Found { piece: String, conforms: bool, turns: Option<f64>, note: Option<String> },
    With { name: String, gauge: Option<Gauge>, notes: Vec<Value> },
    Settled { entry: Option<String>, good: bool },
    RunEnded,
    Calibration { of: OfCalibration },
    Blocks { set: BlockSet },
    CalibrationTold { asked: String, answer: String },
    Study { plan: StudyPlan },
    PairCheck { of: OfPair },
    Plug { asked: String, plug: Standard },
} }

kept! { OfPair of now::OfPair {
    contacts: Contacts,
    offers: BTreeMap<String, String>,
    pitches: BTreeMap<String, String>,
} }

kept! { OfCalibration of now::OfCalibration {
    instrument: Instrument,
    offers: BTreeMap<String, String>,
} }

kept! { BlockSet of now::BlockSet {
    id: String,
    certificate: Option<String>,
    blocks: Vec<Block>,
} }

kept! { OfLot of now::OfLot {
    lot: String,
    lot_entry: String,
    plan: String,
    plan_entry: String,
    part: String,
    drawing: String,
    order: Option<String>,
    number: String,
    way: Way,
    measured: Option<Characteristic>,
    thread: Option<String>,
    gauge: Option<GaugeMember>,
    says: Option<String>,
    scope: Option<Scope>,
    rule: RuleName,
    agreed: Option<String>,
    spots: Vec<Spot>,
    n: Option<u64>,
} }

kept! { When of enum now::When { Before, After } }

kept! { By of enum now::By { Keyboard, Serial } }

kept! { Spot of SpotNow { along: Option<Value>, angle: Option<f64> } }

kept! { Stated of StatedNow {
    feature: Option<String>,
    name: String,
    lower: Option<String>,
    upper: Option<String>,
} }

kept! { Said of SaidNow { text: String, done: bool } }

kept! { KeptFromBefore of now::Kept {
    job: u64,
    characteristic: Characteristic,
    feature: Option<(Stated, BTreeMap<String, Said>)>,
    name: String,
    drawing: Option<String>,
    lot: Option<String>,
    sample: Option<String>,
    rule: RuleName,
    service: Option<Service>,
    instrument: Instrument,
    contacts: Contacts,
    wires: Option<WireSet>,
    standard: Standard,
    unit: String,
    temperature: Option<Temperature>,
    zero: Vec<String>,
    person: String,
} }
