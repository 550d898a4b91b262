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

mod advice;
mod any_number;
mod coating;
mod contacts;
mod data_tables;
mod decision_properties;
mod decision_rules;
mod designations;
mod elastic;
mod elastic_numerical;
mod features_properties;
mod gauges;
mod gum_h1;
mod gum_h2;
mod identify;
mod identify_simulated;
mod inspection;
mod jcgm101;
mod laboratory;
mod mistyped;
mod other_forms;
mod published_limits;
mod rows;
mod run_lengths;
mod sampling;
mod series;
mod settle;
mod studies;
mod wires_brute_force;
mod wires_properties;
mod wires_published;
