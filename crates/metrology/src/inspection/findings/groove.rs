//! What readings at the floor of a groove tell: clearance of the blade, depth.

use super::{Finding, FindingUnit, Readings};
use crate::features::groove;
use crate::inspection::{Groove, contact_fit};
use crate::uncertainty::statistics::mean;

pub fn findings(readings: &Readings, groove: &Groove) -> Vec<Finding> {
    let mut found = Vec::new();
    let opening = contact_fit::opening(groove);
    if let Some(thickness) = &readings.job.contacts.thickness {
        found.push(Finding::of(
            "clearance",
            "clearance of the blade",
            opening.clearance(thickness.value().mm()),
            FindingUnit::Length,
            "flat of the floor less thickness of the blade; below zero it rides on the radii",
        ));
    }
    if let Some(land) = &groove.land_diameter {
        let land = land.value().mm();
        let floor = mean(
            &readings
                .places()
                .iter()
                .map(|(_, size)| *size)
                .collect::<Vec<_>>(),
        );
        if let Some(floor) = floor {
            found.push(Finding::of(
                "groove_depth",
                "groove depth",
                groove::depth(land, floor),
                FindingUnit::Length,
                "(D_land \u{2212} D_groove)/2, only where the two are concentric",
            ));
        }
    }
    found
}
