//! The result of a piece, by the one calculation, from what is the same for all pieces and its own readings.

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{Facts, Number, Text};
use metrology::decision::Verdict;
use metrology::inspection::{
    Brief, Inspection, Job, JobError, Left, Place, Quantity, Size, StatusNote, Struck, Target,
    Withheld, inspect,
};
use metrology::limits::Limits;
use metrology::lot::Standing;
use metrology::message::{Message, Say as _, Value};
use metrology::units::{Entered, LengthUnit};

use super::groups::{Group, Taken};
use super::notes::ZeroNote;
use super::scan::Scan;
use crate::error::Error;
use crate::event::Spot;
use crate::in_unit::{from_mm, to_mm};
use crate::job_file::{AtHand, Measured as MeasuredWhen};
use crate::job_status;
use crate::part_to_part;
use crate::plan::{self, Plan, Planned};
use crate::register::{Register, Shelf};
use crate::room_on_record::RoomRecord;
use crate::station;

/// A lot: its plan, and the job of each characteristic before anything was read.
#[derive(Debug)]
pub struct Lot<'a> {
    plan: &'a Plan,
    scan: &'a Scan,
    jobs: Vec<Option<OfCharacteristic>>,
    /// By which the status of equipment is judged on the day of each piece.
    register: Register,
    room: RoomRecord,
}

/// What is the same for all pieces.
#[derive(Debug)]
struct OfCharacteristic {
    job: Job,
    unit: LengthUnit,
    decimals: u32,
    limits: Limits,
}

/// What a result was made of; none where it is not asked for, or there is no size.
pub type Whole = Option<Box<(Job, Inspection)>>;

/// What came out for one piece and characteristic.
#[derive(Clone, Debug)]
pub struct Measured {
    pub piece: String,
    /// The characteristic by its place in the plan.
    pub characteristic: usize,
    /// The line of its first row, or of the one with the reading that is refused or flagged.
    pub line: usize,
    /// How many readings count.
    pub n: usize,
    /// Places of the plan that nobody measured.
    pub missing_places: Vec<String>,
    pub outcome: Result<Outcome, Refused>,
}

/// A size and its verdict, in the unit of the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    pub unit: LengthUnit,
    pub decimals: u32,
    pub size: f64,
    pub expanded_uncertainty: f64,
    /// The verdict by its code.
    pub decision: &'static str,
    /// It waits for a good closing zero check.
    pub provisional: bool,
    /// The code of what withholds the verdict.
    pub because: Option<String>,
    /// What withholds it, where it was computed here.
    pub withheld: Option<Withheld>,
    pub standing: Standing,
    /// The size, millimetres.
    pub size_mm: f64,
    /// Standard uncertainty that the piece has of its own, and that which it shares with all, millimetres.
    pub own_uncertainty: f64,
    pub shared_uncertainty: f64,
}

/// Why there is no size.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    pub reason: Message,
    pub unit: LengthUnit,
}

impl<'a> Lot<'a> {
    /// Takes what the file of readings measures out of the plan, with the set-up.
    pub fn new(
        plan: &'a Plan,
        scan: &'a Scan,
        at_hand: &AtHand,
        shelf: &Shelf,
    ) -> Result<Self, Error> {
        let register = shelf.register().cloned().unwrap_or_default();
        let room = match &plan.room {
            Some(limits) => {
                let stated = at_hand.measured_at(shelf)?;
                let from = scan.earliest.map_or(stated, |first| first.min(stated));
                RoomRecord::on_shelf(shelf, limits, from)?
            }
            None => RoomRecord::default(),
        };
        let jobs = plan.characteristics.iter().zip(&scan.measured);
        let jobs = jobs
            .map(|(planned, measured)| {
                if !*measured {
                    return Ok(None);
                }
                let Some(mut job) = plan::job(plan, planned, at_hand, shelf)? else {
                    return Ok(None);
                };
                job_status::note_anew(&mut job, &register, &room);
                let target = Target::of(&job.characteristic).map_err(Error::input)?;
                Ok(Some(OfCharacteristic {
                    unit: target.unit,
                    decimals: target.decimals,
                    limits: target.limits,
                    job,
                }))
            })
            .collect::<Result<_, Error>>()?;
        Ok(Self {
            plan,
            scan,
            jobs,
            register,
            room,
        })
    }

    /// The day on which the first piece was measured.
    pub fn first_day(&self) -> Option<Date> {
        let stated = || Some(self.jobs.iter().flatten().next()?.job.measured_on);
        self.scan.earliest.map(station::day).or_else(stated)
    }

    /// Limits of a characteristic and their unit; none of one that no piece was measured for.
    pub fn limits(&self, characteristic: usize) -> Option<(Limits, LengthUnit)> {
        let known = self.jobs.get(characteristic)?.as_ref()?;
        Some((known.limits, known.unit))
    }

    /// The whole job of a piece, as `inspect` takes it.
    pub fn job(&self, group: &Group) -> Option<Job> {
        let known = self.jobs.get(group.characteristic)?.as_ref()?;
        let mut job = known.job.clone();
        job.part.sample = Some(group.piece.clone());
        job.zero
            .before
            .clone_from(self.scan.zeros.get(group.checks.0)?);
        if let Some(after) = self.scan.zeros.get(group.checks.1 + 1) {
            job.zero.after.clone_from(after);
        }
        if let Some(time) = group.time {
            let when = MeasuredWhen::on_day(time, group.day);
            job.measured_at = when.at;
            job.measured_on = when.on;
            job_status::note_anew(&mut job, &self.register, &self.room);
        }
        self.tell_checks(group, &mut job);
        for taken in &group.readings {
            let reading = group.entered(taken)?;
            if let Some(reason) = &taken.struck {
                let reason = Value::text(reason);
                job.struck.push(Struck { reading, reason });
                continue;
            }
            if let Some(reason) = &taken.left {
                job.left.push(Left {
                    reading: reading.clone(),
                    reason: Value::text(reason),
                });
            }
            add(&mut job.readings, &taken.place, reading);
        }
        Some(job)
    }

    /// When zero was checked, and whether the standard was overdue when it was checked again.
    fn tell_checks(&self, group: &Group, job: &mut Job) {
        let at = |check: usize| self.scan.zero_times.get(check).copied().flatten();
        let before = at(group.checks.0).map(|[_, last]| last);
        let after = at(group.checks.1 + 1).map(|[first, _]| first);
        let measured = group.time.unwrap_or(job.measured_at);
        let notes = ZeroNote::of(measured, before, after);
        job.notes.extend(notes.map(Value::said));
        if let Some(after) = after {
            job_status::note_closed(job, &self.register, after);
        }
    }

    /// Measures a piece whole.
    pub fn measure(&self, group: &Group) -> Option<(Measured, Whole)> {
        let known = self.jobs.get(group.characteristic)?.as_ref()?;
        let job = self.job(group)?;
        let inspected = inspect(&job);
        let outcome = inspected.as_ref().map(Outcome::of);
        let outcome = outcome.map_err(|error| refused(error, known.unit));
        let mut measured = self.measured(group, outcome)?;
        let flagged = inspected.as_ref().ok();
        let flagged = flagged.and_then(|result| {
            let mut flagged = result.readings.iter().filter(|one| one.flag.is_some());
            flagged.find(|one| !job.left.iter().any(|left| left.reading == one.as_read))
        });
        if let Some(flagged) = flagged {
            measured.line = group.line_of(&flagged.as_read);
        }
        let done = inspected.ok();
        let done = done.map(|inspection| Box::new((job, inspection)));
        Some((measured, done))
    }

    /// What came out for a piece.
    pub(super) fn measured(
        &self,
        group: &Group,
        outcome: Result<Outcome, Refused>,
    ) -> Option<Measured> {
        let planned = self.plan.characteristics.get(group.characteristic)?;
        let counts = |taken: &&Taken| taken.struck.is_none();
        let wrong = outcome.as_ref().err();
        let wrong = wrong.and_then(|refused| match refused.reason.value("reading") {
            Some(Value::Entered(reading)) => Some(reading),
            _ => None,
        });
        Some(Measured {
            piece: group.piece.clone(),
            characteristic: group.characteristic,
            line: wrong.map_or(group.line, |reading| group.line_of(reading)),
            n: group.readings.iter().filter(counts).count(),
            missing_places: missing(planned, group),
            outcome,
        })
    }

    /// The unit and decimals that sizes of a characteristic are stated in.
    pub(super) fn stated_in(&self, characteristic: usize) -> Option<(LengthUnit, u32)> {
        let known = self.jobs.get(characteristic)?.as_ref()?;
        Some((known.unit, known.decimals))
    }

    fn room_note(&self, at: Timestamp) -> Option<StatusNote> {
        let limits = self.plan.room.as_ref()?;
        self.room.note(limits, at)
    }

    /// The day by which the equipment of a piece is judged, where its rows say when it was measured; an error where more than
    /// the day counts.
    pub(super) fn day(&self, group: &Group) -> Result<Option<Date>, ()> {
        match group.time {
            None => Ok(None),
            Some(_) if !self.register.checks().is_empty() => Err(()),
            Some(time) if self.room_note(time).is_some() => Err(()),
            Some(time) => Ok(Some(MeasuredWhen::on_day(time, group.day).on)),
        }
    }
}

fn refused(error: &JobError, unit: LengthUnit) -> Refused {
    Refused {
        reason: error.message(),
        unit,
    }
}

/// Places of the plan that no reading that counts was taken at.
fn missing(planned: &Planned, group: &Group) -> Vec<String> {
    let counted = |place: &String| {
        let mut readings = group.readings.iter();
        readings.any(|taken| taken.struck.is_none() && *taken.place == **place)
    };
    let places = planned.places.iter();
    places.filter(|place| !counted(place)).cloned().collect()
}

/// Readings at one stated place belong together; those without a place stay alone.
fn add(places: &mut Vec<Place>, place: &str, reading: Entered) {
    let Spot { along, angle } = Spot::named(place);
    let stated = along.is_some() || angle.is_some();
    let same = |known: &&mut Place| stated && known.along == along && known.angle == angle;
    match places.iter_mut().find(same) {
        Some(known) => known.readings.push(reading),
        None => places.push(Place {
            along,
            angle,
            readings: vec![reading],
        }),
    }
}

impl Outcome {
    /// What is known of a result beside its record; none of what has no size.
    pub fn of_facts(facts: &Facts) -> Option<Self> {
        let number = |of| facts.number(of);
        let unit: LengthUnit = facts.text(Text::Unit)?.parse().ok()?;
        let verdict = Verdict::of(facts.text(Text::Verdict)?)?;
        let size = number(Number::Size)?;
        let because = facts.text(Text::Because).map(str::to_owned);
        let own = number(Number::OwnVariance)?.sqrt();
        let all = to_mm(number(Number::StandardUncertainty)?, unit);
        Some(Self {
            unit,
            decimals: whole(number(Number::Decimals)?)?,
            size,
            expanded_uncertainty: number(Number::ExpandedUncertainty)?,
            decision: verdict.key(),
            provisional: false,
            standing: standing(verdict, false, because.as_deref()),
            because,
            withheld: None,
            size_mm: to_mm(size, unit),
            own_uncertainty: own,
            shared_uncertainty: shared(all, own * own),
        })
    }

    pub(crate) fn of(inspection: &Inspection) -> Self {
        let unit = inspection.target.unit;
        let governing = inspection.governing();
        let verdict = inspection.verdict();
        let provisional = inspection.is_provisional();
        let because = inspection
            .withheld
            .as_ref()
            .map(|withheld| withheld.because().to_owned());
        let budget = governing.budget.iter();
        let contributions = budget.map(|line| (line.quantity, line.line.contribution));
        Self {
            unit,
            decimals: inspection.target.decimals,
            decision: verdict.key(),
            provisional,
            standing: standing(verdict, provisional, because.as_deref()),
            because,
            withheld: inspection.withheld.clone(),
            ..Self::of_size(governing.size, contributions, unit)
        }
    }

    /// The same of a piece of a series.
    pub(super) fn of_brief(brief: &Brief, (unit, decimals): (LengthUnit, u32)) -> Self {
        let contributions = brief.contributions(|quantity| part_to_part::varies(quantity, true));
        let because = brief.withheld.as_ref().map(Withheld::because);
        Self {
            decimals,
            decision: brief.verdict.key(),
            provisional: brief.provisional,
            standing: standing(brief.verdict, brief.provisional, because),
            because: because.map(str::to_owned),
            withheld: brief.withheld.clone(),
            ..Self::of_size(brief.size, contributions, unit)
        }
    }

    /// A size without a verdict.
    fn of_size(
        size: Size,
        contributions: impl Iterator<Item = (Quantity, f64)>,
        unit: LengthUnit,
    ) -> Self {
        let own: f64 = contributions
            .filter(|(quantity, _)| part_to_part::varies(*quantity, true))
            .map(|(_, contribution)| contribution * contribution)
            .sum();
        Self {
            unit,
            decimals: 0,
            size: from_mm(size.value, unit),
            expanded_uncertainty: from_mm(size.expanded_uncertainty, unit),
            decision: Verdict::Undecided.key(),
            provisional: false,
            because: None,
            withheld: None,
            standing: Standing::Undecided,
            size_mm: size.value,
            own_uncertainty: own.sqrt(),
            shared_uncertainty: shared(size.standard_uncertainty, own),
        }
    }
}

/// What is left of a standard uncertainty without the variance that is the piece's own.
fn shared(all: f64, own_variance: f64) -> f64 {
    (all * all - own_variance).max(0.0).sqrt()
}

/// A small whole number, as a fact has it.
fn whole(number: f64) -> Option<u32> {
    (0..100).find(|whole| f64::from(*whole) == number)
}

/// How a piece stands. A zero that moved leaves it undecided: no later check makes it final.
fn standing(verdict: Verdict, provisional: bool, because: Option<&str>) -> Standing {
    match verdict {
        _ if because == Some("zero-moved") => Standing::Undecided,
        _ if provisional => Standing::Provisional,
        Verdict::Accept => Standing::Accept,
        Verdict::Reject => Standing::Reject,
        // A conditional verdict shows neither, and a rule that may not be applied says nothing.
        _ => Standing::Undecided,
    }
}
