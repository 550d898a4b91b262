//! All integration tests of the crate: one binary, one file a subject.

mod data_tables;
mod designations;
mod published_limits;
