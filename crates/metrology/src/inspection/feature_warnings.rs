//! What the person who signs ought to know of a feature beside its size.

use super::feature::Feature;
use super::job::Job;
use super::local::opposites;
use super::target::Target;
use super::warning::Warning;

/// All of them, what matters most first.
pub fn of(job: &Job, target: &Target) -> Vec<Warning> {
    let Some(feature) = &target.feature else {
        return Vec::new();
    };
    none_opposite(job, target, feature).into_iter().collect()
}

/// Walls tell the mean inside diameter however they lie; a diameter only where two of them are opposite.
fn none_opposite(job: &Job, target: &Target, feature: &Feature) -> Option<Warning> {
    let is_tube = matches!(feature, Feature::InsideDiameter(_));
    (is_tube && opposites(job, target).is_empty()).then_some(Warning::NoneOpposite)
}
