//! How hard soft sheet was pressed.

use super::{SoftThickness, physics};
use crate::inspection::finding::{Finding, FindingUnit, Readings};

crate::codes! {
    /// What is found.
    pub enum Code "finding" {
        /// Pressure on soft sheet.
        Pressure "pressure",
        /// Compression of soft sheet.
        Compression "compression",
    }
}

crate::messages! {
    /// What each finding is.
    pub enum Definition "definition" {
        /// Force on a face, read after the dwell in seconds.
        PressedFace "pressed-face" { force: f64 as Newton, face: f64 as Size, dwell: f64 as Number },
        /// p t/E.
        Strain "strain",
    }
}

pub fn findings(readings: &Readings, sheet: &SoftThickness) -> Vec<Finding> {
    let with = &readings.with;
    let mut found = Vec::new();
    if let (Some(force), Some(face)) = (with.force, with.face().filter(|face| *face > 0.0)) {
        let pressure = physics::face_pressure(force, face);
        found.push(Finding::of(
            Code::Pressure,
            pressure * 1000.0,
            FindingUnit::Kilopascal,
            Definition::PressedFace {
                force,
                face,
                dwell: sheet.dwell_seconds,
            },
        ));
        let thickness = with.middle();
        found.push(Finding::of(
            Code::Compression,
            physics::sheet_compression(pressure, thickness, sheet.modulus_mpa),
            FindingUnit::Length,
            Definition::Strain,
        ));
    }
    found
}
