//! What readings at the floor of a groove tell: clearance of the blade, depth.

use super::{Groove, physics};
use crate::inspection::finding::{Finding, FindingUnit, Readings};
use crate::uncertainty::statistics::mean;

crate::codes! {
    /// What is found.
    pub enum Code "finding" {
        /// Clearance of a blade on the floor of a groove.
        Clearance "clearance",
        /// Depth of a groove.
        GrooveDepth "groove_depth",
    }
}

crate::messages! {
    /// What each finding is.
    pub enum Definition "definition" {
        /// Flat of the floor less thickness of the blade.
        FloorLessBlade "floor-less-blade",
        /// Half of land less groove.
        HalfOfDiameters "half-of-diameters",
    }
}

pub fn findings(readings: &Readings, groove: &Groove) -> Vec<Finding> {
    let mut found = Vec::new();
    let opening = groove.opening();
    if let Some(thickness) = readings.with.thickness() {
        found.push(Finding::of(
            Code::Clearance,
            opening.clearance(thickness),
            FindingUnit::Length,
            Definition::FloorLessBlade,
        ));
    }
    if let Some(land) = &groove.land_diameter {
        let land = land.value().mm();
        let floor = mean(&readings.sizes());
        if let Some(floor) = floor {
            found.push(Finding::of(
                Code::GrooveDepth,
                physics::depth(land, floor),
                FindingUnit::Length,
                Definition::HalfOfDiameters,
            ));
        }
    }
    found
}
