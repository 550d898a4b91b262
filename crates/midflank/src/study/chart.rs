//! Control charts of a process, and the stability of a way of measuring.

use metrology::chart::{
    Charted as On, FEWEST, Individuals, Limits, Means, RunRules, Signal, Spread,
    average_run_length, average_run_length_beside, signals,
};
use metrology::study::{DoubleDouble, Process, Regression, StudyError};
use metrology::units::LengthUnit;
use serde::Serialize;

use super::told::{shown, symbol};
use super::{Answer, Readings};
use crate::failure::Failure;
use crate::report::sheet::study::{Dot, Plot, StudyName};
use crate::report::told::Told;
use crate::say;
use crate::words::{self, number};

/// What signals beside the limits; that six rise or fall is not among what the run length is known of.
const RULES: RunRules = RunRules {
    two_of_three: true,
    four_of_five: false,
    eight_on_one_side: true,
};

/// The slope of a trend is per day where there are dates.
const DAY: &str = "day";

#[derive(Serialize)]
pub struct ChartDocument {
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
    /// How many points pass on average until one of the charts signals without cause, without the rule on drift.
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
    on: On,
    #[serde(skip)]
    signal: Signal,
}

#[derive(Serialize)]
struct TrendDocument {
    /// What the slope is per: `day` where the readings have dates, else `reading`.
    per: &'static str,
    slope: f64,
    /// None of values that lie on a line.
    t: Option<f64>,
    p: Option<f64>,
}

/// A chart with what it is drawn of.
pub struct Charted {
    pub document: ChartDocument,
    /// The values, or the means of subgroups.
    values: Vec<f64>,
    /// The ranges or standard deviations of subgroups.
    spreads: Vec<f64>,
}

/// Single values, or means of subgroups where there are any.
pub fn of(process: &Process, unit: Option<LengthUnit>) -> Result<Charted, StudyError> {
    match process.even_subgroups()? {
        Some(subgroups) => of_subgroups(&subgroups, unit),
        None => of_individuals(process.values(), unit),
    }
}

/// The chart alone, or as the stability of a way of measuring with its trend.
pub fn answer(readings: &Readings, with_trend: bool) -> Result<Answer<ChartDocument>, Failure> {
    let process = readings.study(Process::read_in_order)?;
    let unit = readings.unit()?;
    let refused = |error: StudyError| readings.refused(&error);
    let mut chart = of(&process, unit).map_err(refused)?;
    if with_trend {
        let order: Vec<DoubleDouble> = (0..process.exact().len()).map(DoubleDouble::from).collect();
        let (per, over) = match process.days() {
            Some(days) => (DAY, days),
            None => ("reading", order.as_slice()),
        };
        let line = Regression::of(over, process.exact()).map_err(refused)?;
        let (t, p) = line.slope_test();
        chart.document.trend = Some(TrendDocument {
            per,
            slope: line.slope,
            t: Some(t).filter(|t| t.is_finite()),
            p: Some(p).filter(|p| p.is_finite()),
        });
    }
    let mut told = Told::default();
    chart.document.tell(unit, &mut told);
    let study = if with_trend {
        StudyName::Stability
    } else {
        StudyName::Chart
    };
    let plots = chart.plots();
    let mut answer = Answer::of(study, chart.document, told);
    for plot in plots {
        answer.plot(plot);
    }
    Ok(answer)
}

impl Charted {
    /// The values or the means of subgroups with their control limits and signals, and the same of the spreads of subgroups.
    pub fn plots(&self) -> Vec<Plot> {
        let document = &self.document;
        let of_spreads = [
            (
                &document.range_limits,
                On::Ranges,
                say!("study-sheet.control-chart-ranges"),
            ),
            (
                &document.deviation_limits,
                On::Deviations,
                say!("study-sheet.control-chart-deviations"),
            ),
        ];
        let of_spreads = of_spreads.into_iter().find_map(|(limits, on, title)| {
            Some(document.plot(title, limits.as_ref()?, &self.spreads, on))
        });
        let (on, title) = match &of_spreads {
            Some(_) => (On::Means, say!("study-sheet.control-chart-means")),
            None => (On::Values, say!("study-sheet.control-chart")),
        };
        let first = document.plot(title, &document.limits, &self.values, on);
        [first].into_iter().chain(of_spreads).collect()
    }
}

impl ChartDocument {
    pub fn tell(&self, unit: Option<LengthUnit>, told: &mut Told) {
        let of_spreads = [
            (&self.range_limits, say!("studied.of-ranges")),
            (&self.deviation_limits, say!("studied.of-deviations")),
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
        limits(told, &self.limits);
        if let Some((spreads, name)) = of_spreads {
            told.sentence(name);
            limits(told, spreads);
        }
        if of_spreads.is_some() && self.n < FEWEST {
            told.sentence(say!("studied.few-subgroups", n = self.n));
        }
        if self.signals.is_empty() {
            told.sentence(say!("studied.no-signal"));
        }
        for signal in &self.signals {
            let what = words::word(&signal.signal);
            told.sentence(match signal.on {
                On::Values => say!("studied.signal", at = signal.at, what = what),
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
            length = number::fixed(self.average_run_length, 0)
        ));
        if let Some(trend) = &self.trend {
            let slope = shown(trend.slope, unit);
            let test = trend.t.zip(trend.p);
            let test = test.map(|(t, p)| (number::significant(t, 4), number::significant(p, 3)));
            told.sentence(match (test, trend.per) {
                (Some((t, p)), DAY) => say!("studied.trend-by-day", slope = slope, t = t, p = p),
                (Some((t, p)), _) => say!("studied.trend", slope = slope, t = t, p = p),
                (None, DAY) => say!("studied.trend-by-day-alone", slope = slope),
                (None, _) => say!("studied.trend-alone", slope = slope),
            });
        }
    }

    /// One of its charts.
    fn plot(&self, title: &str, limits: &LimitsDocument, values: &[f64], on: On) -> Plot {
        let mut dots = Dot::in_order(values);
        for signal in self.signals.iter().filter(|signal| signal.on == on) {
            if let Some(dot) = dots.get_mut(signal.at.saturating_sub(1)) {
                dot.is_marked = true;
            }
        }
        Plot {
            title: title.to_owned(),
            unit: self.unit.map(str::to_owned),
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
}

fn of_individuals(values: Vec<f64>, unit: Option<LengthUnit>) -> Result<Charted, StudyError> {
    if values.len() < FEWEST {
        return Err(StudyError::TooFew {
            n: values.len(),
            needed: FEWEST,
        });
    }
    let limits = Individuals::of(&values).ok_or(StudyError::Constant)?;
    // Without spread every other value would be beyond them.
    if limits.upper <= limits.lower {
        return Err(StudyError::Constant);
    }
    let signals = signals(&values, Some(limits))
        .into_iter()
        .map(|(index, signal)| signalled(index, signal, On::Values))
        .collect();
    let document = ChartDocument {
        unit: symbol(unit),
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
        average_run_length: average_run_length(RULES, 0.0),
        trend: None,
    };
    Ok(Charted {
        document,
        values,
        spreads: Vec::new(),
    })
}

fn of_subgroups(subgroups: &[Vec<f64>], unit: Option<LengthUnit>) -> Result<Charted, StudyError> {
    let chart = Means::of(subgroups).ok_or(StudyError::Constant)?;
    // The mean of one alone is the centre line.
    if subgroups.len() < 2 {
        let n = subgroups.len();
        return Err(StudyError::FewSubgroups { n });
    }
    if chart.of_spreads.centre <= 0.0 {
        return Err(StudyError::NoSpreadWithin);
    }
    let of_spread = match chart.spread {
        Spread::Range => On::Ranges,
        Spread::StandardDeviation => On::Deviations,
    };
    let limits = Individuals {
        mean: chart.of_means.centre,
        lower: chart.of_means.lower,
        upper: chart.of_means.upper,
    };
    let of_means = signals(&chart.means, Some(limits)).into_iter();
    let of_means = of_means.map(|(index, signal)| signalled(index, signal, On::Means));
    let spreads = chart.spreads.iter().enumerate();
    let spreads = spreads.filter(|(_, spread)| chart.of_spreads.beyond(**spread));
    let spreads = spreads.map(|(index, _)| signalled(index, Signal::Beyond, of_spread));
    let mut signals: Vec<SignalDocument> = of_means.chain(spreads).collect();
    signals.sort_by_key(|signal| signal.at);
    let of_spreads = Some(LimitsDocument::of(&chart.of_spreads));
    let (kind, range_limits, deviation_limits) = match chart.spread {
        Spread::Range => ("means-and-ranges", of_spreads, None),
        Spread::StandardDeviation => ("means-and-deviations", None, of_spreads),
    };
    let document = ChartDocument {
        unit: symbol(unit),
        kind,
        n: chart.means.len(),
        standard_deviation: Some(chart.standard_deviation),
        signals,
        limits: LimitsDocument::of(&chart.of_means),
        range_limits,
        deviation_limits,
        average_run_length: average_run_length_beside(RULES, 0.0, chart.spread_beyond),
        trend: None,
    };
    Ok(Charted {
        document,
        values: chart.means,
        spreads: chart.spreads,
    })
}

const fn signalled(index: usize, signal: Signal, on: On) -> SignalDocument {
    SignalDocument {
        at: index + 1,
        what: signal.key(),
        chart: on.key(),
        on,
        signal,
    }
}
