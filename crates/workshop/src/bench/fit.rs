//! Is a piece of equipment fit for this job, and what will the uncertainty take of the tolerance?
//!
//! Both are asked of the very calculation that will judge the job: it is given a trial with what is chosen so far, ideal
//! pieces for the rest, and readings in the middle between the limits.

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::features::trial;
use metrology::inspection::{
    self, ContactKind, Contacts, Inspection, Instrument, InstrumentErrors, Job, JobError,
    Overrides, Part, Pieces, Plan, Prior, Quantity, RuleName, Standard, StandardForm,
    State as InUse, Target, Temperature, Warning, WireSet, Zero, best_wires, inspect, takes_wires,
    trial_contacts,
};
use metrology::message::Say as _;
use metrology::units::{Entered, Length, LengthUnit};

use super::refusal::Refused;
use super::state::State;
use super::taken::choose;
use crate::error::Why;
use crate::register::Equipment;
use crate::station;

/// Why a piece cannot be used for this job; none where it can.
pub fn unfit(state: &State, piece: &Equipment, today: Date) -> Option<Why> {
    if !piece.state().is_active() {
        let state = piece.state();
        return Some(Why::of(match state {
            InUse::Quarantined | InUse::Retired | InUse::Lost => Refused::Barred { state },
            _ => Refused::OutOfUse { state },
        }));
    }
    if let Some(due) = piece.due().filter(|due| *due < today) {
        return Some(Why::of(Refused::Overdue { due }));
    }
    let target = state.target.as_ref()?;
    let mut with = state.clone();
    if let Equipment::Instrument(item) = piece
        && let Some(why) = out_of_range(item, target)
    {
        return Some(why);
    }
    if !choose(&mut with, piece) {
        return None;
    }
    match trial(&with)? {
        Err(error) => Some(Why::in_unit(error, state.drawing_unit())),
        Ok(result) if matches!(piece, Equipment::Standard(_)) => result
            .warnings
            .iter()
            .find(|warning| matches!(warning, Warning::OtherPlug { .. }))
            .map(|warning| Why::in_unit(warning.message(), target.unit)),
        Ok(_) => None,
    }
}

/// The part must lie within the range of the micrometer.
fn out_of_range(instrument: &Instrument, target: &Target) -> Option<Why> {
    // What is reckoned from the reading may lie outside: its trial tells.
    if target.feature.is_some() {
        return None;
    }
    let [from, to] = &instrument.range;
    let sizes = [target.limits.lower, target.limits.upper];
    sizes
        .into_iter()
        .flatten()
        .any(|size| size < from.value() || size > to.value())
        .then(|| {
            let (from, to) = (from.clone(), to.clone());
            Why::of(Refused::PartOutOfRange { from, to })
        })
}

/// What is chosen so far, and ideal pieces for the rest.
struct SetUp {
    instrument: Instrument,
    contacts: Contacts,
    wires: Option<WireSet>,
    standard: Standard,
}

impl SetUp {
    fn of(state: &State, target: &Target) -> Option<Self> {
        let instrument = match &state.instrument {
            Some(instrument) => instrument.clone(),
            None => ideal_instrument(target)?,
        };
        let contacts = match &state.contacts {
            Some(contacts) => contacts.clone(),
            None => trial_contacts(target)?,
        };
        let wires = match &state.wires {
            _ if contacts.kind != ContactKind::Flat || !takes_wires(target) => None,
            Some(wires) => Some(wires.clone()),
            None => Some(best_wires(target)?),
        };
        let standard = match &state.standard {
            Some(standard) => standard.clone(),
            None => ideal_standard(&instrument, contacts.kind)?,
        };
        // Whether a piece is in date is judged apart, in words of its own.
        let due = None;
        Some(Self {
            instrument: Instrument { due, ..instrument },
            contacts: Contacts { due, ..contacts },
            wires: wires.map(|wires| WireSet { due, ..wires }),
            standard: Standard { due, ..standard },
        })
    }
}

/// What is expected of the set-up before anything is read; none before it is known what is measured.
pub fn plan(state: &State) -> Option<Result<Plan, JobError>> {
    let target = state.target.as_ref()?;
    let set_up = SetUp::of(state, target)?;
    planned(state, target, &set_up)
}

fn planned(state: &State, target: &Target, set_up: &SetUp) -> Option<Result<Plan, JobError>> {
    let question = inspection::Question {
        approved: state.approved(),
        characteristic: state.characteristic.clone()?,
        at: Timestamp::UNIX_EPOCH,
        on: state.day(),
        repeatability: None,
        material: None,
        // Whether its thermometer may be used is judged apart.
        temperature: state.temperature.clone().flatten().map(|read| Temperature {
            thermometer: None,
            ..read
        }),
        prior: Prior::default(),
    };
    let pieces = Pieces {
        instrument: &set_up.instrument,
        contacts: &set_up.contacts,
        standard: &set_up.standard,
        wires: set_up.wires.as_ref(),
    };
    Some(inspection::plan(&question, target, &pieces))
}

/// What this job would give with the readings that are expected; none before it is known what is measured.
pub fn trial(state: &State) -> Option<Result<Inspection, JobError>> {
    Some(trial_job(state)?.and_then(|job| inspect(&job)))
}

/// This job with the readings that are expected.
pub fn trial_job(state: &State) -> Option<Result<Job, JobError>> {
    let target = state.target.as_ref()?;
    let set_up = SetUp::of(state, target)?;
    let plan = match planned(state, target, &set_up)? {
        Ok(plan) => plan,
        Err(error) => return Some(Err(error)),
    };
    let SetUp {
        instrument,
        contacts,
        wires,
        standard,
    } = set_up;
    let unit = state.display_unit();
    let step = instrument
        .resolution
        .clone()
        .or_else(|| entered(usual_step(unit), unit))?;
    let expected = entered(Length::nearest_mm(plan.expected_reading).ok()?, unit)?;
    let certified = entered(standard.size.value(), unit)?;
    let closures = vec![certified; 3];
    let job = Job {
        part: Part {
            name: "trial".to_owned(),
            ..Part::default()
        },
        person: None,
        measured_at: Timestamp::UNIX_EPOCH,
        measured_on: state.day(),
        characteristic: state.characteristic.clone()?,
        instrument,
        contacts,
        wires,
        standard,
        zero: Zero {
            before: closures.clone(),
            after: closures,
            contacts: None,
            allowance: None,
            last: None,
            last_record: None,
        },
        readings: state
            .plan
            .iter()
            .map(|spot| spot.place(vec![expected.clone()]))
            .collect(),
        temperature: state.temperature.clone().flatten().map(|mut read| {
            // As of the other pieces.
            if let Some(named) = &mut read.thermometer {
                named.due = None;
            }
            read
        }),
        prior: Prior {
            repeatability: Some(repeatability(target, step, plan.repeatability)),
            degrees_of_freedom: Some(10.0),
            made: state.made(),
            ..Prior::default()
        },
        rule: state.rule.clone().unwrap_or(RuleName {
            name: "iso14253-1".to_owned(),
            parameter: None,
            assumed: true,
        }),
        notes: Vec::new(),
        struck: Vec::new(),
        left: Vec::new(),
        scope: None,
        room: state.room(),
        overrides: Overrides::default(),
        service: None,
        monte_carlo: None,
        held: None,
        approved: state.approved(),
    };
    Some(Ok(job))
}

/// A practised hand repeats a hard part within one step of the display (common practice, no source); on other features
/// the plan knows better.
fn repeatability(target: &Target, step: Entered, planned: f64) -> Entered {
    let planned = Length::nearest_mm(planned).ok();
    match planned.filter(|_| target.feature.is_some()) {
        Some(planned) => trial::finely(planned).unwrap_or(step),
        None => step,
    }
}

/// The expected expanded uncertainty in millimetres, and the share of the tolerance that 2U takes where there is one.
pub fn expected(state: &State) -> Option<(f64, Option<f64>)> {
    let result = trial(state)?.ok()?;
    let expanded = result.mean.size.expanded_uncertainty;
    let tolerance = result
        .target
        .limits
        .tolerance()
        .filter(|tolerance| *tolerance > Length::ZERO);
    Some((
        expanded,
        tolerance.map(|tolerance| 2.0 * expanded / tolerance.mm()),
    ))
}

/// A result that is less certain than was expected.
pub struct LessCertain {
    /// Expanded uncertainty that was expected, millimetres.
    pub expected: f64,
    /// The input that the difference comes from, by its key.
    pub quantity: &'static str,
    /// What that line was expected to contribute, and what it does, millimetres.
    pub planned: f64,
    pub now: f64,
}

/// From how many times the uncertainty that was expected it is said where the rest comes from (common practice, no source).
const WORTH_SAYING: f64 = 1.25;

/// Where the uncertainty of a result comes from that is larger than was expected of the set-up.
pub fn less_certain(state: &State, result: &Inspection) -> Option<LessCertain> {
    let trial = trial(state)?.ok()?;
    let found = result.governing();
    let expected = trial.mean.by_budget().expanded_uncertainty;
    if found.by_budget().expanded_uncertainty < WORTH_SAYING * expected {
        return None;
    }
    let planned = |quantity: Quantity| {
        let mut lines = trial.mean.budget.iter();
        let line = lines.find(|line| line.quantity == quantity);
        line.map_or(0.0, |line| line.line.contribution.abs())
    };
    let more = |now: f64, planned: f64| now * now - planned * planned;
    let lines = found.budget.iter().map(|line| {
        let planned = planned(line.quantity);
        (line.quantity, planned, line.line.contribution.abs())
    });
    let (quantity, planned, now) =
        lines.max_by(|one, other| more(one.2, one.1).total_cmp(&more(other.2, other.1)))?;
    Some(LessCertain {
        expected,
        quantity: quantity.key(),
        planned,
        now,
    })
}

/// Today, where the bench stands.
pub fn today(now: Timestamp) -> Date {
    station::day(now)
}

const fn usual_step(unit: LengthUnit) -> Length {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => Length::from_ten_thousandths_inch(1),
        LengthUnit::Millimetre | LengthUnit::Micrometre => Length::from_micrometres(1),
    }
}

fn entered(length: Length, unit: LengthUnit) -> Option<Entered> {
    let decimals = match unit {
        LengthUnit::Inch => 4,
        LengthUnit::Millimetre => 3,
        LengthUnit::Micrometre | LengthUnit::Microinch => 0,
    };
    Entered::parse(&length.to_fixed(unit, decimals), Some(unit)).ok()
}

/// A micrometer that can do anything: what is not chosen yet shall not stand in the way.
fn ideal_instrument(target: &Target) -> Option<Instrument> {
    let nothing = entered(Length::ZERO, target.unit)?;
    let a_metre = entered(Length::from_micrometres(1_000_000), target.unit)?;
    Some(Instrument {
        id: String::new(),
        range: [nothing.clone(), a_metre],
        resolution: None,
        certificate: None,
        due: None,
        certificate_date: None,
        drift: None,
        errors: InstrumentErrors::Within {
            maximum_permissible_error: nothing,
        },
        force: None,
        spindle_turns: None,
        state: InUse::Active,
    })
}

/// The kind of contacts that suits the part best.
pub fn suited(state: &State) -> Option<ContactKind> {
    state.target.as_ref().and_then(inspection::suited)
}

/// A standard in the middle of the range, of the form that fits the contacts.
fn ideal_standard(instrument: &Instrument, contacts: ContactKind) -> Option<Standard> {
    let [from, to] = &instrument.range;
    let half = i64::midpoint(
        from.value().tenth_nanometres(),
        to.value().tenth_nanometres(),
    );
    let unit = from.unit();
    Some(Standard {
        id: String::new(),
        size: entered(Length::from_tenth_nanometres(half), unit)?,
        expanded_uncertainty: entered(Length::ZERO, unit)?,
        coverage_factor: 2.0,
        form: match contacts {
            ContactKind::VAndCone => StandardForm::VAndConeRod,
            _ => StandardForm::Plain,
        },
        certificate: None,
        certificate_date: None,
        drift: None,
        due: None,
        state: InUse::Active,
    })
}
