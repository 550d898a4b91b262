//! Reads ISO metric threads: M.

mod build;
mod class;
mod parts;
mod read;

pub(super) use read::{read, read_with};
