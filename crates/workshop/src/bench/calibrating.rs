//! A calibration at the bench: what is asked in which order, and what its events make of the state. What is computed and recorded
//! is that of [`calibration`].

mod begin;
mod standards;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use jiff::civil::Date;
use metrology::units::Entered;

use super::calibration::{
    Ask, Calibrating, FEWEST_POINTS, On, OnBlocks, OnPlugs, READINGS, plugs, told,
};
use super::event::{Event, Spot};
use super::procedure::Procedure;
use super::question::Question;
use super::reading::Reading;
use super::refusal::Refusal;
use super::state::State;
use crate::error::Error;
use crate::gauge_record::calibrated::CalibratedDocument;
use crate::gauge_record::calibration::{Of, Worked};
use crate::gauge_record::certificate::Heading;
use crate::gauge_room::blocks::Owned;
use crate::gauge_room::{calibration, held_against};
use crate::register::Register;
use crate::station;

pub use begin::{MICROMETER, begin, is_pair};
pub use standards::{refused, unfit_for_pair};
use standards::{unfit_blocks, unfit_plugs};

impl State {
    /// The calibration, where the job is one.
    pub const fn calibrating(&self) -> Option<&Calibrating> {
        match &self.procedure {
            Procedure::Calibration(calibrating) => Some(calibrating),
            Procedure::Inspection | Procedure::Run(_) | Procedure::Study(_) => None,
        }
    }

    const fn calibrating_mut(&mut self) -> Option<&mut Calibrating> {
        match &mut self.procedure {
            Procedure::Calibration(calibrating) => Some(calibrating),
            Procedure::Inspection | Procedure::Run(_) | Procedure::Study(_) => None,
        }
    }

    /// What happens in a calibration alone.
    pub(super) fn take_in_calibration(&mut self, event: &Event) {
        self.begin_calibration(event);
        let read = self.readings.len();
        let Some(calibrating) = self.calibrating_mut() else {
            return;
        };
        if let Event::CalibrationTold { asked, answer } = event {
            calibrating.take(asked, answer);
        }
        let unit = calibrating.unit();
        let planned = match (&mut calibrating.of, event) {
            (On::Blocks(on), Event::Blocks { set }) => {
                on.choose(set.clone());
                None
            }
            (On::Blocks(on), Event::CalibrationTold { asked, answer }) => match Ask::of(asked) {
                Some(Ask::Points) => {
                    on.plan(&told::sizes(answer, unit).unwrap_or_default());
                    Some(on.points.len() * READINGS)
                }
                Some(Ask::Adjusted) if told::is_yes(answer) => {
                    on.found = Some(read);
                    Some(read + read.div_ceil(READINGS) * READINGS)
                }
                _ => None,
            },
            (On::Plugs(on), Event::Instrument { instrument }) => {
                on.instrument = Some(instrument.clone());
                None
            }
            (On::Plugs(on), Event::Plug { asked, plug }) => {
                on.choose(Ask::of(asked), plug);
                Some(plugs::PLUGS.len() * READINGS)
            }
            _ => None,
        };
        if let Some(n) = planned {
            self.plan = vec![anywhere(); n];
        }
    }

    fn begin_calibration(&mut self, event: &Event) {
        let (of, offers) = match event {
            Event::Calibration { of } => {
                self.instrument = Some(of.instrument.clone());
                let on = OnBlocks::of(of.instrument.clone());
                (On::Blocks(Box::new(on)), &of.offers)
            }
            Event::PairCheck { of } => {
                self.contacts = Some(of.contacts.clone());
                let on = OnPlugs::of(of.contacts.clone(), of.pitches.clone());
                (On::Plugs(Box::new(on)), &of.offers)
            }
            _ => return,
        };
        let calibrating = Calibrating {
            of,
            offers: offers.clone(),
            answers: BTreeMap::new(),
        };
        // A pair brings no unit: its micrometer does.
        self.unit = self.instrument.as_ref().map(|_| calibrating.unit());
        self.procedure = Procedure::Calibration(Box::new(calibrating));
    }

    /// Whether the readings as found may be ended before this one: enough points are measured, each as often as any.
    pub(super) fn may_end_points(&self, index: usize) -> bool {
        let as_found = self.calibrating().is_some_and(|one| match &one.of {
            On::Blocks(on) => on.found.is_none(),
            On::Plugs(_) => false,
        });
        as_found && index >= FEWEST_POINTS * READINGS && index.is_multiple_of(READINGS)
    }

    /// What is asked of a calibration that has no end yet, parked or not.
    pub(super) fn calibration_question(&self, calibrating: &Calibrating) -> Question {
        if self.instrument.is_none() {
            return Question::Instrument;
        }
        let mut asks = calibrating.asks().iter().copied();
        let asked = asks.find(|ask| calibrating.is_open(*ask));
        if let Some(ask) = asked.filter(|ask| !ask.follows_readings()) {
            return Question::Calibration(ask);
        }
        // Asked at once: the next stack is not wrung yet.
        let in_doubt = |one: &&Reading| one.flag.is_some() && one.left.is_none();
        let flagged = self.readings.iter().find(in_doubt);
        if let Some(flagged) = flagged.filter(|_| self.retaking.is_none()) {
            return Question::Flagged { of: flagged.number };
        }
        if let Some(question) = self.reading_question() {
            return question;
        }
        match (asked, &self.person) {
            (Some(ask), _) => Question::Calibration(ask),
            (None, None) => Question::Sign,
            (None, Some(_)) => Question::Finish,
        }
    }

    /// The calibration as it would be recorded now; none before it has readings.
    pub fn to_calibration(&self) -> Option<Worked> {
        let calibrating = self.calibrating()?;
        let on = station::day(self.readings.last()?.at);
        let readings: Vec<Entered> = self.readings.iter().map(|one| one.shown.clone()).collect();
        let resolution = shown_step(readings.first()?);
        let (of, chain) = match &calibrating.of {
            On::Blocks(blocks) => (
                Of::Micrometer(blocks.worked(calibrating, &readings, on, resolution)?),
                blocks.set.as_ref()?.certificate.iter().cloned().collect(),
            ),
            On::Plugs(plugs) => (
                Of::Pair(plugs.worked(calibrating, &readings, resolution)?),
                plugs.chain(),
            ),
        };
        let text = |ask| calibrating.answer(ask).unwrap_or_default().to_owned();
        Some(Worked {
            of,
            heading: Heading {
                issuer: text(Ask::Issuer),
                accreditation: None,
                national_institute: false,
                chain,
                number: text(Ask::Number),
                date: on,
                procedure: Some(text(Ask::Procedure)).filter(|text| !text.is_empty()),
                conditions: None,
            },
            due: calibrating
                .told(Ask::Due, |text, _| told::due(text, on))
                .flatten(),
            received: calibrating.received(),
            condition: calibrating.condition().map(str::to_owned),
            person: self.person.clone().unwrap_or_default(),
        })
    }

    /// The same with its result, once all points as found are measured; why it has none where the calculation refuses it.
    pub fn calibrated(&self) -> Option<Result<(Worked, CalibratedDocument), Error>> {
        let calibrating = self.calibrating()?;
        let complete = match calibrating.found() {
            // While it is measured again, what was found is shown.
            Some(found) => self.readings.len() >= found,
            None => self.readings.len() >= self.plan.len(),
        };
        if !complete || self.readings.is_empty() {
            return None;
        }
        let mut worked = self.to_calibration()?;
        if let Of::Micrometer(calibration) = &mut worked.of
            && self.readings.len() < self.plan.len()
        {
            calibration.left.clear();
        }
        Some(calibration::computed(&worked).map(|result| (worked, result)))
    }

    /// Why a calibration is not signed: what it was made with may not be used any more, the readings at one of its points lie
    /// too far apart, or the micrometer of a pair hides its errors.
    pub fn unfit_to_sign(
        &self,
        register: &Register,
        blocks: &[Owned],
        today: Date,
    ) -> Option<Refusal> {
        match &self.calibrating()?.of {
            On::Blocks(on) => unfit_blocks(on, blocks).or_else(|| self.too_scattered()),
            On::Plugs(on) => {
                unfit_plugs(on, register, today).or_else(|| self.micrometer_hides(register))
            }
        }
    }

    fn too_scattered(&self) -> Option<Refusal> {
        let (worked, result) = self.calibrated()?.ok()?;
        let Of::Micrometer(calibration) = &worked.of else {
            return None;
        };
        held_against::too_scattered(calibration, &result).map(Refusal::new)
    }

    fn micrometer_hides(&self, register: &Register) -> Option<Refusal> {
        let (worked, _) = self.calibrated()?.ok()?;
        let Of::Pair(check) = &worked.of else {
            return None;
        };
        held_against::micrometer_hides(register, check).map(Refusal::new)
    }

    /// The day that is offered as the next due date.
    pub(super) fn due_again(&self) -> Option<Date> {
        let calibrating = self.calibrating()?;
        let days: i32 = calibrating.offers.get(Ask::Due.key())?.parse().ok()?;
        let on = station::day(self.readings.last()?.at);
        on.checked_add(jiff::Span::new().try_days(i64::from(days)).ok()?)
            .ok()
    }
}

/// A reading of a calibration is at no place of a part.
const fn anywhere() -> Spot {
    Spot {
        along: None,
        angle: None,
    }
}

/// One step of the last digit that was read, where the register does not say it.
fn shown_step(reading: &Entered) -> Entered {
    Entered::of(reading.resolution(), reading.unit())
}
