//! Type-1 studies: one part of known size measured many times.

use metrology::study::{DoubleDouble, Type1Settings};
use metrology::units::Entered;
use workshop::gauge_record::studied::Type1Document;

use super::told::{in_unit, symbol};
use super::{Answer, Readings};
use crate::failure::Failure;
use crate::report::sheet::study::StudyName;
use crate::report::sheet::study_plots::{in_order, of_type_1};
use crate::report::studied;

pub struct Settings {
    pub reference: Entered,
    pub tolerance: Entered,
    pub indices: Type1Settings,
}

pub fn answer(readings: &Readings, settings: &Settings) -> Result<Answer<Type1Document>, Failure> {
    let given = [Some(&settings.reference), Some(&settings.tolerance)];
    let (unit, [reference, tolerance]) = readings.lengths(given)?;
    let tolerance = tolerance.map_or(f64::NAN, DoubleDouble::value);
    let known = reference.unwrap_or(DoubleDouble::ZERO);
    let (document, _) = readings
        .study(|text| Type1Document::read(text, known, tolerance, settings.indices, unit))?;
    let mut told = studied::type_1(&document);
    in_unit(&mut told, unit, Some(tolerance));
    let at = reference.map(DoubleDouble::value);
    let percent = settings.indices.part_of_tolerance;
    let levels = of_type_1(at, document.mean, tolerance, percent);
    let mut answer = Answer::of(StudyName::Type1, document, told);
    answer.plot(in_order(&readings.values()?, levels, symbol(unit)));
    Ok(answer)
}
