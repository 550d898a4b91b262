//! Why a verdict is withheld: no verdict stands that the program's own knowledge contradicts.
//!
//! ```text
//! equipment that the gauge room does not let stand    no verdict at all
//! a flagged reading that nobody answered              no verdict at all
//! one place where the whole feature is meant          no verdict at all
//! a zero that nobody answered for                     no verdict at all
//! wires on the crests                                 no verdict but that it is too small
//! a warning that blocks the signature                 no acceptance
//! what a GO gauge feels, coating, two points          no acceptance
//! effects beside the budget, larger than the margin   no verdict at all
//! ```

use super::job::{Job, Scope};
use super::of_thread::ThreadDiameter;
use super::status_note;
use super::target::Target;
use super::terms::{Side, side_of};
use super::warning::Warning;
use super::{Inspection, places};
use crate::correction::CorrectionName;
use crate::decision::Verdict;
use crate::limits::Dispute;
use crate::message::Message;
use crate::units::Length;
use rust_decimal::prelude::ToPrimitive;

crate::messages! {
    /// Why a verdict is withheld.
    pub enum Withheld "withheld" {
        /// The gauge room lets no verdict stand with this equipment.
        Equipment "equipment" { because: String as Text, why: Message as said },
        /// The room was outside the limits of the inspection plan, or nothing is known of it.
        Room "room" { because: String as Text, why: Message as said },
        /// A reading looks like a mistake, and was neither taken again nor left with a reason.
        Flagged "flagged" { because: String as Text, reading: String as Text },
        /// One place stands for the whole feature.
        OnePlace "one-place",
        /// The zero is not where it stood, or far off, and was neither set again nor left with a reason.
        Zero "zero" { because: String as Text, warning: Warning as said },
        /// A warning says that nobody may sign.
        Blocked "blocked" { because: String as Text, warning: Warning as said },
        /// What else is known of the part contradicts it.
        Contradicted "contradicted" { because: String as Text, warning: Warning as said },
        /// What is known beside the budget is more than the margin.
        Effects "effects" { because: String as Text, sum: f64 as Difference, margin: f64 as Difference, largest: Warning as said },
    }
}

crate::codes! {
    /// What lets a withheld verdict stand.
    pub enum LetStand "let-stand" {
        /// What the gauge room does: a calibration, an extension, another piece.
        Equipment "equipment",
        /// The room within the limits of the plan, and its record.
        Room "room",
        /// The flagged reading taken again, or left with a reason.
        Reading "reading",
        /// More places, or one place asked for.
        Places "places",
        /// Zero set again, or its readings left with a reason.
        Zero "zero",
        /// What the warning asks for.
        Warning "warning",
        /// What contradicts it, cleared up as the warning says.
        Contradiction "contradiction",
        /// What the largest effect is about, stated, measured or avoided.
        Effect "effect",
    }
}

impl Withheld {
    /// What lets the verdict stand.
    pub const fn let_stand(&self) -> LetStand {
        match self {
            Self::Equipment { .. } => LetStand::Equipment,
            Self::Room { .. } => LetStand::Room,
            Self::Flagged { .. } => LetStand::Reading,
            Self::OnePlace => LetStand::Places,
            Self::Zero { .. } => LetStand::Zero,
            Self::Blocked { .. } => LetStand::Warning,
            Self::Contradicted { .. } => LetStand::Contradiction,
            Self::Effects { .. } => LetStand::Effect,
        }
    }

    /// The code of what withholds it: of the flag, of the warning, of the largest effect, or `one-place`.
    pub fn because(&self) -> &str {
        match self {
            Self::Equipment { because, .. }
            | Self::Room { because, .. }
            | Self::Flagged { because, .. }
            | Self::Zero { because, .. }
            | Self::Blocked { because, .. }
            | Self::Contradicted { because, .. }
            | Self::Effects { because, .. } => because,
            Self::OnePlace => "one-place",
        }
    }
}

/// What the readings cover: one place, or the whole of the feature.
pub fn scope(job: &Job) -> Scope {
    if places::are_several(job) {
        Scope::Part
    } else {
        Scope::Place
    }
}

/// Why the verdict of an inspection is withheld, if it is.
pub fn withheld(job: &Job, inspection: &Inspection) -> Option<Withheld> {
    let verdict = inspection.computed_verdict();
    if verdict == Verdict::Unusable {
        return None;
    }
    // These hold whatever the numbers say: more readings of the same kind would not settle an open verdict either.
    let open = gauge_room(job)
        .or_else(|| flagged(job, inspection))
        .or_else(|| one_place(job, &inspection.target))
        .or_else(|| zero(job, &inspection.warnings))
        .or_else(|| on_crests(verdict, inspection));
    if open.is_some() || verdict == Verdict::Undecided {
        return open;
    }
    blocked(verdict, &inspection.warnings)
        .or_else(|| of_part(verdict, &inspection.warnings))
        .or_else(|| effects(inspection))
}

/// What the gauge room says of equipment and room.
fn gauge_room(job: &Job) -> Option<Withheld> {
    let why = status_note::withholding(&job.notes)?;
    let because = why.key().to_owned();
    let of_room = status_note::is_of_room(why);
    let why = why.clone();
    Some(if of_room {
        Withheld::Room { because, why }
    } else {
        Withheld::Equipment { because, why }
    })
}

/// The first flagged reading, on the standard or on the part, that nobody answered.
fn flagged(job: &Job, inspection: &Inspection) -> Option<Withheld> {
    let on_standard = inspection.zero_flags.iter();
    let on_standard = on_standard.map(|(reading, flag)| (reading, flag));
    let on_part = inspection.readings.iter();
    let on_part = on_part.filter_map(|one| Some((&one.as_read, one.flag.as_ref()?)));
    let (reading, flag) = on_standard
        .chain(on_part)
        .find(|(reading, _)| !job.left_standing(reading))?;
    Some(Withheld::Flagged {
        because: flag.kind().key().to_owned(),
        reading: reading.text().to_owned(),
    })
}

/// One place says nothing of the rest of a round part or of a thread; a crimp, a keyseat and the like are one place.
pub fn one_place(job: &Job, target: &Target) -> Option<Withheld> {
    let asked = job.scope == Some(Scope::Place);
    let is_open = is_all_around(target) && !asked && scope(job) == Scope::Place;
    is_open.then_some(Withheld::OnePlace)
}

/// Whether what is measured has more than the place of one reading.
pub fn is_all_around(target: &Target) -> bool {
    match &target.feature {
        None => target.thread.is_none() || target.diameter == ThreadDiameter::PitchDiameter,
        Some(feature) => feature.measurand().is_all_around(),
    }
}

/// A zero that moved, or a wrong standard, shifts every reading by the same: nothing else would show it.
fn zero(job: &Job, warnings: &[Warning]) -> Option<Withheld> {
    let asked = |warning: &&Warning| {
        matches!(
            warning,
            Warning::ZeroFar { .. } | Warning::ZeroStepped { .. }
        )
    };
    let warning = warnings.iter().find(asked)?;
    (!job.zero_left_standing()).then(|| Withheld::Zero {
        because: key(warning),
        warning: warning.clone(),
    })
}

/// Nothing is accepted that nobody may sign.
fn blocked(verdict: Verdict, warnings: &[Warning]) -> Option<Withheld> {
    if !is_acceptance(verdict) {
        return None;
    }
    let warning = warnings.iter().find(|warning| warning.blocks_signature())?;
    Some(Withheld::Blocked {
        because: key(warning),
        warning: warning.clone(),
    })
}

const fn is_acceptance(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Accept | Verdict::ConditionalAccept)
}

/// The first warning that what else is known contradicts the verdict.
fn contradicted(warnings: &[Warning], which: impl Fn(&Warning) -> bool) -> Option<Withheld> {
    let warning = warnings.iter().find(|warning| which(warning))?;
    Some(Withheld::Contradicted {
        because: key(warning),
        warning: warning.clone(),
    })
}

/// Wires that may not touch the flanks, or carry the faces, show too much and never too little: only what is rejected as too small
/// stays so.
fn on_crests(verdict: Verdict, inspection: &Inspection) -> Option<Withheld> {
    let lower = inspection.target.limits.lower.map(Length::mm);
    let below = lower.is_some_and(|lower| inspection.governing().size.value < lower);
    if below && matches!(verdict, Verdict::Reject | Verdict::ConditionalReject) {
        return None;
    }
    contradicted(&inspection.warnings, |warning| {
        matches!(
            warning,
            Warning::WiresBelowCrests { .. } | Warning::WiresOnCrestEdges { .. }
        )
    })
}

/// The codes of what is wrong with a part of a good size.
const OF_PART: [&str; 3] = ["functional-beyond", "bare-beyond", "two-point-beyond"];

/// Nothing is accepted whose size is good and which is not.
fn of_part(verdict: Verdict, warnings: &[Warning]) -> Option<Withheld> {
    let is_of_part = |warning: &Warning| OF_PART.contains(&key(warning).as_str());
    contradicted(warnings, is_of_part).filter(|_| is_acceptance(verdict))
}

/// Whether what withholds a verdict, by its code, leaves the size open as well, so that nothing is reckoned with it.
pub fn puts_size_in_doubt(because: &str) -> bool {
    !is_beside(because) && !OF_PART.contains(&because)
}

/// What is known beside the budget, added up, against the margin of the verdict: the least of the mean and the worst place,
/// where both have it.
fn effects(inspection: &Inspection) -> Option<Withheld> {
    // A requirement beside the size decides, and has bounds of its own.
    if !inspection.stricter_requirements().is_empty() {
        return None;
    }
    let verdict = inspection.governing().decision.verdict;
    let margin = [Some(&inspection.mean), inspection.worst_place.as_ref()]
        .into_iter()
        .flatten()
        .map(|outcome| &outcome.decision)
        .filter(|decision| decision.verdict == verdict)
        .filter_map(|decision| decision.zone_margin?.to_f64())
        .min_by(f64::total_cmp)?;
    let bounds: Vec<(f64, &Warning)> = inspection
        .warnings
        .iter()
        .filter_map(|warning| Some((bound(warning, inspection)?, warning)))
        .collect();
    let sum: f64 = bounds.iter().map(|(bound, _)| bound).sum();
    let (_, largest) = bounds
        .into_iter()
        .max_by(|(one, _), (other, _)| one.total_cmp(other))?;
    (sum > margin).then(|| Withheld::Effects {
        because: key(largest),
        sum,
        margin,
        largest: largest.clone(),
    })
}

/// What is known beside the budget of a result, added up, millimetres: a verdict stands only with a margin of more.
pub fn known_beside(inspection: &Inspection) -> f64 {
    let warnings = inspection.warnings.iter();
    warnings
        .filter_map(|warning| bound(warning, inspection))
        .sum()
}

/// The codes of what is added up.
const BESIDE: [&str; 8] = [
    "marks",
    "other-plug",
    "trials-differ",
    "material-assumed",
    "own-exceeded",
    "disputed",
    "not-linear",
    "pressed-untold",
];

/// Whether a verdict was withheld for what is known beside the budget, by its code.
pub fn is_beside(because: &str) -> bool {
    BESIDE.contains(&because)
}

/// How far an effect that is not in the budget may move the size or its limit, millimetres.
fn bound(warning: &Warning, inspection: &Inspection) -> Option<f64> {
    match warning {
        // Angle errors of the contacts that another plug does not take out; ends of the interval that the trials moved;
        // another metal; a part that gives.
        Warning::OtherPlug { up_to, .. }
        | Warning::TrialsDiffer { up_to }
        | Warning::PressedUntold { up_to, .. }
        | Warning::MaterialAssumed { up_to, .. } => Some(*up_to),
        // Beyond first yield the elastic correction for the force is not proven.
        Warning::Marks { .. } if inspection.target.method >= 6 => {
            let force = CorrectionName::MeasuringForce;
            let mut added = inspection.corrections.iter();
            let added = added.find(|one| one.name == force)?;
            Some(added.value.abs())
        }
        // Scatter that the uncertainty which decides does not hold.
        Warning::OwnExceeded { shown, own } => Some(shown - own),
        // Sources differ in a limit of this size.
        Warning::Disputed { dispute } => disputed(dispute, inspection),
        // What the second order of the model adds to U.
        Warning::NotLinear {
            second_order,
            first_order,
        } => {
            let k = inspection.governing().size.coverage_factor;
            Some(k * (second_order - first_order).max(0.0))
        }
        _ => None,
    }
}

/// How much nearer another source's value brings the limit that the size is nearest to: stricter for what is accepted, looser
/// for what is rejected. The other limit hurts no part as well.
fn disputed(dispute: &Dispute, inspection: &Inspection) -> Option<f64> {
    let governing = inspection.governing();
    let limits = inspection.target.limits;
    let size = governing.size.value;
    let from =
        |limit: Option<Length>| limit.map_or(f64::INFINITY, |limit| (size - limit.mm()).abs());
    let (nearest, inwards) = if from(limits.lower) <= from(limits.upper) {
        (Side::Lower, 1.0)
    } else {
        (Side::Upper, -1.0)
    };
    let stricter = inwards * (dispute.other - dispute.taken).mm();
    let against = match governing.decision.verdict {
        Verdict::Reject | Verdict::ConditionalReject => -stricter,
        _ => stricter,
    };
    let judged = side_of(dispute, inspection.target.diameter) == Some(nearest);
    (judged && against > 0.0).then_some(against)
}

/// The code of a warning without its subject.
fn key(warning: &Warning) -> String {
    let code = warning.code();
    code.strip_prefix("warning.").unwrap_or(code).to_owned()
}
