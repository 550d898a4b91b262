//! `midflank default`: what the program takes where nobody states a value, and what the laboratory has approved instead.

use std::path::Path;

use clap::builder::PossibleValuesParser;
use clap::{Args, Subcommand};
use jiff::civil::Date;
use metrology::inspection::{
    Amount, Approval, Approved, DefaultName, DefaultUnit, FeatureKind, Field, OwnUncertainty,
    ThreadDiameter, not_negative, positive, small,
};
use metrology::units::Entered;
use serde::Serialize;

use crate::approvals::{self, Approvals, Approving, SIZE, SetUp, SetUpUncertainty, Standing};
use crate::bench::fit::today;
use crate::cli::recorded;
use crate::clock;
use crate::desk;
use crate::failure::Failure;
use crate::given::{self, Range};
use crate::option::{Line, Within};
use crate::output::Output;
use crate::report::approved::{SHOWN, told};
use crate::say;
use crate::words;

#[derive(Args)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    List {
        #[arg(long)]
        json: bool,
    },
    Approve {
        #[arg(value_parser = PossibleValuesParser::new(DefaultName::EVERY.iter().map(|name| name.key())))]
        name: String,
        #[arg(long)]
        value: String,
        #[command(flatten)]
        approval: ApprovalArguments,
    },
    Uncertainty {
        #[arg(long, value_name = "ID", value_parser = Line)]
        instrument: String,
        #[arg(long, value_name = "ID", value_parser = Line)]
        with: String,
        #[arg(long, value_name = "CHARACTERISTIC", value_parser = PossibleValuesParser::new(characteristics()))]
        of: String,
        #[arg(long, value_name = "LEN")]
        value: String,
        #[arg(long, value_name = "K", default_value_t = 2.0, value_parser = Within(given::COVERAGE_FACTOR))]
        coverage_factor: f64,
        #[arg(long, value_name = "LEN..LEN")]
        sizes: Option<String>,
        #[arg(long, value_name = "DEG..DEG", allow_hyphen_values = true)]
        room: Option<String>,
        #[command(flatten)]
        approval: ApprovalArguments,
    },
}

#[derive(Args)]
struct ApprovalArguments {
    #[arg(long, value_name = "TEXT", value_parser = Line)]
    evidence: String,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: String,
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    review_due: Date,
    #[arg(long)]
    json: bool,
}

pub fn parse_date(text: &str) -> Result<Date, Failure> {
    text.parse()
        .map_err(|_| Failure::Input(say!("approval.no-date", text = text)))
}

/// What an uncertainty of one's own can be of.
fn characteristics() -> Vec<&'static str> {
    let diameters = ThreadDiameter::EVERY.iter().map(|one| one.key());
    let features = FeatureKind::EVERY.iter().map(|one| one.key());
    diameters.chain(features).chain([SIZE]).collect()
}

pub fn run(arguments: &Arguments, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    match &arguments.command {
        Command::List { json } => list(*json, path, output),
        Command::Approve {
            name,
            value,
            approval,
        } => {
            let what = DefaultName::of(name)
                .ok_or_else(|| Failure::Input(say!("approval.no-name", name = name)))?;
            let approved = Approved {
                what,
                value: amount(what, value)?,
                approval: approval.read()?,
            };
            approval.keep(&Approving::Default(approved), path, output)
        }
        Command::Uncertainty {
            instrument,
            with,
            of,
            value,
            coverage_factor,
            sizes,
            room,
            approval,
        } => {
            let read = approval.read()?;
            let own = OwnUncertainty {
                expanded_uncertainty: length(Field::OwnUncertainty, value)?,
                coverage_factor: *coverage_factor,
                source: read.evidence.clone(),
                approval: Some(read),
                sizes: sizes.as_deref().map(two_sizes).transpose()?,
                room: room
                    .as_deref()
                    .map(|text| two_temperatures("--room", text))
                    .transpose()?,
                unshown: None,
            };
            let set_up = SetUp {
                instrument: instrument.trim().to_owned(),
                with: with.trim().to_owned(),
                characteristic: of.clone(),
            };
            let uncertainty = SetUpUncertainty { set_up, own };
            approval.keep(&Approving::Uncertainty(Box::new(uncertainty)), path, output)
        }
    }
}

impl ApprovalArguments {
    fn read(&self) -> Result<Approval, Failure> {
        for (option, text) in [("--evidence", &self.evidence), ("--person", &self.person)] {
            if text.trim().is_empty() {
                return Err(Failure::Input(say!("approval.missing", option = option)));
            }
        }
        let on = today(clock::now()?);
        if self.review_due <= on {
            return Err(Failure::Input(say!(
                "approval.review-past",
                due = self.review_due,
                today = on
            )));
        }
        Ok(Approval {
            evidence: self.evidence.trim().to_owned(),
            person: self.person.trim().to_owned(),
            on,
            review_due: self.review_due,
        })
    }

    /// Recorded before it is shown.
    fn keep(
        &self,
        approving: &Approving,
        path: Option<&Path>,
        output: &mut Output,
    ) -> Result<(), Failure> {
        let recorder = desk::recorder(self.person.trim());
        let anew = say!("approval.anew");
        let entry = approvals::record(&desk::open(path)?, approving, &recorder, anew)?;
        let standing = Standing {
            approving: approving.clone(),
            entry: entry.id(),
        };
        let answered = if self.json {
            output.json(&ApprovalDocument::of(&standing)?)
        } else {
            output.line(&told(approving))
        };
        answered
            .and_then(|()| recorded::acknowledge(&entry, self.json, output))
            .and_then(|()| output.finish())
            .map_err(|failure| failure.although_recorded(&entry.id().to_string()))
    }
}

/// A value in the unit of a default.
fn amount(what: DefaultName, text: &str) -> Result<Amount, Failure> {
    let above_zero = |permitted: Range| {
        let number = permitted
            .read("--value", text)
            .map_err(|error| Failure::refused(&error))?;
        if number > 0.0 {
            Ok(Amount::Number(number))
        } else {
            Err(Failure::input(say!("approval.of-nothing")))
        }
    };
    Ok(match what.unit() {
        // A place, and no error of a measurement.
        DefaultUnit::Length if what == DefaultName::Plane => {
            Amount::Length(entered_length(Field::ApprovedValue, text)?)
        }
        DefaultUnit::Length => Amount::Length(length(Field::ApprovedValue, text)?),
        DefaultUnit::Minutes => above_zero(given::HALF_ANGLE_LIMIT)?,
        DefaultUnit::Newtons => above_zero(given::FORCE)?,
        DefaultUnit::Kelvins => above_zero(given::KELVINS)?,
        DefaultUnit::Temperatures => Amount::Range(two_temperatures("--value", text)?),
    })
}

/// The lowest and the highest temperature of a room, degrees Celsius.
fn two_temperatures(option: &str, text: &str) -> Result<[f64; 2], Failure> {
    let celsius = |text: &str| {
        let read = given::TEMPERATURE.read(option, text.trim());
        read.map_err(|error| Failure::refused(&error))
    };
    let refused = || Failure::input(say!("approval.two-temperatures", option = option));
    let (from, to) = text.split_once("..").ok_or_else(refused)?;
    let (from, to) = (celsius(from)?, celsius(to)?);
    if from < to {
        Ok([from, to])
    } else {
        Err(refused())
    }
}

/// The smallest and the largest size that an uncertainty holds for.
pub fn two_sizes(text: &str) -> Result<[Entered; 2], Failure> {
    let size = |text: &str| -> Result<Entered, Failure> {
        let entered =
            Entered::parse(text.trim(), None).map_err(|error| Failure::refused(&error))?;
        not_negative(Field::ApprovedSize, &entered).map_err(|error| Failure::refused(&error))?;
        Ok(entered)
    };
    let refused = || Failure::input(say!("approval.two-sizes"));
    let (from, to) = text.split_once("..").ok_or_else(refused)?;
    let (from, to) = (size(from)?, size(to)?);
    if from.value() < to.value() {
        Ok([from, to])
    } else {
        Err(refused())
    }
}

/// A length above zero that can be an uncertainty.
fn length(field: Field, text: &str) -> Result<Entered, Failure> {
    let entered = entered_length(field, text)?;
    small(field, &entered).map_err(|error| Failure::refused(&error))?;
    Ok(entered)
}

/// A length above zero.
fn entered_length(field: Field, text: &str) -> Result<Entered, Failure> {
    let entered = Entered::parse(text, None).map_err(|error| Failure::refused(&error))?;
    positive(field, &entered).map_err(|error| Failure::refused(&error))?;
    Ok(entered)
}

/// One approval as a document; lengths as they were entered.
#[derive(Serialize)]
pub struct ApprovalDocument {
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    set_up: Option<SetUpDocument>,
    value: serde_json::Value,
    unit: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    coverage_factor: Option<f64>,
    /// The entry of a study, of which the value is the repeatability.
    #[serde(skip_serializing_if = "Option::is_none")]
    study: Option<String>,
    /// Standard deviation between operators that it found.
    #[serde(skip_serializing_if = "Option::is_none")]
    reproducibility: Option<String>,
    /// Smallest and largest size that it holds for.
    #[serde(skip_serializing_if = "Option::is_none")]
    sizes: Option<[String; 2]>,
    /// Lowest and highest temperature that it holds for, degrees Celsius.
    #[serde(skip_serializing_if = "Option::is_none")]
    room: Option<[f64; 2]>,
    evidence: String,
    person: String,
    approved_on: Date,
    review_due: Date,
    overdue: bool,
    entry: String,
}

/// What an uncertainty is for.
#[derive(Serialize)]
struct SetUpDocument {
    instrument: String,
    with: String,
    characteristic: String,
}

impl SetUpDocument {
    fn of(set_up: &SetUp) -> Self {
        Self {
            instrument: set_up.instrument.clone(),
            with: set_up.with.clone(),
            characteristic: set_up.characteristic.clone(),
        }
    }
}

/// A default as a document.
#[derive(Serialize)]
struct DefaultDocument {
    name: &'static str,
    /// Millimetres of a length; of the room, the half-width about 20 °C; `null` where it goes by the pitch.
    program: Option<f64>,
    unit: &'static str,
    approved: Option<ApprovalDocument>,
}

/// The unit of a default's number as people write it; of a length that of the program's value.
const fn unit(what: DefaultName) -> &'static str {
    match what.unit() {
        DefaultUnit::Length => "mm",
        DefaultUnit::Minutes => "'",
        DefaultUnit::Newtons => "N",
        DefaultUnit::Kelvins => "K",
        DefaultUnit::Temperatures => "degC",
    }
}

impl ApprovalDocument {
    pub fn of(standing: &Standing) -> Result<Self, Failure> {
        let overdue = is_overdue(standing)?;
        let entry = standing.entry.to_string();
        let (approval, rest) = match &standing.approving {
            Approving::Default(approved) => {
                let (value, unit) = match &approved.value {
                    Amount::Length(length) => (length.text().into(), None),
                    Amount::Number(number) => ((*number).into(), Some(unit(approved.what))),
                    Amount::Range([from, to]) => {
                        (serde_json::json!([from, to]), Some(unit(approved.what)))
                    }
                };
                (
                    Some(&approved.approval),
                    (Some(approved.what.key()), None, value, unit, None),
                )
            }
            Approving::Study(one) => {
                let set_up = SetUpDocument::of(&one.set_up);
                let value = one.prior.repeatability.text().into();
                (
                    Some(&one.prior.approval),
                    (None, Some(set_up), value, None, None),
                )
            }
            Approving::Uncertainty(one) => {
                let SetUpUncertainty { set_up, own } = &**one;
                let set_up = SetUpDocument::of(set_up);
                let value = own.expanded_uncertainty.text().into();
                (
                    own.approval.as_ref(),
                    (None, Some(set_up), value, None, Some(own.coverage_factor)),
                )
            }
        };
        let (study, reproducibility) = match &standing.approving {
            Approving::Study(one) => {
                let between = one.prior.reproducibility.as_ref();
                let between = between.map(|(value, _)| value.text().to_owned());
                (Some(one.prior.study.clone()), between)
            }
            Approving::Default(_) | Approving::Uncertainty(_) => (None, None),
        };
        let (name, set_up, value, unit, coverage_factor) = rest;
        let (sizes, room) = match &standing.approving {
            Approving::Default(_) => (None, None),
            Approving::Study(one) => {
                let sizes = one.sizes.as_ref();
                let sizes = sizes.map(|sizes| sizes.each_ref().map(|size| size.text().to_owned()));
                (sizes, None)
            }
            Approving::Uncertainty(one) => {
                let own = &one.own;
                let sizes = own.sizes.as_ref();
                let sizes = sizes.map(|sizes| sizes.each_ref().map(|size| size.text().to_owned()));
                (sizes, own.room)
            }
        };
        Ok(Self {
            name,
            set_up,
            value,
            unit,
            coverage_factor,
            study,
            reproducibility,
            sizes,
            room,
            evidence: approval.map_or_else(String::new, |one| one.evidence.clone()),
            person: approval.map_or_else(String::new, |one| one.person.clone()),
            approved_on: approval.map_or(Date::ZERO, |one| one.on),
            review_due: approval.map_or(Date::ZERO, |one| one.review_due),
            overdue,
            entry,
        })
    }
}

/// Whether the review of an approval is overdue today.
fn is_overdue(standing: &Standing) -> Result<bool, Failure> {
    let today = today(clock::now()?);
    let approval = standing.approving.approval();
    Ok(approval.is_some_and(|approval| approval.is_overdue(today)))
}

/// The same, and whether its review is overdue.
fn stands(standing: &Standing) -> Result<String, Failure> {
    let told = told(&standing.approving);
    Ok(if is_overdue(standing)? {
        say!("approval.overdue", told = told, entry = standing.entry)
    } else {
        say!("approval.stands", told = told, entry = standing.entry)
    })
}

fn list(json: bool, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let place = desk::place(path)?;
    let approvals = if crate::record::is_there(&place) {
        Approvals::read(&desk::open_to_read(Some(&place))?)?
    } else {
        Approvals::default()
    };
    for name in DefaultName::EVERY {
        let standing = approvals.standing.iter().find(
            |one| matches!(&one.approving, Approving::Default(approved) if approved.what == *name),
        );
        if json {
            output.json(&DefaultDocument {
                name: name.key(),
                program: (!name.goes_by_pitch()).then(|| name.value()),
                unit: unit(*name),
                approved: standing.map(ApprovalDocument::of).transpose()?,
            })?;
            continue;
        }
        let value = words::value(&name.shown(), SHOWN);
        let key = format!("{:<30}", name.key());
        output.line(&match standing {
            None => say!("approval.listed", name = key, value = value),
            Some(standing) => say!(
                "approval.listed-approved",
                name = key,
                told = stands(standing)?,
                value = value
            ),
        })?;
    }
    for standing in &approvals.standing {
        let set_up = match &standing.approving {
            Approving::Default(_) => continue,
            Approving::Uncertainty(own) => &own.set_up,
            Approving::Study(one) => &one.set_up,
        };
        if json {
            output.json(&ApprovalDocument::of(standing)?)?;
        } else {
            output.line(&say!(
                "approval.listed-uncertainty",
                instrument = set_up.instrument,
                with = set_up.with,
                characteristic = set_up.characteristic,
                told = stands(standing)?
            ))?;
        }
    }
    Ok(())
}
