//! What questions about one thread have in common: the designation, and lengths and angles as options.

use metrology::contacts::MeasuredThread;
use metrology::designation::{self, Form, Kind};
use metrology::functional::FlankInMesh;
use metrology::limits::ThreadLimits;
use metrology::units::{Angle, Entered, LengthUnit};
use metrology::wires::Side;

use crate::failure::Failure;
use crate::{say, words};

/// The limits of a designation, and the thread as geometry takes it: nominal flanks, basic pitch diameter.
pub fn thread(text: &str) -> Result<(ThreadLimits, MeasuredThread), Failure> {
    let limits = designation::parse(text)
        .and_then(|thread| thread.limits())
        .map_err(|error| {
            let error = words::said(&error);
            Failure::Input(say!("thread.refused", designation = text, error = error))
        })?;
    let pitch_diameter_mm = basic_pitch_diameter(&limits)
        .ok_or_else(|| Failure::Input(say!("thread.no-pitch-diameter", designation = text)))?;
    let mut thread = MeasuredThread::of_standard_form(
        side(limits.kind),
        limits.included_angle,
        limits.pitch.mm(),
        u32::from(limits.starts),
        pitch_diameter_mm,
    )
    .ok_or_else(|| {
        let angle = words::number::degrees(limits.included_angle.degrees());
        Failure::Input(say!(
            "thread.unknown-flanks",
            designation = text,
            angle = angle
        ))
    })?;
    // By its angle a Stub Acme thread is taken for a general-purpose one, which is deeper.
    if limits.form == Form::StubAcme {
        thread.to_crest_mm = FlankInMesh::STUB_ACME.to_crest * thread.pitch_mm;
        thread.to_root_mm = FlankInMesh::STUB_ACME.to_root * thread.pitch_mm;
    }
    Ok((limits, thread))
}

/// Millimetres or inches: the unit to answer in to somebody who wrote this one.
pub const fn answer_unit(unit: LengthUnit) -> LengthUnit {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => LengthUnit::Inch,
        LengthUnit::Millimetre | LengthUnit::Micrometre => LengthUnit::Millimetre,
    }
}

/// A length given with an option or in a column; one without a unit is in this one, where there is one.
pub fn entered_in(option: &str, text: &str, unit: Option<LengthUnit>) -> Result<Entered, Failure> {
    Entered::parse(text, unit).map_err(|error| {
        let error = words::said(&error);
        Failure::Input(say!("command.option", option = option, error = error))
    })
}

/// One that must carry its unit.
pub fn entered(option: &str, text: &str) -> Result<Entered, Failure> {
    entered_in(option, text, None)
}

/// A length in millimetres, not rounded to anything.
pub fn length(option: &str, text: &str) -> Result<f64, Failure> {
    entered(option, text).map(|entered| mm(&entered))
}

/// A length that may be left out.
pub fn optional_length(option: &str, text: Option<&String>) -> Result<Option<f64>, Failure> {
    text.map(|text| length(option, text)).transpose()
}

/// Millimetres, not rounded to anything.
pub fn mm(entered: &Entered) -> f64 {
    let number: f64 = entered.number().try_into().unwrap_or(f64::NAN);
    number * entered.unit().tenth_nanometres() as f64 / 1e7
}

/// Exactly so many of a list, or the sentence that says what to write.
pub fn exactly<'a, T, const N: usize>(
    option: &str,
    list: &'a [T],
    example: &str,
) -> Result<&'a [T; N], Failure> {
    list.try_into().map_err(|_| {
        Failure::Input(say!(
            "thread.wrong-count",
            option = option,
            given = list.len(),
            wanted = N,
            example = example
        ))
    })
}

/// Degrees as an angle, or the nominal one.
pub fn angle_or(degrees: Option<f64>, nominal: Angle) -> Angle {
    degrees.map_or(nominal, Angle::from_degrees)
}

/// The pitch diameter without allowance.
pub fn basic_pitch_diameter(thread: &ThreadLimits) -> Option<f64> {
    let basic = match thread.kind {
        Kind::External => thread.pitch_diameter.upper? + thread.allowance,
        Kind::Internal => thread.pitch_diameter.lower? - thread.allowance,
    };
    Some(basic.mm())
}

pub const fn side(kind: Kind) -> Side {
    match kind {
        Kind::External => Side::External,
        Kind::Internal => Side::Internal,
    }
}

/// `mm` or `in`, as an answer can be in.
pub fn parse_unit(text: &str) -> Result<LengthUnit, Failure> {
    match text.parse() {
        Ok(unit @ (LengthUnit::Millimetre | LengthUnit::Inch)) => Ok(unit),
        _ => Err(Failure::input(say!("limits.unit"))),
    }
}
