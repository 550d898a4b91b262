//! One keyseat, stated in every convention.

use super::{Finding, FindingUnit, Readings};
use crate::features::keyseat;
use crate::inspection::Keyseat;
use crate::uncertainty::statistics::mean;

pub fn findings(readings: &Readings, seat: &Keyseat) -> Vec<Finding> {
    use crate::inspection::KeyseatConvention as C;
    let shaft = seat.shaft_diameter.value().mm();
    let width = seat.width.value().mm();
    let sizes: Vec<f64> = readings.places().iter().map(|(_, size)| *size).collect();
    let (Some(size), Some(height)) = (mean(&sizes), keyseat::chord_height(shaft, width)) else {
        return Vec::new();
    };
    let s = match seat.convention {
        C::BottomToOppositeSide => size,
        C::DepthFromCrown => shaft - size,
        C::DepthFromEdge => shaft - height - size,
    };
    let length = FindingUnit::Length;
    vec![
        Finding::of(
            "arc_height",
            "height of the arc",
            height,
            length,
            "h = (D \u{2212} √(D² \u{2212} b²))/2, between the two depths",
        ),
        Finding::of(
            "bottom_to_opposite_side",
            "floor to opposite side",
            s,
            length,
            "S",
        ),
        Finding::of(
            "depth_from_crown",
            "depth from the crown",
            keyseat::depth_from_crown(shaft, s),
            length,
            "D \u{2212} S",
        ),
        Finding::of(
            "depth_from_edge",
            "depth from the edge",
            shaft - height - s,
            length,
            "D \u{2212} h \u{2212} S",
        ),
    ]
}
