//! Is a piece of equipment fit for this job, and what will the uncertainty take of the tolerance?
//!
//! Both are asked of the very calculation that will judge the job: it is given a trial with what is chosen so far, ideal
//! pieces for the rest, and readings in the middle between the limits.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::Offset;
use metrology::inspection::{
    Characteristic, ContactKind, Contacts, Inspection, Instrument, InstrumentErrors, Job, JobError,
    Overrides, Part, Prior, RuleName, Standard, StandardForm, State as InUse, Target,
    ThreadDiameter, Zero, inspect,
};
use metrology::units::{Entered, Length, LengthUnit};

use super::places;
use super::state::State;
use super::words;
use crate::register::Equipment;

/// Why a piece cannot be used for this job; none where it can.
pub fn unfit(state: &State, piece: &Equipment, today: Date) -> Option<String> {
    if !piece.state().is_active() {
        return Some(words::out_of_use(piece.state().key()));
    }
    if let Some(due) = piece.due().filter(|due| *due < today) {
        return Some(words::overdue(due));
    }
    let target = state.target.as_ref()?;
    let mut with = state.clone();
    match piece {
        Equipment::Instrument(item) => {
            if let Some(why) = out_of_range(item, target) {
                return Some(why);
            }
            with.instrument = Some(item.clone());
        }
        Equipment::Contacts(item) => with.contacts = Some(item.clone()),
        Equipment::Standard(item) => with.standard = Some(item.clone()),
        Equipment::Wires(_) | Equipment::Balls(_) => return None,
    }
    trial(&with)?.err().map(|error| words::job_error(&error))
}

/// The part must lie within the range of the micrometer.
fn out_of_range(instrument: &Instrument, target: &Target) -> Option<String> {
    let [from, to] = &instrument.range;
    let sizes = [target.limits.lower, target.limits.upper];
    sizes
        .into_iter()
        .flatten()
        .any(|size| size < from.value() || size > to.value())
        .then(|| words::part_out_of_range(from.text(), to.text()))
}

/// What this job would give with readings in the middle of the tolerance; none before it is known what is measured.
pub fn trial(state: &State) -> Option<Result<Inspection, JobError>> {
    let target = state.target.as_ref()?;
    let characteristic = state.characteristic.clone()?;
    let instrument = match &state.instrument {
        Some(instrument) => instrument.clone(),
        None => ideal_instrument(target)?,
    };
    let kind = match (&characteristic, target.diameter) {
        (Characteristic::Thread { .. }, ThreadDiameter::PitchDiameter) => ContactKind::VAndCone,
        _ => ContactKind::Flat,
    };
    let contacts = state.contacts.clone().unwrap_or(Contacts {
        id: String::new(),
        kind,
        included_angle: None,
        pitch_range: None,
        half_angle_limit: None,
        members: None,
        tip_radius: None,
        face: None,
        thickness: None,
        material: None,
        force: None,
        certificate: None,
        due: None,
        state: InUse::Active,
    });
    let standard = match &state.standard {
        Some(standard) => standard.clone(),
        None => ideal_standard(&instrument, contacts.kind)?,
    };
    let unit = state.unit.unwrap_or_else(|| instrument.range[0].unit());
    let step = instrument
        .resolution
        .clone()
        .or_else(|| entered(usual_step(unit), unit))?;
    let middle = entered(middle(target)?, unit)?;
    let certified = entered(standard.size.value(), unit)?;
    let closures = vec![certified; 3];
    let job = Job {
        part: Part {
            name: "trial".to_owned(),
            ..Part::default()
        },
        person: None,
        measured_at: Timestamp::UNIX_EPOCH,
        characteristic,
        instrument,
        contacts,
        standard,
        zero: Zero {
            before: closures.clone(),
            after: closures,
            contacts: None,
            allowance: None,
        },
        readings: places::usual()
            .iter()
            .map(|spot| spot.place(vec![middle.clone()]))
            .collect(),
        temperature: state.temperature.clone().flatten(),
        // A practised hand repeats within one step of the display (common practice, no source).
        prior: Prior {
            repeatability: Some(step),
            degrees_of_freedom: Some(10.0),
            ..Prior::default()
        },
        rule: state.rule.clone().unwrap_or(RuleName {
            name: "iso14253-1".to_owned(),
            parameter: None,
            assumed: true,
        }),
        note: None,
        wires: None,
        struck: Vec::new(),
        overrides: Overrides::default(),
        service: None,
        monte_carlo: None,
    };
    Some(inspect(&job))
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

/// Today, where the bench stands by the clock of UTC.
pub fn today(now: Timestamp) -> Date {
    Offset::UTC.to_datetime(now).date()
}

fn middle(target: &Target) -> Option<Length> {
    let limits = target.limits;
    match (limits.lower, limits.upper) {
        (Some(lower), Some(upper)) => Some(Length::from_tenth_nanometres(i64::midpoint(
            lower.tenth_nanometres(),
            upper.tenth_nanometres(),
        ))),
        (one, other) => one.or(other),
    }
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
        errors: InstrumentErrors::Within {
            maximum_permissible_error: nothing,
        },
        force: None,
        spindle_turns: None,
        state: InUse::Active,
    })
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
        due: None,
        state: InUse::Active,
    })
}
