//! All integration tests of the crate: one binary, one file a subject.

mod data_tables;
mod decision_properties;
mod decision_rules;
mod designations;
mod gum_h1;
mod gum_h2;
mod inspection;
mod other_forms;
mod published_limits;
