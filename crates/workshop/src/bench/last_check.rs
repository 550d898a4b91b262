//! The last zero check at a station: for a while it counts for the next job with the same set-up.

use jiff::{SignedDuration, Timestamp};
use metrology::units::{Entered, LengthUnit};

use super::event::{Event, When};
use super::question::Question;
use super::state::{End, State};
use super::taken;
use crate::equipment::Kind;
use crate::register::Register;

/// So long a check holds for the next job with the same set-up (common practice, no source).
const HOLDS: SignedDuration = SignedDuration::from_mins(60);

/// A good zero check with nothing measured since.
#[derive(Clone, Debug, PartialEq)]
pub struct LastCheck {
    job: u64,
    pieces: Vec<(Kind, String)>,
    unit: Option<LengthUnit>,
    readings: Vec<Entered>,
    at: Timestamp,
}

impl LastCheck {
    /// The check that ends a job: the closing check of an inspection on the record, the last one of a run. None where it was
    /// not good, where it was accepted despite a doubt, or where pieces were measured since.
    pub fn of(state: &State) -> Option<Self> {
        let readings = match (&state.end, state.run()) {
            (_, Some(_)) if state.pieces_since_check() == 0 => state.before.standing(),
            (Some(End::Recorded(_)), None) => state.kept()?.zero,
            _ => Vec::new(),
        };
        let found = Self {
            job: state.job?,
            pieces: set_by(state),
            unit: state.unit,
            readings,
            at: state.checked_at?,
        };
        Some(found).filter(|found| !found.readings.is_empty())
    }

    /// What happens by it in a job that asks for its opening check: nothing with another set-up, after so long, or where the
    /// register tells of work on a piece since.
    pub fn opens(&self, state: &State, register: &Register, now: Timestamp) -> Option<Event> {
        let opening = Question::Closure {
            when: When::Before,
            number: 1,
        };
        let counts = state.question() == opening
            && state.before.closures.is_empty()
            && set_by(state) == self.pieces
            && state.unit == self.unit
            && self.holds(register, now);
        counts.then(|| self.event())
    }

    /// Whether it still counts for the pieces that it was made with.
    pub fn holds(&self, register: &Register, now: Timestamp) -> bool {
        let age = now.duration_since(self.at);
        !age.is_negative()
            && age <= HOLDS
            && taken::untouched(register, &self.pieces, Some(self.at))
    }

    /// It opens the next job.
    pub fn event(&self) -> Event {
        Event::ZeroKept {
            job: self.job,
            readings: self.readings.clone(),
            at: self.at,
        }
    }
}

/// The pieces that zero depends on.
fn set_by(state: &State) -> Vec<(Kind, String)> {
    let mut pieces = taken::pieces(state);
    pieces.retain(|(kind, _)| taken::sets_zero(*kind));
    pieces
}
