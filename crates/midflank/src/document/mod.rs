//! Results as documents: the machine-readable output, and what a record keeps.
//!
//! The keys are a promise to scripts (see CONTRACT.md): they may be added to, never renamed. Lengths are numbers in
//! the document's `unit`.

mod coating;
pub mod contacts;
mod correct;
pub mod decision;
pub mod feature;
mod functional;
mod gauges;
pub mod identification;
pub mod inspection;
mod printed;
mod reconcile;
mod risk;
pub mod setup;
mod simulated;
mod thread;
pub mod validated;
mod wires;

pub use crate::in_unit::{from_mm, to_mm};
pub use coating::CoatedThreadDocument;
pub use contacts::{
    Contacts, ContactsDocument, ContactsNote, EffectDocument, Fit, Per, Sensitivity, Unknown,
    ZeroSet,
};
pub use correct::{Correct, CorrectDocument, Instead, Why};
pub use decision::Decided;
pub use feature::{FeatureDocument, Finding};
#[cfg(test)]
pub use feature::{LimitsFrom, Method};
pub use functional::{Functional, FunctionalDocument};
pub use gauges::GaugesDocument;
pub use identification::IdentificationDocument;
#[cfg(test)]
pub use inspection::Stricter;
pub use inspection::{BudgetLine, Inspected, Reading, Settle};
pub use printed::warning;
pub use reconcile::{Reconcile, ReconcileDocument};
pub use risk::DecidedWithRisk;
pub use setup::{Around, Refused, SetUp, SetUpDocument};
pub use simulated::{Count, Held, Simulated};
pub use thread::{MaxMin, ThreadDocument, disputes};
pub use wires::{Wires, WiresDocument};

use metrology::message::Message;
use metrology::units::{Length, LengthUnit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::Serialize;

use crate::words::{self, Shown};

/// A document as it is printed: everything that is said in words, but for the warnings, which are objects.
pub fn in_words(document: &impl Serialize, shown: Shown) -> serde_json::Result<serde_json::Value> {
    let mut value = serde_json::to_value(document)?;
    put_into_words(&mut value, shown);
    Ok(value)
}

fn put_into_words(value: &mut serde_json::Value, shown: Shown) {
    use serde_json::Value;
    if let Value::Object(fields) = &*value
        && fields.len() == 2
        && fields.contains_key("code")
        && fields.contains_key("values")
        && let Ok(message) = serde_json::from_value::<Message>(value.clone())
    {
        *value = Value::String(words::message(&message, shown));
        return;
    }
    match value {
        Value::Object(fields) => fields
            .iter_mut()
            .filter(|(name, _)| *name != "warnings")
            .for_each(|(_, value)| put_into_words(value, shown)),
        Value::Array(all) => all
            .iter_mut()
            .for_each(|value| put_into_words(value, shown)),
        _ => {}
    }
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
