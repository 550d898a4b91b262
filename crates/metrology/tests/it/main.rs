//! Checks against published values, one binary.

mod any_number;
mod decision_properties;
mod decision_rules;
mod gum_h1;
mod gum_h2;
mod jcgm101;
