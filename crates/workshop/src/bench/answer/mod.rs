//! What a typed or sent line does at the question that is asked.

mod calibration;
mod choices;
mod command;
mod lines;
mod offer;
mod pair;
mod proposals;
mod rules;
mod run;
mod set_up;
mod study;
mod unit;

use jiff::civil::Date;
use metrology::designation;
use metrology::inspection::{FAR_FROM_STANDARD, JobError, Scope, Thermometer, is_all_around};
use metrology::material;
use metrology::message::Say as _;
use metrology::units::{Entered, EntryError, LengthUnit};

use super::calibration::Ask;
use super::details::{self, Detail};
use super::event::{By, Event, Kept, When};
use super::last_part::{LastPart, Room};
use super::places::{self, Spot};
use super::question::Question;
use super::refusal::{Refusal, Refused};
use super::run::Stop;
use super::state::State;
use super::{fit, input, taken};
use crate::error::Why;
use crate::gauge_room::blocks::Owned;
use crate::given;
use crate::register::Register;

pub use choices::Choice;
pub use command::{Command, LookUp, View};
use command::{retake_of, sign_of, take_up_of};
pub(super) use lines::next_sample;
use lines::{
    can_be_measured, is_sample, job_refusal, not_a_reading, optional, required, rule, service,
    stated_first, temperature,
};
pub use offer::{Offer, Unstated};
pub use pair::PlugChoice;
pub use proposals::Proposals;
pub use rules::{Rules, Zones};
pub use set_up::SetUp;
pub(super) use study::measured_first;

/// The longest line taken, in characters.
const LONGEST_LINE: usize = 400;
/// Shorter words are no reason, characters.
const SHORTEST_REASON: usize = 8;

/// What a line does.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// These happen.
    Events(Vec<Event>),
    /// Something is looked up; the job stays where it is.
    LookUp(LookUp),
    /// Something is shown, or put away again; the job stays where it is.
    Show(View),
    /// A job begins that keeps the set-up of this one; the next sample of the lot where that is known.
    NextPart(Box<Kept>, Option<Box<Event>>),
    /// A job begins from nothing.
    NewJob,
    /// The run ends, and the next begins: of the characteristic of this number, or of the one that is next.
    NextRun(Option<String>),
    /// The records are looked at; the job stays where it is.
    History,
    /// A parked job is taken up: this one, or the only one there is.
    TakeUp(Option<u64>),
}

/// All that an answer is judged by.
pub struct Table<'a> {
    pub state: &'a State,
    pub register: &'a Register,
    pub today: Date,
    /// What was stated of this part last, to be offered again.
    pub last_part: Option<&'a LastPart>,
    /// The temperatures that were read here within the last hour.
    pub room: Option<&'a Room>,
    /// Whether there are jobs that can be taken up.
    pub parked_jobs: bool,
    /// Sets of gauge blocks.
    pub blocks: &'a [Owned],
    /// What was proposed at this question before.
    pub proposals: &'a Proposals,
}

impl Table<'_> {
    /// What a line does.
    pub fn answer(&self, line: &str, by: By) -> Result<Answer, Refusal> {
        let line = line.trim();
        if line.chars().count() > LONGEST_LINE {
            return Err(Refusal::new(Refused::LineTooLong {
                limit: LONGEST_LINE,
            }));
        }
        given::on_one_line("line", line).map_err(|_| Refusal::new(Refused::HiddenCharacters))?;
        let question = self.state.question();
        let keys = (line == "?").then_some(line);
        if let Some(rest) = line.strip_prefix('/').or(keys) {
            return self.aside(rest.trim());
        }
        if let Some(wanted) = LookUp::of(line) {
            return Ok(Answer::LookUp(wanted));
        }
        let is_word = line.starts_with(|c: char| c.is_alphabetic() || c == '?');
        if is_word && !question.takes_words() {
            return self.aside(line);
        }
        match question {
            Question::Designation => stated_first(line),
            Question::Detail(detail) => self.detail(detail, line),
            Question::Name => {
                let line = not_a_reading(line)?;
                required(line, Refused::NameMissing).map(|name| one(Event::Name { name }))
            }
            Question::Drawing => match self.last_part.filter(|_| line.is_empty()) {
                Some(last) => Ok(Answer::Events(last.events())),
                None => Ok(one(Event::Drawing {
                    drawing: optional(not_a_reading(line)?),
                })),
            },
            Question::Lot => self.lot(line),
            Question::Rule => rule(line),
            Question::Service => service(line),
            Question::Instrument => match self.set_up(line) {
                Some(set_up) => Ok(self.taken(&set_up)),
                None => self.choose(line),
            },
            Question::Contacts | Question::Wires | Question::Standard => self.choose(line),
            Question::Unit => self.unit(line),
            Question::Temperature => self.temperature(line),
            Question::Closure { when, .. } => self.closure(line, when, false, by),
            Question::ZeroDoubt { when, .. } => match line {
                _ if is_word || line.is_empty() => self
                    .reason(line, Refused::ReasonMissing)
                    .map(|reason| one(Event::ZeroAccepted { when, reason })),
                _ => self.closure(line, when, true, by),
            },
            Question::Calibration(ask) => self.calibration(ask, line),
            Question::Reading { index } if self.state.calibrating().is_some() => {
                let reading = self.on_standard(line, index)?;
                let spot = self.state.plan.get(index).cloned();
                let spot = spot.ok_or_else(|| Refusal::new(Refused::NotComplete))?;
                Ok(one(Event::Reading { spot, reading, by }))
            }
            Question::Reading { index } => self.reading_at(index, line, by),
            Question::Again { of } if line.is_empty() => Ok(one(Event::StandsAsRead { of })),
            Question::Flagged { of } if is_word || line.is_empty() => self
                .reason(line, Refused::FlagUnanswered)
                .map(|reason| one(Event::LeftAsRead { of, reason })),
            Question::Again { of } | Question::Flagged { of } => Ok(one(Event::Retaken {
                of,
                reading: self.again(line, of)?,
                by,
            })),
            Question::Made => lines::made(line),
            Question::Sign => match self.of_certificate(line) {
                Some(answer) => answer,
                None => unsigned(line),
            },
            Question::Finish | Question::Settle => Ok(Answer::Events(Vec::new())),
            Question::Person => required(not_a_reading(line)?, Refused::PersonMissing)
                .map(|person| one(Event::Person { person })),
            Question::With => self.with(line),
            Question::Find => self.found(line),
            Question::Stopped { stop } if line.is_empty() && stop != Stop::NoSize => {
                Ok(one(Event::WentOn))
            }
            Question::Stopped { stop: Stop::NoSize } => Err(Refusal::new(Refused::AtNoSize)),
            Question::Stopped { .. } => Err(Refusal::new(Refused::AtStop)),
            Question::RunDone => Ok(Answer::NextRun(optional(line))),
            Question::Recorded if self.state.is_of_gauge_room() && line.is_empty() => {
                Ok(Answer::NewJob)
            }
            Question::Recorded => match self.state.kept() {
                Some(kept) if line.is_empty() => self.next_part(kept),
                _ => Err(Refusal::new(Refused::AtRecorded)),
            },
            Question::Dropped => Ok(Answer::NewJob),
            Question::Parked { .. } if line.is_empty() => Ok(Answer::TakeUp(self.state.job)),
            Question::Parked { .. } => Err(Refusal::new(Refused::AtParked)),
        }
    }

    /// The next part keeps the set-up as the register has it now, and the zero where nothing was done to what it was set
    /// with: an intervention ends what an earlier check is worth.
    fn next_part(&self, mut kept: Kept) -> Result<Answer, Refusal> {
        let pieces = taken::kept(&kept);
        for (kind, id) in pieces.iter().cloned() {
            let Some(piece) = self.register.find(kind, &id) else {
                continue;
            };
            if !piece.equipment.state().is_active() {
                let state = piece.equipment.state();
                let why = Refused::OutOfUse { state }.message();
                return Err(Refusal::new(Refused::UnfitForNext { id, why }));
            }
            taken::keep(&mut kept, &piece.equipment);
        }
        if !taken::untouched(self.register, &pieces, self.state.checked_at) {
            kept.zero.clear();
        }
        let next = next_lot(&kept).map(Box::new);
        Ok(Answer::NextPart(Box::new(kept), next))
    }

    /// A command, or a question of another kind than the job's.
    fn aside(&self, text: &str) -> Result<Answer, Refusal> {
        if let Some(number) = retake_of(text) {
            return self.retake(number);
        }
        if let Some(answer) = self.beside_run(text) {
            return answer;
        }
        if let Some(taken_up) = take_up_of(text) {
            return Ok(taken_up);
        }
        if let Some(name) = sign_of(text) {
            return self.sign(name);
        }
        if let Some(view) = View::of(text) {
            return Ok(Answer::Show(view));
        }
        if text == input::DROP_IT && self.under_way() {
            return Ok(one(Event::Dropped));
        }
        if text == input::END_IT && self.may_break_off() {
            return Ok(one(Event::ReadingsEnded));
        }
        match Command::of(text) {
            Some(Command::End) if self.may_break_off() => Err(self.surely_end()),
            Some(Command::LookUp) => Ok(Answer::LookUp(LookUp::Limits(String::new()))),
            Some(Command::Drop) if self.under_way() => {
                let line = format!("/{}", input::DROP_IT);
                let suggestions = vec![line.clone()];
                let why = match self.state.readings.len() {
                    0 => Refused::SurelyDrop { line },
                    n => Refused::SurelyDropWithReadings { n, line },
                };
                Err(Refusal {
                    why: Why::of(why),
                    suggestions,
                })
            }
            Some(command) if self.commands().contains(&command) => self.command(command),
            Some(command) => Err(not_now(command)),
            None if text.is_empty() => Ok(Answer::Show(View::Keys)),
            None if self.scans(text) => self.scanned(text),
            None => match LookUp::of(text) {
                Some(wanted) => Ok(Answer::LookUp(wanted)),
                None if designation::parse(text).is_ok() => {
                    Ok(Answer::LookUp(LookUp::Limits(text.to_owned())))
                }
                None => Err(Refusal::new(match Entered::parse(text, self.state.unit) {
                    Err(error @ EntryError::LetterForDigit { .. }) => {
                        Refused::NoReading { why: error }
                    }
                    _ => Refused::NotUnderstood {
                        text: text.to_owned(),
                    },
                })),
            },
        }
    }

    const fn under_way(&self) -> bool {
        self.state.job.is_some() && self.state.end.is_none() && self.state.parked.is_none()
    }

    /// What is stated of a certificate before the signature: its number, where another station took that meanwhile, and when and how
    /// the piece came in. None where the job is no calibration, or the line is of something else.
    fn of_certificate(&self, line: &str) -> Option<Result<Answer, Refusal>> {
        self.state.calibrating()?;
        let numbered = numbered(line).map(|number| self.calibration(Ask::Number, number));
        numbered.or_else(|| self.receipt(line))
    }

    /// The signature: who measured.
    fn sign(&self, name: &str) -> Result<Answer, Refusal> {
        if self.state.question() != Question::Sign {
            return Err(not_now(Command::Sign));
        }
        let name = match name {
            "" => self.state.signer().unwrap_or_default(),
            _ => not_a_reading(name)?,
        };
        required(name, Refused::PersonMissing).map(|person| one(Event::Closing { person }))
    }

    /// A reading named by its number in the list is taken again.
    fn retake(&self, number: usize) -> Result<Answer, Refusal> {
        let may = self.commands().contains(&Command::Retake);
        // The others are not shown, and nobody remembers them by number.
        if may && self.state.studying().is_some() && number != self.state.readings.len() {
            return Err(Refusal::new(Refused::LastAlone));
        }
        let named = number
            .checked_sub(1)
            .and_then(|index| self.state.readings.get(index))
            .filter(|_| may);
        match named {
            Some(reading) => Ok(one(Event::Retaking { of: reading.number })),
            None => Err(Refusal::new(Refused::NoSuchReading { number })),
        }
    }

    fn command(&self, command: Command) -> Result<Answer, Refusal> {
        let state = self.state;
        let nothing = || not_now(command);
        if let (Command::Retake, Question::Flagged { of }) = (command, state.question()) {
            return Ok(one(Event::Retaking { of }));
        }
        match command {
            Command::Retake => match state.readings.last() {
                Some(last) if state.readings.len() >= state.plan.len() => {
                    let flagged = state.readings.iter().find(|one| one.flag.is_some());
                    let of = flagged.unwrap_or(last).number;
                    Ok(one(Event::Retaking { of }))
                }
                Some(last) => Ok(one(Event::Retaking { of: last.number })),
                None if state.looks() => self.command(Command::Back),
                None => {
                    let before = state.piece_before();
                    let last = before.and_then(|piece| piece.readings.last());
                    last.map(|last| one(Event::Retaking { of: last.number }))
                        .ok_or_else(nothing)
                }
            },
            Command::ZeroAgain => {
                let when = match state.question() {
                    Question::Closure { when, .. } | Question::ZeroDoubt { when, .. } => when,
                    _ => self.check_of_run(),
                };
                Ok(one(Event::ZeroAgain { when }))
            }
            Command::End => match state.run().filter(|_| !self.within_piece()) {
                Some(run) => Ok(self.end_of_run(run)),
                None => Ok(one(Event::ReadingsEnded)),
            },
            Command::Next if state.run().is_some() => Ok(one(Event::CheckPutOff)),
            Command::More => Ok(one(Event::More {
                spots: self.where_more(),
            })),
            Command::Back => match state.last_answer() {
                none if none.is_empty() => Err(nothing()),
                // From the last to the first, as they would be taken back one by one.
                events => Ok(Answer::Events(
                    (events.into_iter().rev())
                        .map(|of| Event::TakenBack { of })
                        .collect(),
                )),
            },
            Command::Unit => Ok(one(Event::Unit {
                unit: state.display_unit().other(),
            })),
            Command::New => Ok(Answer::NewJob),
            Command::History => Ok(Answer::History),
            Command::Park => Ok(one(Event::Parked)),
            Command::TakeUp => Ok(Answer::TakeUp(None)),
            Command::Drop | Command::Next | Command::LookUp | Command::Sign => Err(nothing()),
        }
    }

    /// Whether readings of a piece are still to come.
    const fn within_piece(&self) -> bool {
        !self.state.readings.is_empty() && self.state.readings.len() < self.state.plan.len()
    }

    /// Where two more readings tell most: at the place that decides, or at places between those measured, where one place alone
    /// was.
    fn where_more(&self) -> Vec<Spot> {
        if let Some(around) = self.around_one_place() {
            return around;
        }
        let decides = self
            .state
            .inspect()
            .and_then(Result::ok)
            .and_then(|(job, result)| {
                let place = job.readings.get(result.governing().place?)?;
                let spots = self.state.readings.iter().map(|reading| &reading.spot);
                spots
                    .clone()
                    .find(|spot| spot.along == place.along && spot.angle == place.angle)
                    .cloned()
            });
        match decides {
            Some(spot) => vec![spot.clone(), spot],
            None => places::more(self.state.target.as_ref(), &self.state.plan, 2),
        }
    }

    /// Where all was read at one place of a part that goes all around, and that is not what is asked for: a third of half a turn on,
    /// and as far again.
    fn around_one_place(&self) -> Option<Vec<Spot>> {
        let state = self.state;
        let mut spots = state.readings.iter().map(|reading| &reading.spot);
        let first = spots.next()?;
        let of_place = state.run().and_then(|run| run.of.scope) == Some(Scope::Place);
        let is_one = spots.all(|spot| spot == first);
        let is_open = !of_place && is_one && state.target.as_ref().is_some_and(is_all_around);
        let from = first.angle.unwrap_or_default();
        is_open.then(|| {
            [60.0, 120.0]
                .map(|on| Spot {
                    along: first.along.clone(),
                    angle: Some(from + on),
                })
                .to_vec()
        })
    }

    /// An answer about the feature; with the last one it must all fit together.
    fn detail(&self, detail: Detail, line: &str) -> Result<Answer, Refusal> {
        let Some(stated) = &self.state.feature else {
            return Err(Refusal::new(Refused::NotComplete));
        };
        let answer = details::take(detail, line, stated.unit(), &self.state.details)?;
        let event = Event::Detail {
            key: detail.key().to_owned(),
            answer,
        };
        let mut with = self.state.clone();
        with.happens(&event);
        if with.next_detail().is_none() {
            let characteristic = details::characteristic(stated, &with.details)?;
            can_be_measured(&with, &characteristic)?;
        }
        Ok(one(event))
    }

    fn lot(&self, line: &str) -> Result<Answer, Refusal> {
        let text = match (line, self.offered_line()) {
            ("", Some(next)) => next,
            ("", None) => match &self.state.lot_before {
                Some((Some(lot), None)) => {
                    let lot = lot.clone();
                    return Err(Refusal::new(Refused::SampleWanted { lot }));
                }
                Some((_, Some(_))) => return Err(Refusal::new(Refused::SampleMissing)),
                _ => String::new(),
            },
            _ => not_a_reading(line)?.to_owned(),
        };
        // In a lot that is known a number alone is its next sample.
        if let Some((Some(known), _)) = &self.state.lot_before
            && is_sample(&text)
        {
            return Ok(one(Event::Lot {
                lot: Some(known.clone()),
                sample: Some(text),
            }));
        }
        Ok(one(lot(&text)))
    }

    /// What can be chosen and has nearly that identity.
    fn meant(&self, id: &str, choices: &[Choice]) -> Vec<String> {
        let kind = choices.first().map(|choice| choice.piece.equipment.kind());
        let mut nearest = self.register.nearest(kind, id);
        nearest.retain(|known| {
            let mut fit = choices.iter().filter(|choice| choice.unfit.is_none());
            fit.any(|choice| choice.id().trim() == known)
        });
        nearest
    }

    fn choose(&self, line: &str) -> Result<Answer, Refusal> {
        let choices = self.choices();
        // Whole set-ups come first in the list.
        let before = self.set_ups().len();
        let by_number = line
            .parse::<usize>()
            .ok()
            .and_then(|number| choices.get(number.checked_sub(before + 1)?));
        let chosen = match line {
            "" => choices.iter().find(|choice| choice.unfit.is_none()),
            _ => choices
                .iter()
                .find(|choice| choice.id().eq_ignore_ascii_case(line))
                .or(by_number),
        };
        match chosen {
            None if line.is_empty() => Err(Refusal::new(Refused::NothingFit)),
            None => Err(Refusal {
                suggestions: self.meant(line, &choices),
                ..no_such_piece(line)
            }),
            Some(Choice {
                piece,
                unfit: Some(why),
            }) => {
                let refused = Refused::Unfit {
                    id: piece.equipment.id().to_owned(),
                    why: why.message.clone(),
                };
                Err(Refusal::of(Why::in_unit(refused, why.unit)))
            }
            Some(choice) => match taken::events(choice.piece.with_history()) {
                none if none.is_empty() => Err(no_such_piece(line)),
                events => Ok(Answer::Events(events)),
            },
        }
    }

    fn unit(&self, line: &str) -> Result<Answer, Refusal> {
        let unit = match line {
            "" => Some(self.state.display_unit()),
            _ => line.parse().ok(),
        };
        match unit {
            Some(unit @ (LengthUnit::Millimetre | LengthUnit::Inch)) => {
                Ok(one(Event::Unit { unit }))
            }
            _ => Err(Refusal::new(Refused::UnitWanted)),
        }
    }

    /// Temperatures that the calculation will take: what it refuses is said here, where it can be put right.
    fn temperature(&self, line: &str) -> Result<Answer, Refusal> {
        let said = |answer: Option<&str>| Event::Detail {
            key: details::MATERIAL.to_owned(),
            answer: answer.map(str::to_owned),
        };
        if let Some(material) = material::named(line) {
            let temperature = Event::Temperature { temperature: None };
            return Ok(Answer::Events(vec![
                said(Some(&material.name)),
                temperature,
            ]));
        }
        let temperature = match self.offered_room().filter(|_| line.is_empty()) {
            Some(room) => Some(room.temperature.clone()),
            None => temperature(
                line,
                |id| self.thermometer(id),
                |id| taken::nearest_thermometers(self.register, id),
            )?,
        };
        let mut with = self.state.clone();
        with.temperature = Some(temperature.clone());
        match fit::trial(&with) {
            Some(Err(error)) => Err(job_refusal(&error, &with)),
            // What was said before it was taken back.
            _ if self.state.details.contains_key(details::MATERIAL) => Ok(Answer::Events(vec![
                said(None),
                Event::Temperature { temperature },
            ])),
            _ => Ok(one(Event::Temperature { temperature })),
        }
    }

    /// Temperatures that Enter takes: those read within the hour, with a thermometer that is still fit for it where one was named.
    pub(super) fn offered_room(&self) -> Option<&Room> {
        let room = self.room;
        room.filter(|room| taken::may_stand(self.register, &room.temperature, self.today))
    }

    /// The registered thermometer of this identity, where it may be used.
    fn thermometer(&self, id: &str) -> Result<Option<Box<Thermometer>>, Refusal> {
        let Some(known) = taken::thermometer(self.register, id) else {
            return Ok(None);
        };
        let unfit = self.limited(known);
        let unfit = unfit.or_else(|| fit::unfit(self.state, &known.equipment, self.today));
        if let Some(why) = unfit {
            let refused = Refused::Unfit {
                id: known.equipment.id().to_owned(),
                why: why.message,
            };
            return Err(Refusal::of(Why::in_unit(refused, why.unit)));
        }
        Ok(taken::reads(known.with_history()))
    }

    fn closure(&self, line: &str, when: When, again: bool, by: By) -> Result<Answer, Refusal> {
        let reading = self.reading(line)?;
        if let Some(standard) = &self.state.standard
            && (reading.value() - standard.size.value()).abs() > FAR_FROM_STANDARD
        {
            if let Some(refusal) = self.in_other_unit(&reading) {
                return Err(refusal);
            }
            let error = JobError::ZeroFarFromStandard {
                reading,
                standard: standard.size.clone(),
            };
            return Err(job_refusal(&error, self.state));
        }
        let closure = Event::Closure { when, reading, by };
        Ok(Answer::Events(if again {
            vec![Event::ZeroAgain { when }, closure]
        } else {
            vec![closure]
        }))
    }

    /// Words that say why something in doubt may stand. What is scanned by mistake is none: the code of an order, a gauge, a piece.
    fn reason(&self, line: &str, missing: Refused) -> Result<String, Refusal> {
        if line.chars().count() < SHORTEST_REASON {
            return Err(Refusal::new(missing));
        }
        if !is_in_words(line) || self.is_identity(line) {
            let line = line.to_owned();
            return Err(Refusal::new(Refused::NoReason { line }));
        }
        Ok(line.to_owned())
    }

    /// Whether a text is what a piece of the register, the lot, the drawing or the part is called.
    fn is_identity(&self, text: &str) -> bool {
        let state = self.state;
        let is_it = |known: &str| known.trim().to_lowercase() == text.to_lowercase();
        let (lot, sample) = state.lot.clone().unwrap_or_default();
        let drawing = state.drawing.clone().flatten();
        let of_job = [lot, sample, drawing, state.name.clone()];
        of_job.into_iter().flatten().any(|known| is_it(&known)) || self.register.knows(text)
    }

    /// A reading in the place of another.
    fn again(&self, line: &str, of: u64) -> Result<Entered, Refusal> {
        let index = self.state.readings.iter().position(|one| one.number == of);
        match index.filter(|_| self.state.calibrating().is_some()) {
            Some(index) => self.on_standard(line, index),
            None => self.part_reading(line, Some(of)),
        }
    }

    /// A reading of the part.
    fn part_reading(&self, line: &str, instead_of: Option<u64>) -> Result<Entered, Refusal> {
        let reading = self.reading(line)?;
        match self.part_in_other_unit(&reading, instead_of) {
            Some(refusal) => Err(refusal),
            None => Ok(reading),
        }
    }

    /// A number as the micrometer shows it: in the unit of the job, and within its range.
    fn reading(&self, line: &str) -> Result<Entered, Refusal> {
        let (Some(unit), Some(instrument)) = (self.state.unit, &self.state.instrument) else {
            return Err(Refusal::new(Refused::NotComplete));
        };
        let reading = shown(line, unit)?;
        let [from, to] = &instrument.range;
        if reading.value() < from.value() || reading.value() > to.value() {
            if let Some(refusal) = self.in_other_unit(&reading) {
                return Err(refusal);
            }
            return Err(Refusal::new(Refused::CannotShow {
                id: instrument.id.clone(),
                from: from.clone(),
                to: to.clone(),
                text: reading.text().to_owned(),
            }));
        }
        Ok(reading)
    }
}

/// A cable sends Enter; a signature wants a key of its own.
fn unsigned(line: &str) -> Result<Answer, Refusal> {
    match not_a_reading(line)? {
        "" => Err(Refusal::new(Refused::NotSigned)),
        name => Err(Refusal {
            suggestions: vec![format!("/{} {name}", Command::Sign.word())],
            ..Refusal::new(Refused::NotSignedBy {
                name: name.to_owned(),
            })
        }),
    }
}

/// `number IN-7`: another number of the certificate.
fn numbered(line: &str) -> Option<&str> {
    let (word, number) = line.split_once(char::is_whitespace)?;
    (word == Ask::Number.key()).then_some(number.trim())
}

/// A number as a micrometer shows it that counts in this unit.
fn shown(line: &str, unit: LengthUnit) -> Result<Entered, Refusal> {
    if line.is_empty() {
        return Err(Refusal::new(Refused::ReadingMissing));
    }
    let reading =
        Entered::parse(line, Some(unit)).map_err(|why| Refusal::new(Refused::NoReading { why }))?;
    if reading.unit() != unit {
        return Err(Refusal::new(Refused::OtherUnit {
            text: reading.text().to_owned(),
            unit,
        }));
    }
    Ok(reading)
}

/// Whether a text is words, as a reason is: two at least, of letters alone. A code that is scanned is one word, or has digits.
fn is_in_words(text: &str) -> bool {
    let words = text.split_whitespace();
    let words = words.map(|word| word.trim_matches(|c: char| c.is_ascii_punctuation()));
    let is_word =
        |word: &&str| word.chars().count() > 1 && !word.contains(|c: char| c.is_numeric());
    words.filter(is_word).count() > 1
}

/// The sample that follows, where it is known: a part without a lot is followed by one without.
fn next_lot(kept: &Kept) -> Option<Event> {
    if kept.lot.is_none() && kept.sample.is_none() {
        return Some(Event::Lot {
            lot: None,
            sample: None,
        });
    }
    let next = next_sample(kept.lot.as_deref(), kept.sample.as_deref())?;
    Some(lot(&next))
}

/// `cs-118 / 4 of 12`.
fn lot(text: &str) -> Event {
    let (lot, sample) = text.split_once('/').unwrap_or((text, ""));
    Event::Lot {
        lot: optional(lot),
        sample: optional(sample),
    }
}

fn not_now(command: Command) -> Refusal {
    Refusal::new(Refused::NotNow {
        word: command.word().to_owned(),
    })
}

fn no_such_piece(line: &str) -> Refusal {
    Refusal::new(Refused::NoSuchPiece {
        text: line.to_owned(),
    })
}

fn one(event: Event) -> Answer {
    Answer::Events(vec![event])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answer(line: &str) -> Result<Answer, Refusal> {
        let table = Table {
            state: &State::default(),
            register: &Register::default(),
            today: jiff::civil::date(2026, 3, 9),
            last_part: None,
            room: None,
            parked_jobs: false,
            blocks: &[],
            proposals: &Proposals::default(),
        };
        table.answer(line, By::Keyboard)
    }

    #[test]
    fn the_first_answer_is_a_thread_or_a_size() {
        let first = answer;
        assert!(matches!(first("M10x1.5-6g"), Ok(Answer::Events(_))));
        let Ok(Answer::Events(events)) = first("shank 8,90 to 8,95 mm") else {
            panic!("{:?}", first("shank 8,90 to 8,95 mm"));
        };
        assert!(format!("{events:?}").contains("shank"), "{events:?}");
        let wrong = first("M10x1.7-6g").unwrap_err();
        assert!(!wrong.why.message.code.is_empty());
        for number in ["8.93", "8,93 mm", "0.3515in"] {
            let stray = first(number).unwrap_err();
            assert_eq!(stray.why.message.code, "bench.number-alone", "{stray:?}");
        }
        let quarter = first("0.25").unwrap_err();
        assert!(
            quarter.suggestions.iter().any(|one| one.contains("20 UNC")),
            "{quarter:?}"
        );
        let nut = first("M10x1.5-6H").unwrap_err();
        assert!(format!("{nut:?}").contains("contacts-unfit.internal-thread"));
    }

    #[test]
    fn a_number_is_no_name_and_a_rule_may_have_a_space() {
        let with = |lines: &[&str]| {
            let mut state = State::default();
            for line in lines {
                let table = Table {
                    state: &state,
                    register: &Register::default(),
                    today: jiff::civil::date(2026, 3, 9),
                    last_part: None,
                    room: None,
                    parked_jobs: false,
                    blocks: &[],
                    proposals: &Proposals::default(),
                };
                match table.answer(line, By::Keyboard)? {
                    Answer::Events(events) => events.iter().for_each(|event| state.happens(event)),
                    other => panic!("{other:?}"),
                }
            }
            Ok::<State, Refusal>(state)
        };
        for before in [
            vec!["M10x1.5-6g"],
            vec!["M10x1.5-6g", "screw"],
            vec!["M10x1.5-6g", "screw", ""],
        ] {
            let stray = [before.as_slice(), &["0.5001"]].concat();
            let refused = with(&stray).err().unwrap();
            assert_eq!(refused.why.message.code, "bench.number-for-name");
        }
        assert!(with(&["M10x1.5-6g", "screw 12", "4711", "118 / 4"]).is_ok());
        let state = with(&["M10x1.5-6g", "screw", "", "", "ISO 14253-1"]).unwrap();
        assert_eq!(state.rule.unwrap().name, "iso14253-1");
    }

    #[test]
    fn tables_are_looked_up_at_any_question() {
        for (line, wanted) in [
            ("limits M8", LookUp::Limits("M8".into())),
            ("/limits M8", LookUp::Limits("M8".into())),
            ("Wires M8", LookUp::Wires("M8".into())),
            ("/gauges M8-6H", LookUp::Gauges("M8-6H".into())),
            (
                "identify 7.9mm 1.25mm",
                LookUp::Identify("7.9mm 1.25mm".into()),
            ),
        ] {
            assert_eq!(answer(line), Ok(Answer::LookUp(wanted)), "{line}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_line_is_answered(line in "\\PC{0,80}") {
            let _ = answer(&line);
        }
    }
}
