//! Answers that only a study takes.

use super::lines::stated_first;
use super::{Answer, Table};
use crate::bench::event::Event;
use crate::bench::input;
use crate::bench::question::Question;
use crate::bench::refusal::{Refusal, Refused};

/// What is measured, as it is stated at the first question of the bench.
pub(in crate::bench) fn measured_first(line: &str) -> Result<Event, Refusal> {
    match stated_first(line)? {
        Answer::Events(events) => events.into_iter().next(),
        _ => None,
    }
    .ok_or_else(|| Refusal::new(Refused::DesignationMissing))
}

impl Table<'_> {
    /// Whether a study may be ended before all its readings are taken: there is one at least.
    pub(super) fn may_break_off(&self) -> bool {
        self.state.studying().is_some()
            && matches!(self.state.question(), Question::Reading { index } if index > 0)
    }

    /// Asks once more: what is left out cannot be measured later.
    pub(super) fn surely_end(&self) -> Refusal {
        let line = format!("/{}", input::END_IT);
        Refusal {
            suggestions: vec![line.clone()],
            ..Refusal::new(Refused::SurelyEnd {
                n: self.state.readings.len(),
                of: self.state.plan.len(),
                line,
            })
        }
    }
}
