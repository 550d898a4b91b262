//! What the person who signs ought to know of feature and contacts beside the size.

use super::contact_pressure::{Marks, Touch};
use super::job::Job;
use super::local::opposites;
use super::target::Target;
use super::warning::Warning;

/// All of them, what matters most first.
pub fn of(job: &Job, target: &Target) -> Vec<Warning> {
    let mut all = Vec::new();
    all.extend(none_opposite(job, target));
    all.extend(marks(job, target));
    all
}

/// Contacts that dent the part: it keeps the mark, and the size holds a dent that no correction knows.
fn marks(job: &Job, target: &Target) -> Option<Warning> {
    let material = &job.temperature.as_ref()?.part_material;
    let with = job.with(target.limits);
    let touch = match &target.feature {
        Some(feature) => feature.measurand().touch(&with),
        None if target.thread.is_some() => None,
        None => Touch::on_flat(&with),
    };
    if target.method < 6 {
        return Some(Marks::of(touch, &with)?.warning(material));
    }
    let pressed = target.feature.iter();
    let pressed = pressed.flat_map(|one| one.measurand().pressed(&with));
    let mut touches = [touch].into_iter().chain(pressed).flatten();
    let marks = touches.find_map(|touch| Marks::of_any(touch, &with))?;
    Some(marks.warning(material))
}

/// Walls tell the mean inside diameter however they lie; a diameter only where two of them are opposite.
fn none_opposite(job: &Job, target: &Target) -> Option<Warning> {
    let is_across = target.feature.as_ref()?.measurand().is_across();
    (is_across && opposites(job, target).is_empty()).then_some(Warning::NoneOpposite)
}
