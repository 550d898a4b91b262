//! The stored form of a study that was run at the bench, schema 1: what it is computed from. Its result is stored as it is
//! printed.

use jiff::Timestamp;
use jiff::civil::Date;

use super::job::{Characteristic, Contacts, Instrument, Standard, Temperature, WireSet};
use super::kept;
use crate::gauge_record::study as now;

/// The schema number of studies.
pub const STUDY: u32 = 1;
/// The schema number of their results.
pub const STUDIED: u32 = 1;

kept! { StudyKind of enum now::StudyKind { Repeatability, Type1, Bias, Nested, Linearity } }

kept! { StudyPlan of now::StudyPlan {
    kind: StudyKind,
    characteristic: Characteristic,
    tolerance: Option<String>,
    reference: Option<String>,
    parts: Vec<String>,
    operators: Vec<String>,
    trials: u64,
    seed: u64,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    references: Vec<String>,
} }

kept! { StudyReading of now::StudyReading {
    operator: String,
    part: String,
    trial: u64,
    at: Timestamp,
    reading: String,
    earlier: Vec<String>,
    left: Option<String>,
} }

kept! { Study of now::Study {
    plan: StudyPlan,
    instrument: Instrument,
    contacts: Contacts,
    wires: Option<WireSet>,
    standard: Standard,
    unit: String,
    temperature: Option<Temperature>,
    zero_before: Vec<String>,
    zero_after: Vec<String>,
    readings: Vec<StudyReading>,
    on: Date,
    person: String,
} }
