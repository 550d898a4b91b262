//! What was read of a designation, before it is put together.

use crate::thread::metric::{EngagementGroup, MetricClass, metric_size};
use crate::thread::{Assumed, Kind};
use crate::units::Length;

/// What was read before it is put together.
pub(super) struct Parts<'t> {
    pub diameter: Length,
    pub diameter_typed: &'t str,
    pub diameter_end: usize,
    pub pitch: Option<Length>,
    pub pitch_from: usize,
    pub pitch_end: usize,
    pub pitch_typed: &'t str,
    pub lead_starts: Option<u16>,
    pub class_when_open: ClassWhenOpen,
    pub class: Option<MetricClass>,
    /// The other class of a fit.
    pub other: Option<MetricClass>,
    pub class_from: usize,
    pub class_end: usize,
    pub class_typed: &'t str,
    pub group: Option<EngagementGroup>,
    pub group_from: usize,
    /// `M10X1.5-6G`: typed in capitals throughout, so that the letter may not be meant.
    pub capitals: bool,
}

impl Parts<'_> {
    /// Diameter and pitch: the beginning of a suggestion.
    pub(super) fn stem(&self) -> String {
        let pitch = self
            .pitch
            .or_else(|| metric_size(self.diameter).and_then(|size| size.coarse));
        match pitch {
            Some(pitch) => size_text(self.diameter, pitch),
            None => format!("M{}", plain(self.diameter)),
        }
    }
}

pub(super) fn plain(length: Length) -> String {
    length.shortest_mm().to_string()
}

pub(super) fn size_text(diameter: Length, pitch: Length) -> String {
    format!("M{}x{}", diameter.shortest_mm(), pitch.shortest_mm())
}

/// The class that stands for none, by kind, diameter and pitch, and what is said of it.
pub(in crate::designation) type ClassWhenOpen = fn(Kind, Length, Length) -> (MetricClass, Assumed);

/// The property classes of ISO 898-1 (from memory), which people write behind the thread of a screw.
pub(super) fn is_property_class(typed: &str) -> bool {
    let classes = [
        "4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9",
    ];
    classes.contains(&typed.replace(',', ".").as_str())
}
