//! Studies of a way of measuring.

use clap::Args;
use metrology::study::repeatability::{
    AnovaLine, Components, Design, Layout, Method, RangeConstants, Repeatability,
};
use metrology::study::{
    Agreeing, Agreement, Bias, Compared, DoubleDouble, Kappa, Linearity, OfBias, StudyError, Table,
    Type1, Type1Settings, compare,
};
use metrology::units::LengthUnit;
use serde::Serialize;

use super::given::{Answer, Readings, about, line, shown, symbol};
use crate::failure::Failure;
use crate::output::Output;
use crate::report::sheet::study::{Dot, Plot, StudyName};
use crate::report::studied::Told;
use crate::say;
use crate::words::{self, number};

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

#[derive(Serialize)]
struct RepeatabilityDocument {
    method: &'static str,
    design: &'static str,
    unit: Option<&'static str>,
    operators: usize,
    parts: usize,
    trials: usize,
    #[serde(flatten)]
    components: ComponentsDocument,
    percent_of_total: ComponentsDocument,
    percent_of_tolerance: Option<ComponentsDocument>,
    distinct_categories: Option<u64>,
    distinct_categories_interval: Option<EndsDocument<u64>>,
    gauge_rr_interval: Option<EndsDocument<f64>>,
    anova: Vec<AnovaDocument>,
    alpha: Option<f64>,
    pooled: Option<bool>,
    constants: Option<ConstantsDocument>,
}

#[derive(Serialize)]
struct ComponentsDocument {
    repeatability: f64,
    reproducibility: f64,
    interaction: f64,
    gauge_rr: f64,
    part: f64,
    total: f64,
}

#[derive(Serialize)]
struct EndsDocument<T> {
    lower: T,
    upper: T,
    confidence: f64,
}

#[derive(Serialize)]
struct AnovaDocument {
    source: &'static str,
    df: usize,
    ss: f64,
    ms: Option<f64>,
    f: Option<f64>,
    p: Option<f64>,
    f_pooled: Option<f64>,
    p_pooled: Option<f64>,
}

#[derive(Serialize)]
struct ConstantsDocument {
    k1: f64,
    k2: f64,
    k3: f64,
    mean_range: f64,
    range_limit: f64,
    ranges_above: usize,
}

impl<T> EndsDocument<T> {
    fn of((lower, upper): (T, T)) -> Self {
        Self {
            lower,
            upper,
            confidence: 0.95,
        }
    }
}

impl ComponentsDocument {
    const fn of(components: Components) -> Self {
        Self {
            repeatability: components.repeatability,
            reproducibility: components.reproducibility,
            interaction: components.interaction,
            gauge_rr: components.gauge_rr,
            part: components.part,
            total: components.total,
        }
    }
}

impl AnovaDocument {
    const fn of(line: &AnovaLine) -> Self {
        Self {
            source: line.source.key(),
            df: line.degrees_of_freedom,
            ss: line.sum_of_squares,
            ms: line.mean_square,
            f: line.f,
            p: line.p,
            f_pooled: line.f_pooled,
            p_pooled: line.p_pooled,
        }
    }
}

impl ConstantsDocument {
    const fn of(constants: RangeConstants) -> Self {
        Self {
            k1: constants.k1,
            k2: constants.k2,
            k3: constants.k3,
            mean_range: constants.mean_range,
            range_limit: constants.range_limit,
            ranges_above: constants.ranges_above,
        }
    }
}

pub fn repeatability(
    arguments: &RepeatabilityArguments,
    output: &mut Output,
) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let (unit, [tolerance]) = readings.lengths([("--tolerance", arguments.tolerance.as_ref())])?;
    let tolerance = tolerance.map(DoubleDouble::value);
    if tolerance.is_some_and(|tolerance| tolerance <= 0.0) {
        return Err(Failure::refused(&StudyError::Tolerance));
    }
    let method = Method::of(&arguments.method).unwrap_or(Method::Anova);
    let design = Design::of(&arguments.design).unwrap_or(Design::Crossed);
    let study = readings
        .study(|text| Repeatability::of(&Layout::read(text, design)?, method, arguments.alpha))?;
    let alpha = study.pooled.map(|_| arguments.alpha);
    let document = RepeatabilityDocument {
        method: study.method.key(),
        design: study.design.key(),
        unit: symbol(unit),
        operators: study.operators,
        parts: study.parts,
        trials: study.trials,
        components: ComponentsDocument::of(study.components),
        percent_of_total: ComponentsDocument::of(study.components.percent_of_total()),
        percent_of_tolerance: tolerance
            .map(|tolerance| study.components.percent_of_tolerance(tolerance))
            .map(ComponentsDocument::of),
        distinct_categories: study.distinct_categories,
        distinct_categories_interval: study
            .intervals
            .map(|intervals| EndsDocument::of(intervals.distinct_categories)),
        gauge_rr_interval: study
            .intervals
            .map(|intervals| EndsDocument::of(intervals.gauge_rr)),
        anova: study.anova.iter().map(AnovaDocument::of).collect(),
        alpha,
        pooled: study.pooled,
        constants: study.constants.map(ConstantsDocument::of),
    };
    let mut words = Told::default();
    let told = &mut words;
    tell_repeatability(&study, unit, tolerance, arguments.alpha, told);
    let mut answer = Answer::of(StudyName::Repeatability, &document, words);
    answer.plot(by_part(&readings.text()?, readings)?);
    readings.answer(output, answer)
}

/// Every reading over its part, the operators beside one another.
fn by_part(text: &str, readings: &Readings) -> Result<Plot, Failure> {
    let refused = |error: StudyError| about(&readings.file, &error);
    let table = Table::read(text, &["part", "operator", "trial", "value"]);
    let table = table.map_err(|error| about(&readings.file, &error))?;
    let texts = |column: &str| table.texts(column).map_err(|error| refused(error.into()));
    let (parts, operators) = (texts("part")?, texts("operator")?);
    let values = table.numbers("value");
    let values = values.map_err(|error| refused(error.into()))?;
    let mut known: Vec<&String> = Vec::new();
    let mut series: Vec<(String, Vec<Dot>)> = Vec::new();
    for ((part, operator), value) in parts.iter().zip(&operators).zip(values) {
        let place = known.iter().position(|one| *one == part);
        let place = place.unwrap_or_else(|| {
            known.push(part);
            known.len() - 1
        });
        let order = series.iter().position(|(name, _)| name == operator);
        let order = order.unwrap_or_else(|| {
            series.push((operator.clone(), Vec::new()));
            series.len() - 1
        });
        let dot = Dot {
            x: place as f64 + 0.12 * order as f64,
            y: value.value(),
            ends: None,
            is_marked: false,
        };
        if let Some((_, dots)) = series.get_mut(order) {
            dots.push(dot);
        }
    }
    let shapes = [
        say!("study-sheet.disc"),
        say!("study-sheet.ring"),
        say!("study-sheet.square"),
        say!("study-sheet.diamond"),
    ];
    let names = series.iter().zip(shapes.iter().cycle());
    let names: Vec<String> = names
        .map(|((name, _), shape)| format!("{shape} {name}"))
        .collect();
    let ends = known.first().zip(known.last());
    Ok(Plot {
        title: say!("study-sheet.by-part-of", operators = names.join(", ")),
        ends: ends.map(|(first, last)| [(*first).clone(), (*last).clone()]),
        series,
        ..Plot::default()
    })
}

fn tell_repeatability(
    study: &Repeatability,
    unit: Option<LengthUnit>,
    tolerance: Option<f64>,
    alpha: f64,
    told: &mut Told,
) {
    told.sentence(say!(
        "studied.layout",
        operators = study.operators,
        parts = study.parts,
        trials = study.trials,
        design = words::word(&study.design),
        method = words::word(&study.method)
    ));
    tell_anova(&study.anova, told);
    let columns = if tolerance.is_some() {
        say!("studied.of-tolerance")
    } else {
        ""
    };
    let head = [
        "",
        say!("studied.standard-deviation"),
        say!("studied.of-total"),
        columns,
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    let components = study.components;
    let of_total = components.percent_of_total();
    let of_tolerance = tolerance.map(|tolerance| components.percent_of_tolerance(tolerance));
    for (name, of) in parts() {
        let percent = |part: Components| format!("{} %", number::fixed(of(&part), 2));
        rows.push(vec![
            name.to_owned(),
            shown(of(&components), unit),
            percent(of_total),
            of_tolerance.map_or_else(String::new, percent),
        ]);
    }
    told.rows(&[22, 18, 12, 14], rows);
    let categories = study.distinct_categories;
    let categories = categories.map_or_else(|| say!("studied.none").to_owned(), |n| n.to_string());
    told.sentence(match study.intervals {
        Some(intervals) => say!(
            "studied.categories-between",
            categories = categories,
            lower = intervals.distinct_categories.0,
            upper = intervals.distinct_categories.1
        ),
        None => say!("studied.categories", categories = categories),
    });
    if let Some(pooled) = study.pooled {
        let alpha = number::given(alpha);
        told.sentence(if pooled {
            say!("studied.pooled", alpha = alpha)
        } else {
            say!("studied.not-pooled", alpha = alpha)
        });
    }
    if let Some(constants) = study.constants {
        told.sentence(say!(
            "studied.constants",
            first = number::fixed(constants.k1, 4),
            second = number::fixed(constants.k2, 4),
            third = number::fixed(constants.k3, 4)
        ));
        told.sentence(say!(
            "studied.ranges",
            n = constants.ranges_above,
            limit = shown(constants.range_limit, unit)
        ));
    }
}

type Part = fn(&Components) -> f64;

fn parts() -> [(&'static str, Part); 6] {
    [
        (say!("studied.repeatability"), |of| of.repeatability),
        (say!("studied.reproducibility"), |of| of.reproducibility),
        (say!("studied.interaction"), |of| of.interaction),
        (say!("studied.gauge-rr"), |of| of.gauge_rr),
        (say!("studied.part"), |of| of.part),
        (say!("studied.total"), |of| of.total),
    ]
}

fn tell_anova(lines: &[AnovaLine], told: &mut Told) {
    if lines.is_empty() {
        return;
    }
    let head = [
        "",
        say!("studied.df"),
        say!("studied.ss"),
        say!("studied.ms"),
        say!("studied.f"),
        say!("studied.p"),
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    let shown =
        |value: Option<f64>| value.map_or_else(String::new, |value| number::significant(value, 6));
    for line in lines {
        rows.push(vec![
            words::word(&line.source),
            line.degrees_of_freedom.to_string(),
            number::significant(line.sum_of_squares, 6),
            shown(line.mean_square),
            line.f
                .map_or_else(String::new, |f| number::significant(f, 4)),
            line.p
                .map_or_else(String::new, |p| number::significant(p, 3)),
        ]);
    }
    told.rows(&[16, 6, 14, 14, 10, 10], rows);
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

#[derive(Serialize)]
struct Type1Document {
    unit: Option<&'static str>,
    n: usize,
    mean: f64,
    standard_deviation: f64,
    bias: f64,
    cg: f64,
    cgk: f64,
    t: f64,
    p: f64,
    part_of_tolerance_percent: f64,
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
    let study = readings.study(|text| {
        let values = Table::read(text, &["value"])?.numbers("value")?;
        let reference = reference.unwrap_or(DoubleDouble::ZERO);
        Type1::of(&values, reference, tolerance, settings)
    })?;
    let document = Type1Document {
        unit: symbol(unit),
        n: study.n,
        mean: study.mean,
        standard_deviation: study.standard_deviation,
        bias: study.bias,
        cg: study.cg,
        cgk: study.cgk,
        t: study.t,
        p: study.p,
        part_of_tolerance_percent: settings.part_of_tolerance,
        spread: settings.spread,
    };
    let mut words = Told::default();
    let told = &mut words;
    told.value(say!("studied.n"), study.n.to_string());
    line(told, say!("studied.mean"), study.mean, unit);
    line(
        told,
        say!("studied.standard-deviation"),
        study.standard_deviation,
        unit,
    );
    line(told, say!("studied.bias"), study.bias, unit);
    line(told, say!("studied.cg"), study.cg, None);
    line(told, say!("studied.cgk"), study.cgk, None);
    told.sentence(say!(
        "studied.bias-test",
        t = number::significant(study.t, 4),
        p = number::significant(study.p, 3)
    ));
    told.sentence(say!(
        "studied.type-1-settings",
        part = number::given(settings.part_of_tolerance),
        spread = number::given(settings.spread)
    ));
    if study.n < 25 {
        told.sentence(say!("studied.few-readings", n = study.n));
    }
    let at = reference.map(DoubleDouble::value);
    let part = tolerance * settings.part_of_tolerance / 200.0;
    let mut levels = reference_and_mean(at, study.mean);
    for (name, limit) in [
        (say!("study-sheet.lower"), at.map(|at| at - part)),
        (say!("study-sheet.upper"), at.map(|at| at + part)),
    ] {
        levels.extend(limit.map(|limit| (limit, name.to_owned())));
    }
    let mut answer = Answer::of(StudyName::Type1, &document, words);
    answer.plot(in_order(&readings.values()?, levels));
    readings.answer(output, answer)
}

/// Readings in their order, with lines across.
pub fn in_order(values: &[f64], levels: Vec<(f64, String)>) -> Plot {
    Plot {
        title: say!("study-sheet.readings").to_owned(),
        series: vec![(String::new(), Dot::in_order(values))],
        is_joined: true,
        levels,
        ..Plot::default()
    }
}

fn reference_and_mean(reference: Option<f64>, mean: f64) -> Vec<(f64, String)> {
    let reference = reference.map(|at| (at, say!("study-sheet.reference").to_owned()));
    let mean = (mean, say!("study-sheet.mean").to_owned());
    reference.into_iter().chain([mean]).collect()
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

#[derive(Serialize)]
struct BiasDocument {
    unit: Option<&'static str>,
    n: usize,
    mean: f64,
    bias: f64,
    confidence: f64,
    by_deviation: OfBiasDocument,
    by_range: Option<OfBiasDocument>,
}

#[derive(Serialize)]
struct OfBiasDocument {
    standard_deviation: f64,
    degrees_of_freedom: f64,
    standard_uncertainty_of_mean: f64,
    t: f64,
    p: f64,
    lower: f64,
    upper: f64,
}

impl OfBiasDocument {
    const fn of(of: OfBias) -> Self {
        Self {
            standard_deviation: of.standard_deviation,
            degrees_of_freedom: of.degrees_of_freedom,
            standard_uncertainty_of_mean: of.of_mean,
            t: of.t,
            p: of.p,
            lower: of.interval.0,
            upper: of.interval.1,
        }
    }
}

pub fn bias(arguments: &BiasArguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let (unit, [reference]) = readings.lengths([("--reference", Some(&arguments.reference))])?;
    let study = readings.study(|text| {
        let values = Table::read(text, &["value"])?.numbers("value")?;
        let reference = reference.unwrap_or(DoubleDouble::ZERO);
        Bias::of(&values, reference, arguments.confidence)
    })?;
    let document = BiasDocument {
        unit: symbol(unit),
        n: study.n,
        mean: study.mean,
        bias: study.bias,
        confidence: arguments.confidence,
        by_deviation: OfBiasDocument::of(study.by_deviation),
        by_range: study.by_range.map(OfBiasDocument::of),
    };
    let mut words = Told::default();
    let told = &mut words;
    told.value(say!("studied.n"), study.n.to_string());
    line(told, say!("studied.mean"), study.mean, unit);
    line(told, say!("studied.bias"), study.bias, unit);
    let both = [
        (say!("studied.by-deviation"), Some(study.by_deviation)),
        (say!("studied.by-range"), study.by_range),
    ];
    for (how, of) in both {
        let Some(of) = of else { continue };
        told.sentence(say!(
            "studied.bias-by",
            how = how,
            deviation = shown(of.standard_deviation, unit),
            t = number::significant(of.t, 4),
            p = number::significant(of.p, 3),
            lower = shown(of.interval.0, unit),
            upper = shown(of.interval.1, unit),
            confidence = number::percent(arguments.confidence)
        ));
    }
    let levels = reference_and_mean(reference.map(DoubleDouble::value), study.mean);
    let mut answer = Answer::of(StudyName::Bias, &document, words);
    answer.plot(in_order(&readings.values()?, levels));
    readings.answer(output, answer)
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
    let document = LinearityDocument {
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
    };
    let mut words = Told::default();
    let told = &mut words;
    told.sentence(say!(
        "studied.line",
        intercept = number::significant(of_line.intercept, 6),
        slope = number::significant(of_line.slope, 6)
    ));
    for (name, test) in [
        (say!("studied.slope"), slope),
        (say!("studied.intercept"), intercept),
    ] {
        told.sentence(say!(
            "studied.test",
            name = name,
            t = number::significant(test.0, 5),
            p = number::significant(test.1, 3)
        ));
    }
    line(told, say!("studied.r-squared"), of_line.r_squared, None);
    line(
        told,
        say!("studied.residual"),
        of_line.residual_standard_deviation,
        unit,
    );
    for at in &study.references {
        told.sentence(say!(
            "studied.at-reference",
            reference = shown(at.reference, unit),
            bias = shown(at.bias, unit),
            lower = shown(at.band.0, unit),
            upper = shown(at.band.1, unit)
        ));
    }
    told.sentence(if study.zero_within {
        say!("studied.linear")
    } else {
        say!("studied.not-linear")
    });
    let mut answer = Answer::of(StudyName::Linearity, &document, words);
    answer.plot(over_reference(&study, arguments.confidence));
    readings.answer(output, answer)
}

/// Bias over reference value, with the fitted line and its band.
fn over_reference(study: &Linearity, confidence: f64) -> Plot {
    let at = || study.references.iter();
    let dot = |at: &metrology::study::AtReference| Dot {
        x: at.reference,
        y: at.bias,
        ends: None,
        is_marked: !(at.band.0..=at.band.1).contains(&0.0),
    };
    Plot {
        title: say!(
            "study-sheet.bias-by-reference",
            confidence = number::percent(confidence)
        ),
        series: vec![(String::new(), at().map(dot).collect())],
        levels: vec![(0.0, say!("study-sheet.zero").to_owned())],
        curves: vec![
            at().map(|at| (at.reference, at.fitted)).collect(),
            at().map(|at| (at.reference, at.band.0)).collect(),
            at().map(|at| (at.reference, at.band.1)).collect(),
        ],
        ..Plot::default()
    }
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
    let document = ComparisonDocument {
        unit: symbol(readings.unit),
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
            difference = shown(of.difference, readings.unit),
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
    let names = compared.first().zip(compared.last());
    let mut answer = Answer::of(StudyName::Comparison, &document, words);
    answer.plot(Plot {
        title: say!("study-sheet.differences").to_owned(),
        series: vec![(
            String::new(),
            compared.iter().enumerate().map(dot).collect(),
        )],
        levels: vec![(0.0, say!("study-sheet.reference").to_owned())],
        ends: names.map(|(first, last)| [first.participant.clone(), last.participant.clone()]),
        ..Plot::default()
    });
    readings.answer(output, answer)
}
