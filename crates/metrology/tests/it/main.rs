//! All integration tests of the crate: one binary, one file a subject.

mod coating;
mod data_tables;
mod decision_properties;
mod decision_rules;
mod designations;
mod gauges;
mod gum_h1;
mod gum_h2;
mod identify;
mod inspection;
mod published_limits;
