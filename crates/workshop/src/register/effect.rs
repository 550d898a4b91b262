//! What a certificate on record changes for jobs with its piece.

use metrology::inspection::equipment::Certified as Described;

use super::certificates::{curve, errors, found, is_beside_size, is_contradicted};
use super::{Equipment, Registered, gauges, thermometers};
use crate::gauge_record::certificate::{Certified, same_number};

/// What a certificate on record changes for jobs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Jobs take the piece as the certificate has it.
    Taken,
    /// Jobs take it as the register describes it; the certificate counts for its drift.
    Drift,
    /// Jobs take it as the register describes it, and give no verdict: the certificate contradicts that.
    Contradicts,
    /// Jobs take it by the limit of its errors that the register states, and are held against the error curve of the certificate.
    HeldAgainst,
    /// None of its values is one that the piece is described by.
    Nothing,
    /// The register does not have the piece.
    NotRegistered,
}

/// What a certificate changes for jobs with its piece.
pub fn effect(piece: Option<&Registered>, certified: &Certified) -> Effect {
    let Some(piece) = piece else {
        return Effect::NotRegistered;
    };
    if is_contradicted(&piece.described, certified) {
        return Effect::Contradicts;
    }
    if curve(&piece.described, certified).is_some() {
        return Effect::HeldAgainst;
    }
    let number = piece.described.certificate();
    if number.is_some_and(|number| same_number(number, &certified.heading.number)) {
        return Effect::Taken;
    }
    let described = &piece.described;
    let takes =
        gauges::takes(described, certified).or_else(|| thermometers::takes(described, certified));
    match takes {
        Some(true) => Effect::Taken,
        None if found(described, &certified.values).is_some() => Effect::Drift,
        _ => Effect::Nothing,
    }
}

/// Whether a certificate has nothing that the piece could be taken by, and is not of other properties alone, such as its flatness.
pub fn is_unused(described: &Equipment, certified: &Certified) -> bool {
    if certified.values.iter().all(is_beside_size) {
        return false;
    }
    let is_readable = match (described, described.piece().certified()) {
        (Equipment::Gauge(_), _) => gauges::takes(described, certified) == Some(true),
        // A micrometer of which a limit alone is stated.
        (Equipment::Instrument(_), Described::Nothing) => !errors(&certified.values).is_empty(),
        (_, Described::Nothing) => true,
        _ => found(described, &certified.values).is_some(),
    };
    !is_readable
}

/// The largest error that a certificate has of a micrometer, millimetres, where it is beyond a limit.
pub fn beyond_limit(certified: &Certified, limit: f64) -> Option<f64> {
    let all = errors(&certified.values).into_iter();
    let largest = all.max_by(|one, other| one.abs().total_cmp(&other.abs()))?;
    // A tenth of a nanometre is rounding.
    (largest.abs() > limit + 1e-7).then_some(largest)
}
