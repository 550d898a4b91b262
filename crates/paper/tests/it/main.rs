//! All integration tests of the crate: one binary, one file a subject.

// A test fails by panicking, and says much in one place.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::pedantic
)]

mod sheet;
