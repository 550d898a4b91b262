//! The report as a sheet of paper: one screw on one sheet, or the long form.

mod calibration;
mod drawing;
pub mod first_article;
mod frame;
pub mod label;
pub mod limits_card;
pub mod lot;
mod lot_drawing;
mod markup;
mod plain;
mod recall;
pub mod recorded_study;
pub mod set_up_card;
pub mod study;
pub mod study_drawing;
pub mod study_plots;
pub mod wire_card;

use ledger::{Entry, Ledger};
use maud::{Markup, html};
use metrology::units::LengthUnit;
use paper::{Block, Tone, Words};
use workshop::RecordKind;

use frame::{Framed, amendments, fine, heading, plain, to_sign};
use recorded_study::RecordedStudy;

use super::sections::{self, Fact, Form};
use super::stated;
use super::{
    Record, Report, Stage, caution, class_taken, doubt, scope, settles, size, verdict_words,
};
use crate::document::Inspected;
use crate::failure::Failure;
use crate::letterhead::{Letterhead, Size, Sized, in_mm};
use crate::words::InWords as _;
use crate::words::number;
use crate::{say, words};

/// More readings than these do not stand beside the corrections.
const BESIDE: usize = 12;

/// How it is to be printed.
#[derive(Default)]
pub struct Printing {
    /// All there is, and not what fits one sheet.
    pub is_long: bool,
    /// On other paper than the laboratory's.
    pub size: Option<Size>,
}

/// Whether entries of a kind can be printed.
pub const fn is_printed(kind: RecordKind) -> bool {
    matches!(
        kind,
        RecordKind::Inspection
            | RecordKind::Calibration
            | RecordKind::Recall
            | RecordKind::Study
            | RecordKind::FirstArticle
    )
}

/// The PDF of an entry; none where there is none of its kind.
pub fn pdf(
    ledger: &Ledger,
    entry: &Entry,
    letterhead: &Letterhead,
    printing: &Printing,
) -> Result<Option<Vec<u8>>, Failure> {
    number::on_paper(|| set(ledger, entry, letterhead, printing))
}

fn set(
    ledger: &Ledger,
    entry: &Entry,
    letterhead: &Letterhead,
    printing: &Printing,
) -> Result<Option<Vec<u8>>, Failure> {
    match RecordKind::of_entry(entry) {
        Some(RecordKind::Inspection) => inspection(ledger, entry, letterhead, printing),
        Some(RecordKind::Calibration) => calibration::pdf(ledger, entry, letterhead, printing),
        Some(RecordKind::Recall) => recall::pdf(ledger, entry, letterhead, printing),
        Some(RecordKind::Study) => RecordedStudy::of(ledger, entry)?
            .sheet()?
            .pdf(letterhead, printing),
        Some(RecordKind::FirstArticle) => first_article::pdf(ledger, entry, letterhead, printing),
        _ => return Ok(None),
    }
    .map(Some)
}

/// The PDF of a recorded inspection.
fn inspection(
    ledger: &Ledger,
    entry: &Entry,
    letterhead: &Letterhead,
    printing: &Printing,
) -> Result<Vec<u8>, Failure> {
    let (job, result) = crate::record::read(entry)?;
    let record = Record::of(ledger, entry)?;
    let report = Report {
        job: &job,
        result: &result,
        record: None,
    };
    let form = if printing.is_long {
        Form::Long
    } else {
        Form::Short
    };
    let title = say!(
        "paper.title-of-file",
        record = record.id,
        part = report.job.part.name
    );
    let framed = Framed {
        on_one_page: form == Form::Short,
        ..Framed::of(
            entry,
            &record,
            title,
            say!("paper.title-short", record = record.id),
        )?
    };
    let told = if printing.is_long {
        say!("paper.made-of", program = record.program)
    } else {
        say!("paper.made-of-short", program = record.program)
    };
    framed.pdf(
        letterhead,
        printing,
        blocks(&report, &record, letterhead, form, told),
    )
}

/// The same sheet as HTML, without the page around it: what fits one sheet of paper.
pub fn article(report: &Report, record: &Record, letterhead: &Letterhead) -> Markup {
    let told = say!("paper.made-of-page", program = record.program);
    let inner = blocks(report, record, letterhead, Form::Short, told);
    let end = Block::End(say!("paper.end", record = record.id));
    let head = frame::head(letterhead).into_iter();
    let blocks: Vec<Block> = head.chain(inner).chain([end]).collect();
    html! {
        article class=(format!("lot-sheet one-sheet page {}", report.colour())) {
            (markup::blocks(&blocks))
            p class="hash" { (record.hash) }
        }
    }
}

/// What stands on the sheet; `told` is what it was made of.
fn blocks(
    report: &Report,
    record: &Record,
    letterhead: &Letterhead,
    form: Form,
    told: String,
) -> Vec<Block> {
    let result = report.result;
    let mut blocks = Vec::new();
    blocks.push(Block::Title(say!("paper.title").to_owned()));
    blocks.extend(amendments(record));
    blocks.push(Block::Facts(5, identity(report, record)));
    blocks.extend(verdict(report, form));
    blocks.extend(feature(result, form));
    blocks.extend(numbers(report, form));
    blocks.push(heading(say!("report.heading-statement")));
    blocks.extend(statement(report, record, letterhead));
    blocks.push(Block::Paragraph(Tone::Soft, told.into()));
    blocks.push(to_sign());
    blocks
}

fn identity(report: &Report, record: &Record) -> Vec<Fact> {
    let mut facts = vec![
        (
            say!("paper.record").to_owned(),
            Words::strong(record.id.clone()),
        ),
        (
            say!("paper.recorded").to_owned(),
            number::time(record.recorded_at).into(),
        ),
    ];
    facts.extend(sections::part(report));
    let part = &report.job.part;
    for (name, value) in [
        (say!("paper.serial"), &part.serial),
        (say!("paper.piece"), &part.piece),
    ] {
        if let Some(value) = value {
            facts.push((name.to_owned(), value.clone().into()));
        }
    }
    facts.push(sections::measured(report.job));
    facts.push((
        say!("paper.place-of-work").to_owned(),
        record.station.clone().into(),
    ));
    facts
}

fn verdict(report: &Report, form: Form) -> Vec<Block> {
    let result = report.result;
    let decision = &result.decision;
    let word = verdict_words(&decision.decision);
    let (value, expanded, _) = size(result.size.value, result.size.expanded_uncertainty);
    let k = number::fixed(result.size.coverage_factor, 2);
    let unit = result.unit;
    let told = vec![Block::Paragraph(
        Tone::Shout(drawing::colour(&decision.decision)),
        word.as_str().into(),
    )];
    let sized = vec![
        Block::Paragraph(Tone::Large, Words::strong(result.characteristic())),
        Block::Paragraph(
            Tone::Large,
            say!(
                "paper.size",
                value = value,
                expanded = expanded,
                unit = unit,
                k = k
            )
            .into(),
        ),
        Block::Paragraph(Tone::Soft, in_other_unit(result).into()),
    ];
    let mut blocks = vec![Block::Columns(vec![
        (
            0.07,
            vec![Block::Figure(drawing::mark(
                &decision.decision,
                word.clone(),
            ))],
        ),
        (0.36, told),
        (0.57, sized),
    ])];
    if let Some(doubt) = doubt(result, Stage::Recorded) {
        blocks.push(Block::Paragraph(Tone::Framed, doubt.into()));
    } else if decision.provisional {
        blocks.push(Block::Paragraph(
            Tone::Framed,
            say!("report.provisional").into(),
        ));
    }
    blocks.extend(class_taken(result).map(plain));
    blocks.push(plain(result.say(&decision.reason)));
    for caution in &result.cautions {
        blocks.push(Block::Paragraph(Tone::Caution, result.say(caution).into()));
    }
    blocks.push(Block::Figure(drawing::tolerance_bar(result)));
    if let Some(near) = drawing::near_limit(result) {
        blocks.push(Block::Paragraph(Tone::Soft, say!("report.bar-near").into()));
        blocks.push(Block::Figure(near));
    }
    blocks.push(Block::Facts(3, sections::verdict(result, form)));
    if let Some(settle) = &result.settle {
        // What would settle it is no result, and stands apart from it.
        blocks.push(Block::Paragraph(
            Tone::Soft,
            Words::strong(say!("paper.no-result")).and(format!(" {}", settles(result, settle))),
        ));
    }
    blocks
}

/// Size and limits in the unit that the job was not done in; the inch is 25.4 mm by definition.
fn in_other_unit(result: &Inspected) -> String {
    let stated = usize::try_from(result.decimals).unwrap_or(4);
    let (unit, factor, decimals) = match result.unit {
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            (LengthUnit::Inch, in_mm(result.unit) / 25.4, stated + 2)
        }
        LengthUnit::Inch | LengthUnit::Microinch => {
            (LengthUnit::Millimetre, in_mm(result.unit), stated)
        }
    };
    let limit = |limit: Option<f64>| {
        limit.map_or(say!("report.no-limit").to_owned(), |limit| {
            number::fixed(limit * factor, decimals)
        })
    };
    let (value, expanded, _) = size(
        result.size.value * factor,
        result.size.expanded_uncertainty * factor,
    );
    say!(
        "paper.other-unit",
        value = value,
        expanded = expanded,
        from = limit(result.limits.min),
        to = limit(result.limits.max),
        unit = unit
    )
}

fn feature(result: &Inspected, form: Form) -> Vec<Block> {
    let Some(feature) = result
        .feature
        .as_ref()
        .filter(|feature| !feature.is_empty())
    else {
        return Vec::new();
    };
    let mut blocks = vec![heading(say!("report.heading-feature"))];
    if let Some(conversion) = &feature.conversion {
        blocks.push(plain(result.say(conversion)));
    }
    if !feature.findings.is_empty() {
        blocks.push(Block::Table(sections::findings(result, feature, form)));
    }
    blocks
}

fn warnings(result: &Inspected) -> Vec<Block> {
    if result.warnings.is_empty() {
        return Vec::new();
    }
    let warnings = result.warnings.iter();
    let all = warnings.map(|warning| words::on_report(warning, result.shown()).into());
    vec![heading(say!("report.warnings")), Block::List(all.collect())]
}

/// Readings, corrections and budget, warnings and equipment: side by side on one sheet, one after the other in the long form.
fn numbers(report: &Report, form: Form) -> Vec<Block> {
    let result = report.result;
    let mut readings = vec![heading(say!("report.heading-readings"))];
    if form == Form::Long {
        readings.push(Block::Figure(drawing::readings(result)));
        readings.push(Block::Table(sections::readings(result)));
    } else {
        readings.push(Block::Table(sections::readings_in_short(result)));
    }
    readings.push(Block::Paragraph(Tone::Soft, sections::zero(result).into()));
    let corrections = vec![
        heading(say!("report.heading-corrections")),
        Block::Table(sections::corrections(result, form)),
    ];
    let mut uncertainty = vec![
        heading(say!("report.heading-uncertainty")),
        Block::Table(sections::budget(result, form)),
    ];
    for what in &result.rests_on {
        uncertainty.push(Block::Paragraph(Tone::Soft, result.say(what).into()));
    }
    if let Some([interval, check]) = super::monte_carlo::sentences(result) {
        let words = say!("report.monte-carlo", interval = interval, check = check);
        uncertainty.push(plain(words));
    }
    let equipment = vec![
        heading(say!("report.equipment")),
        Block::Table(sections::equipment(report, form)),
    ];
    let is_flagged = result.readings.iter().any(|one| !one.flags.is_empty());
    if form == Form::Long || is_flagged || result.readings.len() > BESIDE {
        readings.extend(corrections);
        readings.extend(uncertainty);
        readings.extend(warnings(result));
        readings.extend(equipment);
        return readings;
    }
    readings.extend(equipment);
    let mut right = corrections;
    right.extend(uncertainty);
    right.extend(warnings(result));
    vec![Block::Columns(vec![(0.46, readings), (0.54, right)])]
}

fn statement(report: &Report, record: &Record, letterhead: &Letterhead) -> Vec<Block> {
    let result = report.result;
    let mut blocks = vec![fine(sections::statement(result))];
    blocks.extend(scope(report.job).map(fine));
    blocks.push(Block::Paragraph(Tone::Caution, caution().into()));
    blocks.push(Block::Facts(4, stated::around(report.job, result)));
    if let Some(is_within) = letterhead.covers(&report.job.characteristic, &Sized::of(result)) {
        blocks.push(frame::accredited(letterhead, is_within));
    }
    if let Some((method, validation)) = &record.validation {
        blocks.push(Block::Paragraph(
            Tone::Soft,
            say!(
                "report.foot-validated",
                method = method,
                validation = validation
            )
            .into(),
        ));
    }
    blocks
}
