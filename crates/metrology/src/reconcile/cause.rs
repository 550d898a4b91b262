//! What is made of a difference: its causes, ranked.

use crate::contacts::MisfitError;
use crate::elastic::ElasticError;
use crate::source::Confidence;
use crate::wires::SeatError;

/// Which of the two results carries a cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carrier {
    /// The first.
    First,
    /// The second.
    Second,
}

/// A cause of the difference; sizes are its part of (first − second), millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cause {
    /// In the words of a report line.
    pub name: &'static str,
    /// The result that carries it.
    pub carrier: Carrier,
    /// What it gives on average.
    pub expected_mm: f64,
    /// One standard deviation about that.
    pub spread_mm: f64,
    /// Its likely part of the difference that was seen.
    pub likely_mm: f64,
    /// The one check that would tell.
    pub check: &'static str,
    /// Computed, or from practice.
    pub confidence: Confidence,
}

/// The causes, the likeliest first.
#[derive(Clone, Debug, PartialEq)]
pub struct Reconciliation {
    /// First minus second, millimetres.
    pub difference_mm: f64,
    /// What all causes together give on average, millimetres.
    pub expected_mm: f64,
    /// How far the difference is from that, in standard deviations of all causes together. Above 3 none of these is
    /// it: look for a mistake.
    pub surprise: f64,
    /// A whole number of thimble turns that is as large as the difference, if there is one.
    pub thimble_turns: Option<&'static str>,
    /// The causes.
    pub causes: Vec<Cause>,
}

/// Why no causes are given.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ReconcileError {
    /// A number is out of range, or not a number.
    #[error("{what} is {value}; permitted: {permitted}")]
    Input {
        /// Which number.
        what: &'static str,
        /// As given.
        value: f64,
        /// The permitted range, in words.
        permitted: &'static str,
    },
    /// The wires do not seat in this thread.
    #[error(transparent)]
    Seat(#[from] SeatError),
    /// The contacts do not measure this thread.
    #[error(transparent)]
    Misfit(#[from] MisfitError),
    /// The deformation could not be computed.
    #[error(transparent)]
    Elastic(#[from] ElasticError),
}
