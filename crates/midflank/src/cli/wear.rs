//! `midflank wear`: zero checks as a chart, their slope, and the day on which a limit is met.

use std::path::{Path, PathBuf};

use clap::{ArgGroup, Args};
use jiff::civil::Date;
use metrology::chart::Series;
use metrology::study::{StudyError, Table};
use metrology::units::{Entered, LengthUnit};
use metrology::wear::{Wear, ZeroCheck, wear};
use serde::Serialize;
use workshop::gauge_room::zero_checks::{self, Check, Checks};
use workshop::station;

use super::day;
use super::lines::read_text;
use crate::desk;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::Output;
use crate::report::wear::{YEAR, date, days, found};
use crate::say;
use crate::words::{self, number};

#[derive(Args)]
#[command(group = ArgGroup::new("of").required(true))]
pub struct Arguments {
    #[arg(value_name = "PAIR", value_parser = Line, group = "of")]
    pair: Option<String>,
    #[arg(long, value_name = "FILE.csv", group = "of")]
    file: Option<PathBuf>,
    #[arg(
        long,
        value_name = "LEN",
        default_value = "5um",
        allow_hyphen_values = true
    )]
    limit: String,
    #[arg(
        long,
        value_name = "P",
        default_value_t = 0.95,
        allow_hyphen_values = true
    )]
    probability: f64,
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Document {
    instrument: Option<String>,
    standard: Option<String>,
    n: usize,
    checks: Vec<CheckDocument>,
    series: Vec<SeriesDocument>,
    slope_um_per_year: Option<f64>,
    slope_standard_uncertainty: Option<f64>,
    t: Option<f64>,
    p: Option<f64>,
    hidden_by_closing_um: Option<f64>,
    forecast: Option<ForecastDocument>,
    /// The last check, where it is beyond the limit already; there is no forecast then.
    beyond: Option<BeyondDocument>,
}

#[derive(Serialize)]
struct BeyondDocument {
    limit_um: f64,
    on: Option<Date>,
    error_um: f64,
}

#[derive(Serialize)]
struct CheckDocument {
    on: Date,
    error_um: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    closing: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    record: Option<String>,
}

#[derive(Serialize)]
struct SeriesDocument {
    first: usize,
    end: usize,
    mean_um: Option<f64>,
    lower_um: Option<f64>,
    upper_um: Option<f64>,
    signals: Vec<SignalDocument>,
}

#[derive(Serialize)]
struct SignalDocument {
    check: usize,
    signal: &'static str,
}

#[derive(Serialize)]
struct ForecastDocument {
    limit_um: f64,
    on: Option<Date>,
    earliest: Option<Date>,
    latest: Option<Date>,
    probability: f64,
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let limit = Entered::parse(&arguments.limit, None).map_err(|error| Failure::refused(&error))?;
    let limit = limit.value().in_unit(LengthUnit::Micrometre);
    if limit <= 0.0 {
        return Err(Failure::input(say!("wear.no-limit")));
    }
    if !(arguments.probability > 0.5 && arguments.probability < 1.0) {
        let given = arguments.probability;
        return Err(Failure::refused(&StudyError::Probability { given }));
    }
    let all = match (&arguments.pair, &arguments.file) {
        (Some(pair), _) => zero_checks::of(&desk::open_to_read(path)?, pair)?
            .into_iter()
            .map(Listed::of)
            .collect(),
        (None, Some(file)) => vec![Listed::read(file)?],
        (None, None) => Vec::new(),
    };
    for listed in &all {
        let checks: Vec<ZeroCheck> = listed
            .checks
            .iter()
            .map(|(on, check)| ZeroCheck {
                day: days(*on),
                error: check.error_um,
            })
            .collect();
        let wear = wear(
            &checks,
            &listed.restarts,
            listed.step,
            limit,
            arguments.probability,
        );
        if arguments.json {
            output.json(&Document::of(listed, &wear))?;
        } else {
            for line in told(listed, &wear) {
                output.line(&line)?;
            }
        }
    }
    Ok(())
}

/// Checks from records or from a file.
struct Listed {
    set_up: Option<(String, String)>,
    step: f64,
    checks: Vec<(Date, Check)>,
    restarts: Vec<usize>,
}

impl Listed {
    fn of(checks: Checks) -> Self {
        let dated = checks.checks.into_iter();
        Self {
            set_up: Some((checks.instrument, checks.standard)),
            step: checks.step_um,
            checks: dated.map(|check| (station::day(check.at), check)).collect(),
            restarts: checks.restarts,
        }
    }

    /// Columns date and error_um.
    fn read(file: &Path) -> Result<Self, Failure> {
        let text = read_text(file)?;
        let about = |error: StudyError| Failure::refused(&error).about(file);
        let table = Table::read(&text, &["date", "error_um"]).map_err(|why| about(why.into()))?;
        let texts = table.texts("date").map_err(|why| about(why.into()))?;
        let errors = table.values("error_um").map_err(|why| about(why.into()))?;
        let mut checks: Vec<(Date, Check)> = Vec::new();
        for ((text, error_um), line) in texts.iter().zip(errors).zip(table.lines()) {
            let on = day::on_line(text, line).map_err(|why| why.about(file))?;
            if let Some((before, _)) = checks.last().filter(|(before, _)| *before > on) {
                let why = say!("wear.order", line = line, on = on, before = before);
                return Err(Failure::input(why).about(file));
            }
            let check = Check {
                at: station::midnight(on).unwrap_or_default(),
                entry: String::new(),
                closing: false,
                error_um,
            };
            checks.push((on, check));
        }
        Ok(Self {
            set_up: None,
            step: 0.0,
            checks,
            restarts: Vec::new(),
        })
    }
}

impl Document {
    fn of(listed: &Listed, wear: &Wear) -> Self {
        let line = wear.line.as_ref();
        let finite = |value: f64| Some(value).filter(|value| value.is_finite());
        let of_records = listed.set_up.is_some();
        let checks = listed.checks.iter().map(|(on, check)| CheckDocument {
            on: *on,
            error_um: check.error_um,
            closing: of_records.then_some(check.closing),
            record: of_records.then(|| check.entry.clone()),
        });
        Self {
            instrument: listed
                .set_up
                .as_ref()
                .map(|(instrument, _)| instrument.clone()),
            standard: listed.set_up.as_ref().map(|(_, standard)| standard.clone()),
            n: listed.checks.len(),
            checks: checks.collect(),
            series: wear.series.iter().map(SeriesDocument::of).collect(),
            slope_um_per_year: line.map(|line| line.line.slope * YEAR),
            slope_standard_uncertainty: line.map(|line| line.line.of_slope * YEAR),
            t: line.and_then(|line| finite(line.t)),
            p: line.and_then(|line| finite(line.p)),
            hidden_by_closing_um: line.map(|line| line.hidden),
            forecast: line
                .and_then(|line| line.forecast)
                .map(|forecast| ForecastDocument {
                    limit_um: forecast.limit,
                    on: date(forecast.day),
                    earliest: date(forecast.earliest),
                    latest: forecast.latest.and_then(date),
                    probability: forecast.probability,
                }),
            beyond: wear.beyond.map(|beyond| BeyondDocument {
                limit_um: beyond.limit,
                on: date(beyond.check.day),
                error_um: beyond.check.error,
            }),
        }
    }
}

impl SeriesDocument {
    fn of(series: &Series) -> Self {
        let signals = series.signals.iter().map(|(check, signal)| SignalDocument {
            check: *check,
            signal: signal.key(),
        });
        Self {
            first: series.first,
            end: series.end,
            mean_um: series.limits.map(|limits| limits.mean),
            lower_um: series.limits.map(|limits| limits.lower),
            upper_um: series.limits.map(|limits| limits.upper),
            signals: signals.collect(),
        }
    }
}

fn told(listed: &Listed, wear: &Wear) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some((instrument, standard)) = &listed.set_up {
        lines.push(say!(
            "wear.set-up",
            instrument = instrument,
            standard = standard,
            n = listed.checks.len()
        ));
    }
    let signals: Vec<_> = wear
        .series
        .iter()
        .flat_map(|series| &series.signals)
        .collect();
    for (index, (on, check)) in listed.checks.iter().enumerate() {
        let signal = signals.iter().find(|(at, _)| *at == index);
        let signal = signal.map_or(String::new(), |(_, signal)| words::word(signal));
        lines.push(format!(
            "  {on}  {:>8} µm  {:<10} {signal}",
            number::signed(check.error_um, 2),
            check.entry
        ));
    }
    if let Some(limits) = wear.series.last().and_then(|series| series.limits) {
        lines.push(say!(
            "wear.limits",
            mean = number::signed(limits.mean, 2),
            lower = number::signed(limits.lower, 2),
            upper = number::signed(limits.upper, 2)
        ));
    }
    lines.extend(found(wear));
    lines
}
