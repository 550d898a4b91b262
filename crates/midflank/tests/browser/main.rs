//! The bench in a real browser, by the keyboard alone.
//!
//! Needs `chromium` and `chromedriver` on the path, and the path of axe-core's `axe.min.js` in `AXE_CORE`:
//! `scripts/browser-tests.sh` sees to both. With `SCREENSHOTS` naming a folder, every step is put there as a picture.

// A test fails by panicking, and says much in one place.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::pedantic
)]

mod access;
mod browser;
#[path = "../it/web/feature_jobs.rs"]
#[expect(
    dead_code,
    reason = "what stands on the record is read by the other tests"
)]
mod feature_jobs;
mod features;
mod gauge_room;
mod job;
mod lot;
mod plan;
mod register;
#[path = "../it/said.rs"]
#[allow(dead_code, reason = "each test binary uses some of it")]
mod said;
mod speed;
mod stations;
mod strokes;
#[path = "../it/web/support.rs"]
#[expect(dead_code, reason = "the other tests use the rest of it")]
mod support;
