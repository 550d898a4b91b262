//! Mean, standard deviation and autocorrelation of one column.

use metrology::study::Summary;
use serde::Serialize;

use super::told::symbol;
use super::{Answer, Readings};
use crate::failure::Failure;
use crate::report::sheet::study::StudyName;
use crate::report::sheet::study_plots::in_order;
use crate::report::told::Told;
use crate::say;
use crate::words::number;

#[derive(Serialize)]
pub struct SummaryDocument {
    n: usize,
    mean: f64,
    standard_deviation: Option<f64>,
    autocorrelation: Option<f64>,
}

pub fn answer(readings: &Readings) -> Result<Answer<SummaryDocument>, Failure> {
    let unit = readings.unit()?;
    let summary = readings.study(Summary::read)?;
    let document = SummaryDocument {
        n: summary.n,
        mean: summary.mean,
        standard_deviation: summary.standard_deviation,
        autocorrelation: summary.autocorrelation,
    };
    let mut words = Told::default();
    let told = &mut words;
    let rows = [
        (say!("studied.mean"), Some(summary.mean)),
        (
            say!("studied.standard-deviation"),
            summary.standard_deviation,
        ),
        (say!("studied.autocorrelation"), summary.autocorrelation),
    ];
    told.value(say!("studied.n"), summary.n.to_string());
    for (name, value) in rows {
        // All digits: that they are right is what this is asked for.
        let value = value.map_or_else(|| say!("studied.none").to_owned(), number::given);
        told.value(name, value);
    }
    let levels = vec![(summary.mean, say!("study-sheet.mean").to_owned())];
    let mut answer = Answer::of(StudyName::Summary, document, words);
    answer.plot(in_order(&readings.values()?, levels, symbol(unit)));
    Ok(answer)
}
