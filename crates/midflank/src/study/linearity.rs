//! How the bias changes over the range.

use workshop::gauge_record::studied::LinearityDocument;

use super::{Answer, Readings};
use crate::failure::Failure;
use crate::report::sheet::study::StudyName;
use crate::report::sheet::study_plots::over_reference;
use crate::report::studied;

pub fn answer(readings: &Readings, confidence: f64) -> Result<Answer<LinearityDocument>, Failure> {
    let unit = readings.unit()?;
    let document = readings.study(|text| LinearityDocument::read(text, confidence, unit))?;
    let told = studied::linearity(&document);
    let plot = over_reference(&document);
    let mut answer = Answer::of(StudyName::Linearity, document, told);
    answer.plot(plot);
    Ok(answer)
}
