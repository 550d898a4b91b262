//! What a certificate on record changes for jobs with its piece.

use super::certificates::found;
use super::{Registered, gauges, thermometers};
use crate::gauge_record::certificate::Certified;

/// What a certificate on record changes for jobs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Jobs take the piece as the certificate has it.
    Taken,
    /// Jobs take it as the register describes it; the certificate counts for its drift.
    Drift,
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
    let number = piece.described.certificate().map(str::trim);
    if number == Some(certified.heading.number.trim()) {
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
