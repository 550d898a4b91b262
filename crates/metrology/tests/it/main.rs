//! Checks against published values, one binary.

mod decision_properties;
mod gum_h1;
mod gum_h2;
