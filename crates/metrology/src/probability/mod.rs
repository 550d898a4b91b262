//! Probabilities of counts, of χ² and of F, and integrals: what studies and sampling plans rest on.
//!
//! Written upon `libm` for the same reason as [`uncertainty`](crate::uncertainty): the same digits on every machine, and no
//! digits lost where counts are large.

mod beta;
mod chi_square;
mod counts;
mod integral;
mod stirling;

pub use beta::f_upper_tail;
pub use chi_square::{chi_square_cdf, chi_square_quantile};
pub use counts::{binomial_at_most, hypergeometric_at_most};

pub(crate) use chi_square::chi_square_log_density;
pub(crate) use integral::{integrate, points};
