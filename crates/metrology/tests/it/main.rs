//! All integration tests of the crate: one binary, one file a subject.

mod decision_properties;
mod decision_rules;
mod designations;
mod features_properties;
mod gum_h1;
mod gum_h2;
mod published_limits;
