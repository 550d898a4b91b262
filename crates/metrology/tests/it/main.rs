//! One test binary.

mod contacts;
mod elastic;
mod rows;
mod wires_brute_force;
mod wires_properties;
mod wires_published;
