//! Sizes at one place of the part: which places have one of their own, and which of them governs.
//!
//! A thread, shaft or wall has a size wherever it was read. The inside diameter of a tube has one across two opposite
//! walls: each reading alone gives `D_o − 2 w`, which is a diameter only of a tube without eccentricity.

use super::job::Job;
use super::opposite::{Opposite, all_opposite};
use super::state::Service;
use super::target::Target;

/// Whether the least size is what is asked for, and not the mean: a wall that holds pressure, or one with a least limit
/// alone.
pub fn least_governs(job: &Job, target: &Target) -> bool {
    let is_wall = target
        .feature
        .as_ref()
        .is_some_and(|one| one.measurand().is_wall());
    is_wall && (job.service == Some(Service::Pressure) || target.limits.upper.is_none())
}

/// The opposite places of what is reckoned across two of them; none of what has a size at each place.
pub fn opposites(job: &Job, target: &Target) -> Vec<Opposite> {
    match &target.feature {
        Some(feature) if feature.measurand().is_across() => all_opposite(&job.readings),
        _ => Vec::new(),
    }
}
