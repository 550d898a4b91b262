//! The bench page over HTTP, as a browser without script sees it, and its door against strangers.

#[cfg(unix)]
mod books;
mod door;
pub mod feature_jobs;
mod features;
pub mod job;
mod paper;
mod register;
mod safety;
mod serial;
mod stations;
pub mod support;
