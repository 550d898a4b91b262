//! One keyseat, stated in every convention.

use super::{Keyseat, physics};
use crate::inspection::finding::{Finding, FindingUnit, Readings};
use crate::uncertainty::statistics::mean;

crate::codes! {
    /// What is found.
    pub enum Code "finding" {
        /// Height of the arc over a keyseat.
        ArcHeight "arc_height",
        /// Floor of a keyseat to the opposite side.
        BottomToOppositeSide "bottom_to_opposite_side",
        /// Depth of a keyseat from the crown.
        DepthFromCrown "depth_from_crown",
        /// Depth of a keyseat from the edge.
        DepthFromEdge "depth_from_edge",
    }
}

crate::messages! {
    /// What each finding is.
    pub enum Definition "definition" {
        /// (D − √(D² − b²))/2.
        ArcHeight "arc-height",
        /// S.
        OppositeSide "opposite-side",
        /// D − S.
        FromCrown "from-crown",
        /// D − h − S.
        FromEdge "from-edge",
    }
}

pub fn findings(readings: &Readings, seat: &Keyseat) -> Vec<Finding> {
    use super::KeyseatConvention as C;
    let shaft = seat.shaft_diameter.value().mm();
    let width = seat.width.value().mm();
    let (Some(size), Some(height)) = (mean(&readings.sizes()), physics::chord_height(shaft, width))
    else {
        return Vec::new();
    };
    let s = match seat.convention {
        C::BottomToOppositeSide => size,
        C::DepthFromCrown => shaft - size,
        C::DepthFromEdge => shaft - height - size,
    };
    let length = FindingUnit::Length;
    vec![
        Finding::of(Code::ArcHeight, height, length, Definition::ArcHeight),
        Finding::of(
            Code::BottomToOppositeSide,
            s,
            length,
            Definition::OppositeSide,
        ),
        Finding::of(
            Code::DepthFromCrown,
            physics::depth_from_crown(shaft, s),
            length,
            Definition::FromCrown,
        ),
        Finding::of(
            Code::DepthFromEdge,
            shaft - height - s,
            length,
            Definition::FromEdge,
        ),
    ]
}
