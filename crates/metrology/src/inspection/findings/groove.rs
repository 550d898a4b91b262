//! What readings at the floor of a groove tell: clearance of the blade, depth.

use super::{Definition, Finding, FindingCode, FindingUnit, Readings};
use crate::features::groove;
use crate::inspection::{Groove, contact_fit};
use crate::uncertainty::statistics::mean;

pub fn findings(readings: &Readings, groove: &Groove) -> Vec<Finding> {
    let mut found = Vec::new();
    let opening = contact_fit::opening(groove);
    if let Some(thickness) = &readings.job.contacts.thickness {
        found.push(Finding::of(
            FindingCode::Clearance,
            opening.clearance(thickness.value().mm()),
            FindingUnit::Length,
            Definition::FloorLessBlade,
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
                FindingCode::GrooveDepth,
                groove::depth(land, floor),
                FindingUnit::Length,
                Definition::HalfOfDiameters,
            ));
        }
    }
    found
}
