//! The stored form of the result of an inspection, schema 1: numbers and codes, no sentence.

use jiff::civil::Date;
use metrology::message::Message;

use super::job::Scope;
use super::kept;
use crate::document::{MaxMin as MaxMinNow, decision, feature, inspection as now};

/// The schema number of results.
pub const RESULT: u32 = 1;

kept! { Inspected of now::Inspected {
    method: u32,
    characteristic: Message,
    unit: String,
    decimals: u32,
    limits: MaxMin,
    sources: Vec<Message>,
    zero_error: ZeroError,
    readings: Vec<Reading>,
    corrections: Vec<Correction>,
    decided_on: Message,
    scope: Scope,
    size: Size,
    uncertainty: Option<Uncertainty>,
    budget: Vec<BudgetLine>,
    rests_on: Vec<Message>,
    decision: Decided,
    mean: Outcome,
    worst_place: Option<Outcome>,
    without_flagged: Option<Outcome>,
    warnings: Vec<Message>,
    feature: Option<Feature>,
    cautions: Vec<Message>,
    settle: Option<Settle>,
    monte_carlo: Option<MonteCarlo>,
} without at_hand }

kept! { MaxMin of MaxMinNow { max: Option<f64>, min: Option<f64> } }

kept! { Settle of now::Settle {
    way: String,
    sentence: Message,
    standard_uncertainty_needed: f64,
    more_readings: Option<u64>,
    lines: Vec<String>,
    contribution: Option<f64>,
    contribution_needed: Option<f64>,
} }

kept! { MonteCarlo of now::MonteCarlo {
    seed: u64,
    trials: u64,
    value: f64,
    standard_uncertainty: Option<f64>,
    coverage_probability: f64,
    interval: Interval,
    stabilized: bool,
    validation: Validation,
} }

kept! { Interval of now::Interval { lower: f64, upper: f64 } }

kept! { Validation of now::Validation { lower: f64, upper: f64, tolerance: f64, valid: bool } }

kept! { ZeroError of now::ZeroError {
    value: f64,
    standard_uncertainty: f64,
    n: u64,
    before: f64,
    after: Option<f64>,
    drift: Option<f64>,
    flags: Vec<ZeroFlag>,
} }

kept! { ZeroFlag of now::ZeroFlag { as_read: String, kind: String, message: Message, left: bool } }

kept! { Reading of now::Reading { as_read: String, corrected: f64, place: Option<Message>, flags: Vec<Flag> } }

kept! { Flag of now::Flag { kind: String, message: Message, left: bool } }

kept! { Correction of now::Correction { name: String, value: f64, standard_uncertainty: f64, source: Message } }

kept! { Size of now::Size {
    value: f64,
    standard_uncertainty: f64,
    degrees_of_freedom: Option<f64>,
    coverage_factor: f64,
    expanded_uncertainty: f64,
} }

kept! { Uncertainty of now::Uncertainty {
    decides: String,
    program: Size,
    laboratory: Size,
    source: String,
    approval: Option<Approval>,
} }

kept! { Approval of now::Approval { person: String, approved_on: Date, review_due: Date } }

kept! { BudgetLine of now::BudgetLine {
    quantity: String,
    name: String,
    standard_uncertainty: f64,
    unit: String,
    sensitivity: f64,
    degrees_of_freedom: Option<f64>,
    contribution: f64,
    share: f64,
    note: Option<Message>,
} }

kept! { Outcome of now::Outcome { of: Message, size: Size, decision: Decided } }

kept! { Decided of decision::Decided {
    decision: String,
    rule: String,
    rule_parameter: Option<f64>,
    conformance_probability: f64,
    guard_band: Option<f64>,
    acceptance: Bounds,
    rejection: Bounds,
    margin: f64,
    unit: String,
    reason: Message,
    because: Option<String>,
    provisional: bool,
} }

kept! { Bounds of decision::Bounds { lower: Option<f64>, upper: Option<f64> } }

kept! { Feature of feature::FeatureDocument {
    kind: String,
    conversion: Option<Message>,
    findings: Vec<Finding>,
} }

kept! { Finding of feature::Finding {
    key: String,
    value: f64,
    unit: String,
    standard_uncertainty: Option<f64>,
    definition: Message,
    source: Message,
    min: Option<f64>,
    max: Option<f64>,
    decision: Option<String>,
    reason: Option<Message>,
} }
