//! Tests of the ledger as a whole, on real files.

#![allow(clippy::unwrap_used, reason = "a test fails on the error it meets")]

mod backup;
mod child;
mod common;
mod concurrency;
mod damage;
mod encoding;
mod killed;
mod reading;
mod tampering;
mod trouble;
