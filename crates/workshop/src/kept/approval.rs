//! The stored form of what a laboratory approved, schema 1.

use super::job::{Approved, OwnUncertainty};
use super::kept;
use crate::approving as now;

/// The schema number of approvals.
pub const APPROVAL: u32 = 1;

kept! { Approving of enum now::Approving {
    Default(approved: Approved),
    Uncertainty(uncertainty: SetUpUncertainty),
} }

kept! { SetUpUncertainty of now::SetUpUncertainty { set_up: SetUp, own: OwnUncertainty } }

kept! { SetUp of now::SetUp { instrument: String, with: String, characteristic: String } }
