//! Reads Unified inch threads: UN and UNR.
//!
//! In any order behind size and count, as ASME B1.1 writes them and as shops do: fractions, mixed fractions, decimals,
//! number sizes, `x` or a space for the hyphen, lower case, the series first (`UNC 1/4-20`) or left out.

mod build;
mod class;
mod parts;
mod read;
mod size;
mod stated;

pub(super) use read::{begins, read, read_lead};
