//! The stored form of what a laboratory approved, schema 1.

use super::job::{Approved, OwnUncertainty, StudyPrior};
use super::kept;
use crate::approving as now;

/// The schema number of approvals.
pub const APPROVAL: u32 = 1;

kept! { Approving of enum now::Approving {
    Default(approved: Approved),
    Uncertainty(uncertainty: SetUpUncertainty),
    Study(study: ApprovedStudy),
} }

kept! { ApprovedStudy of now::ApprovedStudy { set_up: SetUp, sizes: Option<[String; 2]>, prior: StudyPrior } }

kept! { SetUpUncertainty of now::SetUpUncertainty { set_up: SetUp, own: OwnUncertainty } }

kept! { SetUp of now::SetUp { instrument: String, with: String, characteristic: String } }
