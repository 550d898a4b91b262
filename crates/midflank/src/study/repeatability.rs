//! Repeatability and reproducibility.

use metrology::study::repeatability::{Design, Method};
use metrology::study::{DoubleDouble, StudyError, Table};
use metrology::units::{Entered, LengthUnit};
use workshop::gauge_record::studied::{RepeatabilityDocument, RepeatabilitySettings};

use super::told::{in_unit, symbol};
use super::{Answer, Readings};
use crate::failure::Failure;
use crate::report::sheet::study::{Plot, StudyName};
use crate::report::sheet::study_plots::{self, Taken};
use crate::report::studied;

pub struct Settings {
    pub tolerance: Option<Entered>,
    pub method: Method,
    pub design: Design,
    /// An interaction that is not significant at it is pooled.
    pub alpha: f64,
}

pub fn answer(
    readings: &Readings,
    settings: &Settings,
) -> Result<Answer<RepeatabilityDocument>, Failure> {
    let (unit, [tolerance]) = readings.lengths([settings.tolerance.as_ref()])?;
    let tolerance = tolerance.map(DoubleDouble::value);
    let settings = RepeatabilitySettings {
        method: settings.method,
        design: settings.design,
        alpha: settings.alpha,
        tolerance,
        unit,
    };
    let (document, _) = readings.study(|text| RepeatabilityDocument::read(text, &settings))?;
    let mut told = studied::repeatability(&document);
    in_unit(&mut told, unit, tolerance);
    let mut answer = Answer::of(StudyName::Repeatability, document, told);
    for plot in by_part(readings, unit)? {
        answer.plot(plot);
    }
    Ok(answer)
}

/// The drawings of the readings.
fn by_part(readings: &Readings, unit: Option<LengthUnit>) -> Result<Vec<Plot>, Failure> {
    let columns = readings.study(|text| {
        let table = Table::read(text, &["part", "operator", "trial", "value"])?;
        let texts = |column: &str| table.texts(column);
        Ok::<_, StudyError>((texts("part")?, texts("operator")?, table.numbers("value")?))
    });
    let (parts, operators, values) = columns?;
    let rows = parts.iter().zip(&operators).zip(values);
    let taken = rows.map(|((part, operator), value)| Taken {
        part,
        operator,
        value: value.value(),
    });
    let taken: Vec<Taken<'_>> = taken.collect();
    let known = taken.iter().map(|one| (one.part, one.operator));
    Ok(study_plots::by_part(known, &taken, symbol(unit)))
}
