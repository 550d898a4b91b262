//! Results as documents: what a record keeps, and what the program shows and prints.
//!
//! The keys are a promise to scripts: they may be added to, never renamed. Lengths are numbers in the document's `unit`.

pub mod decision;
pub mod feature;
pub mod inspection;
mod max_min;
pub mod validated;

pub use crate::in_unit::{finite, from_exact_mm, from_length, from_mm, to_mm};
pub use decision::Decided;
pub use feature::{FeatureDocument, Finding, LimitsFrom, Method};
pub use inspection::{BudgetLine, Inspected, Reading, Settle, Stricter};
pub use max_min::MaxMin;
