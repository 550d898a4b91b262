//! Lengths between millimetres, in which is calculated, and the unit of a document.

use metrology::units::LengthUnit;

/// A length of so many millimetres, in the document's unit.
pub fn from_mm(millimetres: f64, unit: LengthUnit) -> f64 {
    millimetres * 1e7 / unit.tenth_nanometres() as f64
}

/// Back to millimetres.
pub fn to_mm(length: f64, unit: LengthUnit) -> f64 {
    length * unit.tenth_nanometres() as f64 / 1e7
}
