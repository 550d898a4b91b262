//! `midflank study summary` and `one-way`.

use clap::Args;
use metrology::study::{OneWay, Summary, Variation};
use serde::Serialize;

use super::given::{Answer, Readings, line, symbol};
use crate::failure::Failure;
use crate::output::Output;
use crate::report::sheet::study::StudyName;
use crate::report::sheet::study_plots::in_order;
use crate::report::told::Told;
use crate::say;
use crate::words::number;

#[derive(Args)]
pub struct SummaryArguments {
    #[command(flatten)]
    readings: Readings,
}

#[derive(Serialize)]
struct SummaryDocument {
    n: usize,
    mean: f64,
    standard_deviation: Option<f64>,
    autocorrelation: Option<f64>,
}

pub fn summary(arguments: &SummaryArguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
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
    let mut answer = Answer::of(StudyName::Summary, &document, words);
    answer.plot(in_order(&readings.values()?, levels, symbol(unit)));
    readings.answer(output, answer)
}

#[derive(Args)]
pub struct OneWayArguments {
    #[command(flatten)]
    readings: Readings,
}

#[derive(Serialize)]
struct OneWayDocument {
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

pub fn one_way(arguments: &OneWayArguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
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
    let answer = Answer::of(StudyName::OneWay, &document, words);
    readings.answer(output, answer)
}
