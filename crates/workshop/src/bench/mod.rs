//! A job under way at the bench: one question at a time, from the part to the record.
//!
//! ```text
//! events (kept in the ledger as they happen) -> State -> Question -> answer typed or sent -> more events
//! ```
//!
//! Nothing here knows of pages, servers, disks or words: [`State`] is what the events add up to, and [`answer`] says which
//! events an answer makes, or by which code it makes none. What is understood when typed stands in [`input`].

pub mod answer;
pub mod calibrating;
pub mod calibration;
pub mod details;
mod examined;
pub mod finish;
pub mod fit;
pub mod input;
mod inspection;
pub mod known_lot;
pub mod last_check;
pub mod last_part;
pub mod notes;
pub mod procedure;
#[cfg(test)]
mod properties;
pub mod question;
mod reading;
pub mod refusal;
pub mod run;
mod running;
mod said;
pub mod state;
pub mod stated;
pub mod story;
pub mod study;
pub mod studying;
pub mod taken;
mod to_job;
pub mod zero;

pub use crate::event;
pub use crate::event::{By, Event, Spot, places};
pub use answer::{Answer, Command, LookUp, Proposals, Table, View};
pub use procedure::Procedure;
pub use question::{Question, Step};
pub use refusal::{Refusal, Refused};
pub use state::State;
