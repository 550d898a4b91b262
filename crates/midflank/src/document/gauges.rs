//! `midflank gauges`: the limit gauges for a thread.

use metrology::gauges::{Gauge, GaugeSet};
use metrology::limits::Limits;
use metrology::source::Confidence;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::{MaxMin, from_length};
use crate::words;

/// The gauges for one thread.
#[derive(Serialize)]
pub struct GaugesDocument<'a> {
    designation: &'a str,
    form: &'static str,
    kind: &'static str,
    unit: LengthUnit,
    gauges: Vec<GaugeDocument<'a>>,
    assumed: Vec<String>,
    notes: Vec<String>,
    sources: Vec<&'static str>,
    confidence: Confidence,
}

#[derive(Serialize)]
struct GaugeDocument<'a> {
    name: &'static str,
    major: MaxMin,
    pitch_diameter: MaxMin,
    minor: MaxMin,
    /// Plain gauges only.
    #[serde(skip_serializing_if = "Option::is_none")]
    diameter: Option<MaxMin>,
    wear_limit: Option<f64>,
    lead_tolerance: Option<f64>,
    half_angle_tolerance_arcmin: Option<f64>,
    standard: &'a str,
    direction: String,
    confidence: Confidence,
}

impl<'a> GaugesDocument<'a> {
    /// The document, in the designation's unit or another.
    pub fn of(set: &'a GaugeSet, unit: Option<LengthUnit>) -> Self {
        let unit = unit.unwrap_or(set.unit);
        Self {
            designation: &set.designation,
            form: set.form.key(),
            kind: set.kind.key(),
            unit,
            gauges: set
                .gauges
                .iter()
                .map(|gauge| GaugeDocument::of(gauge, unit))
                .collect(),
            assumed: words::all_said(&set.assumed),
            notes: words::all_said(&set.notes),
            sources: set
                .sources
                .iter()
                .map(|source| crate::words::source(*source))
                .collect(),
            confidence: set.confidence,
        }
    }
}

impl<'a> GaugeDocument<'a> {
    fn of(gauge: &'a Gauge, unit: LengthUnit) -> Self {
        let length = |length| from_length(length, unit);
        Self {
            name: gauge.name.key(),
            major: MaxMin::of(gauge.major, unit),
            pitch_diameter: MaxMin::of(gauge.pitch_diameter, unit),
            minor: MaxMin::of(gauge.minor, unit),
            diameter: (gauge.diameter != Limits::default())
                .then(|| MaxMin::of(gauge.diameter, unit)),
            wear_limit: gauge.wear_limit.map(length),
            lead_tolerance: gauge.lead_tolerance.map(length),
            half_angle_tolerance_arcmin: gauge.half_angle_tolerance,
            standard: &gauge.standard,
            direction: words::word(&gauge.direction),
            confidence: gauge.confidence,
        }
    }
}
