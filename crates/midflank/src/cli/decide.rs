//! `midflank decide`: a size with its uncertainty, against limits, under a rule.

use std::path::{Path, PathBuf};

use clap::Args;
use metrology::decision::{DecisionWarning, MeasurementUncertainty, Rule, decide};
use metrology::limits::Limits;
use metrology::message::Say;
use metrology::units::{Entered, LengthUnit};
use rust_decimal::Decimal;
use serde::Serialize;

use super::lines::{self, each_row};
use super::risks::{ProcessArguments, tell};
use crate::document::{Decided, DecidedWithRisk, in_words, warning};
use crate::failure::Failure;
use crate::look_up::thread::entered_in;
use crate::output::Output;
use crate::process::Stated;
use crate::report::verdict_words;
use crate::words::number::probability;
use crate::words::{self, Shown};
use crate::{given, say};

#[derive(Args)]
pub struct Arguments {
    #[arg(
        long,
        value_name = "LEN",
        allow_hyphen_values = true,
        required_unless_present = "batch"
    )]
    value: Option<String>,
    #[arg(
        long,
        value_name = "LEN",
        allow_hyphen_values = true,
        required_unless_present = "batch"
    )]
    standard_uncertainty: Option<String>,
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    degrees_of_freedom: Option<String>,
    #[arg(long, value_name = "K", allow_hyphen_values = true)]
    coverage_factor: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    lower: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    upper: Option<String>,
    #[arg(long, value_name = "RULE")]
    rule: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true, conflicts_with_all = ["rule", "rule_parameter", "batch"])]
    guard_band: Option<String>,
    #[arg(long, value_name = "X", allow_hyphen_values = true)]
    rule_parameter: Option<String>,
    #[arg(long, value_name = "FILE", conflicts_with_all = ["value", "standard_uncertainty", "degrees_of_freedom", "coverage_factor", "lower", "upper", "rule", "rule_parameter"])]
    batch: Option<PathBuf>,
    #[command(flatten)]
    process: ProcessArguments,
    #[arg(long)]
    json: bool,
}

/// One decision to make, as text; empty is not given.
struct Row {
    value: String,
    standard_uncertainty: String,
    coverage_factor: String,
    degrees_of_freedom: String,
    lower: String,
    upper: String,
    rule: String,
    rule_parameter: String,
    unit: String,
}

#[derive(Serialize)]
struct Refused {
    input: String,
    error: RefusedError,
}

#[derive(Serialize)]
struct RefusedError {
    kind: &'static str,
    message: String,
}

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let process = arguments.process.stated(ledger)?;
    let Some(file) = &arguments.batch else {
        let given = |text: &Option<String>| text.clone().unwrap_or_default();
        let row = Row {
            value: given(&arguments.value),
            standard_uncertainty: given(&arguments.standard_uncertainty),
            coverage_factor: given(&arguments.coverage_factor),
            degrees_of_freedom: given(&arguments.degrees_of_freedom),
            lower: given(&arguments.lower),
            upper: given(&arguments.upper),
            rule: given(&arguments.rule),
            rule_parameter: given(&arguments.rule_parameter),
            unit: String::new(),
        };
        let decided = match &arguments.guard_band {
            Some(width) => {
                stated_guard_band(width).and_then(|rule| row.under(rule, process.as_ref()))
            }
            None => row.decide(process.as_ref()),
        }?;
        return answer(&decided, arguments.json, output);
    };
    let mut all_answered = true;
    each_row(file, &["value", "standard_uncertainty", "rule"], |row| {
        let decided = Row::of(row).decide(process.as_ref());
        match decided {
            Ok(decided) => answer(&decided, arguments.json, output),
            Err(failure) => {
                all_answered = false;
                let message = failure.to_string();
                let input = row.input();
                if arguments.json {
                    let kind = "decision";
                    output.json(&Refused {
                        input,
                        error: RefusedError { kind, message },
                    })
                } else {
                    output.line(&say!(
                        "command.wrong-row",
                        line = row.line,
                        input = input,
                        why = message
                    ))
                }
            }
        }
    })?;
    if all_answered {
        Ok(())
    } else {
        Err(Failure::SomeLines)
    }
}

/// An answer, with risks where a process is known, and how its lengths are shown.
struct Answer {
    what: What,
    warnings: Vec<DecisionWarning>,
    shown: Shown,
}

enum What {
    Plain(Box<Decided>),
    WithRisk(Box<DecidedWithRisk>),
}

fn answer(answer: &Answer, json: bool, output: &mut Output) -> Result<(), Failure> {
    let shown = answer.shown;
    if json {
        let document = match &answer.what {
            What::Plain(decided) => in_words(decided, shown),
            What::WithRisk(with) => in_words(with, shown),
        };
        let mut document = document.map_err(Failure::outside)?;
        let warnings = answer.warnings.iter();
        document["warnings"] = warnings
            .map(|said| warning(&said.message(), shown))
            .collect();
        return output.json(&document);
    }
    let decided = match &answer.what {
        What::Plain(decided) => decided,
        What::WithRisk(with) => &with.decided,
    };
    output.line(&verdict_words(&decided.decision))?;
    output.line(&words::message(&decided.reason, shown))?;
    output.line(&say!(
        "decide.rule",
        rule = words::line(&format!("rule.{}", decided.rule), &[]),
        probability = probability(decided.conformance_probability)
    ))?;
    for warning in &answer.warnings {
        output.line(&say!(
            "decide.warning",
            warning = words::message(warning, shown)
        ))?;
    }
    match &answer.what {
        What::Plain(_) => Ok(()),
        What::WithRisk(with) => tell(with, output),
    }
}

impl Row {
    /// The row of a batch.
    fn of(row: &lines::Row<'_>) -> Self {
        let given = |column: &str| row.field(column).to_owned();
        Self {
            value: given("value"),
            standard_uncertainty: given("standard_uncertainty"),
            coverage_factor: given("coverage_factor"),
            degrees_of_freedom: given("degrees_of_freedom"),
            lower: given("lower"),
            upper: given("upper"),
            rule: given("rule"),
            rule_parameter: given("rule_parameter"),
            unit: given("unit"),
        }
    }

    /// Decides, or says what is wrong with the row.
    fn decide(&self, process: Option<&Stated>) -> Result<Answer, Failure> {
        let rule = Rule::agreed(&self.rule, number("rule_parameter", &self.rule_parameter)?)
            .map_err(|error| Failure::refused(&error))?;
        self.under(rule, process)
    }

    /// The same under a rule that the row does not name.
    fn under(&self, rule: Rule, process: Option<&Stated>) -> Result<Answer, Failure> {
        let unit = match self.unit.as_str() {
            "" => None,
            text => Some(
                text.parse::<LengthUnit>()
                    .map_err(|()| Failure::Input(say!("decide.unit", text = text)))?,
            ),
        };
        let length = |column: &str, text: &str| entered_in(column, text, unit);
        let limit = |name: &str, text: &str| match text {
            "" => Ok(None),
            text => length(name, text).map(Some),
        };
        let value = length("value", &self.value)?;
        let lower = limit("lower", &self.lower)?;
        let upper = limit("upper", &self.upper)?;
        let u = length("standard_uncertainty", &self.standard_uncertainty)?;
        let mut uncertainty = MeasurementUncertainty::in_unit(u.number(), u.unit())
            .map_err(|error| Failure::refused(&error))?;
        if let Some(k) = number("coverage_factor", &self.coverage_factor)? {
            uncertainty = uncertainty.with_coverage_factor(k);
        }
        if let Some(nu) = degrees_of_freedom(&self.degrees_of_freedom)? {
            uncertainty = uncertainty.with_degrees_of_freedom(nu);
        }
        let drawing = [&lower, &upper]
            .into_iter()
            .flatten()
            .next()
            .unwrap_or(&value);
        let unit = match drawing.unit() {
            LengthUnit::Inch | LengthUnit::Microinch => LengthUnit::Inch,
            LengthUnit::Millimetre | LengthUnit::Micrometre => LengthUnit::Millimetre,
        };
        let limits = Limits {
            lower: lower.as_ref().map(Entered::value),
            upper: upper.as_ref().map(Entered::value),
        };
        let shown = Shown {
            unit,
            decimals: [&lower, &upper]
                .into_iter()
                .flatten()
                .map(|limit| decimals(limit, unit))
                .max()
                .unwrap_or_default(),
        };
        let decision = decide(value.value(), &uncertainty, limits, rule)
            .map_err(|error| Failure::Input(words::message(&error, shown)))?;
        let mut warnings = decision
            .warnings(&uncertainty, limits)
            .map_err(|error| Failure::Input(words::message(&error, shown)))?;
        let what = match process {
            None => What::Plain(Box::new(Decided::of(&decision, unit))),
            Some(stated) => {
                if uncertainty.degrees_of_freedom.is_finite() {
                    warnings.push(DecisionWarning::NormalRisks {
                        degrees_of_freedom: uncertainty.degrees_of_freedom,
                    });
                }
                let process = stated
                    .within(lower.as_ref(), upper.as_ref())
                    .map_err(|error| Failure::refused(&error))?;
                DecidedWithRisk::of(
                    &decision,
                    value.value(),
                    &uncertainty,
                    limits,
                    &process,
                    unit,
                )
                .map(|with| What::WithRisk(Box::new(with)))
                .map_err(|error| Failure::Input(words::message(&error, shown)))?
            }
        };
        Ok(Answer {
            what,
            warnings,
            shown,
        })
    }
}

fn number(name: &str, text: &str) -> Result<Option<Decimal>, Failure> {
    match text {
        "" => Ok(None),
        text => text
            .parse()
            .map(Some)
            .map_err(|_| Failure::Input(say!("decide.no-number", name = name, text = text))),
    }
}

fn degrees_of_freedom(text: &str) -> Result<Option<f64>, Failure> {
    match text {
        "" | "inf" | "infinite" | "infinity" => Ok(None),
        text => given::DEGREES_OF_FREEDOM
            .read("degrees_of_freedom", text)
            .map(Some)
            .map_err(|error| Failure::refused(&error)),
    }
}

/// The decimals of a limit, written in the unit of the document.
fn decimals(limit: &Entered, unit: LengthUnit) -> u32 {
    let smaller = match (limit.unit(), unit) {
        (LengthUnit::Micrometre, LengthUnit::Millimetre) => 3,
        (LengthUnit::Microinch, LengthUnit::Inch) => 6,
        _ => 0,
    };
    limit.decimals() + smaller
}

/// Limits moved in by a length.
fn stated_guard_band(text: &str) -> Result<Rule, Failure> {
    let width = entered_in("--guard-band", text, None)?
        .value()
        .decimal(LengthUnit::Millimetre);
    Ok(Rule::StatedGuardBand { width })
}
