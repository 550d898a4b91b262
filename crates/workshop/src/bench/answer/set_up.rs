//! Whole set-ups of what is owned: one answer takes micrometer, contacts, wires and standard together.

use super::{Answer, Table};
use crate::bench::fit;
use crate::bench::question::Question;
use crate::bench::state::State;
use crate::bench::taken::{self, choose};
use crate::register::Registered;

/// So many are proposed.
const PROPOSED: usize = 3;

/// Pieces that go together, and what they are expected to give.
pub struct SetUp<'a> {
    pub pieces: Vec<&'a Registered>,
    /// Expanded uncertainty in millimetres, and the part of the tolerance that 2U takes where there is one.
    pub expected: Option<(f64, Option<f64>)>,
}

impl SetUp<'_> {
    pub fn ids(&self) -> Vec<String> {
        let ids = self.pieces.iter().map(|piece| piece.equipment.id());
        ids.map(str::to_owned).collect()
    }
}

impl<'a> Table<'a> {
    /// The best micrometer with each of the pairs that suit best, completed by the best wires and standard; the least
    /// uncertain first. Empty once a piece is chosen.
    pub fn set_ups(&self) -> Vec<SetUp<'a>> {
        if self.state.question() != Question::Instrument
            || self.state.contacts.is_some()
            || self.state.standard.is_some()
        {
            return Vec::new();
        }
        let Some(instrument) = self.fit_for(self.state).into_iter().next() else {
            return Vec::new();
        };
        let mut with = self.state.clone();
        choose(&mut with, &instrument.equipment);
        let pairs = self.fit_for(&with).into_iter().take(PROPOSED);
        let mut found: Vec<SetUp<'a>> = pairs
            .filter_map(|pair| self.completed(&with, vec![instrument, pair]))
            .collect();
        let expanded = |set_up: &SetUp| set_up.expected.map_or(f64::INFINITY, |(u, _)| u);
        // The pair that suits best stays first: a less usual one may promise a little less uncertainty.
        if let Some(others) = found.get_mut(1..) {
            others.sort_by(|one, other| expanded(one).total_cmp(&expanded(other)));
        }
        found
    }

    /// The set-up that a line takes: the first, or the one of that number.
    pub(super) fn set_up(&self, line: &str) -> Option<SetUp<'a>> {
        let number = match line {
            "" => 1,
            number => number.parse::<usize>().ok()?,
        };
        self.set_ups().into_iter().nth(number.checked_sub(1)?)
    }

    /// A set-up is taken with the unit of its micrometer, and with the temperatures that were read for the same part.
    pub(super) fn taken(&self, set_up: &SetUp) -> Answer {
        let mut events = Vec::new();
        for piece in &set_up.pieces {
            events.extend(taken::events(piece.with_history()));
        }
        let same_part = |part: &str| self.state.name.as_deref() == Some(part);
        if let Some(room) = self.room.filter(|room| same_part(&room.part)) {
            events.push(room.event());
        }
        Answer::Events(events)
    }

    /// What else it takes after these pieces, the best of each kind; nothing where a kind has none that is fit.
    fn completed(&self, state: &State, pieces: Vec<&'a Registered>) -> Option<SetUp<'a>> {
        let mut with = state.clone();
        let mut pieces = pieces;
        if let Some(last) = pieces.last() {
            choose(&mut with, &last.equipment);
        }
        while with.question().chooses() {
            let best = self.fit_for(&with).into_iter().next()?;
            choose(&mut with, &best.equipment);
            pieces.push(best);
        }
        let expected = fit::expected(&with);
        Some(SetUp { pieces, expected })
    }

    /// The pieces that are fit for what a state asks, the best first.
    fn fit_for(&self, state: &State) -> Vec<&'a Registered> {
        let table = Table {
            state,
            register: self.register,
            today: self.today,
            last_part: None,
            room: None,
            parked_jobs: false,
        };
        let fit = table.choices().into_iter();
        let fit = fit.filter(|choice| choice.unfit.is_none());
        // Found again, since what the table knows lives no longer than the state.
        fit.filter_map(|choice| {
            let kind = choice.piece.equipment.kind();
            self.register.find(kind, choice.id())
        })
        .collect()
    }
}
