//! `midflank limits`: a thread and its limits of size.

use metrology::limits::{Engagement, Limits, ThreadLimits};
use metrology::source::Confidence;
use metrology::units::LengthUnit;
use serde::{Deserialize, Serialize};

use super::from_length;

/// Limits of size, both included; `null` where the standard sets none.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct MaxMin {
    pub max: Option<f64>,
    pub min: Option<f64>,
}

impl MaxMin {
    pub fn of(limits: Limits, unit: LengthUnit) -> Self {
        let limit = |limit: Option<_>| limit.map(|limit| from_length(limit, unit));
        Self {
            max: limit(limits.upper),
            min: limit(limits.lower),
        }
    }
}

/// A thread and its limits.
#[derive(Serialize)]
pub struct ThreadDocument<'a> {
    designation: &'a str,
    form: &'static str,
    kind: &'static str,
    unit: LengthUnit,
    nominal: f64,
    pitch: f64,
    lead: f64,
    starts: u16,
    hand: &'static str,
    included_angle_deg: f64,
    class: &'a str,
    allowance: f64,
    engagement: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    engagement_group: Option<EngagementGroup>,
    major: MaxMin,
    pitch_diameter: MaxMin,
    minor: MaxMin,
    #[serde(skip_serializing_if = "Option::is_none")]
    major_min_hot_rolled: Option<f64>,
    assumed: &'a [String],
    sources: Vec<&'static str>,
    confidence: Confidence,
    notes: &'a [String],
    disputes: Vec<String>,
}

/// A group of lengths of engagement (ISO 965-1).
#[derive(Serialize)]
struct EngagementGroup {
    group: char,
    over: Option<f64>,
    up_to: Option<f64>,
}

impl<'a> ThreadDocument<'a> {
    /// The document of a thread, in the designation's unit or another.
    pub fn of(thread: &'a ThreadLimits, unit: Option<LengthUnit>) -> Self {
        let unit = unit.unwrap_or(thread.unit);
        let length = |length| from_length(length, unit);
        let (engagement, engagement_group) = match thread.engagement {
            None => (None, None),
            Some(Engagement::Length(stated)) => (Some(length(stated)), None),
            Some(Engagement::Group { group, over, up_to }) => (
                None,
                Some(EngagementGroup {
                    group: group.letter(),
                    over: over.map(length),
                    up_to: up_to.map(length),
                }),
            ),
        };
        Self {
            designation: &thread.designation,
            form: thread.form.key(),
            kind: thread.kind.key(),
            unit,
            nominal: length(thread.nominal),
            pitch: thread.pitch.in_unit(unit),
            lead: thread.lead_in(unit),
            starts: thread.starts,
            hand: thread.hand.key(),
            // Included angles are whole or half degrees; what radians leave behind the sixth decimal is noise.
            included_angle_deg: (thread.included_angle.degrees() * 1e6).round() / 1e6,
            class: &thread.class,
            allowance: length(thread.allowance),
            engagement,
            engagement_group,
            major: MaxMin::of(thread.major, unit),
            pitch_diameter: MaxMin::of(thread.pitch_diameter, unit),
            minor: MaxMin::of(thread.minor, unit),
            major_min_hot_rolled: thread.hot_rolled_major_min.map(length),
            assumed: &thread.assumed,
            sources: thread.sources.iter().map(|source| source.title()).collect(),
            confidence: thread.confidence,
            notes: &thread.notes,
            disputes: thread.disputes.iter().map(ToString::to_string).collect(),
        }
    }
}
