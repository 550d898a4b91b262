//! How hard soft sheet was pressed.

use super::{Definition, Finding, FindingCode, FindingUnit, Readings};
use crate::features::pressing;
use crate::inspection::{SoftThickness, contact_fit};

pub fn findings(readings: &Readings, sheet: &SoftThickness) -> Vec<Finding> {
    let job = readings.job;
    let force = job.contacts.force.or(job.instrument.force);
    let face = job.contacts.face.as_ref().map(|face| face.value().mm());
    let mut found = Vec::new();
    if let (Some(force), Some(face)) = (force, face.filter(|face| *face > 0.0)) {
        let pressure = pressing::face_pressure(force, face);
        found.push(Finding::of(
            FindingCode::Pressure,
            pressure * 1000.0,
            FindingUnit::Kilopascal,
            Definition::PressedFace {
                force,
                face,
                dwell: sheet.dwell_seconds,
            },
        ));
        let thickness = contact_fit::middle(readings.target.limits);
        found.push(Finding::of(
            FindingCode::Compression,
            pressing::sheet_compression(pressure, thickness, sheet.modulus_mpa),
            FindingUnit::Length,
            Definition::Strain,
        ));
    }
    found
}
