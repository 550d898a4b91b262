//! The stored forms of plans and of what is recorded of a lot, schema 1 each.

use jiff::Timestamp;
use jiff::civil::Date;

use super::job::{Characteristic, Gauge, GaugeMember, RuleName, Scope};
use super::kept;
use crate::inspection_plan as plan;
use crate::lot_entry as now;
use metrology::message::Value;

/// The schema number of inspection plans.
pub const PLAN: u32 = 1;
/// The schema number of lots.
pub const LOT: u32 = 1;
/// The schema number of zero checks between pieces.
pub const ZERO_CHECK: u32 = 1;
/// The schema number of what they come to.
pub const CHECKED: u32 = 1;
/// The schema number of what was found without measuring.
pub const FOUND: u32 = 1;

kept! { Plan of plan::Plan {
    number: Option<String>,
    part: String,
    drawing: String,
    revision: Option<String>,
    unit: Option<String>,
    pieces: Pieces,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    room: Option<RoomLimits>,
    characteristics: Vec<Planned>,
} without notes }

kept! { RoomLimits of plan::RoomLimits {
    temperature: Option<[f64; 2]>,
    humidity: Option<[f64; 2]>,
    within: u64,
} }

kept! { Pieces of plan::Pieces {
    by: By,
    lot_size: Option<u64>,
    n: Option<u64>,
    accept: u64,
    reject: u64,
} }

kept! { By of enum plan::By {
    All,
    Fixed,
    MilStd105E { level: String, aql: String, severity: String },
    ZeroAcceptance { limiting_fraction: String, risk: f64 },
} }

kept! { Planned of plan::Planned {
    number: String,
    measured: Option<Characteristic>,
    scope: Option<Scope>,
    says: Option<String>,
    places: Vec<String>,
    way: Way,
    gauge: Option<GaugeMember>,
    class: Class,
    rule: RuleName,
    agreed: Option<String>,
    edition: Option<String>,
} without line }

kept! { Way of enum plan::Way { Contacts, Wires, Gauge, ByEye, Document } }

kept! { Class of enum plan::Class { Ordinary, Key, Critical } }

kept! { LotBegun of now::LotBegun {
    number: String,
    plan: String,
    plan_entry: String,
    part: String,
    drawing: String,
    pieces: Pieces,
    customer: Option<String>,
    order: Option<String>,
    resubmits: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    received: Option<Date>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    condition: Option<String>,
} }

kept! { ZeroCheck of now::ZeroCheck {
    lot: String,
    number: String,
    instrument: String,
    contacts: String,
    standard: String,
    certified: String,
    before: Vec<String>,
    after: Vec<String>,
    limit: String,
    accepted: Option<String>,
    before_at: Timestamp,
    after_at: Timestamp,
    pieces: Vec<String>,
} }

kept! { Checked of now::Checked { drift: f64, good: bool } }

kept! { Found of now::Found {
    lot: String,
    plan_entry: String,
    part: String,
    drawing: String,
    piece: String,
    number: String,
    says: String,
    way: Way,
    conforms: bool,
    with: Option<String>,
    gauge: Option<Gauge>,
    notes: Vec<Value>,
    turns: Option<f64>,
    note: Option<String>,
    at: Timestamp,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    earlier: Vec<Earlier>,
} }

kept! { Earlier of now::Earlier {
    conforms: bool,
    turns: Option<f64>,
    note: Option<String>,
    at: Timestamp,
} }
