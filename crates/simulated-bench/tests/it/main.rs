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

mod coverage;
#[path = "../../../../scripts/long.rs"]
#[allow(dead_code, reason = "others take what these tests do not")]
mod long;
mod lot_fraction;
