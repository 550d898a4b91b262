//! One test binary.

mod wires_published;
