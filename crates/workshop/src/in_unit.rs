//! Lengths between millimetres, in which is calculated, and the unit of a document.

use metrology::units::{Length, LengthUnit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

/// A length of so many millimetres, in the document's unit.
pub fn from_mm(millimetres: f64, unit: LengthUnit) -> f64 {
    millimetres * 1e7 / unit.tenth_nanometres() as f64
}

/// Back to millimetres.
pub fn to_mm(length: f64, unit: LengthUnit) -> f64 {
    length * unit.tenth_nanometres() as f64 / 1e7
}

/// An exact number of millimetres, in the document's unit: the nearest number to the exact quotient.
pub fn from_exact_mm(millimetres: Decimal, unit: LengthUnit) -> f64 {
    let tenths = millimetres * Decimal::from(10_000_000);
    (tenths / Decimal::from(unit.tenth_nanometres()))
        .to_f64()
        .unwrap_or(f64::NAN)
}

/// An exact length in the document's unit.
pub fn from_length(length: Length, unit: LengthUnit) -> f64 {
    length.in_unit(unit)
}

/// Degrees of freedom: a number, or `null` when there is no end to them.
pub fn finite(number: f64) -> Option<f64> {
    number.is_finite().then_some(number)
}
