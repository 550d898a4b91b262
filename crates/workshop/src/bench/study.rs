//! A study at the bench as it stands: its plan, and whose turn it is.

use metrology::study::Turn;

use crate::gauge_record::study::StudyPlan;

/// A study as it stands.
#[derive(Clone, Debug)]
pub struct Studying {
    pub plan: StudyPlan,
    /// In which order the readings are taken.
    pub turns: Vec<Turn>,
}

impl Studying {
    pub(super) fn of(plan: StudyPlan) -> Self {
        let turns = plan.turns();
        Self { plan, turns }
    }

    /// Who takes a reading, counted from 0, and of which part.
    pub fn turn(&self, index: usize) -> Option<(&str, &str)> {
        let turn = self.turns.get(index)?;
        let operator = self.plan.operators.get(turn.operator)?;
        Some((operator, self.plan.parts.get(turn.part)?))
    }
}
