//! What the readings so far look like, held against what is expected of them.

use jiff::Timestamp;
use metrology::inspection::{
    Form, Near, Plausible, Suspicion, Target, Warning, about_certified, examine, examine_apart,
    or_fewer_decimals, zero_in_doubt,
};
use metrology::limits::Limits;
use metrology::message::Say as _;
use metrology::units::{Entered, Length};

use super::event::When;
use super::fit;
use super::procedure::Procedure;
use super::reading::Reading;
use super::refusal::Refused;
use super::state::{Flag, SENT_TWICE, State};
use super::study::Studying;
use crate::clock::to_second;
use crate::last_zero::LastZero;
use crate::station;

/// How near to what the setting standard shows a reading of it lies (common practice, no source).
const ON_STANDARD: Length = Length::from_micrometres(5);
/// How far outside the limits, and by more than the tolerance, no part lies by chance (common practice, no source).
const FAR_FROM_LIMITS: Length = Length::from_micrometres(100);

impl State {
    /// Looks for slips among the readings, with what is known by now.
    pub(super) fn examine(&mut self) {
        let flags = self.flags(&self.readings);
        self.newly_flagged = self.newly_flagged(&flags);
        for (reading, flag) in self.readings.iter_mut().zip(flags) {
            reading.flag = flag;
        }
    }

    /// The reading that looks like a mistake since the last answer: the one that was just taken, or an earlier one beside it.
    fn newly_flagged(&self, flags: &[Option<Flag>]) -> Option<u64> {
        let just_taken = |reading: &Reading| reading.number == self.number;
        let at = self.readings.iter().position(just_taken)?;
        if flags.get(at)?.is_some() {
            return Some(self.number);
        }
        let (_, before) = self.readings.split_last()?;
        // One that was taken again has no readings before it to compare with.
        if at != before.len() || flags.iter().all(Option::is_none) {
            return None;
        }
        let earlier = self.flags(before);
        let mut marked = before.iter().zip(flags.iter().zip(&earlier));
        let new = marked.find(|(_, (now, earlier))| now.is_some() && earlier.is_none());
        new.map(|(reading, _)| reading.number)
    }

    /// What each reading looks like beside the others.
    fn flags(&self, readings: &[Reading]) -> Vec<Option<Flag>> {
        if readings.is_empty() {
            return Vec::new();
        }
        let zero = self.zero_error().unwrap_or_default();
        let as_shown = self.limits_as_shown();
        let shown: Vec<Entered> = readings
            .iter()
            .map(|reading| reading.shown.clone())
            .collect();
        let plausible = Plausible {
            limits: as_shown,
            whose: Near::Limits,
            form: self.target.as_ref().map_or(Form::Small, Target::form),
        };
        let step = self.step_of_display();
        let found = match self.procedure {
            // Blocks of many sizes are no part of one; a reading far from them is refused at once.
            Procedure::Calibration(_) => or_fewer_decimals(vec![None; shown.len()], &shown, step),
            Procedure::Study(ref studying) => self.examined_apart(studying, plausible, zero),
            Procedure::Inspection | Procedure::Run(_) => {
                or_fewer_decimals(examine(&shown, plausible, None, zero), &shown, step)
            }
        };
        let mut before: Option<(Timestamp, Entered)> = None;
        let mut flags = Vec::with_capacity(readings.len());
        for (reading, suspicion) in readings.iter().zip(found) {
            let twice = before.as_ref().is_some_and(|(at, text)| {
                *text == reading.shown && reading.at.duration_since(*at).abs() < SENT_TWICE
            });
            let of_standard = self.looks_like_standard(&reading.shown, as_shown);
            flags.push(match suspicion {
                _ if of_standard.is_some() => of_standard,
                Some(suspicion) => Some(Flag {
                    kind: suspicion.kind().key(),
                    message: suspicion.message(),
                }),
                None if twice => Some(Flag {
                    kind: "sent-twice",
                    message: Refused::SentTwice {
                        text: reading.shown.text().to_owned(),
                    }
                    .message(),
                }),
                None => None,
            });
            before = Some((reading.at, reading.shown.clone()));
        }
        flags
    }

    /// A reading that is what the setting standard shows, and far from the part: the standard lies between the contacts, and its
    /// reading would be that of a piece.
    fn looks_like_standard(&self, reading: &Entered, as_shown: Limits) -> Option<Flag> {
        let on_part = matches!(self.procedure, Procedure::Inspection | Procedure::Run(_));
        let standard = self.standard.as_ref().filter(|_| on_part)?;
        let shown = standard.size.value() + self.zero_error().unwrap_or_default();
        let (lower, upper) = (as_shown.lower?, as_shown.upper?);
        let outside = (lower - reading.value()).max(reading.value() - upper);
        let is_far = outside > FAR_FROM_LIMITS.max(upper - lower);
        let on_standard = (reading.value() - shown).abs() <= ON_STANDARD;
        (is_far && on_standard).then(|| Flag {
            kind: "of-standard",
            message: Refused::OfStandard {
                reading: reading.clone(),
                id: standard.id.clone(),
            }
            .message(),
        })
    }

    /// Readings of a study: each part is another one, and is held against its own readings that stand. Parts of many known
    /// sizes are held against those too: one part taken for another lies within the limits of all.
    fn examined_apart(
        &self,
        studying: &Studying,
        plausible: Plausible,
        zero: Length,
    ) -> Vec<Option<Suspicion>> {
        let mut standing: Vec<Vec<&Entered>> = vec![Vec::new(); studying.plan.parts.len()];
        let mut all = Vec::new();
        for (reading, turn) in self.readings.iter().zip(&studying.turns) {
            let same_part = standing.get_mut(turn.part);
            let earlier = same_part.iter().flat_map(|same| same.iter().copied());
            let known = studying.plan.references.get(turn.part);
            let known = known.filter(|_| self.wires.is_none());
            let plausible = known.map_or(plausible, |size| about_certified(size.value() + zero));
            let found = examine_apart(&reading.shown, earlier, plausible, zero);
            if let Some(same) = same_part.filter(|_| found.is_none() || reading.left.is_some()) {
                same.push(&reading.shown);
            }
            all.push(found);
        }
        all
    }

    /// The limits as the micrometer shows them with the zero that it has now and every correction that is known before the
    /// readings, for who reads it. Those that readings are held against leave out the small ones, which take a plan each time.
    pub fn limits_on_display(&self) -> Limits {
        let zero = self.zero_error().unwrap_or_default();
        match fit::plan(self) {
            Some(Ok(plan)) => moved(plan.as_read, zero),
            _ => self.limits_as_shown(),
        }
    }

    /// The limits as the micrometer shows them with the zero that it has now.
    pub fn limits_as_shown(&self) -> Limits {
        let zero = self.zero_error().unwrap_or_default();
        moved(self.limits_as_read(), zero)
    }

    /// The same with no zero error: over wires, or of a size that is reckoned from the reading, they are
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

    /// The same without regard to reasons, as the readings that are expected would have it.
    pub(super) fn zero_far(&self, when: When) -> Option<Warning> {
        let [before, after] = &self.found.zero_far;
        let found = match when {
            When::Before => before,
            When::After => after,
        };
        found.get_or_init(|| self.look_at_zero(when)).clone()
    }

    fn look_at_zero(&self, when: When) -> Option<Warning> {
        let mut job = fit::trial_job(self)?.ok()?;
        job.zero.before = self.before.standing();
        // The opening check is held against the limit that the result will have: as if the closing check read the same. A check
        // that passed with fewer readings would be in doubt after the job although nothing moved.
        job.zero.after = match when {
            When::Before => self.before.standing(),
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
}

/// Limits with the error of the zero.
fn moved(limits: Limits, zero: Length) -> Limits {
    Limits {
        lower: limits.lower.map(|limit| limit + zero),
        upper: limits.upper.map(|limit| limit + zero),
    }
}
