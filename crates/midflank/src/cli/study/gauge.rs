//! Studies of a way of measuring.

use clap::Args;
use metrology::study::repeatability::{Design, Method};
use metrology::study::{
    Agreeing, Agreement, Compared, DoubleDouble, Kappa, StudyError, Table, Type1Settings, compare,
};
use metrology::units::LengthUnit;
use serde::Serialize;
use workshop::gauge_record::studied::{
    BiasDocument, LinearityDocument, RepeatabilityDocument, RepeatabilitySettings, Type1Document,
};

use super::given::{Answer, Readings, about, shown, symbol};
use crate::failure::Failure;
use crate::output::Output;
use crate::report::sheet::study::{Dot, Plot, StudyName};
use crate::report::sheet::study_plots::{
    self, Taken, in_order, of_type_1, over_reference, reference_and_mean,
};
use crate::report::studied;
use crate::report::told::Told;
use crate::say;
use crate::words::number;

#[derive(Args)]
pub struct RepeatabilityArguments {
    #[command(flatten)]
    readings: Readings,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    tolerance: Option<String>,
    #[arg(long, value_name = "METHOD", default_value = "anova", value_parser = ["anova", "range"])]
    method: String,
    #[arg(long, value_name = "DESIGN", default_value = "crossed", value_parser = ["crossed", "nested"])]
    design: String,
    #[arg(
        long,
        value_name = "ALPHA",
        default_value_t = 0.05,
        allow_hyphen_values = true
    )]
    alpha: f64,
}

pub fn repeatability(
    arguments: &RepeatabilityArguments,
    output: &mut Output,
) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let (unit, [tolerance]) = readings.lengths([("--tolerance", arguments.tolerance.as_ref())])?;
    let tolerance = tolerance.map(DoubleDouble::value);
    let method = Method::of(&arguments.method).unwrap_or(Method::Anova);
    let design = Design::of(&arguments.design).unwrap_or(Design::Crossed);
    let settings = RepeatabilitySettings {
        method,
        design,
        alpha: arguments.alpha,
        tolerance,
        unit,
    };
    let (document, _) = readings.study(|text| RepeatabilityDocument::read(text, &settings))?;
    let mut told = studied::repeatability(&document);
    in_unit(&mut told, unit, tolerance);
    let mut answer = Answer::of(StudyName::Repeatability, &document, told);
    for plot in by_part(readings, unit)? {
        answer.plot(plot);
    }
    readings.answer(output, answer)
}

/// Says what the bare numbers of the file are taken for.
fn in_unit(told: &mut Told, unit: Option<LengthUnit>, tolerance: Option<f64>) {
    let Some(unit) = unit else { return };
    told.sentence(match tolerance {
        Some(tolerance) => say!(
            "studied.in-unit-tolerance",
            unit = unit.symbol(),
            tolerance = shown(tolerance, Some(unit))
        ),
        None => say!("studied.in-unit", unit = unit.symbol()),
    });
}

/// The drawings of the readings in a file.
fn by_part(readings: &Readings, unit: Option<LengthUnit>) -> Result<Vec<Plot>, Failure> {
    let refused = |error: StudyError| about(&readings.file, &error);
    let table = Table::read(&readings.text()?, &["part", "operator", "trial", "value"]);
    let table = table.map_err(|error| about(&readings.file, &error))?;
    let texts = |column: &str| table.texts(column).map_err(|error| refused(error.into()));
    let (parts, operators) = (texts("part")?, texts("operator")?);
    let values = table.numbers("value");
    let values = values.map_err(|error| refused(error.into()))?;
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

#[derive(Args)]
pub struct Type1Arguments {
    #[command(flatten)]
    readings: Readings,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    reference: String,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    tolerance: String,
    #[arg(
        long,
        value_name = "PERCENT",
        default_value_t = 20.0,
        allow_hyphen_values = true
    )]
    part_of_tolerance: f64,
    #[arg(
        long,
        value_name = "L",
        default_value_t = 6.0,
        allow_hyphen_values = true
    )]
    spread: f64,
}

pub fn type_1(arguments: &Type1Arguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let (unit, [reference, tolerance]) = readings.lengths([
        ("--reference", Some(&arguments.reference)),
        ("--tolerance", Some(&arguments.tolerance)),
    ])?;
    let settings = Type1Settings {
        part_of_tolerance: arguments.part_of_tolerance,
        spread: arguments.spread,
    };
    let tolerance = tolerance.map_or(f64::NAN, DoubleDouble::value);
    let zero = DoubleDouble::ZERO;
    let (document, _) = readings.study(|text| {
        Type1Document::read(text, reference.unwrap_or(zero), tolerance, settings, unit)
    })?;
    let mut told = studied::type_1(&document);
    in_unit(&mut told, unit, Some(tolerance));
    let at = reference.map(DoubleDouble::value);
    let percent = settings.part_of_tolerance;
    let levels = of_type_1(at, document.mean, tolerance, percent);
    let mut answer = Answer::of(StudyName::Type1, &document, told);
    answer.plot(in_order(&readings.values()?, levels, symbol(unit)));
    readings.answer(output, answer)
}

#[derive(Args)]
pub struct BiasArguments {
    #[command(flatten)]
    readings: Readings,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    reference: String,
    #[arg(
        long,
        value_name = "P",
        default_value_t = 0.95,
        allow_hyphen_values = true
    )]
    confidence: f64,
}

pub fn bias(arguments: &BiasArguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let (unit, [reference]) = readings.lengths([("--reference", Some(&arguments.reference))])?;
    let zero = DoubleDouble::ZERO;
    let confidence = arguments.confidence;
    let (document, _) = readings
        .study(|text| BiasDocument::read(text, reference.unwrap_or(zero), confidence, unit))?;
    let told = studied::bias(&document);
    let levels = reference_and_mean(reference.map(DoubleDouble::value), document.mean);
    let mut answer = Answer::of(StudyName::Bias, &document, told);
    answer.plot(in_order(&readings.values()?, levels, symbol(unit)));
    readings.answer(output, answer)
}

#[derive(Args)]
pub struct LinearityArguments {
    #[command(flatten)]
    readings: Readings,
    #[arg(
        long,
        value_name = "P",
        default_value_t = 0.95,
        allow_hyphen_values = true
    )]
    confidence: f64,
}

pub fn linearity(arguments: &LinearityArguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let (unit, confidence) = (readings.unit()?, arguments.confidence);
    let document = readings.study(|text| LinearityDocument::read(text, confidence, unit))?;
    let told = studied::linearity(&document);
    let mut answer = Answer::of(StudyName::Linearity, &document, told);
    answer.plot(over_reference(&document));
    readings.answer(output, answer)
}

#[derive(Args)]
pub struct AgreementArguments {
    #[command(flatten)]
    readings: Readings,
}

#[derive(Serialize)]
struct AgreementDocument {
    pairs: Vec<PairDocument>,
    to_reference: Vec<PairDocument>,
    fleiss: Option<KappaDocument>,
    parts: usize,
    unanimous: usize,
}

#[derive(Serialize)]
struct PairDocument {
    one: String,
    other: Option<String>,
    #[serde(flatten)]
    kappa: KappaDocument,
}

#[derive(Serialize)]
struct KappaDocument {
    n: usize,
    observed: f64,
    expected: f64,
    kappa: f64,
}

impl KappaDocument {
    const fn of(kappa: Kappa) -> Self {
        Self {
            n: kappa.n,
            observed: kappa.observed,
            expected: kappa.expected,
            kappa: kappa.kappa,
        }
    }
}

impl PairDocument {
    fn of(agreeing: &Agreeing) -> Self {
        Self {
            one: agreeing.one.clone(),
            other: agreeing.other.clone(),
            kappa: KappaDocument::of(agreeing.kappa),
        }
    }
}

pub fn agreement(arguments: &AgreementArguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let study = readings.study(Agreement::read)?;
    let document = AgreementDocument {
        pairs: study.pairs.iter().map(PairDocument::of).collect(),
        to_reference: study.to_reference.iter().map(PairDocument::of).collect(),
        fleiss: study.all.map(KappaDocument::of),
        parts: study.unanimous.1,
        unanimous: study.unanimous.0,
    };
    let mut words = Told::default();
    let told = &mut words;
    for agreeing in study.pairs.iter().chain(&study.to_reference) {
        let other = agreeing.other.as_deref();
        told.sentence(say!(
            "studied.kappa",
            one = agreeing.one,
            other = other.unwrap_or(say!("studied.reference")),
            kappa = number::fixed(agreeing.kappa.kappa, 3),
            agreed = number::fixed_percent(agreeing.kappa.observed, 1)
        ));
    }
    if let Some(all) = study.all {
        told.sentence(say!("studied.fleiss", kappa = number::fixed(all.kappa, 3)));
    }
    told.sentence(say!(
        "studied.unanimous",
        alike = study.unanimous.0,
        parts = study.unanimous.1
    ));
    told.sentence(say!("studied.kappa-guide"));
    let answer = Answer::of(StudyName::Agreement, &document, words);
    readings.answer(output, answer)
}

#[derive(Args)]
pub struct ComparisonArguments {
    #[command(flatten)]
    readings: Readings,
}

#[derive(Serialize)]
struct ComparisonDocument {
    unit: Option<&'static str>,
    participants: Vec<ComparedDocument>,
}

#[derive(Serialize)]
struct ComparedDocument {
    participant: String,
    difference: f64,
    e_n: f64,
    agrees: bool,
}

pub fn comparison(arguments: &ComparisonArguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let compared: Vec<Compared> =
        compare(&readings.text()?).map_err(|error| about(&readings.file, &error))?;
    let compared_document = |of: &Compared| ComparedDocument {
        participant: of.participant.clone(),
        difference: of.difference,
        e_n: of.e_n,
        agrees: of.agrees,
    };
    let unit = readings.unit()?;
    let document = ComparisonDocument {
        unit: symbol(unit),
        participants: compared.iter().map(compared_document).collect(),
    };
    let mut words = Told::default();
    let told = &mut words;
    for of in &compared {
        let verdict = if of.agrees {
            say!("studied.agrees")
        } else {
            say!("studied.disagrees")
        };
        told.sentence(say!(
            "studied.e-n",
            participant = of.participant,
            difference = shown(of.difference, unit),
            value = number::fixed(of.e_n, 2),
            verdict = verdict
        ));
    }
    let dot = |(index, of): (usize, &Compared)| Dot {
        x: index as f64 + 1.0,
        y: of.difference,
        ends: None,
        is_marked: !of.agrees,
    };
    let name = |(index, of): (usize, &Compared)| (index as f64 + 1.0, of.participant.clone());
    let mut answer = Answer::of(StudyName::Comparison, &document, words);
    answer.plot(Plot {
        title: say!("study-sheet.differences").to_owned(),
        unit: symbol(unit).map(str::to_owned),
        series: vec![(
            String::new(),
            compared.iter().enumerate().map(dot).collect(),
        )],
        levels: vec![(0.0, say!("study-sheet.reference").to_owned())],
        under: compared.iter().enumerate().map(name).collect(),
        ..Plot::default()
    });
    readings.answer(output, answer)
}
