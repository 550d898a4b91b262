//! `midflank functional`: simple and functional pitch diameter.

use metrology::functional::FunctionalDifference;
use metrology::limits::Limits;
use metrology::source::Confidence;
use metrology::units::{Length, LengthUnit};
use metrology::wires::Side;
use serde::Serialize;

use super::MaxMin;
use super::{from_length, from_mm};

/// What is said of one thread; lengths in millimetres where they are not exact.
pub struct Functional {
    pub designation: String,
    pub unit: LengthUnit,
    pub side: Side,
    /// Simple pitch diameter.
    pub size: Length,
    pub limits: Limits,
    pub pitch_error_mm: f64,
    /// In degrees, one flank and the other.
    pub half_angle_errors: (f64, f64),
    pub engagement_mm: Option<f64>,
    pub pitch_mm: f64,
    pub difference: FunctionalDifference,
    /// The angle term when only the side is counted on which each flank sticks out.
    pub angle_term_by_sign_mm: f64,
    /// Functional size: what a GO gauge feels.
    pub felt_mm: f64,
    pub maximum_material: Length,
    pub go_passes: bool,
    /// The largest pitch error that passes; `None` where none at all would.
    pub permitted_pitch_error_mm: Option<f64>,
    pub notes: Vec<String>,
}

impl Functional {
    /// Whether the simple pitch diameter lies within its limits.
    pub fn size_within_limits(&self) -> bool {
        self.limits.lower.is_none_or(|lower| self.size >= lower)
            && self.limits.upper.is_none_or(|upper| self.size <= upper)
    }

    /// How far the functional size lies inside the maximum-material limit; negative beyond it.
    pub fn room_mm(&self) -> f64 {
        let limit = self.maximum_material.mm();
        match self.side {
            Side::External => limit - self.felt_mm,
            Side::Internal => self.felt_mm - limit,
        }
    }
}

#[derive(Serialize)]
pub struct FunctionalDocument<'a> {
    designation: &'a str,
    unit: LengthUnit,
    size: f64,
    size_within_limits: bool,
    limits: MaxMin,
    maximum_material_limit: f64,
    functional_size: f64,
    go_passes: bool,
    room: f64,
    pitch_error: f64,
    pitch_term: f64,
    per_pitch_error: f64,
    half_angle_errors_deg: [f64; 2],
    angle_term: f64,
    angle_term_by_sign: f64,
    per_degree: f64,
    engagement: Option<f64>,
    permitted_pitch_error: Option<f64>,
    source: &'static str,
    confidence: Confidence,
    notes: &'a [String],
}

impl<'a> FunctionalDocument<'a> {
    pub fn of(functional: &'a Functional) -> Self {
        let unit = functional.unit;
        let length = |mm| from_mm(mm, unit);
        let difference = &functional.difference;
        let exact = |limit: Option<Length>| limit.map(|limit| from_length(limit, unit));
        Self {
            designation: &functional.designation,
            unit,
            size: from_length(functional.size, unit),
            size_within_limits: functional.size_within_limits(),
            limits: MaxMin {
                max: exact(functional.limits.upper),
                min: exact(functional.limits.lower),
            },
            maximum_material_limit: from_length(functional.maximum_material, unit),
            functional_size: length(functional.felt_mm),
            go_passes: functional.go_passes,
            room: length(functional.room_mm()),
            pitch_error: length(functional.pitch_error_mm),
            pitch_term: length(difference.pitch_term_mm),
            per_pitch_error: difference.per_pitch_error,
            half_angle_errors_deg: functional.half_angle_errors.into(),
            angle_term: length(difference.angle_term_mm),
            angle_term_by_sign: length(functional.angle_term_by_sign_mm),
            per_degree: length(difference.per_radian_mm * std::f64::consts::PI / 180.0),
            engagement: functional.engagement_mm.map(length),
            permitted_pitch_error: functional.permitted_pitch_error_mm.map(length),
            source: crate::words::source(difference.source),
            confidence: difference.confidence,
            notes: &functional.notes,
        }
    }
}
