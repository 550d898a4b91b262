//! The process of which `midflank decide` tells the risks.

use std::path::Path;

use clap::Args;

use crate::desk;
use crate::document::DecidedWithRisk;
use crate::failure::Failure;
use crate::look_up::thread::entered;
use crate::output::Output;
use crate::process::{Kind, Process, Stated};
use crate::report::size;
use crate::say;
use crate::words::number::{given, risk};
use workshop::process_on_record::Selection;

#[derive(Args)]
pub struct ProcessArguments {
    #[arg(
        long,
        value_name = "LEN",
        allow_hyphen_values = true,
        requires = "process_sd"
    )]
    process_mean: Option<String>,
    #[arg(
        long,
        value_name = "LEN",
        allow_hyphen_values = true,
        requires = "process_mean"
    )]
    process_sd: Option<String>,
    #[arg(long, value_name = "gamma:SHAPE,RATE", conflicts_with_all = ["process_mean", "process_sd", "process_from_ledger"])]
    process: Option<String>,
    #[arg(long, conflicts_with_all = ["process_mean", "process_sd"])]
    process_from_ledger: bool,
    #[arg(long, requires = "process_from_ledger")]
    empirical: bool,
    #[arg(long, requires = "process_from_ledger")]
    part: Option<String>,
    #[arg(long, requires = "process_from_ledger")]
    lot: Option<String>,
    #[arg(long, requires = "process_from_ledger")]
    characteristic: Option<String>,
}

impl ProcessArguments {
    /// The process, where one is stated or to be estimated.
    pub fn stated(&self, ledger: Option<&Path>) -> Result<Option<Stated>, Failure> {
        if let Some(text) = &self.process {
            let stated = Stated::parse(text).map_err(|error| Failure::refused(&error))?;
            return Ok(Some(stated));
        }
        if self.process_from_ledger {
            let selection = Selection {
                part: self.part.clone(),
                lot: self.lot.clone(),
                characteristic: self.characteristic.clone(),
                number: None,
                empirical: self.empirical,
            };
            let process = Process::from_ledger(&desk::open_to_read(ledger)?, &selection)?;
            return Ok(Some(Stated::Known(process)));
        }
        let (Some(mean), Some(sd)) = (&self.process_mean, &self.process_sd) else {
            return Ok(None);
        };
        let length = |option, text: &str| entered(option, text).map(|length| length.value().mm());
        let process = Process::normal(length("--process-mean", mean)?, length("--process-sd", sd)?)
            .map_err(|error| Failure::refused(&error))?;
        Ok(Some(Stated::Known(process)))
    }
}

/// The risks in words.
pub fn tell(with: &DecidedWithRisk, output: &mut Output) -> Result<(), Failure> {
    let unit = with.decided.unit;
    let process = &with.process;
    let (mean, deviation, _) = size(process.mean, process.standard_deviation);
    let (mean, deviation) = (format!("{mean} {unit}"), format!("{deviation} {unit}"));
    let nonconforming = risk(process.nonconforming);
    let n = process.n.unwrap_or_default();
    output.line(&match with.kind {
        Kind::Normal if process.n.is_none() => say!(
            "decide.process-stated",
            mean = mean,
            deviation = deviation,
            nonconforming = nonconforming
        ),
        Kind::Normal => say!(
            "decide.process-estimated",
            mean = mean,
            deviation = deviation,
            nonconforming = nonconforming,
            n = n
        ),
        Kind::Gamma {
            shape,
            rate,
            unit: per,
        } => say!(
            "decide.process-gamma",
            shape = given(shape),
            rate = given(rate),
            per = per,
            mean = mean,
            deviation = deviation,
            nonconforming = nonconforming
        ),
        Kind::Empirical => say!(
            "decide.process-empirical",
            mean = mean,
            deviation = deviation,
            nonconforming = nonconforming,
            n = n
        ),
    })?;
    let (consumer, producer) = (&with.consumer_risk, &with.producer_risk);
    match (consumer.specific, consumer.specific_given_process) {
        (Some(alone), Some(together)) => output.line(&say!(
            "decide.consumer-specific",
            alone = risk(alone),
            together = risk(together)
        ))?,
        (Some(alone), None) => {
            output.line(&say!("decide.consumer-specific-alone", alone = risk(alone)))?;
        }
        (None, _) => {}
    }
    let specific = consumer.specific.or(producer.specific);
    if specific.is_some() && consumer.global_with_conditional.is_some() {
        output.line(say!("decide.specific-four"))?;
    }
    match (consumer.global, consumer.global_with_conditional) {
        (Some(global), Some(with)) => output.line(&say!(
            "decide.consumer-global-four",
            risk = risk(global),
            with = risk(with)
        ))?,
        (Some(global), None) => {
            output.line(&say!("decide.consumer-global", risk = risk(global)))?;
        }
        (None, _) => {}
    }
    match (producer.specific, producer.specific_given_process) {
        (Some(alone), Some(together)) => output.line(&say!(
            "decide.producer-specific",
            alone = risk(alone),
            together = risk(together)
        ))?,
        (Some(alone), None) => {
            output.line(&say!("decide.producer-specific-alone", alone = risk(alone)))?;
        }
        (None, _) => {}
    }
    match (producer.global, producer.global_with_conditional) {
        (Some(global), Some(with)) => output.line(&say!(
            "decide.producer-global-four",
            risk = risk(global),
            with = risk(with)
        )),
        (Some(global), None) => output.line(&say!("decide.producer-global", risk = risk(global))),
        (None, _) => Ok(()),
    }
}
