//! The bias of readings of one part of known size.

use metrology::study::DoubleDouble;
use metrology::units::Entered;
use workshop::gauge_record::studied::BiasDocument;

use super::told::symbol;
use super::{Answer, Readings};
use crate::failure::Failure;
use crate::report::sheet::study::StudyName;
use crate::report::sheet::study_plots::{in_order, reference_and_mean};
use crate::report::studied;

pub struct Settings {
    pub reference: Entered,
    pub confidence: f64,
}

pub fn answer(readings: &Readings, settings: &Settings) -> Result<Answer<BiasDocument>, Failure> {
    let (unit, [reference]) = readings.lengths([Some(&settings.reference)])?;
    let known = reference.unwrap_or(DoubleDouble::ZERO);
    let (document, _) =
        readings.study(|text| BiasDocument::read(text, known, settings.confidence, unit))?;
    let told = studied::bias(&document);
    let levels = reference_and_mean(reference.map(DoubleDouble::value), document.mean);
    let mut answer = Answer::of(StudyName::Bias, document, told);
    answer.plot(in_order(&readings.values()?, levels, symbol(unit)));
    Ok(answer)
}
