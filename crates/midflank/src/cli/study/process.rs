//! Capability and control charts of a process, and the stability of a way of measuring.

use std::path::Path;

use clap::Args;
use metrology::chart::{
    Charted, FEWEST, Individuals, Limits, Means, RunRules, Signal, Spread, average_run_length,
    signals,
};
use metrology::study::{
    Capability, DoubleDouble, Indices, Interval, Percentiles, Process, Regression, Specification,
    StudyError, WithoutMeasurement,
};
use metrology::units::LengthUnit;
use serde::Serialize;
use workshop::process_on_record::{Selection, Sizes};

use super::given::{Answer, From, Readings, Wanted, about, line, shown, symbol};
use crate::desk;
use crate::failure::Failure;
use crate::output::Output;
use crate::report::sheet::study::{Dot, Plot, StudyName, bars};
use crate::report::sheet::study_plots::in_order;
use crate::report::told::Told;
use crate::say;
use crate::words::{self, number};

/// Below this probability values are taken as not normal (common practice).
const NOT_NORMAL: f64 = 0.05;

#[derive(Args)]
pub struct CapabilityArguments {
    #[command(flatten)]
    readings: Readings,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    lower: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    upper: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    standard_uncertainty: Option<String>,
    #[arg(
        long,
        value_name = "P",
        default_value_t = 0.95,
        allow_hyphen_values = true
    )]
    confidence: f64,
    #[arg(
        long,
        value_name = "P",
        default_value_t = 0.99,
        allow_hyphen_values = true
    )]
    coverage: f64,
}

#[derive(Args)]
pub struct RecordedArguments {
    #[arg(long, value_name = "PART")]
    part: Option<String>,
    #[arg(long, value_name = "LOT")]
    lot: Option<String>,
    #[arg(long, value_name = "CHARACTERISTIC")]
    characteristic: Option<String>,
    #[arg(
        long,
        value_name = "P",
        default_value_t = 0.95,
        allow_hyphen_values = true
    )]
    confidence: f64,
    #[arg(
        long,
        value_name = "P",
        default_value_t = 0.99,
        allow_hyphen_values = true
    )]
    coverage: f64,
    #[command(flatten)]
    wanted: Wanted,
}

/// Capability of what was inspected, with what the measurement adds taken out.
pub fn recorded(
    arguments: &RecordedArguments,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let selection = Selection {
        part: arguments.part.clone(),
        lot: arguments.lot.clone(),
        characteristic: arguments.characteristic.clone(),
        empirical: false,
    };
    let found = Sizes::from_ledger(&desk::open_to_read(path)?, &selection)?;
    let found = found.ok_or_else(|| Failure::input(say!("studied.nothing-recorded")))?;
    let specification = Specification {
        lower: found.lower,
        upper: found.upper,
        confidence: arguments.confidence,
        coverage: arguments.coverage,
        standard_uncertainty: Some(found.standard_uncertainty).filter(|u| *u > 0.0),
    };
    let sizes: Vec<String> = found.sizes.iter().map(f64::to_string).collect();
    let table = format!("value\n{}\n", sizes.join("\n"));
    let refused = |error: StudyError| Failure::refused(&error);
    let process = Process::read(&table).map_err(refused)?;
    let study = Capability::of(&process, &specification).map_err(refused)?;
    let unit = Some(found.unit);
    let document = document(&study, unit, arguments.coverage);
    let mut told = Told::default();
    told.sentence(say!(
        "studied.recorded",
        n = found.sizes.len(),
        lots = found.lots
    ));
    tell(&study, unit, arguments.coverage, &mut told);
    let from = From {
        of: say!(
            "study-sheet.of-ledger",
            n = found.sizes.len(),
            lots = found.lots
        ),
        name: "sizes.csv",
        text: &table,
    };
    let mut answer = Answer::of(StudyName::Recorded, &document, told);
    drawn(&mut answer, &found.sizes, &specification, unit);
    arguments.wanted.answer(output, &from, answer)
}

#[derive(Serialize)]
struct CapabilityDocument {
    unit: Option<&'static str>,
    n: usize,
    mean: f64,
    standard_deviation_within: f64,
    within_from: &'static str,
    standard_deviation_overall: f64,
    cp: Option<f64>,
    cp_interval: Option<IntervalDocument>,
    cpk: f64,
    cpk_interval: IntervalDocument,
    pp: Option<f64>,
    pp_interval: Option<IntervalDocument>,
    ppk: f64,
    ppk_interval: IntervalDocument,
    normality: Option<NormalityDocument>,
    percentile_method: PercentilesDocument,
    tolerance_interval: ToleranceDocument,
    tolerance_limit: Option<ToleranceLimitDocument>,
    without_measurement: Option<WithoutDocument>,
}

#[derive(Serialize)]
struct IntervalDocument {
    lower: f64,
    upper: f64,
    confidence: f64,
}

#[derive(Serialize)]
struct NormalityDocument {
    anderson_darling: f64,
    p: f64,
}

#[derive(Serialize)]
struct PercentilesDocument {
    lower: f64,
    median: f64,
    upper: f64,
    pp: Option<f64>,
    ppk: f64,
    beyond_values: bool,
}

#[derive(Serialize)]
struct ToleranceDocument {
    lower: f64,
    upper: f64,
    factor: f64,
    coverage: f64,
    confidence: f64,
}

#[derive(Serialize)]
struct ToleranceLimitDocument {
    at: f64,
    factor: f64,
    coverage: f64,
    confidence: f64,
}

#[derive(Serialize)]
struct WithoutDocument {
    standard_uncertainty: f64,
    standard_deviation: f64,
    pp: Option<f64>,
    ppk: f64,
    share_of_variance: f64,
}

impl IntervalDocument {
    const fn of(interval: Interval) -> Self {
        Self {
            lower: interval.lower,
            upper: interval.upper,
            confidence: interval.confidence,
        }
    }
}

pub fn capability(arguments: &CapabilityArguments, output: &mut Output) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let (unit, [lower, upper, uncertainty]) = readings.lengths([
        ("--lower", arguments.lower.as_ref()),
        ("--upper", arguments.upper.as_ref()),
        (
            "--standard-uncertainty",
            arguments.standard_uncertainty.as_ref(),
        ),
    ])?;
    let specification = Specification {
        lower: lower.map(DoubleDouble::value),
        upper: upper.map(DoubleDouble::value),
        confidence: arguments.confidence,
        coverage: arguments.coverage,
        standard_uncertainty: uncertainty.map(DoubleDouble::value),
    };
    let study = readings.study(|text| Capability::of(&Process::read(text)?, &specification))?;
    let document = document(&study, unit, arguments.coverage);
    let mut told = Told::default();
    tell(&study, unit, arguments.coverage, &mut told);
    let mut answer = Answer::of(StudyName::Capability, &document, told);
    drawn(&mut answer, &readings.values()?, &specification, unit);
    readings.answer(output, answer)
}

/// The values in their order and how often each comes, with the limits.
fn drawn<D>(
    answer: &mut Answer<'_, D>,
    values: &[f64],
    specification: &Specification,
    unit: Option<LengthUnit>,
) {
    let (lower, upper) = (specification.lower, specification.upper);
    let levels = [
        (lower, say!("study-sheet.lower")),
        (upper, say!("study-sheet.upper")),
    ];
    let levels = levels.into_iter();
    let levels = levels.filter_map(|(limit, name)| Some((limit?, name.to_owned())));
    answer.plot(in_order(values, levels.collect(), symbol(unit)));
    let title = say!("study-sheet.values").to_owned();
    let figure = bars(&title, values, lower, upper);
    answer.figures.push((title, figure));
}

fn document(study: &Capability, unit: Option<LengthUnit>, coverage: f64) -> CapabilityDocument {
    CapabilityDocument {
        unit: symbol(unit),
        n: study.n,
        mean: study.mean,
        standard_deviation_within: study.within.standard_deviation,
        within_from: study.within_from.key(),
        standard_deviation_overall: study.overall.standard_deviation,
        cp: study.within.c,
        cp_interval: study.within.c_interval.map(IntervalDocument::of),
        cpk: study.within.ck,
        cpk_interval: IntervalDocument::of(study.within.ck_interval),
        pp: study.overall.c,
        pp_interval: study.overall.c_interval.map(IntervalDocument::of),
        ppk: study.overall.ck,
        ppk_interval: IntervalDocument::of(study.overall.ck_interval),
        normality: study.normality.map(|normality| NormalityDocument {
            anderson_darling: normality.statistic,
            p: normality.p,
        }),
        percentile_method: percentiles(&study.percentiles),
        tolerance_interval: ToleranceDocument {
            lower: study.tolerance_interval.lower,
            upper: study.tolerance_interval.upper,
            factor: study.tolerance_factor,
            coverage,
            confidence: study.tolerance_interval.confidence,
        },
        tolerance_limit: study.tolerance_limit.map(|limit| ToleranceLimitDocument {
            at: limit.at,
            factor: limit.factor,
            coverage,
            confidence: study.tolerance_interval.confidence,
        }),
        without_measurement: study.without_measurement.as_ref().map(without),
    }
}

const fn percentiles(of: &Percentiles) -> PercentilesDocument {
    PercentilesDocument {
        lower: of.lower,
        median: of.median,
        upper: of.upper,
        pp: of.pp,
        ppk: of.ppk,
        beyond_values: of.beyond_values,
    }
}

const fn without(of: &WithoutMeasurement) -> WithoutDocument {
    WithoutDocument {
        standard_uncertainty: of.standard_uncertainty,
        standard_deviation: of.standard_deviation,
        pp: of.pp,
        ppk: of.ppk,
        share_of_variance: of.share,
    }
}

fn tell(study: &Capability, unit: Option<LengthUnit>, coverage: f64, told: &mut Told) {
    told.value(say!("studied.n"), study.n.to_string());
    line(told, say!("studied.mean"), study.mean, unit);
    let from = words::word(&study.within_from);
    tell_indices(
        &study.within,
        &say!("studied.within-from", from = from),
        ("Cp", "Cpk"),
        unit,
        told,
    );
    tell_indices(
        &study.overall,
        say!("studied.overall"),
        ("Pp", "Ppk"),
        unit,
        told,
    );
    match study.normality {
        Some(test) => {
            let p = number::significant(test.p, 3);
            let statistic = number::fixed(test.statistic, 3);
            let not_normal = test.p < NOT_NORMAL;
            told.sentence(if not_normal {
                say!("studied.not-normal", statistic = statistic, p = p)
            } else {
                say!("studied.normal", statistic = statistic, p = p)
            });
            if not_normal {
                tell_percentiles(&study.percentiles, unit, told);
            }
        }
        None => told.sentence(say!("studied.normality-unknown")),
    }
    told.sentence(say!(
        "studied.tolerance-interval",
        coverage = number::percent(coverage),
        confidence = number::percent(study.tolerance_interval.confidence),
        lower = shown(study.tolerance_interval.lower, unit),
        upper = shown(study.tolerance_interval.upper, unit),
        factor = number::fixed(study.tolerance_factor, 4)
    ));
    if let Some(limit) = study.tolerance_limit {
        told.sentence(say!(
            "studied.tolerance-limit",
            coverage = number::percent(coverage),
            confidence = number::percent(study.tolerance_interval.confidence),
            limit = shown(limit.at, unit),
            factor = number::fixed(limit.factor, 4)
        ));
    }
    if let Some(without) = &study.without_measurement {
        told.sentence(say!(
            "studied.without-measurement",
            uncertainty = shown(without.standard_uncertainty, unit),
            share = number::percent(without.share),
            deviation = shown(without.standard_deviation, unit),
            index = number::fixed(without.ppk, 2)
        ));
    }
}

fn tell_indices(
    indices: &Indices,
    name: &str,
    symbols: (&str, &str),
    unit: Option<LengthUnit>,
    told: &mut Told,
) {
    line(told, name, indices.standard_deviation, unit);
    let both = [
        (symbols.0, indices.c.zip(indices.c_interval)),
        (symbols.1, Some((indices.ck, indices.ck_interval))),
    ];
    for (symbol, index) in both {
        let Some((value, interval)) = index else {
            continue;
        };
        told.sentence(say!(
            "studied.index",
            symbol = symbol,
            value = number::fixed(value, 2),
            lower = number::fixed(interval.lower, 2),
            upper = number::fixed(interval.upper, 2),
            confidence = number::percent(interval.confidence)
        ));
    }
}

fn tell_percentiles(of: &Percentiles, unit: Option<LengthUnit>, told: &mut Told) {
    told.sentence(say!(
        "studied.percentiles",
        lower = shown(of.lower, unit),
        median = shown(of.median, unit),
        upper = shown(of.upper, unit),
        index = number::fixed(of.ppk, 2)
    ));
    if of.beyond_values {
        told.sentence(say!("studied.percentiles-beyond"));
    }
}

#[derive(Args)]
pub struct ChartArguments {
    #[command(flatten)]
    readings: Readings,
}

#[derive(Serialize)]
struct ChartDocument {
    unit: Option<&'static str>,
    kind: &'static str,
    n: usize,
    standard_deviation: Option<f64>,
    /// Of values, or of means of subgroups.
    limits: LimitsDocument,
    range_limits: Option<LimitsDocument>,
    /// In place of ranges, of large subgroups.
    deviation_limits: Option<LimitsDocument>,
    signals: Vec<SignalDocument>,
    /// How many values pass on average until a chart with these rules signals without cause; of individuals, without the rule
    /// on drift.
    average_run_length: f64,
    trend: Option<TrendDocument>,
}

#[derive(Serialize)]
struct LimitsDocument {
    lower: f64,
    centre: f64,
    upper: f64,
}

impl LimitsDocument {
    const fn of(limits: &Limits) -> Self {
        Self {
            lower: limits.lower,
            centre: limits.centre,
            upper: limits.upper,
        }
    }
}

#[derive(Serialize)]
struct SignalDocument {
    /// Which value or subgroup, from 1.
    at: usize,
    what: &'static str,
    /// On which chart.
    chart: &'static str,
    #[serde(skip)]
    on: Charted,
    #[serde(skip)]
    signal: Signal,
}

#[derive(Serialize)]
struct TrendDocument {
    slope: f64,
    /// None of values that lie on a line.
    t: Option<f64>,
    p: Option<f64>,
}

pub fn chart(arguments: &ChartArguments, output: &mut Output) -> Result<(), Failure> {
    charted(arguments, false, output)
}

pub fn stability(arguments: &ChartArguments, output: &mut Output) -> Result<(), Failure> {
    charted(arguments, true, output)
}

fn charted(
    arguments: &ChartArguments,
    with_trend: bool,
    output: &mut Output,
) -> Result<(), Failure> {
    let readings = &arguments.readings;
    let process = readings.study(Process::read_in_order)?;
    let unit = readings.unit()?;
    let refused = |error: StudyError| about(&readings.file, &error);
    let mut document = match process.even_subgroups().map_err(refused)? {
        Some(subgroups) => of_subgroups(&subgroups).map_err(refused)?,
        None => of_individuals(&process.values()).map_err(refused)?,
    };
    document.unit = symbol(unit);
    if with_trend {
        let order: Vec<DoubleDouble> = (0..process.exact().len()).map(DoubleDouble::from).collect();
        let line = Regression::of(&order, process.exact()).map_err(refused)?;
        let (t, p) = line.slope_test();
        document.trend = Some(TrendDocument {
            slope: line.slope,
            t: Some(t).filter(|t| t.is_finite()),
            p: Some(p).filter(|p| p.is_finite()),
        });
    }
    let mut told = Told::default();
    tell_chart(&document, unit, &mut told);
    let charted = match process.even_subgroups().map_err(refused)? {
        Some(subgroups) => Means::of(&subgroups).map_or_else(Vec::new, |chart| chart.means),
        None => process.values(),
    };
    let study = if with_trend {
        StudyName::Stability
    } else {
        StudyName::Chart
    };
    let mut answer = Answer::of(study, &document, told);
    answer.plot(controlled(&document, &charted));
    readings.answer(output, answer)
}

/// The values or the means of subgroups with their control limits and signals.
fn controlled(document: &ChartDocument, values: &[f64]) -> Plot {
    let mut dots = Dot::in_order(values);
    for signal in &document.signals {
        if let Some(dot) = dots.get_mut(signal.at.saturating_sub(1)) {
            dot.is_marked = true;
        }
    }
    let limits = &document.limits;
    Plot {
        title: say!("study-sheet.control-chart").to_owned(),
        unit: document.unit.map(str::to_owned),
        series: vec![(String::new(), dots)],
        is_joined: true,
        levels: [
            (limits.lower, say!("study-sheet.lower-control")),
            (limits.centre, say!("study-sheet.mean")),
            (limits.upper, say!("study-sheet.upper-control")),
        ]
        .map(|(level, name)| (level, name.to_owned()))
        .to_vec(),
        ..Plot::default()
    }
}

fn of_individuals(values: &[f64]) -> Result<ChartDocument, StudyError> {
    if values.len() < FEWEST {
        return Err(StudyError::TooFew {
            n: values.len(),
            needed: FEWEST,
        });
    }
    let limits = Individuals::of(values).ok_or(StudyError::Constant)?;
    // Without spread every other value would be beyond them.
    if limits.upper <= limits.lower {
        return Err(StudyError::Constant);
    }
    let signals = signals(values, Some(limits))
        .into_iter()
        .map(|(index, signal)| signalled(index, signal, Charted::Values))
        .collect();
    Ok(ChartDocument {
        unit: None,
        kind: "individuals",
        n: values.len(),
        standard_deviation: Some((limits.upper - limits.mean) / 3.0),
        limits: LimitsDocument {
            lower: limits.lower,
            centre: limits.mean,
            upper: limits.upper,
        },
        range_limits: None,
        deviation_limits: None,
        signals,
        average_run_length: average_run_length(
            RunRules {
                two_of_three: true,
                four_of_five: false,
                eight_on_one_side: true,
            },
            0.0,
        ),
        trend: None,
    })
}

fn of_subgroups(subgroups: &[Vec<f64>]) -> Result<ChartDocument, StudyError> {
    let chart = Means::of(subgroups).ok_or(StudyError::Constant)?;
    if chart.of_spreads.centre <= 0.0 {
        return Err(StudyError::NoSpreadWithin);
    }
    let of_spread = match chart.spread {
        Spread::Range => Charted::Ranges,
        Spread::StandardDeviation => Charted::Deviations,
    };
    let mut signals = Vec::new();
    for (index, (mean, spread)) in chart.means.iter().zip(&chart.spreads).enumerate() {
        let beyond = [
            (Charted::Means, chart.of_means.beyond(*mean)),
            (of_spread, chart.of_spreads.beyond(*spread)),
        ];
        let beyond = beyond.into_iter().filter(|(_, beyond)| *beyond);
        signals.extend(beyond.map(|(on, _)| signalled(index, Signal::Beyond, on)));
    }
    let of_spreads = Some(LimitsDocument::of(&chart.of_spreads));
    let (kind, range_limits, deviation_limits) = match chart.spread {
        Spread::Range => ("means-and-ranges", of_spreads, None),
        Spread::StandardDeviation => ("means-and-deviations", None, of_spreads),
    };
    Ok(ChartDocument {
        unit: None,
        kind,
        n: chart.means.len(),
        standard_deviation: Some(chart.standard_deviation),
        signals,
        limits: LimitsDocument::of(&chart.of_means),
        range_limits,
        deviation_limits,
        average_run_length: average_run_length(RunRules::default(), 0.0),
        trend: None,
    })
}

const fn signalled(index: usize, signal: Signal, on: Charted) -> SignalDocument {
    SignalDocument {
        at: index + 1,
        what: signal.key(),
        chart: on.key(),
        on,
        signal,
    }
}

fn tell_chart(document: &ChartDocument, unit: Option<LengthUnit>, told: &mut Told) {
    let of_spreads = [
        (&document.range_limits, say!("studied.of-ranges")),
        (&document.deviation_limits, say!("studied.of-deviations")),
    ];
    let of_spreads = of_spreads
        .into_iter()
        .find_map(|(limits, name)| Some((limits.as_ref()?, name)));
    told.sentence(if of_spreads.is_some() {
        say!("studied.means-and-ranges")
    } else {
        say!("studied.individuals")
    });
    let limits = |told: &mut Told, of: &LimitsDocument| {
        told.sentence(say!(
            "studied.control-limits",
            lower = shown(of.lower, unit),
            centre = shown(of.centre, unit),
            upper = shown(of.upper, unit)
        ));
    };
    limits(told, &document.limits);
    if let Some((spreads, name)) = of_spreads {
        told.sentence(name);
        limits(told, spreads);
    }
    if document.signals.is_empty() {
        told.sentence(say!("studied.no-signal"));
    }
    for signal in &document.signals {
        let what = words::word(&signal.signal);
        told.sentence(match signal.on {
            Charted::Values => say!("studied.signal", at = signal.at, what = what),
            on => say!(
                "studied.signal-on",
                at = signal.at,
                chart = words::word(&on),
                what = what
            ),
        });
    }
    told.sentence(say!(
        "studied.run-length",
        length = number::fixed(document.average_run_length, 0)
    ));
    if let Some(trend) = &document.trend {
        let slope = shown(trend.slope, unit);
        told.sentence(match trend.t.zip(trend.p) {
            Some((t, p)) => say!(
                "studied.trend",
                slope = slope,
                t = number::significant(t, 4),
                p = number::significant(p, 3)
            ),
            None => say!("studied.trend-alone", slope = slope),
        });
    }
}
