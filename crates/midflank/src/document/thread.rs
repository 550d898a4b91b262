//! `midflank limits`: a thread and its limits of size.

use metrology::limits::{Engagement, Limits, Position, ThreadLimits};
use metrology::source::Confidence;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::{MaxMin, from_length};
use crate::words::{self, Shown};

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
    /// A taper thread has none of these: its diameters are in `positions`.
    #[serde(skip_serializing_if = "Option::is_none")]
    major: Option<MaxMin>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pitch_diameter: Option<MaxMin>,
    #[serde(skip_serializing_if = "Option::is_none")]
    minor: Option<MaxMin>,
    #[serde(skip_serializing_if = "Option::is_none")]
    positions: Option<Vec<PositionDocument>>,
    /// UNJ and MJ: the radius of the root is a limit of the product.
    #[serde(skip_serializing_if = "Option::is_none")]
    root_radius: Option<MaxMin>,
    #[serde(skip_serializing_if = "Option::is_none")]
    major_min_hot_rolled: Option<f64>,
    assumed: Vec<String>,
    sources: Vec<&'static str>,
    confidence: Confidence,
    notes: Vec<String>,
    disputes: Vec<String>,
}

/// Where published tables print other limits, in the unit and with the decimals of the designation.
pub fn disputes(thread: &ThreadLimits) -> Vec<String> {
    let shown = Shown::in_unit(thread.unit);
    let worded = |dispute| words::message(dispute, shown);
    thread.disputes.iter().map(worded).collect()
}

/// A group of lengths of engagement (ISO 965-1).
#[derive(Serialize)]
struct EngagementGroup {
    group: char,
    over: Option<f64>,
    up_to: Option<f64>,
}

/// A place along the axis of a taper thread, with the basic diameters there.
#[derive(Serialize)]
struct PositionDocument {
    name: &'static str,
    /// From the small end.
    at: f64,
    pitch_diameter: f64,
    major: f64,
    minor: f64,
    /// How far the pitch diameter may be off, to either side, where the standard says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pitch_diameter_tolerance: Option<f64>,
}

impl PositionDocument {
    fn of(position: &Position, unit: LengthUnit) -> Self {
        Self {
            name: position.name.key(),
            at: from_length(position.at, unit),
            pitch_diameter: from_length(position.pitch_diameter, unit),
            major: from_length(position.major, unit),
            minor: from_length(position.minor, unit),
            pitch_diameter_tolerance: position
                .tolerance
                .map(|tolerance| from_length(tolerance, unit)),
        }
    }
}

impl<'a> ThreadDocument<'a> {
    /// Included angles are whole or half degrees; what radians leave behind the sixth decimal is noise.
    pub fn included_angle_deg(thread: &ThreadLimits) -> f64 {
        (thread.included_angle.degrees() * 1e6).round() / 1e6
    }

    /// The document of a thread, in the designation's unit or another.
    pub fn of(thread: &'a ThreadLimits, unit: Option<LengthUnit>) -> Self {
        let unit = unit.unwrap_or(thread.unit);
        let length = |length| from_length(length, unit);
        let parallel = |limits| thread.taper.is_none().then(|| MaxMin::of(limits, unit));
        let (engagement, engagement_group) = match thread.engagement {
            None => (None, None),
            Some(Engagement::Length(stated)) => (Some(length(stated)), None),
            Some(Engagement::Pitches(pitches)) => {
                (Some(f64::from(pitches) * thread.pitch.in_unit(unit)), None)
            }
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
            included_angle_deg: Self::included_angle_deg(thread),
            class: &thread.class,
            allowance: length(thread.allowance),
            engagement,
            engagement_group,
            major: parallel(thread.major),
            pitch_diameter: parallel(thread.pitch_diameter),
            minor: parallel(thread.minor),
            positions: thread.taper.as_ref().map(|taper| {
                let positions = taper.positions.iter();
                positions
                    .map(|position| PositionDocument::of(position, unit))
                    .collect()
            }),
            root_radius: (thread.root_radius != Limits::default())
                .then(|| MaxMin::of(thread.root_radius, unit)),
            major_min_hot_rolled: thread.hot_rolled_major_min.map(length),
            assumed: words::all_said(&thread.assumed),
            sources: thread
                .sources
                .iter()
                .map(|source| crate::words::source(*source))
                .collect(),
            confidence: thread.confidence,
            notes: words::all_said(&thread.notes),
            disputes: disputes(thread),
        }
    }
}
