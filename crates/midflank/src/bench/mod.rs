//! A job under way at the bench: one question at a time, from the part to the record.
//!
//! ```text
//! events (kept in the ledger as they happen) -> State -> Question -> answer typed or sent -> more events
//! ```
//!
//! Nothing here knows of pages, servers or disks: [`State`] is what the events add up to, and [`answer`] says which
//! events an answer makes, or why it makes none. What is understood when typed stands in [`input`], what is
//! shown in [`words`].

pub mod answer;
pub mod details;
pub mod event;
pub mod finish;
pub mod fit;
pub mod input;
pub mod notes;
pub mod places;
#[cfg(test)]
mod properties;
pub mod question;
mod said;
pub mod state;
pub mod stated;
#[cfg(any(test, fuzzing))]
pub mod story;
pub mod words;
pub mod zero;

pub use answer::{Answer, Command, LookUp, Refusal, Table, View};
pub use details::Said;
pub use event::{By, Event};
pub use places::Spot;
pub use question::{Question, Step};
pub use state::State;
pub use stated::Stated;
