//! Tests of the ledger as a whole, on real files.

mod bench;
mod common;
mod encoding;
mod reading;
