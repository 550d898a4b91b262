//! What Enter alone takes at a question.

use super::Table;
use super::lines::next_sample;
use crate::bench::last_part::LastPart;
use crate::bench::question::Question;
use crate::bench::said;

/// What Enter alone takes.
pub enum Offer {
    /// This, as if it had been typed.
    Line(String),
    /// These pieces together.
    SetUp(Vec<String>),
    /// What was stated of the part last.
    AsLast(LastPart),
    /// That nothing is stated.
    Nothing(Unstated),
}

metrology::codes! {
    /// What is taken where nothing is stated.
    pub enum Unstated "bench" {
        /// Nothing.
        None "none",
        /// The rule of the standard.
        RuleAssumed "rule-assumed",
        /// No service in which a wrong acceptance hurts.
        NoService "no-service",
        /// No temperature was read.
        NotRead "not-read",
        /// How the thread was made.
        MadeUnknown "made-unknown",
    }
}

impl Table<'_> {
    /// What Enter alone takes, where it takes something.
    pub fn offer(&self) -> Option<Offer> {
        let nothing = |what| Some(Offer::Nothing(what));
        let line = match self.state.question() {
            Question::Drawing => {
                return match self.last_part {
                    Some(last) => Some(Offer::AsLast(last.clone())),
                    None => nothing(Unstated::None),
                };
            }
            Question::Rule => return nothing(Unstated::RuleAssumed),
            Question::Detail(detail) if detail.optional() => return nothing(Unstated::None),
            Question::Service => return nothing(Unstated::NoService),
            Question::Temperature => {
                let room = self.offered_room();
                return match room.and_then(|room| said::line(&room.event())) {
                    Some(line) => Some(Offer::Line(line)),
                    None => nothing(Unstated::NotRead),
                };
            }
            Question::Calibration(ask) => {
                let calibrating = self.state.calibrating()?;
                self.calibration_offer(calibrating, ask)
            }
            Question::Made => return nothing(Unstated::MadeUnknown),
            Question::Lot => match &self.state.lot_before {
                Some((lot, Some(sample))) => next_sample(lot.as_deref(), Some(sample)),
                Some((Some(_), None)) => None,
                Some((None, None)) | None => return nothing(Unstated::None),
            },
            question if question.chooses() => {
                if let Some(best) = self.set_ups().first() {
                    return Some(Offer::SetUp(best.ids()));
                }
                let choices = self.choices();
                let fit = choices.iter().find(|choice| choice.unfit.is_none());
                fit.map(|choice| choice.id().to_owned())
            }
            Question::With => self.fit_gauge(),
            Question::Unit => Some(self.state.display_unit().to_string()),
            Question::Sign => self.state.signer().map(str::to_owned),
            _ => None,
        };
        line.map(Offer::Line)
    }

    /// The line that Enter alone gives.
    pub fn offered_line(&self) -> Option<String> {
        match self.offer()? {
            Offer::Line(line) => Some(line),
            Offer::SetUp(_) | Offer::AsLast(_) | Offer::Nothing(_) => None,
        }
    }
}
