//! All integration tests of the crate: one binary, one file a subject.

// A test fails by panicking, and says much in one place.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::too_many_lines,
    clippy::pedantic,
    clippy::disallowed_methods,
    clippy::result_large_err
)]

#[cfg(unix)]
mod archive;
mod asked;
mod bench;
mod books;
#[cfg(feature = "shop")]
#[path = "../../../../scripts/cluster.rs"]
#[allow(dead_code, reason = "others take what these tests do not")]
mod cluster;
mod contacts;
mod correct;
mod decide;
mod directions;
mod equipment;
mod exchange;
mod export;
mod facts;
mod features;
mod files;
mod first_article;
mod forged;
mod form;
mod functional;
mod gauge_room;
mod given;
mod inspect;
mod known;
mod laboratory;
mod ledger;
mod limits;
#[path = "../../../../scripts/long.rs"]
mod long;
#[cfg(unix)]
mod loops;
mod lot;
mod lot_record;
mod many;
mod nonconforming;
mod one_folder;
mod paper;
mod plan;
mod readme;
mod recall;
mod reconcile;
mod room;
mod said;
mod sampling;
mod setup;
mod sheets;
#[cfg(feature = "shop")]
mod shop;
mod shown;
mod simulate;
mod slips;
mod study;
mod thermometer;
mod thread_terms;
mod threads;
mod transcripts;
mod trial;
mod validate;
mod web;
mod wires;
mod withheld;
