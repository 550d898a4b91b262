//! Whole set-ups of what is owned: one answer takes micrometer, contacts, wires and standard together.

use metrology::inspection::{self, unsuited};

use super::proposals::{Expected, Named, Proposals};
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
    pub expected: Expected,
}

impl SetUp<'_> {
    pub fn ids(&self) -> Vec<String> {
        let ids = self.pieces.iter().map(|piece| piece.equipment.id());
        ids.map(str::to_owned).collect()
    }
}

impl<'a> Table<'a> {
    /// The best micrometer with each of the pairs that suit best, completed by the best wires and standard; what is made for the
    /// part first, then the least uncertain. Empty once a piece is chosen.
    pub fn set_ups(&self) -> Vec<SetUp<'a>> {
        let known = self.proposals.set_ups.get_or_init(|| {
            let planned = self.planned().into_iter();
            planned
                .map(|set_up| {
                    let pieces = set_up.pieces.into_iter().map(Named::of);
                    (pieces.collect(), set_up.expected)
                })
                .collect()
        });
        let set_up = |(pieces, expected): &(Vec<Named>, Expected)| {
            let pieces = pieces.iter().map(|piece| piece.find(self.register));
            let expected = *expected;
            pieces
                .collect::<Option<_>>()
                .map(|pieces| SetUp { pieces, expected })
        };
        known.iter().filter_map(set_up).collect()
    }

    fn planned(&self) -> Vec<SetUp<'a>> {
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
        let suited = fit::suited(self.state);
        let pairs = self.fit_for(&with).into_iter().take(PROPOSED);
        let mut found: Vec<(u8, SetUp<'a>)> = pairs
            .filter_map(|pair| {
                let mut chosen = with.clone();
                choose(&mut chosen, &pair.equipment);
                let contacts = chosen.contacts.as_ref();
                let unsuited = contacts.map_or(0, |contacts| unsuited(suited, contacts));
                Some((unsuited, self.completed(&with, vec![instrument, pair])?))
            })
            .collect();
        // As `midflank setup` has them: wires between flat faces promise less uncertainty, and take longer with every part.
        let rank = |(unsuited, set_up): &(u8, SetUp<'a>)| {
            let (expanded, share) = set_up.expected.unwrap_or((f64::INFINITY, None));
            (inspection::rank(share, *unsuited), expanded)
        };
        found.sort_by(|one, other| {
            let ((one, u), (other, other_u)) = (rank(one), rank(other));
            one.cmp(&other).then(u.total_cmp(&other_u))
        });
        found.into_iter().map(|(_, set_up)| set_up).collect()
    }

    /// The set-up that a line takes: the first, or the one of that number.
    pub(super) fn set_up(&self, line: &str) -> Option<SetUp<'a>> {
        let number = match line {
            "" => 1,
            _ => match line.parse::<usize>() {
                Ok(number) => number,
                Err(_) => return self.set_up_with(line),
            },
        };
        self.set_ups().into_iter().nth(number.checked_sub(1)?)
    }

    /// The best set-up with a piece that is no micrometer: the label of a pair or a standard says as much as a number.
    fn set_up_with(&self, id: &str) -> Option<SetUp<'a>> {
        let asked = self.state.question().kind();
        let has = |piece: &&Registered| {
            let equipment = &piece.equipment;
            Some(equipment.kind()) != asked && equipment.id().trim().eq_ignore_ascii_case(id)
        };
        let proposed = self.set_ups();
        let instrument = proposed.first()?.pieces.first().copied()?;
        if let Some(found) = proposed
            .into_iter()
            .find(|set_up| set_up.pieces.iter().any(has))
        {
            return Some(found);
        }
        let mut with = self.state.clone();
        choose(&mut with, &instrument.equipment);
        let pair = self.fit_for(&with).into_iter().find(has)?;
        self.completed(&with, vec![instrument, pair])
    }

    /// A set-up is taken with the unit of its micrometer, and with the temperatures that were read for the same part.
    pub(super) fn taken(&self, set_up: &SetUp) -> Answer {
        let mut events = Vec::new();
        for piece in &set_up.pieces {
            events.extend(taken::events(piece.with_history()));
        }
        let same_part = |part: &str| self.state.name.as_deref() == Some(part);
        if let Some(room) = self.offered_room().filter(|room| same_part(&room.part)) {
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
        let proposals = Proposals::default();
        let table = self.at(state, &proposals);
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
