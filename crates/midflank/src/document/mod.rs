//! Results as documents: the machine-readable output. What a record keeps of them too is in `workshop`.
//!
//! The keys are a promise to scripts (see CONTRACT.md): they may be added to, never renamed. Lengths are numbers in
//! the document's `unit`.

mod coating;
pub mod contacts;
mod correct;
mod entry;
mod functional;
mod gauges;
pub mod identification;
mod lot;
mod offered;
mod printed;
mod reconcile;
mod risk;
pub mod setup;
mod simulated;
mod thread;
mod thread_line;
mod wires;

pub use coating::CoatedThreadDocument;
pub use contacts::{
    Contacts, ContactsDocument, ContactsNote, EffectDocument, Fit, Per, Sensitivity, Unknown,
    ZeroSet,
};
pub use correct::{Correct, CorrectDocument, Instead, Why};
pub use entry::EntryDocument;
pub use functional::{Functional, FunctionalDocument};
pub use gauges::GaugesDocument;
pub use identification::IdentificationDocument;
pub use lot::{CellDocument, CharacteristicDocument, LotDocument, LotLine, cells, lot, of_matrix};
pub use offered::OfferedDocument;
pub use printed::{Printed, warning};
pub use reconcile::{Reconcile, ReconcileDocument};
pub use risk::DecidedWithRisk;
pub use setup::{Around, Refused, SetUp, SetUpDocument};
pub use simulated::{Count, Held, Simulated};
pub use thread::{ThreadDocument, disputes};
pub use thread_line::write_thread;
pub use wires::{Wires, WiresDocument};
pub use workshop::document::*;

use metrology::message::Message;
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
