//! Acceptance sampling by attributes: how many pieces of a lot, and what the number of nonconforming ones among them says.

mod acceptance;
mod error;
mod plan_105e;
mod switching;
mod zero_acceptance;

pub use acceptance::{Acceptance, LARGEST_LOT, Point};
pub use error::SamplingError;
pub use plan_105e::{Aql, Level, Plan, Severity, single_plan};
pub use switching::{LotResult, Proposal, Why, next_severity};
pub use zero_acceptance::zero_acceptance;
