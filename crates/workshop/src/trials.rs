//! Trials, from a job some equipment of which is barred to the entry.

use ledger::Draft;
use metrology::inspection::{Job, Piece};
use metrology::message::Say as _;

use crate::error::Error;
use crate::given;
use crate::job_status::{self, Barred};
use crate::kept;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;
use crate::register::Register;
use crate::trial::Trial;

metrology::messages! {
    /// Why readings are not kept as a trial.
    pub enum TrialError "trial" {
        /// Nothing of the set-up is barred: it would be an inspection.
        NotBarred "not-barred",
        /// Nobody is named.
        NoPerson "no-person",
    }
}

/// What is kept of a job.
pub fn of(mut job: Job, register: &Register) -> Result<Trial, TrialError> {
    let barred = job_status::barred(&job, register);
    if barred.is_empty() {
        return Err(TrialError::NotBarred);
    }
    // The job itself says so too: computed as an inspection it would be refused.
    for one in &barred {
        let (Barred::Piece { piece, state, .. }
        | Barred::Registered { piece, state, .. }
        | Barred::RegisteredThen { piece, state, .. }
        | Barred::Then { piece, state, .. }) = one;
        match piece {
            Piece::Micrometer => job.instrument.state = *state,
            Piece::Contacts => job.contacts.state = *state,
            Piece::Standard => job.standard.state = *state,
            Piece::Wires => {
                if let Some(wires) = &mut job.wires {
                    wires.state = *state;
                }
            }
            Piece::Thermometer => {
                let read = job.temperature.as_mut();
                if let Some(one) = read.and_then(|read| read.thermometer.as_mut()) {
                    one.state = *state;
                }
            }
            // No job is measured with one.
            Piece::Gauge => {}
        }
    }
    let barred = barred.iter().map(Barred::message).collect();
    Ok(Trial { barred, job })
}

/// The entry, not yet recorded.
pub fn draft(trial: &Trial, recorder: &Recorder) -> Result<Draft, Error> {
    if recorder.person.trim().is_empty() {
        return Err(Error::input(TrialError::NoPerson));
    }
    given::on_one_line("person", &recorder.person).map_err(Error::input)?;
    Ok(Draft {
        inputs: kept::write(kept::TRIAL, trial).map_err(Error::outside)?,
        subjects: trial.subjects(),
        ..recorder.blank(RecordKind::Trial)?
    })
}
