//! All integration tests of the program: one binary, one file a subject.

mod bench;
mod equipment;
mod features;
mod setup;
