//! What a workshop measures, owns, approves and keeps on record: between the ledger, which keeps texts, and the program,
//! which shows them.
//!
//! There are no words in here: what is to be said is a code with its values ([`metrology::message`]), and the program has the
//! sentence. Nothing here knows of pages, commands, a terminal or the environment.

#![allow(
    clippy::missing_panics_doc,
    clippy::new_without_default,
    reason = "only this workspace builds on it; what a name says is not said again"
)]

pub mod approvals;
pub mod approving;
pub mod badge;
pub mod badges;
pub mod bench;
pub mod calibrations_on_record;
pub mod certificates_on_record;
mod certified_otherwise;
pub mod checks_on_record;
pub mod clock;
pub mod demonstration;
pub mod document;
pub mod equipment;
pub mod equipment_list;
pub mod error;
pub mod event;
pub mod facts;
pub mod findings;
pub mod first_article;
pub mod form;
pub mod found_out;
pub mod gauge_record;
pub mod gauge_room;
pub mod gauges;
pub mod given;
mod grid;
pub mod in_doubt;
mod in_turn;
pub mod in_unit;
pub mod inspection_plan;
pub mod job_file;
pub mod job_status;
pub mod kept;
mod kind_meant;
pub mod last_zero;
pub mod lot;
pub mod lot_entry;
pub mod lots;
pub mod nonconformance;
pub mod not_known;
pub mod on_record;
mod part_to_part;
pub mod plan;
pub mod process;
pub mod process_on_record;
pub mod recall;
pub mod record;
pub mod record_kind;
pub mod recorder;
pub mod register;
pub mod registry;
pub mod remark;
pub mod room_on_record;
mod separated;
mod stated_size;
pub mod station;
pub mod status;
pub mod tables;
pub mod threads_on_record;
pub mod trial;
pub mod trials;

pub use error::Error;
pub use record_kind::RecordKind;
pub use recorder::Recorder;
