//! One-way analysis of variance.

use metrology::study::{OneWay, Variation};
use serde::Serialize;

use super::told::line;
use super::{Answer, Readings};
use crate::failure::Failure;
use crate::report::sheet::study::StudyName;
use crate::report::told::Told;
use crate::say;
use crate::words::number;

#[derive(Serialize)]
pub struct OneWayDocument {
    between: VariationDocument,
    within: VariationDocument,
    f: f64,
    p: f64,
    r_squared: f64,
    residual_standard_deviation: f64,
}

#[derive(Serialize)]
struct VariationDocument {
    df: usize,
    ss: f64,
    ms: f64,
}

impl VariationDocument {
    fn of(variation: Variation) -> Self {
        Self {
            df: variation.degrees_of_freedom,
            ss: variation.sum_of_squares,
            ms: variation.mean_square,
        }
    }
}

pub fn answer(readings: &Readings) -> Result<Answer<OneWayDocument>, Failure> {
    let unit = readings.unit()?;
    let study = readings.study(OneWay::read)?;
    let document = OneWayDocument {
        between: VariationDocument::of(study.between),
        within: VariationDocument::of(study.within),
        f: study.f,
        p: study.p,
        r_squared: study.r_squared,
        residual_standard_deviation: study.residual_standard_deviation,
    };
    let mut words = Told::default();
    let told = &mut words;
    let head = [
        "",
        say!("studied.df"),
        say!("studied.ss"),
        say!("studied.ms"),
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for (name, variation) in [
        (say!("studied.between"), study.between),
        (say!("studied.within"), study.within),
    ] {
        rows.push(vec![
            name.to_owned(),
            variation.degrees_of_freedom.to_string(),
            number::significant(variation.sum_of_squares, 9),
            number::significant(variation.mean_square, 9),
        ]);
    }
    told.rows(&[16, 6, 16, 16], rows);
    line(told, say!("studied.f"), study.f, None);
    line(told, say!("studied.p"), study.p, None);
    line(told, say!("studied.r-squared"), study.r_squared, None);
    line(
        told,
        say!("studied.residual"),
        study.residual_standard_deviation,
        unit,
    );
    Ok(Answer::of(StudyName::OneWay, document, words))
}
