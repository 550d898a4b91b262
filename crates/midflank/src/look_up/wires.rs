//! `midflank wires`: pitch diameter over wires and between balls, both ways.

use std::path::PathBuf;

use clap::Args;
use metrology::designation::{self, Form};
use metrology::elastic::{
    ElasticError, OverWires, WireConvention, measuring_force, reading_correction,
};
use metrology::inspection::{Characteristic, JobError, Plane, Target, Terms, ThreadDiameter};
use metrology::limits::{Limits, Taper, ThreadLimits};
use metrology::material;
use metrology::message::Value;
use metrology::units::{Angle, Entered, Force, Length, LengthUnit};
use metrology::wires::{
    Arrangement, Comparison, FormHeights, Groove, SeatError, Side, TaperGroove, TaperReading,
    UsableWires, WireReading, best_wire_mm, choose_wire, compare, reading_from_size,
    size_from_reading, usable_wires,
};

use super::thread::{basic_pitch_diameter, entered_in, mm, side};
use crate::document::Wires;
use crate::failure::Failure;
use crate::given::{self, NumberError};
use crate::option::Within;
use crate::report::wires::fine_length;
use crate::say;
use crate::words::{self, Shown, number};

/// Length over which plain micrometer faces of 1/4 in touch the wires, millimetres (common practice, no source).
const FACE_WIDTH: f64 = 6.35;

#[derive(Args, Default)]
pub struct Arguments {
    #[arg(value_name = "DESIGNATION", required_unless_present_any = ["angle", "batch"])]
    pub designations: Vec<String>,
    #[arg(
        allow_hyphen_values = true, value_parser = Within(given::INCLUDED_ANGLE),
        long,
        value_name = "DEG",
        requires = "pitch",
        conflicts_with = "designations"
    )]
    pub angle: Option<f64>,
    #[arg(long, value_name = "LEN", requires = "angle")]
    pub pitch: Option<String>,
    #[arg(long, value_name = "LEN", requires = "angle")]
    pub lead: Option<String>,
    #[arg(long, requires = "angle")]
    pub internal: bool,
    #[arg(long, value_name = "LEN|PLANE", requires = "designations")]
    pub at: Option<String>,
    #[arg(long, value_name = "LEN")]
    pub pitch_diameter: Option<String>,
    #[arg(long, value_name = "LEN")]
    pub wire: Option<String>,
    #[arg(
        long,
        value_name = "LEN,LEN",
        value_delimiter = ',',
        conflicts_with = "wire"
    )]
    pub owned: Vec<String>,
    #[arg(long, value_name = "LEN")]
    pub over_wires: Option<String>,
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = Within(given::FORCE))]
    pub force: Option<f64>,
    #[arg(long, value_name = "NAME", default_value = "steel", requires = "force")]
    pub material: String,
    #[arg(long, requires = "force")]
    pub wires_calibrated_under_force: bool,
    #[arg(long, value_name = "FILE", conflicts_with_all = ["designations", "angle"])]
    pub batch: Option<PathBuf>,
    #[arg(long)]
    pub json: bool,
}

/// One thread to answer for; lengths in millimetres.
pub struct Question {
    pub designation: Option<String>,
    pub unit: LengthUnit,
    /// Of a designation; by geometry only the angle is known.
    pub form: Option<Form>,
    pub groove: Groove,
    /// Of a taper thread: the plane, from the small end.
    pub plane: Option<Entered>,
    pub wire: Option<f64>,
    pub owned: Vec<f64>,
    pub pitch_diameter: Option<f64>,
    pub over_wires: Option<f64>,
    pub limits: Limits,
    pub notes: Vec<String>,
}

metrology::messages! {
    /// What is wrong with a line.
    pub enum WiresError "wires-error" {
        Geometry "geometry" { error: SeatError as said },
        Force "force" { error: ElasticError as said },
        Material "material" { name: String as Text, table: &'static str as text },
        NoUsableWire "no-usable-wire" { option: &'static str as text },
        MissingPitchDiameter "missing-pitch-diameter" { option: &'static str as text, other: &'static str as text },
        Number "number" { error: NumberError as said },
        Unit "unit" { text: String as Text },
        Kind "kind" { text: String as Text },
        AtOnParallel "at-on-parallel" { option: &'static str as text },
        InternalTaper "internal-taper",
    }
}

/// A wrong line: a short name, and the sentence.
pub struct Wrong {
    pub kind: &'static str,
    pub message: String,
}

impl Wrong {
    fn new(kind: &'static str, message: impl Into<String>) -> Self {
        Self {
            kind,
            message: message.into(),
        }
    }

    fn length(failure: Failure) -> Self {
        Self::new("length", failure.to_string())
    }

    /// The same with its lengths in the unit of the thread.
    fn shown(error: &WiresError, unit: LengthUnit) -> Self {
        let code = error.code();
        Self {
            kind: code.split_once('.').map_or(code, |(_, kind)| kind),
            message: words::message(error, Shown::in_unit(unit)),
        }
    }
}

impl From<WiresError> for Wrong {
    fn from(error: WiresError) -> Self {
        Self::shown(&error, LengthUnit::Millimetre)
    }
}

/// The best wire or ball for a designation, and what stands over it.
pub fn best_for(designation: &str) -> Result<(Wires, Side), Failure> {
    let arguments = Arguments::default();
    by_designation(designation, &arguments)
        .and_then(|question| solve(question, &arguments))
        .map_err(|wrong| Failure::Input(wrong.message))
}

pub fn by_designation(text: &str, arguments: &Arguments) -> Result<Question, Wrong> {
    let thread = designation::parse(text)
        .and_then(|thread| thread.limits())
        .map_err(|error| Wrong::new(error.kind(), words::said(&error)))?;
    let side = side(thread.kind);
    let mut groove = Groove::symmetric(
        side,
        thread.included_angle,
        thread.pitch.mm(),
        thread.lead_in(LengthUnit::Millimetre),
    );
    if thread.hand == designation::Hand::Left {
        groove = groove.left_hand();
    }
    let mut notes = words::all_said(&thread.assumed);
    let pitch_diameter = length(
        "--pitch-diameter",
        arguments.pitch_diameter.as_ref(),
        Some(thread.unit),
    )?;
    if pitch_diameter.is_none() && arguments.over_wires.is_none() {
        notes.push(say!("wires.basic").to_owned());
    }
    let (plane, basic, limits) = match &thread.taper {
        Some(taper) => {
            let plane = plane(&thread, taper, arguments.at.as_deref())?;
            (Some(plane.at), Some(plane.basic.mm()), plane.limits)
        }
        None if arguments.at.is_some() => {
            return Err(WiresError::AtOnParallel { option: "--at" }.into());
        }
        None => (None, basic_pitch_diameter(&thread), thread.pitch_diameter),
    };
    Ok(Question {
        unit: thread.unit,
        form: Some(thread.form),
        groove,
        plane,
        pitch_diameter: pitch_diameter.or(basic),
        limits,
        designation: Some(thread.designation),
        notes,
        ..asked(arguments, thread.unit)?
    })
}

/// A plane of a taper thread with its pitch diameter.
struct InPlane {
    at: Entered,
    basic: Length,
    limits: Limits,
}

/// The plane that was asked for, or the one that the standard has a tolerance for.
fn plane(thread: &ThreadLimits, taper: &Taper, at: Option<&str>) -> Result<InPlane, Wrong> {
    if side(thread.kind) == Side::Internal {
        return Err(WiresError::InternalTaper.into());
    }
    let gauged = taper.positions.iter().find(|at| at.tolerance.is_some());
    let gauged = gauged.map_or("", |position| position.name.key());
    let wrong = |error: &JobError| Wrong::new("plane", words::said(error));
    let target = Target::of(&Characteristic::Thread {
        designation: thread.designation.clone(),
        diameter: ThreadDiameter::PitchDiameter,
        terms: Some(Box::new(Terms {
            plane: Some(Plane {
                at: at.unwrap_or(gauged).to_owned(),
                within: None,
            }),
            ..Terms::default()
        })),
    })
    .map_err(|error| wrong(&error))?;
    let at = match target.plane {
        Some(plane) => plane.at,
        None => Entered::of(Length::ZERO, thread.unit),
    };
    let basic = taper
        .at(at.value(), thread.unit)
        .map_err(|error| Wrong::new("plane", words::said(&error)))?;
    Ok(InPlane {
        at,
        basic: basic.pitch_diameter,
        limits: target.limits,
    })
}

pub fn by_geometry(angle: f64, pitch: &str, arguments: &Arguments) -> Result<Question, Wrong> {
    let entered = entered_in("--pitch", pitch, None).map_err(Wrong::length)?;
    let unit = match entered.unit() {
        LengthUnit::Inch | LengthUnit::Microinch => LengthUnit::Inch,
        LengthUnit::Millimetre | LengthUnit::Micrometre => LengthUnit::Millimetre,
    };
    let pitch = mm(&entered);
    let lead = length("--lead", arguments.lead.as_ref(), None)?.unwrap_or(pitch);
    let side = if arguments.internal {
        Side::Internal
    } else {
        Side::External
    };
    Ok(Question {
        groove: Groove::symmetric(side, Angle::from_degrees(angle), pitch, lead),
        pitch_diameter: length("--pitch-diameter", arguments.pitch_diameter.as_ref(), None)?,
        ..asked(arguments, unit)?
    })
}

/// What the options ask for, whatever the thread; the rest is filled in by the caller.
fn asked(arguments: &Arguments, unit: LengthUnit) -> Result<Question, Wrong> {
    let owned = arguments
        .owned
        .iter()
        .map(|text| {
            let owned = length("--owned", Some(text), None).map(Option::unwrap_or_default);
            owned.map_err(|wrong| {
                let message = say!("wires-error.owned", error = wrong.message);
                Wrong { message, ..wrong }
            })
        })
        .collect::<Result<_, _>>()?;
    Ok(Question {
        designation: None,
        unit,
        form: None,
        groove: Groove::symmetric(Side::External, Angle::from_degrees(60.0), 1.0, 1.0),
        plane: None,
        wire: length("--wire", arguments.wire.as_ref(), None)?,
        owned,
        pitch_diameter: None,
        over_wires: length("--over-wires", arguments.over_wires.as_ref(), None)?,
        limits: Limits::default(),
        notes: Vec::new(),
    })
}

/// What is said where a pitch diameter is given that is not used.
fn solved_for(arguments: &Arguments) -> Option<String> {
    let both = arguments.pitch_diameter.is_some() && arguments.over_wires.is_some();
    both.then(|| say!("wires.solved-for", option = "--pitch-diameter").to_owned())
}

pub fn solve(question: Question, arguments: &Arguments) -> Result<(Wires, Side), Wrong> {
    let unit = question.unit;
    let wrong = |error: SeatError| Wrong::shown(&WiresError::Geometry { error }, unit);
    let groove = &question.groove;
    let side = groove.side;
    let best = best_wire_mm(groove).map_err(wrong)?;
    let angle = Angle::from_radians(groove.upper_flank.radians() * 2.0);
    let heights = match question.form {
        Some(form) => FormHeights::of_form(form, side, angle),
        None => FormHeights::of_standard_form(side, angle),
    };
    let usable = match heights {
        Some(heights) => Some(usable_wires(groove, heights).map_err(wrong)?),
        None => None,
    };
    let owned = by_fitness(groove, usable, &question.owned).map_err(wrong)?;
    let wire = match (question.wire, owned.first()) {
        (Some(wire), _) => wire,
        (None, Some((wire, true))) => *wire,
        (None, Some((_, false))) => {
            return Err(WiresError::NoUsableWire { option: "--owned" }.into());
        }
        (None, None) => best,
    };
    let mut notes = question.notes;
    notes.extend(solved_for(arguments));
    let out_of_range =
        usable.filter(|usable| !(usable.smallest_mm..=usable.largest_mm).contains(&wire));
    if let Some(usable) = out_of_range {
        let note = say!(
            "wires.not-usable",
            smallest = fine_length(usable.smallest_mm, unit),
            largest = fine_length(usable.largest_mm, unit)
        );
        notes.insert(0, note);
    }
    let over = Over::of(groove, wire, question.plane.is_some());
    let found = match (question.over_wires, question.pitch_diameter) {
        (Some(reading), _) => over.size(reading).map_err(wrong)?,
        (None, Some(d2)) => over.reading(d2).map_err(wrong)?,
        (None, None) => {
            return Err(WiresError::MissingPitchDiameter {
                option: "--pitch-diameter",
                other: "--over-wires",
            }
            .into());
        }
    };
    let reading = found.over;
    let limits = over.limits(question.limits).map_err(wrong)?;
    let elastic_correction = match arguments.force {
        Some(newtons) if side == Side::External => Some(elastic(
            newtons,
            groove,
            reading.pitch_diameter_mm,
            wire,
            (unit, arguments),
        )?),
        _ => None,
    };
    if let Some(shown) = question.over_wires {
        notes.extend(against(reading.pitch_diameter_mm, question.limits, unit));
        if let Some(add) = elastic_correction {
            let corrected = over.size(shown + add).map_err(wrong)?.over;
            let size = fine_length(corrected.pitch_diameter_mm, unit);
            notes.push(say!("wires.with-deformation", size = size));
        }
    }
    let comparison = over.compare(&reading).map_err(wrong)?;
    notes.extend(question.plane.as_ref().map(|plane| {
        let at = number::entered(plane);
        say!("wires.in-plane", at = at)
    }));
    if arguments.force.is_some() {
        notes.extend(customary_force(groove, unit));
    }
    let straight = across_grooves(groove, reading.reading_mm);
    if let Some((offset, straight)) = straight {
        notes.push(say!(
            "wires.opposite-grooves",
            offset = fine_length(offset, unit),
            straight = fine_length(straight, unit)
        ));
    }
    let wires = Wires {
        designation: question.designation,
        unit: question.unit,
        best,
        usable: usable.map(|usable| (usable.smallest_mm, usable.largest_mm)),
        reading,
        plane: question
            .plane
            .map(|plane| (mm(&plane), found.taper_correction_mm)),
        elastic_correction,
        straight,
        limits,
        comparison,
        owned,
        notes,
    };
    Ok((wires, side))
}

/// Wires or balls in a groove, both ways.
struct Over<'a> {
    groove: &'a Groove,
    /// The same of a taper thread.
    taper: Option<TaperGroove>,
    wire: f64,
}

impl<'a> Over<'a> {
    fn of(groove: &'a Groove, wire: f64, tapers: bool) -> Self {
        Self {
            groove,
            taper: tapers.then_some(TaperGroove {
                groove: *groove,
                taper: Taper::RATIO,
            }),
            wire,
        }
    }

    fn size(&self, reading: f64) -> Result<TaperReading, SeatError> {
        let usual = Arrangement::usual(self.groove.side);
        match &self.taper {
            Some(taper) => taper.size_from_reading(reading, self.wire),
            None => size_from_reading(self.groove, usual, reading, self.wire).map(parallel),
        }
    }

    fn reading(&self, size: f64) -> Result<TaperReading, SeatError> {
        let usual = Arrangement::usual(self.groove.side);
        match &self.taper {
            Some(taper) => taper.reading_from_size(size, self.wire),
            None => reading_from_size(self.groove, usual, size, self.wire).map(parallel),
        }
    }

    /// Readings at the limits of the pitch diameter, where it has both.
    fn limits(&self, limits: Limits) -> Result<Option<(f64, f64)>, SeatError> {
        let (Some(lower), Some(upper)) = (limits.lower, limits.upper) else {
            return Ok(None);
        };
        let at = |limit: Length| self.reading(limit.mm()).map(|found| found.over.reading_mm);
        Ok(Some((at(lower)?, at(upper)?)))
    }

    /// What published formulas give for the same size.
    fn compare(&self, reading: &WireReading) -> Result<Vec<Comparison>, SeatError> {
        let (size, exact) = (reading.pitch_diameter_mm, reading.reading_mm);
        match &self.taper {
            Some(taper) => taper.compare(size, self.wire, exact),
            None => compare(self.groove, size, self.wire, exact),
        }
    }
}

/// A reading of a parallel thread, which has no taper to correct for.
const fn parallel(over: WireReading) -> TaperReading {
    TaperReading {
        over,
        taper_correction_mm: 0.0,
    }
}

/// How far opposite grooves are offset, and how far two balls in them are apart in a straight line, which is more than square
/// to the axis.
fn across_grooves(groove: &Groove, between_centres: f64) -> Option<(f64, f64)> {
    let offset = groove.opposite_offset_mm();
    (groove.side == Side::Internal && offset > 0.0)
        .then(|| (offset, libm::hypot(between_centres, offset)))
}

/// What to look at beside the force where one is stated.
fn customary_force(groove: &Groove, unit: LengthUnit) -> Option<String> {
    let advice = measuring_force(groove.pitch_mm)?;
    Some(say!(
        "wires.customary-force",
        force = words::value(&Value::Newton(advice.force.newtons()), Shown::in_unit(unit)),
        source = words::source(advice.source),
        confidence = words::word(&advice.confidence)
    ))
}

/// The wires at hand, best first where it is known which are usable, and whether each is.
fn by_fitness(
    groove: &Groove,
    usable: Option<UsableWires>,
    owned: &[f64],
) -> Result<Vec<(f64, bool)>, SeatError> {
    match usable {
        Some(usable) if !owned.is_empty() => Ok(choose_wire(groove, usable, owned)?
            .into_iter()
            .map(|choice| (choice.wire_mm, choice.usable))
            .collect()),
        _ => Ok(owned.iter().map(|wire| (*wire, true)).collect()),
    }
}

/// Where a pitch diameter lies beside its limits; a verdict needs an uncertainty, and `inspect` gives both.
fn against(pitch_diameter: f64, limits: Limits, unit: LengthUnit) -> Option<String> {
    let (lower, upper) = (limits.lower?.mm(), limits.upper?.mm());
    let below = pitch_diameter < lower;
    let off = (lower - pitch_diameter).max(pitch_diameter - upper);
    if off <= 0.0 {
        return None;
    }
    let far = off > 3.0 * (upper - lower);
    let (off, lower, upper) = (
        number::size(off, unit),
        number::size(lower, unit),
        number::size(upper, unit),
    );
    Some(match (below, far) {
        (true, true) => say!("wires.far-below", off = off, lower = lower, upper = upper),
        (true, false) => say!("wires.below", off = off, lower = lower, upper = upper),
        (false, true) => say!("wires.far-above", off = off, lower = lower, upper = upper),
        (false, false) => say!("wires.above", off = off, lower = lower, upper = upper),
    })
}

fn elastic(
    newtons: f64,
    groove: &Groove,
    d2: f64,
    wire: f64,
    (unit, arguments): (LengthUnit, &Arguments),
) -> Result<f64, Wrong> {
    let of = |name: &str| {
        material::named(name)
            .and_then(|material| material.elastic)
            .ok_or_else(|| WiresError::Material {
                name: name.to_owned(),
                table: "data/materials.csv",
            })
    };
    let set_up = OverWires {
        half_angle: groove.upper_flank,
        pitch_diameter_mm: d2,
        wire_mm: wire,
        force: Force::from_newtons(newtons),
        face_width_mm: FACE_WIDTH,
        thread: of(&arguments.material)?,
        wires: of("steel")?,
        faces: of("steel")?,
    };
    let convention =
        match measuring_force(groove.pitch_mm).filter(|_| arguments.wires_calibrated_under_force) {
            Some(advice) => WireConvention::Deformed {
                force: advice.force,
                cylinder_mm: advice.cylinder_mm,
            },
            None => WireConvention::Undeformed,
        };
    let effect = reading_correction(&set_up, convention)
        .map_err(|error| Wrong::shown(&WiresError::Force { error }, unit))?;
    Ok(effect.correction_mm)
}

/// A length in millimetres, not rounded to anything.
fn length(
    option: &str,
    text: Option<&String>,
    unit: Option<LengthUnit>,
) -> Result<Option<f64>, Wrong> {
    let Some(text) = text else { return Ok(None) };
    let entered = entered_in(option, text, unit).map_err(Wrong::length)?;
    Ok(Some(mm(&entered)))
}
