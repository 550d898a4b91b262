//! Studies of a way of measuring.

use clap::Args;
use metrology::study::repeatability::{Design, Method};
use metrology::study::{
    Agreeing, Agreement, Compared, DoubleDouble, Kappa, Linearity, Type1Settings, compare,
};
use serde::Serialize;
use workshop::gauge_record::studied::{
    BiasDocument, RepeatabilityDocument, RepeatabilitySettings, Type1Document,
};

use super::given::{Readings, about, line, shown, symbol};
use crate::failure::Failure;
use crate::output::Output;
use crate::report::studied;
use crate::say;
use crate::words::number;

#[derive(Args)]
pub struct RepeatabilityArguments {
    #[command(flatten)]
    readings: Readings,
    #[arg(long, value_name = "LEN")]
    tolerance: Option<String>,
    #[arg(long, value_name = "METHOD", default_value = "anova", value_parser = ["anova", "range"])]
    method: String,
    #[arg(long, value_name = "DESIGN", default_value = "crossed", value_parser = ["crossed", "nested"])]
    design: String,
    #[arg(long, value_name = "ALPHA", default_value_t = 0.05)]
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
    if readings.is_data() {
        return readings.data(output, &document);
    }
    tell(output, studied::repeatability(&document))
}

fn tell(output: &mut Output, lines: Vec<String>) -> Result<(), Failure> {
    lines.iter().try_for_each(|one| output.line(one))
}

#[derive(Args)]
pub struct Type1Arguments {
    #[command(flatten)]
    readings: Readings,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    reference: String,
    #[arg(long, value_name = "LEN")]
    tolerance: String,
    #[arg(long, value_name = "PERCENT", default_value_t = 20.0)]
    part_of_tolerance: f64,
    #[arg(long, value_name = "L", default_value_t = 6.0)]
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
    let reference = reference.unwrap_or(DoubleDouble::ZERO);
    let (document, _) =
        readings.study(|text| Type1Document::read(text, reference, tolerance, settings, unit))?;
    if readings.is_data() {
        return readings.data(output, &document);
    }
    tell(output, studied::type_1(&document))
}

#[derive(Args)]
pub struct BiasArguments {
    #[command(flatten)]
    readings: Readings,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    reference: String,
    #[arg(long, value_name = "P", default_value_t = 0.95)]
    confidence: f64,
}

pub fn bias(arguments: &BiasArguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let (unit, [reference]) = readings.lengths([("--reference", Some(&arguments.reference))])?;
    let reference = reference.unwrap_or(DoubleDouble::ZERO);
    let confidence = arguments.confidence;
    let (document, _) =
        readings.study(|text| BiasDocument::read(text, reference, confidence, unit))?;
    if readings.is_data() {
        return readings.data(output, &document);
    }
    tell(output, studied::bias(&document))
}

#[derive(Args)]
pub struct LinearityArguments {
    #[command(flatten)]
    readings: Readings,
    #[arg(long, value_name = "P", default_value_t = 0.95)]
    confidence: f64,
}

#[derive(Serialize)]
struct LinearityDocument {
    unit: Option<&'static str>,
    n: usize,
    slope: f64,
    intercept: f64,
    r_squared: f64,
    residual_standard_deviation: f64,
    slope_t: f64,
    slope_p: f64,
    intercept_t: f64,
    intercept_p: f64,
    confidence: f64,
    references: Vec<ReferenceDocument>,
    zero_within: bool,
}

#[derive(Serialize)]
struct ReferenceDocument {
    reference: f64,
    n: usize,
    bias: f64,
    fitted: f64,
    lower: f64,
    upper: f64,
}

pub fn linearity(arguments: &LinearityArguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let unit = readings.unit;
    let study = readings.study(|text| Linearity::read(text, arguments.confidence))?;
    let of_line = &study.line;
    let (slope, intercept) = (of_line.slope_test(), of_line.intercept_test());
    if readings.is_data() {
        return readings.data(
            output,
            &LinearityDocument {
                unit: symbol(unit),
                n: of_line.n,
                slope: of_line.slope,
                intercept: of_line.intercept,
                r_squared: of_line.r_squared,
                residual_standard_deviation: of_line.residual_standard_deviation,
                slope_t: slope.0,
                slope_p: slope.1,
                intercept_t: intercept.0,
                intercept_p: intercept.1,
                confidence: arguments.confidence,
                references: study
                    .references
                    .iter()
                    .map(|at| ReferenceDocument {
                        reference: at.reference,
                        n: at.n,
                        bias: at.bias,
                        fitted: at.fitted,
                        lower: at.band.0,
                        upper: at.band.1,
                    })
                    .collect(),
                zero_within: study.zero_within,
            },
        );
    }
    output.line(&say!(
        "studied.line",
        intercept = number::significant(of_line.intercept, 6),
        slope = number::significant(of_line.slope, 6)
    ))?;
    for (name, test) in [
        (say!("studied.slope"), slope),
        (say!("studied.intercept"), intercept),
    ] {
        output.line(&say!(
            "studied.test",
            name = name,
            t = number::significant(test.0, 5),
            p = number::significant(test.1, 3)
        ))?;
    }
    line(output, say!("studied.r-squared"), of_line.r_squared, None)?;
    line(
        output,
        say!("studied.residual"),
        of_line.residual_standard_deviation,
        unit,
    )?;
    for at in &study.references {
        output.line(&say!(
            "studied.at-reference",
            reference = shown(at.reference, unit),
            bias = shown(at.bias, unit),
            lower = shown(at.band.0, unit),
            upper = shown(at.band.1, unit)
        ))?;
    }
    output.line(if study.zero_within {
        say!("studied.linear")
    } else {
        say!("studied.not-linear")
    })
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
    if readings.is_data() {
        return readings.data(
            output,
            &AgreementDocument {
                pairs: study.pairs.iter().map(PairDocument::of).collect(),
                to_reference: study.to_reference.iter().map(PairDocument::of).collect(),
                fleiss: study.all.map(KappaDocument::of),
                parts: study.unanimous.1,
                unanimous: study.unanimous.0,
            },
        );
    }
    for agreeing in study.pairs.iter().chain(&study.to_reference) {
        let other = agreeing.other.as_deref();
        output.line(&say!(
            "studied.kappa",
            one = agreeing.one,
            other = other.unwrap_or(say!("studied.reference")),
            kappa = number::fixed(agreeing.kappa.kappa, 3),
            agreed = number::fixed_percent(agreeing.kappa.observed, 1)
        ))?;
    }
    if let Some(all) = study.all {
        output.line(&say!("studied.fleiss", kappa = number::fixed(all.kappa, 3)))?;
    }
    output.line(&say!(
        "studied.unanimous",
        alike = study.unanimous.0,
        parts = study.unanimous.1
    ))?;
    output.line(say!("studied.kappa-guide"))
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
    if readings.is_data() {
        let document = |of: Compared| ComparedDocument {
            participant: of.participant,
            difference: of.difference,
            e_n: of.e_n,
            agrees: of.agrees,
        };
        return readings.data(
            output,
            &ComparisonDocument {
                unit: symbol(readings.unit),
                participants: compared.into_iter().map(document).collect(),
            },
        );
    }
    for of in &compared {
        let verdict = if of.agrees {
            say!("studied.agrees")
        } else {
            say!("studied.disagrees")
        };
        output.line(&say!(
            "studied.e-n",
            participant = of.participant,
            difference = shown(of.difference, readings.unit),
            value = number::fixed(of.e_n, 2),
            verdict = verdict
        ))?;
    }
    Ok(())
}
