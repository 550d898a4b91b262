//! Lines of a plan in words: what one is understood as, and those that a thread note may be split into.

use metrology::inspection::{RuleName, Target};
use metrology::limits::Limits;
use metrology::thread::Kind;
use metrology::units::{Length, LengthUnit};
use workshop::plan::{self, Line, Offered, Planned, ThreadPart, of_edition};

use super::{planned_words, range};
use crate::say;
use crate::words::{self, number};

/// What a characteristic is understood as: what is measured, its limits, and what was taken where the drawing leaves it open.
pub fn understood(planned: &Planned) -> Vec<String> {
    let target = planned.measured.as_ref();
    let target = target.and_then(|measured| Target::of(measured).ok());
    let mut told = vec![match &target {
        Some(target) => say!(
            "plan-page.limits",
            what = planned_words(planned),
            limits = limits(target.limits, target.unit, target.decimals)
        ),
        None => say!("plan-page.not-measured", way = words::word(&planned.way)),
    }];
    if let Some(target) = &target {
        let kind = target
            .feature
            .as_ref()
            .map(metrology::inspection::Feature::kind);
        told.extend(kind.map(|kind| words::word(&kind)));
        let assumed = target.thread.iter().flat_map(|thread| &thread.assumed);
        told.extend(assumed.map(|taken| say!("bench.assumed", taken = words::said(taken))));
        let shown = words::Shown::of(target);
        told.extend(target.told.iter().map(|one| words::message(one, shown)));
    }
    told.extend(of_edition(planned).map(|note| words::said(&note)));
    told
}

/// What is to be known of a characteristic before pieces are measured by it, as a page says it.
pub fn warned(planned: &Planned) -> Vec<String> {
    let notes = plan::of_places(planned).into_iter();
    let shown = words::Shown::in_unit(LengthUnit::Millimetre);
    notes.map(|note| words::on_page(&note, shown)).collect()
}

/// Limits in their unit, with their decimals.
fn limits(limits: Limits, unit: LengthUnit, decimals: u32) -> String {
    let one = |limit: Option<Length>| limit.map(|limit| number::rounded(limit, unit, decimals));
    format!("{} {unit}", range(one(limits.lower), one(limits.upper)))
}

/// A line that is offered, and what it is of.
pub struct OfferedLine {
    pub line: Line,
    pub offered: Offered,
    pub limits: String,
}

/// The lines that a thread note may be split into; nothing where it is none.
pub fn split(
    note: &Planned,
    unit: Option<LengthUnit>,
    usual: Option<&(RuleName, Option<String>)>,
) -> Vec<OfferedLine> {
    let usual = usual.map(|(rule, agreed)| (rule, agreed));
    let own_rule = plan::has_own_rule(note, usual);
    let all = plan::split(note).into_iter();
    all.map(|offered| {
        let limits = limits(offered.limits, offered.unit, offered.decimals);
        OfferedLine {
            line: offered.line(note, unit, own_rule, says(&offered, &limits)),
            offered,
            limits,
        }
    })
    .collect()
}

/// What a gauge or an eye shows; nothing of what is measured.
fn says(offered: &Offered, limits: &str) -> Option<String> {
    let (thread, limits) = (&offered.designation, limits);
    match (offered.part, offered.kind) {
        (ThreadPart::Functional, Kind::External) => {
            Some(say!("plan-split.ring", thread = thread, limits = limits))
        }
        (ThreadPart::Functional, Kind::Internal) => {
            Some(say!("plan-split.plug", thread = thread, limits = limits))
        }
        (ThreadPart::Root, _) => Some(say!(
            "plan-split.root",
            diameter = words::word(&offered.diameter),
            thread = thread,
            limits = limits
        )),
        (ThreadPart::RootRadius, _) => {
            Some(say!("plan-split.radius", thread = thread, limits = limits))
        }
        (ThreadPart::Crest | ThreadPart::PitchDiameter, _) => None,
    }
}
