//! The capability of a process.

use metrology::study::{
    Capability, DoubleDouble, Indices, Interval, Percentiles, Process, Specification,
    WithoutMeasurement,
};
use metrology::units::{Entered, LengthUnit};
use serde::Serialize;

use super::told::{line, shown, symbol};
use super::{Answer, Readings};
use crate::failure::Failure;
use crate::report::sheet::study::{StudyName, bars};
use crate::report::sheet::study_plots::in_order;
use crate::report::told::Told;
use crate::say;
use crate::words::{self, number};

/// Below this probability values are taken as not normal (common practice).
const NOT_NORMAL: f64 = 0.05;

pub struct Settings {
    pub lower: Option<Entered>,
    pub upper: Option<Entered>,
    /// Of the measurement, as far as it varies from part to part.
    pub standard_uncertainty: Option<Entered>,
    /// Of the intervals.
    pub confidence: f64,
    /// The share of the process within the tolerance interval.
    pub coverage: f64,
}

pub fn answer(
    readings: &Readings,
    settings: &Settings,
) -> Result<Answer<CapabilityDocument>, Failure> {
    let (unit, [lower, upper, uncertainty]) = readings.lengths([
        settings.lower.as_ref(),
        settings.upper.as_ref(),
        settings.standard_uncertainty.as_ref(),
    ])?;
    let specification = Specification {
        lower: lower.map(DoubleDouble::value),
        upper: upper.map(DoubleDouble::value),
        confidence: settings.confidence,
        coverage: settings.coverage,
        standard_uncertainty: uncertainty.map(DoubleDouble::value),
    };
    let study = readings.study(|text| Capability::of(&Process::read(text)?, &specification))?;
    let document = document(&study, unit, settings.coverage);
    let mut told = Told::default();
    tell_limits(&specification, unit, &mut told);
    tell(&study, unit, settings.coverage, &mut told);
    let mut answer = Answer::of(StudyName::Capability, document, told);
    drawn(&mut answer, &readings.values()?, &specification, unit);
    Ok(answer)
}

#[derive(Serialize)]
pub struct CapabilityDocument {
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

/// The values in their order and how often each comes, with the limits.
pub fn drawn<D: Serialize>(
    answer: &mut Answer<D>,
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

pub fn document(study: &Capability, unit: Option<LengthUnit>, coverage: f64) -> CapabilityDocument {
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

/// The limits as they were given, to their last digit.
pub fn tell_limits(of: &Specification, unit: Option<LengthUnit>, told: &mut Told) {
    let shown = |limit: f64| match unit {
        Some(unit) => format!("{} {}", number::given(limit), number::sign(unit)),
        None => number::given(limit),
    };
    match (of.lower.map(shown), of.upper.map(shown)) {
        (Some(lower), Some(upper)) => {
            told.sentence(say!("studied.limits", lower = lower, upper = upper));
        }
        (Some(lower), None) => told.sentence(say!("studied.limit-lower", lower = lower)),
        (None, Some(upper)) => told.sentence(say!("studied.limit-upper", upper = upper)),
        (None, None) => {}
    }
}

pub fn tell(study: &Capability, unit: Option<LengthUnit>, coverage: f64, told: &mut Told) {
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
