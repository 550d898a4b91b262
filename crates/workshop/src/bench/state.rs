//! What the events of a job add up to.

use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use metrology::inspection::{
    Approved, Characteristic, ContactKind, Contacts, DefaultName, FormHistory, Instrument,
    RuleName, Service, Standard, Target, Temperature, Usual, Warning, WireSet, drift_limit,
    takes_wires,
};
use metrology::units::{Entered, Length, LengthUnit};

use super::details;
use super::event::{Answers, By, Event, Kept, Stated, When};
use super::places::{self, Spot};
use super::procedure::Procedure;
use super::question::Question;
pub use super::reading::{Flag, Reading};
use super::run::Stop;
use super::said;
use super::zero::{Check, Closure, Progress};
use crate::approvals::Approvals;
use crate::last_zero::LastZero;
use crate::register::Register;
use crate::station;

/// The same reading again within this time is asked about: a cable that sends twice (a proposal, no source).
pub(super) const SENT_TWICE: SignedDuration = SignedDuration::from_millis(300);
/// The fewest readings that a job may be ended with.
pub const FEWEST_READINGS: usize = 3;

/// A job as it stands.
#[derive(Clone, Debug, Default)]
pub struct State {
    /// Its number; none before its first answer.
    pub job: Option<u64>,
    /// What is done.
    pub procedure: Procedure,
    /// The number of its last event.
    pub number: u64,
    pub characteristic: Option<Characteristic>,
    /// The feature that was named, where it is one, and what was answered of it.
    pub feature: Option<Stated>,
    pub details: Answers,
    /// The limits that follow from it.
    pub target: Option<Target>,
    pub name: Option<String>,
    /// Outside: whether it was asked. Inside: whether there is one.
    pub drawing: Option<Option<String>>,
    pub lot: Option<(Option<String>, Option<String>)>,
    /// Lot and sample of the part before, where this is the next of a lot.
    pub lot_before: Option<(Option<String>, Option<String>)>,
    pub rule: Option<RuleName>,
    pub service: Option<Option<Service>>,
    pub instrument: Option<Instrument>,
    pub contacts: Option<Contacts>,
    pub wires: Option<WireSet>,
    pub standard: Option<Standard>,
    pub unit: Option<LengthUnit>,
    pub temperature: Option<Option<Temperature>>,
    pub before: Check,
    pub after: Check,
    /// When the micrometer was last closed on the standard.
    pub checked_at: Option<Timestamp>,
    /// Whether the opening check is the closing check of the part before.
    pub zero_kept: bool,
    /// Places to be measured, in order; the readings stand in the same order.
    pub plan: Vec<Spot>,
    /// Places of the plan that were left out when the readings were ended.
    pub left_out: Vec<Spot>,
    pub readings: Vec<Reading>,
    /// The reading that looks like a mistake since the last answer, by its number.
    pub newly_flagged: Option<u64>,
    /// The reading that is to be taken again now.
    pub retaking: Option<u64>,
    pub verdict_seen: bool,
    /// Who signed, and who measured the part before.
    pub person: Option<String>,
    pub person_before: Option<String>,
    /// Who recorded last on this ledger.
    pub last_person: Option<String>,
    pub end: Option<End>,
    /// Since when it is parked, where it is.
    pub parked: Option<Timestamp>,
    /// Where and from when to when it was parked before.
    pub was_parked: Vec<Parking>,
    /// What the laboratory has approved.
    pub laboratory: Approvals,
    /// What is registered today: a verdict that its status withholds on the record is none before it.
    pub register: Option<Arc<Register>>,
    /// Today, as the job is looked at.
    pub today: Date,
    /// Form of the part that its earlier records show.
    pub form_history: Option<FormHistory>,
    /// Where the zero of the set-up last stood.
    pub last_zero: Option<LastZero>,
    /// What was answered and can be taken back, with its time, the latest last.
    pub(super) answered: Vec<(u64, Timestamp)>,
    /// The answer that was just taken back, as the line that would give it again.
    pub said_before: Option<String>,
    /// What was found of it so far.
    pub(super) found: Arc<Found>,
    /// When something happened last, and where the clock went back in between: from when, and to when.
    pub last_at: Option<Timestamp>,
    pub went_back: Option<(Timestamp, Timestamp)>,
}

/// What takes an estimate or more to find out, and is asked for at every look at a job: found once, for all copies of a state.
#[derive(Debug, Default)]
pub(super) struct Found {
    /// What is asked of the zero, by the opening check and by both.
    pub zero_far: [OnceLock<Option<Warning>>; 2],
    /// Whether the verdict hangs on how the thread was made.
    pub made_matters: OnceLock<bool>,
    /// Why a run stops at the piece under the contacts.
    pub stop: OnceLock<Option<Stop>>,
}

/// How a job ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum End {
    /// On the record, under this name.
    Recorded(String),
    Dropped,
    /// A run was ended; its pieces are on the record.
    RunEnded,
}

/// What came of adding what happened since.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GoneOn {
    Added,
    /// Something before was taken back.
    TakenBack,
}

/// A time that a job was parked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parking {
    pub station: String,
    pub from: Timestamp,
    pub to: Timestamp,
}

impl State {
    /// Adds the events up. An event that makes no sense where it stands is passed over: the others still hold.
    pub fn of(job: u64, events: &[(u64, Timestamp, Event)]) -> Self {
        let mut state = Self {
            job: Some(job),
            ..Self::default()
        };
        let taken_back: BTreeSet<u64> = events
            .iter()
            .filter_map(|(_, _, event)| event.takes_back())
            .collect();
        state.add(events, &taken_back);
        state.said_before = said_before(events);
        state.examine();
        state
    }

    /// Adds what happened since, as if all had been added up at once. Nothing is added where something was taken back: then
    /// all is to be added up anew.
    pub fn go_on(&mut self, since: &[(u64, Timestamp, Event)]) -> GoneOn {
        if since
            .iter()
            .any(|(_, _, event)| event.takes_back().is_some())
        {
            return GoneOn::TakenBack;
        }
        if !since.is_empty() {
            // What they look like is found when all is added.
            for reading in &mut self.readings {
                reading.flag = None;
            }
            self.add(since, &BTreeSet::new());
            self.said_before = None;
            self.examine();
        }
        GoneOn::Added
    }

    fn add(&mut self, events: &[(u64, Timestamp, Event)], taken_back: &BTreeSet<u64>) {
        for (number, at, event) in events {
            self.number = *number;
            if let Some(before) = self.last_at.replace(*at).filter(|before| before > at) {
                self.went_back = Some((before, *at));
            }
            if !taken_back.contains(number) {
                if event.may_be_taken_back() {
                    self.answered.push((*number, *at));
                }
                self.take(*number, *at, event);
            }
        }
    }

    /// The state with one more event, to see what would come of it.
    pub fn happens(&mut self, event: &Event) {
        self.take(self.number + 1, Timestamp::UNIX_EPOCH, event);
    }

    /// Finds anew what hangs on what is known beside the events, after that was changed.
    pub fn look_again(&mut self) {
        self.found = Arc::default();
    }

    fn take(&mut self, number: u64, at: Timestamp, event: &Event) {
        self.look_again();
        if *event == Event::ReadingsEnded && self.ends_run() {
            return;
        }
        match event {
            Event::Begun { keeps: Some(kept) } => self.keep(kept),
            Event::Characteristic { characteristic } => self.measure(characteristic.clone()),
            Event::Feature { stated } => {
                self.feature = Some(stated.clone());
                self.know();
            }
            Event::Detail { key, answer } => {
                self.say(key, answer.as_deref());
                self.know();
            }
            Event::Name { name } => self.name = Some(name.clone()),
            Event::Drawing { drawing } => self.drawing = Some(drawing.clone()),
            Event::Lot { lot, sample } => self.lot = Some((lot.clone(), sample.clone())),
            Event::Rule { rule } => self.rule = Some(rule.clone()),
            Event::Service { service } => self.service = Some(*service),
            Event::Instrument { instrument } => self.instrument = Some(instrument.clone()),
            Event::Contacts { contacts } => self.contacts = Some(contacts.clone()),
            Event::Wires { wires } => self.wires = Some(wires.clone()),
            Event::Standard { standard } => self.standard = Some(standard.clone()),
            Event::Unit { unit } => self.unit = Some(*unit),
            Event::Temperature { temperature } => self.temperature = Some(temperature.clone()),
            Event::Closure { when, reading, by } => {
                self.checked_at = Some(at);
                self.check_mut(*when).closures.push(Closure {
                    reading: reading.clone(),
                    by: *by,
                    set_aside: false,
                });
            }
            Event::ZeroAgain { when } => {
                self.zero_kept &= *when != When::Before;
                self.check_mut(*when).set_aside();
            }
            Event::ZeroAccepted { when, reason } => {
                self.check_mut(*when).accepted = Some(reason.clone());
            }
            Event::Reading { spot, reading, by } => self.readings.push(Reading {
                number,
                at,
                spot: spot.clone(),
                shown: reading.clone(),
                by: *by,
                earlier: Vec::new(),
                flag: None,
                left: None,
            }),
            Event::Retaking { of } => self.retaking = Some(*of),
            Event::Retaken { of, reading, by } => {
                self.retaking = None;
                if let Some(found) = self.reading_mut(*of) {
                    let before = std::mem::replace(&mut found.shown, reading.clone());
                    found.earlier.push(before);
                    (found.number, found.at, found.by) = (number, at, *by);
                    found.left = None;
                }
            }
            Event::StandsAsRead { .. } => self.retaking = None,
            Event::LeftAsRead { of, reason } => {
                if let Some(found) = self.reading_mut(*of) {
                    found.left = Some(reason.clone());
                }
            }
            Event::More { spots } => {
                self.plan.truncate(self.readings.len());
                self.plan.extend(spots.iter().cloned());
                self.verdict_seen = false;
            }
            Event::ReadingsEnded => {
                let measured = self.readings.len().min(self.plan.len());
                self.left_out = self.plan.split_off(measured);
            }
            Event::VerdictSeen => self.verdict_seen = true,
            Event::Parked => self.parked = Some(at),
            Event::TakenUp { parked_at } => {
                if let Some(from) = self.parked.take() {
                    self.was_parked.push(Parking {
                        station: parked_at.clone(),
                        from,
                        to: at,
                    });
                }
            }
            Event::Closing { person } => self.person = Some(person.clone()),
            Event::Recorded { entry } => self.end = Some(End::Recorded(entry.clone())),
            Event::Dropped => self.end = Some(End::Dropped),
            Event::RunEnded => self.end = Some(End::RunEnded),
            // What happens in a run, a calibration or a study alone is taken below; what was taken back, not at all.
            _ => {}
        }
        self.take_in_run(number, at, event);
        self.take_in_calibration(event);
        self.take_in_study(event);
    }

    pub(super) fn measure(&mut self, characteristic: Characteristic) {
        self.target = Target::of(&characteristic).ok();
        if let Some(target) = &self.target {
            self.plan = places::usual(target, &self.sections());
        }
        self.characteristic = Some(characteristic);
    }

    /// Distances along the part that were stated.
    fn sections(&self) -> Vec<String> {
        let said = self.details.get(details::SECTIONS);
        let unit = self.feature.as_ref().map(Stated::unit);
        said.zip(unit)
            .and_then(|(said, unit)| details::sections(&said.text, unit).ok())
            .unwrap_or_default()
    }

    /// One more answer of the feature; a list goes on until nothing is said.
    fn say(&mut self, key: &str, answer: Option<&str>) {
        let feature = self
            .feature
            .as_ref()
            .and_then(|stated| stated.feature.as_deref());
        let is_list = details::of(feature.unwrap_or_default())
            .any(|detail| detail.key() == key && detail.is_list());
        let said = self.details.entry(key.to_owned()).or_default();
        said.done = !is_list || answer.is_none();
        let answer = answer.unwrap_or_default();
        let all = if is_list {
            format!("{} {answer}", said.text)
        } else {
            answer.to_owned()
        };
        all.trim().clone_into(&mut said.text);
    }

    /// Measures the feature as soon as all is known of it.
    fn know(&mut self) {
        let Some(stated) = &self.feature else {
            return;
        };
        if self.next_detail().is_none()
            && let Ok(characteristic) = details::characteristic(stated, &self.details)
        {
            self.measure(characteristic);
        }
    }

    /// What is to be asked of the feature next.
    pub fn next_detail(&self) -> Option<details::Detail> {
        details::next(self.feature.as_ref()?.feature.as_deref()?, &self.details)
    }

    /// What the micrometer counts in, as far as that is known.
    pub fn display_unit(&self) -> LengthUnit {
        let of_range = self
            .instrument
            .as_ref()
            .map(|instrument| instrument.range[0].unit());
        self.unit.or(of_range).unwrap_or(LengthUnit::Millimetre)
    }

    /// Whether wires lie between the faces and the thread: flat faces do not reach its pitch diameter by themselves.
    pub fn over_wires(&self) -> bool {
        let flat = self
            .contacts
            .as_ref()
            .is_some_and(|contacts| contacts.kind == ContactKind::Flat);
        flat && self.target.as_ref().is_some_and(takes_wires)
    }

    fn keep(&mut self, kept: &Kept) {
        match &kept.feature {
            Some((stated, answers)) => {
                self.details.clone_from(answers);
                if stated.feature.is_some() {
                    self.feature = Some(stated.clone());
                    self.know();
                } else {
                    self.measure(kept.characteristic.clone());
                }
            }
            None => self.measure(kept.characteristic.clone()),
        }
        self.service = Some(kept.service);
        self.wires.clone_from(&kept.wires);
        self.name = Some(kept.name.clone());
        self.drawing = Some(kept.drawing.clone());
        self.lot_before = Some((kept.lot.clone(), kept.sample.clone()));
        self.rule = Some(kept.rule.clone());
        self.instrument = Some(kept.instrument.clone());
        self.contacts = Some(kept.contacts.clone());
        self.standard = Some(kept.standard.clone());
        self.unit = Some(kept.unit);
        self.temperature = Some(kept.temperature.clone());
        self.person_before = Some(kept.person.clone());
        self.keep_zero(&kept.zero);
    }

    /// The closing check of the job before is the opening check of this one.
    pub(super) fn keep_zero(&mut self, readings: &[Entered]) {
        self.zero_kept = !readings.is_empty();
        let closure = |reading: &Entered| Closure {
            reading: reading.clone(),
            by: By::Keyboard,
            set_aside: false,
        };
        self.before.closures = readings.iter().map(closure).collect();
    }

    fn check_mut(&mut self, when: When) -> &mut Check {
        match when {
            When::Before => &mut self.before,
            When::After => &mut self.after,
        }
    }

    fn reading_mut(&mut self, number: u64) -> Option<&mut Reading> {
        self.readings
            .iter_mut()
            .find(|reading| reading.number == number)
    }

    /// The reading that came with an event.
    pub fn reading(&self, number: u64) -> Option<&Reading> {
        self.readings
            .iter()
            .find(|reading| reading.number == number)
    }

    /// The unit that the drawing states the size in.
    pub fn drawing_unit(&self) -> LengthUnit {
        let target = self.target.as_ref();
        target.map_or(LengthUnit::Millimetre, |target| target.unit)
    }

    /// Indicated less certified on the standard, by the opening check.
    pub fn zero_error(&self) -> Option<Length> {
        let certified = self.standard.as_ref()?.size.value();
        let error = self.before.error(certified, None)?;
        Length::nearest_mm(error.value).ok()
    }

    /// The step of the display, where it is stated.
    pub(super) fn step_of_display(&self) -> Option<&Entered> {
        self.instrument.as_ref()?.resolution.as_ref()
    }

    /// How far a check of the zero is; none before there is a standard.
    pub fn progress(&self, when: When) -> Option<Progress> {
        let certified = self.standard.as_ref()?.size.value();
        let limit = self.drift_limit()?;
        let asked = || self.zero_asked(when);
        let (check, before) = match when {
            When::Before => (&self.before, None),
            When::After => (&self.after, Some(&self.before)),
        };
        let step = self.step_of_display();
        Some(check.progress(certified, step, limit, before, &asked))
    }

    /// What is asked of a zero that is not where it stood, or far off, unless the reason given for the opening check has
    /// answered it.
    fn zero_asked(&self, when: When) -> Option<Warning> {
        if when == When::After
            && self.before.accepted.is_some()
            && self.zero_far(When::Before).is_some()
        {
            return None;
        }
        self.zero_far(when)
    }

    /// The day of the measurement, by which approvals count: that of the first reading, and today before there is one.
    pub fn day(&self) -> Date {
        let first = self.readings.first();
        first.map_or(self.today, |first| station::day(first.at))
    }

    /// Values that the laboratory approved in the place of defaults, as they stand for this measurement.
    pub fn approved(&self) -> Vec<Approved> {
        self.laboratory.in_force(self.day()).defaults()
    }

    /// The drift of the zero that is put up with, as the result will have it: the laboratory's where it is approved.
    pub fn drift_limit(&self) -> Option<Length> {
        let approved = self.approved();
        let usual = Usual::among(&approved, DefaultName::DriftLimit, self.day());
        Some(drift_limit(None, &usual, self.unit?))
    }

    /// The one thing that is asked now.
    pub fn question(&self) -> Question {
        match &self.end {
            Some(End::Recorded(_)) => return Question::Recorded,
            Some(End::Dropped | End::RunEnded) => return Question::Dropped,
            None => {}
        }
        let question = self.next_question();
        match self.parked {
            Some(_) => Question::Parked {
                step: question.step(),
            },
            None => question,
        }
    }

    /// Whether the job is no part's: a calibration or a study, which no next part follows.
    pub const fn is_of_gauge_room(&self) -> bool {
        matches!(
            self.procedure,
            Procedure::Calibration(_) | Procedure::Study(_)
        )
    }

    /// What is asked of a job that has no end yet, parked or not.
    fn next_question(&self) -> Question {
        match &self.procedure {
            Procedure::Inspection => self.inspection_question(),
            Procedure::Run(run) => self.run_question(run),
            Procedure::Calibration(calibrating) => self.calibration_question(calibrating),
            Procedure::Study(_) => self.study_question(),
        }
    }

    /// What is still to be chosen before the zero is checked.
    pub(super) fn set_up_question(&self) -> Option<Question> {
        let unanswered = [
            (self.instrument.is_none(), Question::Instrument),
            (self.contacts.is_none(), Question::Contacts),
            (self.wires.is_none() && self.over_wires(), Question::Wires),
            (self.standard.is_none(), Question::Standard),
            (self.unit.is_none(), Question::Unit),
            (self.temperature.is_none(), Question::Temperature),
        ];
        let mut unanswered = unanswered.into_iter();
        unanswered
            .find(|(open, _)| *open)
            .map(|(_, question)| question)
    }

    pub(super) fn check_question(&self, when: When) -> Option<Question> {
        match self.progress(when)? {
            Progress::Closing { number } => Some(Question::Closure { when, number }),
            Progress::InDoubt(doubt) => Some(Question::ZeroDoubt { when, doubt }),
            Progress::Done => None,
        }
    }

    pub(super) fn reading_question(&self) -> Option<Question> {
        if let Some(of) = self.retaking.filter(|of| self.reading(*of).is_some()) {
            return Some(Question::Again { of });
        }
        if self.readings.len() < self.plan.len() {
            return Some(Question::Reading {
                index: self.readings.len(),
            });
        }
        if !self.may_be_read_again() {
            return None;
        }
        self.readings
            .iter()
            .find(|reading| reading.flag.is_some() && reading.left.is_none())
            .map(|flagged| Question::Flagged { of: flagged.number })
    }

    /// Whether places can be read again or added: the closing check has not begun.
    pub(super) fn may_be_read_again(&self) -> bool {
        self.after.closures.is_empty() && !self.verdict_seen
    }

    /// Who signs, unless another name is typed.
    pub fn signer(&self) -> Option<&str> {
        let before = self.person_before.as_deref();
        before.or(self.last_person.as_deref())
    }

    /// The events of the latest answer that can be taken back here, the first first.
    pub fn last_answer(&self) -> Vec<u64> {
        // Once the micrometer has been closed, what it was closed with stands.
        // After the readings of a calibration more is asked, and can be taken back up to them.
        let last = self.answered.last().map_or(0, |(number, _)| *number);
        let after_readings = self.calibrating().is_some()
            && self.person.is_none()
            && self.readings.iter().all(|one| one.number < last);
        let untouched = (self.readings.is_empty() || after_readings)
            && (self.before.standing().is_empty() || self.zero_kept)
            && self.end.is_none()
            && self.parked.is_none();
        let Some((_, latest)) = self.answered.last().filter(|_| untouched) else {
            return Vec::new();
        };
        // What one answer makes happens at one time.
        let of_it = self.answered.iter().filter(|(_, at)| at == latest);
        of_it.map(|(number, _)| *number).collect()
    }

    /// When an answer was given that can be taken back.
    pub fn answered_at(&self, number: u64) -> Option<Timestamp> {
        let mut answered = self.answered.iter();
        let found = answered.find(|(of, _)| *of == number);
        found.map(|(_, at)| *at)
    }

    /// Answers that hold for the next part too.
    fn details_of_every_part(&self, stated: &Stated) -> Answers {
        let feature = stated.feature.as_deref().unwrap_or_default();
        let asked_again = |key: &str| {
            details::of(feature).any(|detail| detail.key() == key && detail.asked.of_each_part)
        };
        let mut answers = self.details.clone();
        answers.retain(|key, _| !asked_again(key));
        answers
    }

    /// The feature with what is known of every such part; of anything else what was said beside it.
    fn stated_for_next(&self) -> Option<(Stated, Answers)> {
        match &self.feature {
            Some(stated) => Some((stated.clone(), self.details_of_every_part(stated))),
            None if self.details.is_empty() => None,
            None => Some((Stated::nothing(), self.details.clone())),
        }
    }

    /// What the next part of the lot keeps.
    pub fn kept(&self) -> Option<Kept> {
        let (lot, sample) = self.lot.clone()?;
        let good =
            self.progress(When::After) == Some(Progress::Done) && self.after.accepted.is_none();
        Some(Kept {
            job: self.job?,
            characteristic: self.characteristic.clone()?,
            feature: self.stated_for_next(),
            name: self.name.clone()?,
            drawing: self.drawing.clone()?,
            lot,
            sample,
            rule: self.rule.clone()?,
            service: self.service.flatten(),
            instrument: self.instrument.clone()?,
            contacts: self.contacts.clone()?,
            wires: self.wires.clone().filter(|_| self.over_wires()),
            standard: self.standard.clone()?,
            unit: self.unit?,
            temperature: self.temperature.clone()?,
            zero: if good {
                self.after.standing()
            } else {
                Vec::new()
            },
            person: self.person.clone()?,
        })
    }
}

/// The answer that was taken back last, as the line that would give it again.
fn said_before(events: &[(u64, Timestamp, Event)]) -> Option<String> {
    // Taken back from the last to the first.
    let Some((_, _, Event::TakenBack { of: first })) = events.last() else {
        return None;
    };
    let mut of_it = events.iter().skip_while(|(number, _, _)| number != first);
    let (_, at, event) = of_it.next()?;
    let with_it = of_it.take_while(|(_, other, _)| other == at);
    // A set-up that was taken as a whole is proposed again; what only follows from an answer goes with it.
    let alone = with_it
        .filter(|(_, _, event)| !matches!(event, Event::Unit { .. } | Event::Temperature { .. }))
        .count()
        == 0;
    said::line(event).filter(|_| alone)
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;
    use metrology::inspection::{Amount, Approval};

    use super::*;
    use crate::approvals::Approving;
    use crate::bench::question::Step;
    use crate::bench::story::Story;
    use crate::bench::{Answer, notes};

    /// An approved drift limit of 5 µm from January to June: before and after it the zero is held to the usual 2 µm.
    #[test]
    fn before_the_first_reading_approvals_count_by_today() {
        let approved = Approved {
            what: DefaultName::DriftLimit,
            value: Amount::Length(Entered::parse("5um", None).unwrap()),
            approval: Approval {
                evidence: "study 12".to_owned(),
                person: "A. Quill".to_owned(),
                on: date(2026, 1, 10),
                review_due: date(2026, 6, 30),
            },
        };
        let limit = |today: Date| {
            let state = State {
                laboratory: Approvals::of(vec![Approving::Default(approved.clone())]),
                unit: Some(LengthUnit::Millimetre),
                today,
                ..State::default()
            };
            state.drift_limit().unwrap()
        };
        let um = Length::from_micrometres;
        assert_eq!(limit(date(2026, 1, 9)), um(2));
        assert_eq!(limit(date(2026, 1, 10)), um(5));
        assert_eq!(limit(date(2026, 6, 30)), um(5));
        assert_eq!(limit(date(2026, 7, 1)), um(2));
    }

    /// A parked job keeps all that it had, asks for nothing, and goes on where it stood; its record says that it was parked.
    #[test]
    fn a_parked_job_goes_on_where_it_stood() {
        let folder = std::env::temp_dir().join(format!("midflank-park-{}", std::process::id()));
        let ledger = ledger::Ledger::open(folder.join("ledger.db")).unwrap();
        let mut story = Story::begin(&ledger);
        story.tell("M10x1.5-6g").unwrap();
        let before = story.state();
        assert_eq!(
            story.tell("/park").unwrap(),
            Answer::Events(vec![Event::Parked])
        );
        let parked = story.state();
        assert_eq!(parked.question(), Question::Parked { step: Step::Part });
        assert!(parked.target.is_some());
        assert!(parked.last_answer().is_empty());
        for line in ["screw", "8.929", "/park", "/back", "/drop it", "/new"] {
            assert!(story.tell(line).is_err(), "{line}");
        }
        assert_eq!(story.tell("").unwrap(), Answer::TakeUp(Some(1)));
        assert_eq!(story.tell("/take 7").unwrap(), Answer::TakeUp(Some(7)));
        assert_eq!(story.tell("/take").unwrap(), Answer::TakeUp(None));
        story.happens(Event::TakenUp {
            parked_at: "line 2".to_owned(),
        });
        let on = story.state();
        assert_eq!(on.question(), before.question());
        assert_eq!(on.last_answer(), before.last_answer());
        let told = format!("{:?}", notes::of(&on));
        assert!(told.contains("line 2"), "{told}");
        std::fs::remove_dir_all(folder).unwrap();
    }
}
