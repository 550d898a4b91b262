//! The inspection of one piece: what is asked in which order.

use super::event::When;
use super::question::Question;
use super::state::State;

impl State {
    /// What is asked of an inspection that has no end yet, parked or not.
    pub(super) fn inspection_question(&self) -> Question {
        if self.lot_before.is_some() && self.lot.is_none() {
            return Question::Lot;
        }
        if let Some(detail) = self.next_detail() {
            return Question::Detail(detail);
        }
        let unanswered = [
            (self.target.is_none(), Question::Designation),
            (self.name.is_none(), Question::Name),
            (self.drawing.is_none(), Question::Drawing),
            (self.lot.is_none(), Question::Lot),
            (self.rule.is_none(), Question::Rule),
            (self.service.is_none(), Question::Service),
        ];
        if let Some((_, question)) = unanswered.into_iter().find(|(open, _)| *open) {
            return question;
        }
        self.set_up_question()
            .or_else(|| self.check_question(When::Before))
            .or_else(|| self.reading_question())
            .or_else(|| self.made_matters().then_some(Question::Made))
            .or_else(|| self.check_question(When::After))
            .unwrap_or(match self.person {
                None => Question::Sign,
                Some(_) => Question::Finish,
            })
    }
}
