//! The result of an inspection: the whole of one measurement.

use jiff::civil::Date;
use metrology::correction::{self, CorrectionName};
use metrology::decision::Verdict;
use metrology::inspection::{self, Inspection, Job, Scope, Way};
use metrology::message::{Message, Say, Value};
use metrology::method;
use metrology::units::LengthUnit;
use serde::Serialize;

use super::feature::{self, FeatureDocument, Method};
use super::{Decided, MaxMin, finite, from_mm};

/// What a job gives. Also what the ledger keeps as the result of a record.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Inspected {
    /// The number of the method that computed it.
    pub method: u32,
    /// What was measured: a thread and which of its diameters, or what the drawing calls the size.
    pub characteristic: Message,
    pub unit: LengthUnit,
    /// Decimals that the limits are stated to.
    pub decimals: u32,
    pub limits: MaxMin,
    /// Documents that the limits come from.
    pub sources: Vec<Message>,
    pub zero_error: ZeroError,
    pub readings: Vec<Reading>,
    pub corrections: Vec<Correction>,
    /// What `size`, `budget` and `decision` are about: the mean, or the worst place where that is the stricter.
    pub decided_on: Message,
    /// What the readings cover.
    pub scope: Scope,
    pub size: Size,
    /// The laboratory's own uncertainty beside that of the budget; where one is stated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uncertainty: Option<Uncertainty>,
    pub budget: Vec<BudgetLine>,
    /// Who answers for what the budget takes in the place of defaults, and which earlier records it leans on.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub rests_on: Vec<Message>,
    pub decision: Decided,
    pub mean: Outcome,
    pub worst_place: Option<Outcome>,
    /// The mean without the readings that look like mistakes.
    pub without_flagged: Option<Outcome>,
    pub warnings: Vec<Message>,
    /// What the readings of a feature tell beside its size.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub feature: Option<FeatureDocument>,
    /// Whom this result defers to, where a wrong acceptance hurts.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<Message>,
    /// What would settle the verdict; where it is open or near a limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settle: Option<Settle>,
    /// The size by Monte Carlo; where asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub monte_carlo: Option<MonteCarlo>,
    /// Which of the set-ups that one owns would settle it; told at the bench, not recorded.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_hand: Option<Message>,
}

/// What would settle the verdict.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Settle {
    /// `take-again`, `more-readings`, `smaller-line`, `readings-and-line`, `several-lines` or `nothing`.
    pub way: String,
    /// The same with its numbers.
    pub sentence: Message,
    /// The largest standard uncertainty at which the rule decides.
    pub standard_uncertainty_needed: f64,
    /// How many more readings.
    pub more_readings: Option<usize>,
    /// The quantities of the budget lines to improve, with their contributions now and as needed where one line is enough.
    pub lines: Vec<String>,
    pub contribution: Option<f64>,
    pub contribution_needed: Option<f64>,
}

/// The size that was decided on, by Monte Carlo (JCGM 101:2008).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonteCarlo {
    pub seed: u64,
    pub trials: usize,
    pub value: f64,
    /// `null` where an input has two degrees of freedom or fewer: its variance does not exist.
    pub standard_uncertainty: Option<f64>,
    pub coverage_probability: f64,
    /// The shortest coverage interval.
    pub interval: Interval,
    /// Whether the digits stood still before the most trials permitted were made.
    pub stabilized: bool,
    pub validation: Validation,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Interval {
    pub lower: f64,
    pub upper: f64,
}

/// The budget's interval against that of the trials (clause 8).
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Validation {
    /// How far apart the ends are.
    pub lower: f64,
    pub upper: f64,
    /// How far apart they may be.
    pub tolerance: f64,
    pub valid: bool,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ZeroError {
    pub value: f64,
    pub standard_uncertainty: f64,
    pub n: usize,
    pub before: f64,
    pub after: Option<f64>,
    pub drift: Option<f64>,
    /// Readings on the standard that look like mistakes.
    pub flags: Vec<ZeroFlag>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ZeroFlag {
    pub as_read: String,
    pub kind: String,
    pub message: Message,
    /// It was looked into and left, with a reason.
    pub left: bool,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reading {
    pub as_read: String,
    pub corrected: f64,
    /// Where on the part; nothing where nobody said.
    pub place: Option<Message>,
    pub flags: Vec<Flag>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Flag {
    pub kind: String,
    pub message: Message,
    /// It was looked into and left, with a reason.
    pub left: bool,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Correction {
    pub name: String,
    pub value: f64,
    pub standard_uncertainty: f64,
    pub source: Message,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Size {
    pub value: f64,
    pub standard_uncertainty: f64,
    pub degrees_of_freedom: Option<f64>,
    pub coverage_factor: f64,
    pub expanded_uncertainty: f64,
}

/// Two uncertainties of one size, and whose decides.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Uncertainty {
    /// `program` (the larger), `laboratory` (the larger) or `approved`.
    pub decides: String,
    /// By the budget.
    pub program: Size,
    /// The laboratory's, at k = 2.
    pub laboratory: Size,
    /// Where the laboratory found it.
    pub source: String,
    pub approval: Option<Approval>,
}

/// Who approved it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Approval {
    pub person: String,
    pub approved_on: Date,
    pub review_due: Date,
}

/// One line of the budget; `standard_uncertainty` is in `unit`, `contribution` in the document's.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BudgetLine {
    /// The input of the model.
    pub quantity: String,
    /// How it is called here: that, or a name of its own.
    pub name: String,
    pub standard_uncertainty: f64,
    pub unit: String,
    pub sensitivity: f64,
    pub degrees_of_freedom: Option<f64>,
    pub contribution: f64,
    pub share: f64,
    pub note: Option<Message>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outcome {
    pub of: Message,
    pub size: Size,
    pub decision: Decided,
}

impl Inspected {
    /// Whether each reading is another piece, as of crimps.
    pub fn is_sampled(&self) -> bool {
        let feature = self.feature.as_ref();
        feature.is_some_and(FeatureDocument::is_sampled)
    }

    /// What was measured, as records are found by it.
    pub fn measured(&self) -> String {
        measured(&self.characteristic)
    }

    /// Whether one of its warnings has this code.
    pub fn warns(&self, code: &str) -> bool {
        self.warnings.iter().any(|warning| warning.code == code)
    }

    /// The document of a job's result.
    pub fn of(job: &Job, result: &Inspection) -> Self {
        Self::by(method::CURRENT, job, result)
    }

    /// The document of a result that was computed by a method of this number.
    pub fn by(method: u32, job: &Job, result: &Inspection) -> Self {
        let unit = result.target.unit;
        let governing = result.governing();
        let length = |millimetres| from_mm(millimetres, unit);
        Self {
            method,
            characteristic: result.target.characteristic().message(),
            unit,
            decimals: result.target.decimals,
            limits: MaxMin::of(result.target.limits, unit),
            sources: result.target.thread.as_ref().map_or_else(
                || vec![feature::limits_from(result.target.feature.as_ref()).message()],
                |thread| feature::limits_of_thread(thread, &result.target.told),
            ),
            zero_error: ZeroError {
                value: length(result.zero_error.value),
                standard_uncertainty: length(result.zero_uncertainty),
                n: result.zero_error.n,
                before: length(result.zero_error.before),
                after: result.zero_error.after.map(length),
                drift: result.zero_error.drift().map(length),
                flags: result
                    .zero_flags
                    .iter()
                    .map(|(reading, flag)| ZeroFlag {
                        as_read: reading.text().to_owned(),
                        kind: flag.kind().key().to_owned(),
                        message: flag.message(),
                        left: job.left_standing(reading),
                    })
                    .collect(),
            },
            readings: result
                .readings
                .iter()
                .map(|reading| Reading {
                    as_read: reading.as_read.text().to_owned(),
                    corrected: length(reading.corrected),
                    place: job
                        .readings
                        .get(reading.place)
                        .and_then(inspection::Place::name)
                        .map(|place| place.message()),
                    flags: reading
                        .flag
                        .iter()
                        .map(|flag| Flag {
                            kind: flag.kind().key().to_owned(),
                            message: flag.message(),
                            left: job.left_standing(&reading.as_read),
                        })
                        .collect(),
                })
                .collect(),
            corrections: result
                .corrections
                .iter()
                .map(|correction| Correction {
                    name: correction.name.key().to_owned(),
                    value: length(correction.value),
                    standard_uncertainty: length(correction.standard_uncertainty),
                    source: source(job, correction),
                })
                .collect(),
            decided_on: result.decided_on().message(),
            size: size(&governing.size, unit),
            uncertainty: uncertainty(job, governing, unit),
            budget: governing
                .budget
                .iter()
                .map(|line| budget_line(line, unit))
                .collect(),
            rests_on: inspection::rests_on(job, governing)
                .iter()
                .map(Say::message)
                .collect(),
            scope: inspection::scope(job),
            decision: whole(Decided::of(&governing.decision, unit), result),
            mean: outcome(&result.mean, unit),
            worst_place: result
                .worst_place
                .as_ref()
                .map(|worst| outcome(worst, unit)),
            without_flagged: result
                .without_flagged
                .as_ref()
                .map(|rest| outcome(rest, unit)),
            warnings: result.warnings.iter().map(Say::message).collect(),
            feature: FeatureDocument::of(result, unit),
            cautions: feature::cautions(job, &result.target),
            settle: result.settle.as_ref().map(|found| settle(found, unit)),
            monte_carlo: result
                .monte_carlo
                .as_ref()
                .map(|found| monte_carlo(found, unit)),
            at_hand: None,
        }
    }
}

/// The verdict on the part: bounds, margin and probability stay those of the size; a requirement beside it that is
/// stricter takes the word, and says why.
fn whole(mut decided: Decided, result: &Inspection) -> Decided {
    decided.provisional = result.is_provisional();
    if let Some(withheld) = &result.withheld {
        decided.because = Some(withheld.because().to_owned());
        decided.reason = Stricter::Withheld {
            why: withheld.message(),
            numbers: result.computed_verdict(),
        }
        .message();
        result.verdict().key().clone_into(&mut decided.decision);
        return decided;
    }
    let stricter = result.stricter_requirements();
    if stricter.is_empty() {
        return decided;
    }
    let requirements = stricter.iter().map(|requirement| &requirement.reason);
    decided.reason = Stricter::ThanSize {
        requirements: requirements.map(Say::message).collect(),
        size: decided.reason,
    }
    .message();
    result.verdict().key().clone_into(&mut decided.decision);
    decided
}

metrology::messages! {
    /// Why a verdict is stricter than that on the size.
    pub enum Stricter "stricter" {
        /// Requirements beside the size, and what is said of the size itself.
        ThanSize "than-size" { requirements: Vec<Message> as all_said, size: Message as said },
        /// A verdict that the program's own knowledge contradicts, and what the numbers alone would give.
        Withheld "withheld" { why: Message as said, numbers: Verdict as code },
    }
}

impl Inspected {
    /// Standard uncertainty and degrees of freedom of the budget, also where the laboratory's uncertainty decides.
    pub fn by_budget(&self) -> &Size {
        self.uncertainty
            .as_ref()
            .map_or(&self.size, |both| &both.program)
    }
}

impl BudgetLine {
    /// Whether it rests on a default of the program that nobody stated or approved.
    pub fn is_default(&self) -> bool {
        let code = self.note.as_ref().map(|note| &*note.code);
        code.is_some_and(|code| inspection::DEFAULTS.contains(&code))
    }
}

fn uncertainty(
    job: &Job,
    governing: &inspection::Outcome,
    unit: LengthUnit,
) -> Option<Uncertainty> {
    let (compared, own) = (governing.own.as_ref()?, job.prior.own.as_ref()?);
    Some(Uncertainty {
        decides: compared.decides.key().to_owned(),
        program: size(&compared.program, unit),
        laboratory: size(&compared.laboratory, unit),
        source: own.source.clone(),
        approval: own.approval.as_ref().map(|approval| Approval {
            person: approval.person.clone(),
            approved_on: approval.on,
            review_due: approval.review_due,
        }),
    })
}

fn size(size: &inspection::Size, unit: LengthUnit) -> Size {
    Size {
        value: from_mm(size.value, unit),
        standard_uncertainty: from_mm(size.standard_uncertainty, unit),
        degrees_of_freedom: finite(size.degrees_of_freedom),
        coverage_factor: size.coverage_factor,
        expanded_uncertainty: from_mm(size.expanded_uncertainty, unit),
    }
}

/// Where a correction comes from: the certificate of its value where one is named, and the source of the method.
fn source(job: &Job, correction: &correction::Correction) -> Message {
    let certified = match correction.name {
        CorrectionName::Zero => job.standard.certificate.clone(),
        CorrectionName::ErrorCurve => job.instrument.certificate.clone(),
        _ => None,
    };
    let source = correction.source;
    match certified {
        Some(certificate) => Method::Certified {
            certificate,
            source,
        }
        .message(),
        None => Method::Published { source }.message(),
    }
}

fn settle(found: &inspection::Settle, unit: LengthUnit) -> Settle {
    let mut settle = Settle {
        way: found.way.key().to_owned(),
        sentence: found.message(),
        standard_uncertainty_needed: from_mm(found.needed, unit),
        more_readings: None,
        lines: Vec::new(),
        contribution: None,
        contribution_needed: None,
    };
    match &found.way {
        Way::MoreReadings(more) => settle.more_readings = Some(*more),
        Way::SmallerLine { quantity, from, to } => {
            settle.lines.push(quantity.key().to_owned());
            settle.contribution = Some(from_mm(*from, unit));
            settle.contribution_needed = Some(from_mm(*to, unit));
        }
        Way::SeveralLines(quantities) => {
            let keys = quantities.iter().map(|quantity| quantity.key().to_owned());
            settle.lines.extend(keys);
        }
        Way::ReadingsAndLine {
            more,
            quantity,
            from,
            to,
        } => {
            settle.more_readings = Some(*more);
            settle.lines.push(quantity.key().to_owned());
            settle.contribution = Some(from_mm(*from, unit));
            settle.contribution_needed = Some(from_mm(*to, unit));
        }
        Way::Nothing | Way::TakeAgain(_) | Way::LetStand => {}
    }
    settle
}

fn monte_carlo(found: &inspection::Propagation, unit: LengthUnit) -> MonteCarlo {
    let length = |millimetres| from_mm(millimetres, unit);
    MonteCarlo {
        seed: found.seed,
        trials: found.trials,
        value: length(found.value),
        standard_uncertainty: found.standard_uncertainty.map(length),
        coverage_probability: inspection::COVERAGE,
        interval: Interval {
            lower: length(found.interval.low),
            upper: length(found.interval.high),
        },
        stabilized: found.stabilized,
        validation: Validation {
            lower: length(found.validation.low),
            upper: length(found.validation.high),
            tolerance: length(found.validation.tolerance),
            valid: found.validation.valid,
        },
    }
}

fn outcome(outcome: &inspection::Outcome, unit: LengthUnit) -> Outcome {
    Outcome {
        of: outcome.of.message(),
        size: size(&outcome.size, unit),
        decision: Decided::of(&outcome.decision, unit),
    }
}

fn budget_line(entry: &inspection::BudgetLine, unit: LengthUnit) -> BudgetLine {
    let line = &entry.line;
    let (standard_uncertainty, sensitivity, input_unit) = match entry.quantity.unit_but_length() {
        None => (
            from_mm(line.standard_uncertainty, unit),
            line.sensitivity,
            unit.symbol(),
        ),
        Some(other) => (
            line.standard_uncertainty,
            from_mm(line.sensitivity, unit),
            other,
        ),
    };
    BudgetLine {
        quantity: entry.quantity.key().to_owned(),
        name: entry.name.key().to_owned(),
        standard_uncertainty,
        unit: input_unit.to_owned(),
        sensitivity,
        degrees_of_freedom: finite(line.degrees_of_freedom),
        contribution: from_mm(line.contribution, unit),
        share: line.share,
        note: entry.note.as_ref().map(Say::message),
    }
}

/// What a characteristic is found by: the same in every language.
pub fn measured(characteristic: &Message) -> String {
    let text = |name| match characteristic.value(name) {
        Some(Value::Text(text)) => Some(text.clone()),
        Some(Value::Code(code)) => code.split_once('.').map(|(_, key)| key.to_owned()),
        _ => None,
    };
    let plane = match characteristic.value("plane") {
        Some(Value::Entered(at)) => format!(" at {}", at.text()),
        _ => String::new(),
    };
    match (text("thread"), text("diameter")) {
        (Some(thread), Some(diameter)) => format!("{thread} {diameter}{plane}"),
        _ => text("name").unwrap_or_default(),
    }
}
