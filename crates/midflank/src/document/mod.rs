//! Results as documents: the machine-readable output, and what a record keeps.
//!
//! The keys are a promise to scripts (see CONTRACT.md): they may be added to, never renamed. Lengths are numbers in
//! the document's `unit`.

mod coating;
mod contacts;
mod correct;
mod decision;
mod feature;
mod functional;
mod gauges;
pub mod identification;
mod inspection;
mod reconcile;
mod risk;
mod setup;
mod simulated;
mod thread;
mod wires;

pub use coating::CoatedThreadDocument;
pub use contacts::{
    Contacts, ContactsDocument, EffectDocument, Fit, Per, Sensitivity, ZeroSetting,
};
pub use correct::{Correct, CorrectDocument};
pub use decision::Decided;
pub use feature::{FeatureDocument, Finding};
pub use functional::{Functional, FunctionalDocument};
pub use gauges::GaugesDocument;
pub use identification::IdentificationDocument;
pub use inspection::{BudgetLine, Inspected, Reading, Settle};
pub use reconcile::{Reconcile, ReconcileDocument, carrier};
pub use risk::DecidedWithRisk;
pub use setup::{Around, Refused, SetUp, SetUpDocument};
pub use simulated::{Count, Held, Simulated};
pub use thread::{MaxMin, ThreadDocument};
pub use wires::{Wires, WiresDocument};

use metrology::units::{Length, LengthUnit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// A length of so many millimetres, in the document's unit.
pub fn from_mm(millimetres: f64, unit: LengthUnit) -> f64 {
    millimetres * 1e7 / unit.tenth_nanometres() as f64
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
