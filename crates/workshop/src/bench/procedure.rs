//! What is done at the bench. Station, events, parking, set-up, zero and readings are the same for all and stand in
//! [`State`](super::State); what one procedure has alone stands with it, and so does the order of its questions.

use super::calibration::Calibrating;
use super::run::Run;
use super::study::Studying;

/// What is done.
#[derive(Clone, Debug, Default)]
pub enum Procedure {
    /// One piece, from the part to its record.
    #[default]
    Inspection,
    /// Piece after piece of a lot, on one characteristic.
    Run(Box<Run>),
    /// A micrometer on gauge blocks.
    Calibration(Box<Calibrating>),
    /// Parts by operators, to see how well they are measured.
    Study(Box<Studying>),
}
