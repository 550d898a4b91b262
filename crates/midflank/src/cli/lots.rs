//! `midflank plan` and `midflank lot`: plans and lots on the record, and what a lot comes to.

use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use clap::Args;
use jiff::civil::Date;
use metrology::sampling::Severity;
use workshop::lots::{self, Begin};
use workshop::plan::{self, Way};

use super::day;
use super::on_paper::{OnPaper, short};
use super::written;
use crate::desk;
use crate::document::{OfferedDocument, cells, of_matrix};
use crate::exchange::qif;
use crate::exchange::results::Results;
use crate::exchange::sheets;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::{Output, warn, width};
use crate::report::{self, sheet::lot::LotSheet};
use crate::say;
use crate::words;

#[derive(Args)]
pub struct PlanArguments {
    #[arg(value_name = "PLAN")]
    plan: Option<PathBuf>,
    #[arg(long, value_name = "NAME", value_parser = Line, requires = "plan")]
    person: Option<String>,
    #[arg(long, value_name = "NUMBER", value_parser = Line, requires = "plan", conflicts_with = "person")]
    split: Option<String>,
    #[arg(long, requires = "split")]
    json: bool,
}

#[derive(Args)]
pub struct LotArguments {
    #[arg(value_name = "NUMBER", value_parser = Line)]
    number: Option<String>,
    #[arg(long, value_name = "PLAN", value_parser = Line, requires_all = ["number", "person"])]
    begin: Option<String>,
    #[arg(long, value_name = "N", requires = "begin")]
    size: Option<u64>,
    #[arg(long, value_name = "SEVERITY", value_parser = severity, requires = "begin")]
    severity: Option<Severity>,
    #[arg(long, value_name = "LOT", value_parser = Line, requires = "begin")]
    resubmits: Option<String>,
    #[arg(long, value_name = "NAME", value_parser = Line, requires = "begin")]
    customer: Option<String>,
    #[arg(long, value_name = "TEXT", value_parser = Line, requires = "begin")]
    order: Option<String>,
    #[arg(long, value_name = "NAME", value_parser = Line, requires = "begin")]
    person: Option<String>,
    #[arg(long, value_name = "DATE", value_parser = day::read, requires = "begin")]
    received: Option<Date>,
    #[arg(long, value_name = "TEXT", value_parser = Line, requires = "begin")]
    condition: Option<String>,
    #[arg(long, requires = "number")]
    json: bool,
    #[arg(long, value_name = "FILE", requires = "number", conflicts_with_all = ["pdf", "json"])]
    html: Option<PathBuf>,
    #[arg(long, value_name = "FILE", requires = "number", conflicts_with_all = ["json", "pdf"])]
    qif: Option<PathBuf>,
    #[arg(long, value_name = "FILE", requires = "number", conflicts_with_all = ["json", "pdf", "qif"])]
    xlsx: Option<PathBuf>,
    #[command(flatten)]
    on_paper: OnPaper,
}

/// Latest lots of the list.
const LISTED: u32 = 100;

/// Puts a plan on the record, or lists those that are.
pub fn plan(
    arguments: &PlanArguments,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let Some(file) = &arguments.plan else {
        let ledger = desk::open_to_read(path)?;
        let all = lots::plans(&ledger)?;
        if all.is_empty() {
            return output.line(say!("lots.no-plans"));
        }
        for kept in &all {
            output.line(&say!(
                "lots.plan-line",
                entry = kept.entry,
                plan = kept.plan.name(),
                part = kept.plan.part,
                drawing = kept.plan.drawing(),
                n = kept.plan.characteristics.len()
            ))?;
        }
        return Ok(());
    };
    if let Some(number) = &arguments.split {
        return split(file, number, arguments.json, output);
    }
    if arguments.person.is_none() && !sheets::is_workbook(file) {
        return Err(Failure::input(say!("lots.plan-person")));
    }
    let (read, understood) = sheets::read_plan(file)?;
    if let Some(understood) = understood {
        output.line(&understood)?;
        for planned in &read.characteristics {
            let told = report::plan::understood(planned).join("; ");
            output.line(&format!("  {:<6} {told}", planned.number))?;
        }
    }
    let Some(person) = &arguments.person else {
        return output.line(say!("sheet.plan-not-kept"));
    };
    for note in &read.notes {
        warn(&say!("command.warning", what = words::said(note)));
    }
    let ledger = desk::open(path)?;
    let (entry, is_new) = lots::keep_plan(&ledger, &read, &desk::recorder(person.trim()))?;
    let name = read.name();
    output.line(&if is_new {
        say!("lots.plan-recorded", plan = name, entry = entry)
    } else {
        say!("lots.plan-unchanged", plan = name, entry = entry)
    })
}

/// Shows what a thread note of a plan may be split into.
fn split(file: &Path, number: &str, json: bool, output: &mut Output) -> Result<(), Failure> {
    let (plan, _) = sheets::read_plan(file)?;
    let Some(note) = plan.find(number.trim()) else {
        let known = plan.characteristics.iter().map(|one| one.number.clone());
        let known = words::list(known);
        return Err(Failure::input(say!(
            "plan-split.no-number",
            number = number,
            known = known
        )));
    };
    let usual = plan::usual_of(&plan).map(|first| (first.rule.clone(), first.agreed.clone()));
    let all = report::plan::split(note, plan.unit, usual.as_ref());
    if all.is_empty() {
        return Err(Failure::input(say!("plan-split.none", number = number)));
    }
    for one in all {
        if json {
            output.json(&OfferedDocument::of(&one.line, &one.offered))?;
            continue;
        }
        let way = if one.line.way.is_empty() {
            Way::Contacts.key()
        } else {
            &one.line.way
        };
        output.line(&say!(
            "plan-split.line",
            number = format!("{:<6}", one.line.number),
            requirement = one.line.requirement,
            way = way,
            limits = one.limits
        ))?;
    }
    Ok(())
}

/// Begins a lot, shows one, or lists them.
pub fn lot(
    arguments: &LotArguments,
    path: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    let Some(number) = &arguments.number else {
        return list(path, output);
    };
    if let (Some(plan), Some(person)) = (&arguments.begin, &arguments.person) {
        let ledger = desk::open(path)?;
        let asked = Begin {
            number: number.clone(),
            plan: plan.clone(),
            size: arguments.size,
            severity: arguments.severity,
            resubmits: arguments.resubmits.clone(),
            customer: arguments.customer.clone(),
            order: arguments.order.clone(),
            received: arguments.received,
            condition: arguments.condition.clone(),
        };
        let lot = lots::begin(&ledger, &asked, &desk::recorder(person.trim()))?;
        if let Some(proposed) = lots::switching(&ledger, &lot.plan)?
            && let Some(said) = report::lot::asks_for_another(&lot.plan.pieces, &proposed)
        {
            warn(&say!("command.warning", what = said));
        }
        let pieces = &lot.begun.pieces;
        let said = say!(
            "lots.begun-line",
            lot = lot.begun.number,
            plan = lot.begun.plan,
            entry = lot.entry,
            count = pieces.n.unwrap_or_default(),
            accept = pieces.accept,
            reject = pieces.reject
        );
        if arguments.json {
            let _ = writeln!(io::stderr(), "{said}");
        } else {
            output.line(&said)?;
            return Ok(());
        }
    }
    let ledger = desk::open_to_read(path)?;
    let none = || -> Failure {
        let number = number.clone();
        workshop::Error::input(lots::LotsError::NoLot { number }).into()
    };
    let sheet = || LotSheet::of(&ledger, number)?.ok_or_else(none);
    let is_written = arguments.on_paper.write(output, |letterhead, size| {
        sheet()?.pdf(letterhead, &short(size))
    })?;
    if is_written {
        return Ok(());
    }
    if let Some(file) = &arguments.html {
        let letterhead = arguments.on_paper.letterhead()?;
        let page = sheet()?.html(&letterhead, None).into_string();
        return written::write(file, page.as_bytes(), arguments.on_paper.replace, output);
    }
    if let Some(file) = arguments.qif.as_ref().or(arguments.xlsx.as_ref()) {
        let results = Results::of_lot(&ledger, number)?.ok_or_else(none)?;
        let bytes = if arguments.qif.is_some() {
            qif::write(&results).map_err(Failure::outside)?
        } else {
            sheets::workbook(&sheets::of_lot(&results), results.recorded_at)?
        };
        return written::write(file, &bytes, arguments.on_paper.replace, output);
    }
    if !arguments.json {
        let letterhead = arguments.on_paper.letterhead()?;
        for line in sheet()?.text(&letterhead, width()) {
            output.line(&line)?;
        }
        for piece in lots::nonconforming(&ledger, &lots::find(&ledger, number)?.ok_or_else(none)?)?
        {
            output.line(&format!("{}.", report::nonconforming::line(&piece)))?;
        }
        return Ok(());
    }
    let lot = lots::find(&ledger, number)?.ok_or_else(none)?;
    let open = lots::open_runs(&ledger, &lot.begun.number)?;
    let matrix = lots::matrix(&ledger, &lot, &open)?;
    let document = of_matrix(&matrix, &lot.begun.number, words::spot);
    for line in cells(&matrix, &words::spot) {
        output.json(&line)?;
    }
    output.json(&document)
}

fn severity(text: &str) -> Result<Severity, Failure> {
    Severity::parse(text).map_err(|error| Failure::refused(&error))
}

fn list(path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let ledger = desk::open_to_read(path)?;
    let all = lots::listed(&ledger, LISTED)?;
    if all.is_empty() {
        return output.line(say!("lots.none"));
    }
    for (entry, lot) in &all {
        output.line(&say!(
            "lots.lot-line",
            entry = entry.id(),
            lot = lot.number,
            plan = lot.plan,
            part = lot.part,
            drawing = lot.drawing
        ))?;
    }
    Ok(())
}
