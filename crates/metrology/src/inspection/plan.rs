//! Before the measurement: what uncertainty a set-up will give, from the same model and budget as the measurement.
//!
//! A plan is a job without readings: every input of the model is built as [`Estimate`] builds it, with the expected
//! reading in place of readings and a stated repeatability in place of their scatter. What form the part will turn out
//! to have is not in it.

use jiff::Timestamp;
use jiff::civil::Date;

use super::approval::Approved;
use super::converted::Conversion;
use super::equipment::{ContactKind, Contacts, Instrument, Standard, StandardForm, WireSet};
use super::estimate::{Estimate, Of};
use super::field::Field;
use super::inputs::{USUAL_DEGREES_OF_FREEDOM, usual_repeatability};
use super::job::{Characteristic, Job, Part, Prior, RuleName, Temperature, Zero};
use super::measured_with::middle;
use super::place::Place;
use super::spread::{Laid, Places};
use super::state::Overrides;
use super::target::Target;
use super::{BudgetLine, JobError, Size, over_wires};
use super::{checked, fitness, ranges};
use crate::decision::Rule;
use crate::limits::Limits;
use crate::message::Code;
use crate::units::{Celsius, Entered, Length, LengthUnit};

/// How often zero is read on the standard, before and after.
const CLOSURES: usize = 3;
/// Standard uncertainty of each temperature where a plan names the material, kelvins (common practice, no source).
const TEMPERATURE_UNCERTAINTY: f64 = 0.5;

/// What is to be measured, and what is assumed of the measurement.
#[derive(Clone, Debug)]
pub struct Question {
    /// What, and its limits.
    pub characteristic: Characteristic,
    pub at: Timestamp,
    /// The day at the bench, for due dates.
    pub on: Date,
    /// Standard deviation of one reading, where it is known from earlier series.
    pub repeatability: Option<Entered>,
    /// Material of the part, where it is known.
    pub material: Option<String>,
    /// Temperatures, where they were read already.
    pub temperature: Option<Temperature>,
    /// What is known of the thread: its flank angles, its pitch, how it was made.
    pub prior: Prior,
    /// Values that the laboratory approved in the place of defaults.
    pub approved: Vec<Approved>,
}

/// What is put together for a measurement.
#[derive(Clone, Copy, Debug)]
pub struct Pieces<'a> {
    /// Micrometer.
    pub instrument: &'a Instrument,
    pub contacts: &'a Contacts,
    /// What zero is set on.
    pub standard: &'a Standard,
    /// Three wires between flat faces and the thread.
    pub wires: Option<&'a WireSet>,
}

/// What one set-up will give.
#[derive(Clone, Debug)]
pub struct Plan {
    /// Uncertainty of the mean over the places read; its value is the middle of the limits.
    pub size: Size,
    /// What makes it up, largest share first.
    pub budget: Vec<BudgetLine>,
    /// What the micrometer will show in the middle of the limits, millimetres: with all corrections that are known before the
    /// readings, and before zero error.
    pub expected_reading: f64,
    /// The limits as the micrometer would show them, likewise.
    pub as_read: Limits,
    /// Standard deviation of one reading that was taken, millimetres.
    pub repeatability: f64,
    /// Measuring force, newtons, where it is known.
    pub force: Option<f64>,
}

/// How many readings something wants, and where (common practice, no source).
pub fn places(target: &Target) -> Places {
    match &target.feature {
        Some(feature) => feature.places(),
        None => Places {
            count: 6,
            step: None,
            how: Code::declared("spread.thread"),
            laid: Laid::Stations,
        },
    }
}

/// What a set-up will give, or why it cannot be used.
pub fn plan(question: &Question, target: &Target, pieces: &Pieces) -> Result<Plan, JobError> {
    let Pieces {
        instrument,
        contacts,
        ..
    } = *pieces;
    let mut job = without_readings(question, pieces)?;
    let repeatability = match &question.repeatability {
        Some(stated) => checked::positive(Field::Repeatability, stated)?.mm(),
        None => usual_repeatability(&job, target).standard_deviation,
    };
    job.prior.repeatability = Some(Entered::parse(&format!("{repeatability:.7}mm"), None)?);
    fitness::check(&job, target)?;
    ranges::check(&job, target)?;
    // What the display will show in the middle of the limits.
    let about = match pieces.wires {
        Some(wires) => over_wires::reading_at(wires, target, middle(target.limits))?,
        None => middle(target.limits),
    };
    let conversion = Conversion::of(&job, target, about, repeatability)?;
    let limits = conversion.as_read(target.limits)?;
    let expected = Length::nearest_mm(middle(limits))?;
    let [smallest, largest] = &instrument.range;
    if expected < smallest.value() || expected > largest.value() {
        return Err(JobError::ExpectedOutsideRange {
            id: instrument.id.clone(),
            from: smallest.clone(),
            to: largest.clone(),
            reading: expected.mm(),
        });
    }
    let read = entered(expected, inch(instrument))?;
    let places = places(target);
    job.readings = (0..places.count)
        .map(|index| Place {
            along: None,
            angle: places.step.map(|step| f64::from(step) * index as f64),
            readings: vec![read.clone()],
        })
        .collect();
    let estimate = Estimate::of(&job, target)?;
    let rule = Rule::parse("simple", None)?;
    let outcome = estimate.first_order(Of::Mean, target, rule)?;
    // With every correction that is known by now: of lead angle, force, error curve and temperatures.
    let shown = estimate.shown(middle(target.limits), expected.mm())?;
    let as_shown = |limit: Option<Length>, converted: Option<Length>| {
        limit.zip(converted).map(|(limit, converted)| {
            // A limit may lie where an error curve that reaches the middle does not.
            let at_limit = estimate.shown(limit.mm(), converted.mm());
            Length::nearest_mm(at_limit.unwrap_or(converted.mm() + shown - expected.mm()))
        })
    };
    // Of a size that falls as the reading rises the upper limit shows the lower reading.
    let of_drawing = match target.limits {
        Limits { lower, upper } if conversion.model.scale < 0.0 => [upper, lower],
        Limits { lower, upper } => [lower, upper],
    };
    let as_read = Limits {
        lower: as_shown(of_drawing[0], limits.lower).transpose()?,
        upper: as_shown(of_drawing[1], limits.upper).transpose()?,
    };
    Ok(Plan {
        size: outcome.size,
        budget: outcome.budget,
        expected_reading: Length::nearest_mm(shown)?.mm(),
        as_read,
        repeatability,
        force: contacts.force.or(instrument.force),
    })
}

/// Whether the display is in inches.
pub fn inch(instrument: &Instrument) -> bool {
    matches!(
        instrument.range[1].unit(),
        LengthUnit::Inch | LengthUnit::Microinch
    )
}

/// A length as the display would show it.
fn entered(length: Length, inch: bool) -> Result<Entered, JobError> {
    let text = if inch {
        format!("{}in", length.to_fixed(LengthUnit::Inch, 5))
    } else {
        format!("{}mm", length.to_fixed(LengthUnit::Millimetre, 4))
    };
    Ok(Entered::parse(&text, None)?)
}

/// Part and standard of this material at 20 °C.
fn at_reference(material: &str) -> Temperature {
    Temperature {
        part: Celsius::REFERENCE,
        standard: Celsius::REFERENCE,
        instrument: None,
        standard_uncertainty: TEMPERATURE_UNCERTAINTY,
        part_material: material.to_owned(),
        standard_material: "steel".to_owned(),
        thermometer: None,
    }
}

fn without_readings(question: &Question, pieces: &Pieces) -> Result<Job, JobError> {
    let Pieces {
        instrument,
        contacts,
        standard,
        wires,
    } = *pieces;
    let zero = entered(standard.size.value(), inch(instrument))?;
    // One step of the display is that of the instrument; a plan knows no last digit of a reading.
    let mut instrument = instrument.clone();
    if instrument.resolution.is_none() {
        let step = if inch(&instrument) {
            "0.0001in"
        } else {
            "0.001mm"
        };
        instrument.resolution = Entered::parse(step, None).ok();
    }
    Ok(Job {
        part: Part::default(),
        person: None,
        measured_at: question.at,
        measured_on: question.on,
        characteristic: question.characteristic.clone(),
        instrument,
        contacts: contacts.clone(),
        standard: standard.clone(),
        zero: Zero {
            before: vec![zero.clone(); CLOSURES],
            after: vec![zero; CLOSURES],
            contacts: None,
            allowance: None,
            last: None,
            last_record: None,
        },
        readings: Vec::new(),
        temperature: question
            .temperature
            .clone()
            .or_else(|| question.material.as_deref().map(at_reference)),
        struck: Vec::new(),
        left: Vec::new(),
        scope: None,
        room: None,
        wires: wires.cloned(),
        monte_carlo: None,
        held: None,
        approved: question.approved.clone(),
        prior: Prior {
            degrees_of_freedom: Some(USUAL_DEGREES_OF_FREEDOM),
            flank_angle: question.prior.flank_angle,
            flanks: question.prior.flanks,
            made: question.prior.made,
            pitch_error: question.prior.pitch_error.clone(),
            ..Prior::default()
        },
        rule: RuleName {
            name: "simple".to_owned(),
            parameter: None,
            assumed: true,
        },
        notes: Vec::new(),
        overrides: Overrides::default(),
        service: None,
    })
}

/// Whether a standard of this form sets zero for such a pair on such a feature.
pub fn sits(standard: &Standard, contacts: &Contacts, target: &Target) -> bool {
    match (&target.thread, contacts.kind) {
        (Some(_), ContactKind::VAndCone) => matches!(
            standard.form,
            StandardForm::VAndConeRod | StandardForm::ThreadPlug
        ),
        _ => standard.form == StandardForm::Plain,
    }
}
