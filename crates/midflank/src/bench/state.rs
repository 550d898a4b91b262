//! What the events of a job add up to.

use std::collections::BTreeSet;

use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use metrology::inspection::{
    Characteristic, ContactKind, Contacts, DefaultName, Form, FormHistory, Inspection, Instrument,
    Job, JobError, Left, Near, Overrides, OwnUncertainty, Part, Place, Plausible, Prior, RuleName,
    Service, Standard, Struck, Target, Temperature, Usual, Warning, WireSet, Zero, drift_limit,
    examine, inspect, takes_wires, zero_in_doubt,
};
use metrology::limits::Limits;
use metrology::message::Value;
use metrology::units::{Entered, Length, LengthUnit};

use super::details::{self, Answers};
use super::event::{By, Event, Kept, When};
use super::fit;
use super::notes;
use super::places::{self, Spot};
use super::question::Question;
use super::said;
use super::stated::Stated;
use super::words;
use super::zero::{CLOSURES, Check, Closure, Progress};
use crate::approvals::{Approvals, SetUp};
use crate::last_zero::LastZero;
use crate::record::to_second;
use crate::station;

/// The same reading again within this time is asked about: a cable that sends twice (a proposal, no source).
const SENT_TWICE: SignedDuration = SignedDuration::from_millis(300);
/// The fewest readings that a job may be ended with.
pub const FEWEST_READINGS: usize = 3;

/// A job as it stands.
#[derive(Clone, Debug, Default)]
#[expect(clippy::option_option, reason = "asked or not, and then there or not")]
pub struct State {
    /// Its number; none before its first answer.
    pub job: Option<u64>,
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
    /// The reading that is to be taken again now.
    pub retaking: Option<u64>,
    pub verdict_seen: bool,
    /// Who measured, or who measured the part before.
    pub person: Option<String>,
    pub person_before: Option<String>,
    pub end: Option<End>,
    /// What the laboratory has approved.
    pub laboratory: Approvals,
    /// Form of the part that its earlier records show.
    pub form_history: Option<FormHistory>,
    /// Where the zero of the set-up last stood.
    pub last_zero: Option<LastZero>,
    /// Answers that can be taken back, the latest last.
    pub(super) answered: Vec<u64>,
    /// The answer that was just taken back, as the line that would give it again.
    pub said_before: Option<String>,
    /// When something happened last, and where the clock went back in between: from when, and to when.
    pub last_at: Option<Timestamp>,
    pub went_back: Option<(Timestamp, Timestamp)>,
}

/// How a job ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum End {
    /// On the record, under this name.
    Recorded(String),
    Dropped,
}

/// A reading of the part, as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The event that it came with.
    pub number: u64,
    pub at: Timestamp,
    pub spot: Spot,
    /// As the micrometer showed it.
    pub shown: Entered,
    pub by: By,
    /// What was read there before and taken again, the first first.
    pub earlier: Vec<Entered>,
    /// What it looks like, if it looks like a mistake.
    pub flag: Option<Flag>,
    /// Why it was left as read in spite of its flag.
    pub left: Option<String>,
}

/// What a reading looks like.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Flag {
    pub kind: &'static str,
    pub message: String,
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
            .filter_map(|(_, _, event)| match event {
                Event::TakenBack { of } => Some(*of),
                _ => None,
            })
            .collect();
        for (number, at, event) in events {
            state.number = *number;
            if let Some(before) = state.last_at.replace(*at).filter(|before| before > at) {
                state.went_back = Some((before, *at));
            }
            if !taken_back.contains(number) {
                if event.may_be_taken_back() {
                    state.answered.push(*number);
                }
                state.take(*number, *at, event);
            }
        }
        if let Some((_, _, Event::TakenBack { of })) = events.last() {
            let taken_back = events.iter().find(|(number, _, _)| number == of);
            state.said_before = taken_back.and_then(|(_, _, event)| said::line(event));
        }
        state.examine();
        state
    }

    /// The state with one more event, to see what would come of it.
    pub fn happens(&mut self, event: &Event) {
        self.take(self.number + 1, Timestamp::UNIX_EPOCH, event);
    }

    fn take(&mut self, number: u64, at: Timestamp, event: &Event) {
        match event {
            Event::Begun { keeps } => {
                if let Some(kept) = keeps {
                    self.keep(kept);
                }
            }
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
            Event::TakenBack { .. } => {}
            Event::Closing { person } => self.person = Some(person.clone()),
            Event::Recorded { entry } => self.end = Some(End::Recorded(entry.clone())),
            Event::Dropped => self.end = Some(End::Dropped),
        }
    }

    fn measure(&mut self, characteristic: Characteristic) {
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
        let known = details::of(feature.unwrap_or_default());
        let is_list = known
            .iter()
            .any(|detail| detail.key == key && detail.is_list());
        let said = self.details.entry(key.to_owned()).or_default();
        said.done = !is_list || answer.is_none();
        if let Some(answer) = answer {
            let all = format!("{} {answer}", said.text);
            all.trim().clone_into(&mut said.text);
        }
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
    pub fn next_detail(&self) -> Option<&'static details::Detail> {
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
                self.feature = Some(stated.clone());
                self.details.clone_from(answers);
                self.know();
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
        self.zero_kept = !kept.zero.is_empty();
        self.before.closures = kept
            .zero
            .iter()
            .map(|reading| Closure {
                reading: reading.clone(),
                by: By::Keyboard,
                set_aside: false,
            })
            .collect();
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

    /// Looks for slips among the readings, with what is known by now.
    fn examine(&mut self) {
        if self.readings.is_empty() {
            return;
        }
        let zero = self.zero_error().unwrap_or_default();
        let limits = self.limits_as_read();
        let as_shown = Limits {
            lower: limits.lower.map(|limit| limit + zero),
            upper: limits.upper.map(|limit| limit + zero),
        };
        let shown: Vec<Entered> = self
            .readings
            .iter()
            .map(|reading| reading.shown.clone())
            .collect();
        let plausible = Plausible {
            limits: as_shown,
            whose: Near::Limits,
            form: self.target.as_ref().map_or(Form::Small, Target::form),
        };
        let found = examine(&shown, plausible, None, zero);
        let mut before: Option<(Timestamp, Entered)> = None;
        for (reading, suspicion) in self.readings.iter_mut().zip(found) {
            let twice = before.as_ref().is_some_and(|(at, text)| {
                *text == reading.shown && reading.at.duration_since(*at).abs() < SENT_TWICE
            });
            reading.flag = match suspicion {
                Some(suspicion) => Some(Flag {
                    kind: suspicion.kind().key(),
                    message: crate::words::said(&suspicion),
                }),
                None if twice => Some(Flag {
                    kind: "sent-twice",
                    message: words::sent_twice(reading.shown.text()),
                }),
                None => None,
            };
            before = Some((reading.at, reading.shown.clone()));
        }
    }

    /// The limits as the micrometer would show them: over wires, or of a size that is reckoned from the reading, they are
    /// others than those of the drawing.
    fn limits_as_read(&self) -> Limits {
        let Some(target) = &self.target else {
            return Limits::default();
        };
        if target.feature.is_none() && self.wires.is_none() {
            return target.limits;
        }
        match fit::plan(self) {
            Some(Ok(plan)) => plan.as_read,
            // What is not known is held against nothing.
            _ => Limits::default(),
        }
    }

    /// Indicated less certified on the standard, by the opening check.
    pub fn zero_error(&self) -> Option<Length> {
        let certified = self.standard.as_ref()?.size.value();
        let error = self.before.error(certified, None)?;
        Length::nearest_mm(error.value).ok()
    }

    /// How far a check of the zero is; none before there is a standard.
    pub fn progress(&self, when: When) -> Option<Progress> {
        let certified = self.standard.as_ref()?.size.value();
        let limit = self.drift_limit()?;
        let asked = || self.zero_asked(when);
        Some(match when {
            When::Before => self.before.progress(certified, limit, None, &asked),
            When::After => {
                let before = Some(&self.before);
                self.after.progress(certified, limit, before, &asked)
            }
        })
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

    /// The same without regard to reasons, as the readings that are expected would have it.
    fn zero_far(&self, when: When) -> Option<Warning> {
        let mut job = fit::trial_job(self)?.ok()?;
        job.zero.before = self.before.standing();
        job.zero.after = match when {
            When::Before => Vec::new(),
            When::After => self.after.standing(),
        };
        LastZero::tell(self.last_zero.as_ref(), &mut job.zero);
        if let Some(at) = self.last_at {
            job.measured_at = to_second(at);
            job.measured_on = station::day(at);
        }
        job.prior.repeatability = None;
        job.prior.degrees_of_freedom = None;
        zero_in_doubt(&job)
    }

    /// The drift of the zero that is put up with, as the result will have it: the laboratory's where it is approved.
    fn drift_limit(&self) -> Option<Length> {
        // Before the first reading nothing that is approved counts as overdue.
        let first = self.readings.first();
        let day = first.map_or(Date::MIN, |first| station::day(first.at));
        let usual = Usual::among(&self.laboratory.approved, DefaultName::DriftLimit, day);
        Some(drift_limit(None, &usual, self.unit?))
    }

    /// The one thing that is asked now.
    pub fn question(&self) -> Question {
        match &self.end {
            Some(End::Recorded(_)) => return Question::Recorded,
            Some(End::Dropped) => return Question::Dropped,
            None => {}
        }
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
            (self.instrument.is_none(), Question::Instrument),
            (self.contacts.is_none(), Question::Contacts),
            (self.wires.is_none() && self.over_wires(), Question::Wires),
            (self.standard.is_none(), Question::Standard),
            (self.unit.is_none(), Question::Unit),
            (self.temperature.is_none(), Question::Temperature),
        ];
        if let Some((_, question)) = unanswered.into_iter().find(|(open, _)| *open) {
            return question;
        }
        self.check_question(When::Before)
            .or_else(|| self.reading_question())
            .or_else(|| (!self.verdict_seen).then_some(Question::Verdict))
            .or_else(|| self.check_question(When::After))
            .unwrap_or(match self.person {
                None => Question::Person,
                Some(_) => Question::Finish,
            })
    }

    fn check_question(&self, when: When) -> Option<Question> {
        match self.progress(when)? {
            Progress::Closing { number } => Some(Question::Closure { when, number }),
            Progress::InDoubt(doubt) => Some(Question::ZeroDoubt { when, doubt }),
            Progress::Done => None,
        }
    }

    fn reading_question(&self) -> Option<Question> {
        if let Some(of) = self.retaking.filter(|of| self.reading(*of).is_some()) {
            return Some(Question::Again { of });
        }
        if self.readings.len() < self.plan.len() {
            return Some(Question::Reading {
                index: self.readings.len(),
            });
        }
        if self.verdict_seen {
            return None;
        }
        self.readings
            .iter()
            .find(|reading| reading.flag.is_some() && reading.left.is_none())
            .map(|flagged| Question::Flagged { of: flagged.number })
    }

    /// The latest answer that can be taken back here.
    pub fn last_answer(&self) -> Option<u64> {
        let at_zero = self.after.standing().is_empty();
        self.answered
            .last()
            .copied()
            // Once the micrometer has been closed, what it was closed with stands.
            .filter(|_| self.readings.is_empty() || (self.verdict_seen && at_zero))
            .filter(|_| self.verdict_seen || self.before.standing().is_empty() || self.zero_kept)
            .filter(|_| self.end.is_none() && self.person.is_none())
    }

    /// The job, as far as it goes; none while something is missing that it cannot do without.
    pub fn to_job(&self) -> Option<Job> {
        let (lot, sample) = self.lot.clone()?;
        let mut readings: Vec<Place> = Vec::new();
        let mut spots: Vec<&Spot> = Vec::new();
        for reading in &self.readings {
            if let Some(known) = spots.iter().position(|spot| **spot == reading.spot) {
                if let Some(place) = readings.get_mut(known) {
                    place.readings.push(reading.shown.clone());
                }
            } else {
                spots.push(&reading.spot);
                readings.push(reading.spot.place(vec![reading.shown.clone()]));
            }
        }
        let after = self.after.standing();
        Some(Job {
            part: Part {
                name: self.name.clone()?,
                drawing: self.drawing.clone()?,
                order: None,
                lot,
                sample,
                piece: None,
                serial: None,
                characteristic: None,
                hardness_hv: None,
            },
            person: self.person.clone(),
            measured_at: to_second(self.readings.first()?.at),
            measured_on: station::day(self.readings.first()?.at),
            characteristic: self.characteristic.clone()?,
            instrument: self.instrument.clone()?,
            contacts: self.contacts.clone()?,
            standard: self.standard.clone()?,
            zero: Zero {
                before: self.before.standing(),
                // Half a check is none yet.
                after: if after.len() < CLOSURES {
                    Vec::new()
                } else {
                    after
                },
                contacts: Some(self.contacts.clone()?.id),
                allowance: None,
                last: self.last_zero.as_ref().map(|last| last.error.clone()),
                last_record: self.last_zero.as_ref().map(|last| last.record),
            },
            readings,
            wires: self.wires.clone().filter(|_| self.over_wires()),
            struck: self.struck(),
            left: self.left_standing(),
            scope: None,
            room: None,
            temperature: self.temperature.clone()?,
            prior: Prior {
                own: self.own_uncertainty(),
                form_history: self.form_history,
                ..Prior::default()
            },
            rule: self.rule.clone()?,
            notes: notes::of(self),
            overrides: Overrides::default(),
            service: self.service.flatten(),
            monte_carlo: None,
            held: None,
            approved: self.laboratory.approved.clone(),
        })
    }

    /// The laboratory's approved uncertainty of the characteristic by the chosen set-up.
    fn own_uncertainty(&self) -> Option<OwnUncertainty> {
        let wires = self.wires.as_ref().filter(|_| self.over_wires());
        self.laboratory
            .own(&SetUp::of(
                self.characteristic.as_ref()?,
                self.instrument.as_ref()?,
                self.contacts.as_ref()?,
                wires,
            ))
            .cloned()
    }

    /// Flagged readings that were looked into and left: of the part, and of a zero check that was taken in spite of a doubt.
    fn left_standing(&self) -> Vec<Left> {
        let flagged = self.readings.iter().filter(|one| one.flag.is_some());
        let on_part = flagged.filter_map(|one| {
            Some(Left {
                reading: one.shown.clone(),
                reason: Value::text(one.left.as_ref()?),
            })
        });
        let checks = [(When::Before, &self.before), (When::After, &self.after)];
        let certified = self.standard.as_ref().map(|standard| standard.size.value());
        let on_standard = checks.into_iter().filter_map(|(when, check)| {
            let reason = check.accepted.as_ref()?;
            let mut left = check.flagged(certified?);
            if left.is_empty() && self.zero_far(when).is_some() {
                left.extend(check.standing().into_iter().next());
            }
            Some(left.into_iter().map(move |reading| Left {
                reading,
                reason: Value::text(reason),
            }))
        });
        on_part.chain(on_standard.flatten()).collect()
    }

    /// What was read and taken again: kept as it was, and not counted.
    fn struck(&self) -> Vec<Struck> {
        self.readings
            .iter()
            .flat_map(|reading| {
                reading.earlier.iter().map(|earlier| Struck {
                    reading: earlier.clone(),
                    reason: notes::taken_again(reading),
                })
            })
            .collect()
    }

    /// What the job gives so far.
    pub fn inspect(&self) -> Option<Result<(Job, Inspection), JobError>> {
        let job = self.to_job()?;
        Some(inspect(&job).map(|result| (job, result)))
    }

    /// Answers that hold for the next part too.
    fn details_of_every_part(&self, stated: &Stated) -> Answers {
        let known = details::of(stated.feature.as_deref().unwrap_or_default());
        let asked_again = |key: &str| {
            known
                .iter()
                .any(|detail| detail.key == key && detail.of_each_part)
        };
        let mut answers = self.details.clone();
        answers.retain(|key, _| !asked_again(key));
        answers
    }

    /// What the next part of the lot keeps.
    pub fn kept(&self) -> Option<Kept> {
        let (lot, sample) = self.lot.clone()?;
        let good =
            self.progress(When::After) == Some(Progress::Done) && self.after.accepted.is_none();
        Some(Kept {
            job: self.job?,
            characteristic: self.characteristic.clone()?,
            feature: self.feature.clone().map(|stated| {
                let answers = self.details_of_every_part(&stated);
                (stated, answers)
            }),
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
