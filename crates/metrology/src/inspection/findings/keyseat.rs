//! One keyseat, stated in every convention.

use super::{Definition, Finding, FindingCode, FindingUnit, Readings};
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
            FindingCode::ArcHeight,
            height,
            length,
            Definition::ArcHeight,
        ),
        Finding::of(
            FindingCode::BottomToOppositeSide,
            s,
            length,
            Definition::OppositeSide,
        ),
        Finding::of(
            FindingCode::DepthFromCrown,
            keyseat::depth_from_crown(shaft, s),
            length,
            Definition::FromCrown,
        ),
        Finding::of(
            FindingCode::DepthFromEdge,
            shaft - height - s,
            length,
            Definition::FromEdge,
        ),
    ]
}
