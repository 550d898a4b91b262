//! What a lot is worth: its verdict from those of its pieces, and the fraction nonconforming of the process behind it.

mod fraction;
mod verdict;

pub use fraction::{FractionNonconforming, Sizes};
pub use verdict::{Counts, Criteria, LotReason, LotVerdict, Standing, verdict};
