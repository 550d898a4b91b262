//! The certificate of a calibration done in house: what ISO/IEC 17025:2017, 7.8.2 and 7.8.4, list, as far as the record has it,
//! with the decision rule (7.8.6). It names no date for the next calibration (7.8.4.3).

use ledger::{Entry, Ledger};
use paper::{Anchor, Block, Column, Figure, INK, Mark, Pen, SOFT, Table, Tone, Words};
use workshop::gauge_record::calibrated::{
    CalibratedDocument, CurveDocument, FormDocument, PairDocument,
};
use workshop::gauge_record::calibration::{Of, Worked};
use workshop::gauge_room::calibration::{as_read, worked};

use super::Printing;
use super::drawing::{self, ACCENT, at, label};
use super::frame::{Framed, amendments, fact, fine, heading, plain, soft, to_sign};
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::calibrated::{receipt, rule};
use crate::report::sections::Fact;
use crate::report::{Record, capitalised, size, verdict_word, verdict_words};
use crate::say;
use crate::words::{self, number};

/// The PDF of a recorded calibration.
pub fn pdf(
    ledger: &Ledger,
    entry: &Entry,
    letterhead: &Letterhead,
    printing: &Printing,
) -> Result<Vec<u8>, Failure> {
    let (worked, result) = (worked(entry)?, as_read(entry)?);
    let record = Record::of(ledger, entry)?;
    let number = &worked.heading.number;
    let title = say!(
        "paper-calibration.title-of-file",
        number = number,
        id = worked.piece().id
    );
    let short = say!(
        "paper-calibration.title-short",
        number = number,
        record = record.id
    );
    let framed = Framed {
        name: number.clone(),
        ..Framed::of(entry, &record, title, short)?
    };
    let mut blocks = blocks(&worked, &result, &record);
    if letterhead.accreditation().is_some() {
        // A scope has sizes of parts, and no calibrations.
        let before_sign = blocks.len().saturating_sub(2);
        blocks.insert(before_sign, fine(say!("paper.not-accredited")));
    }
    framed.pdf(letterhead, printing, blocks)
}

fn blocks(worked: &Worked, result: &CalibratedDocument, record: &Record) -> Vec<Block> {
    let mut blocks = vec![Block::Title(say!("paper-calibration.title").to_owned())];
    blocks.extend(amendments(record));
    blocks.push(Block::Facts(4, identity(worked, record)));
    let word = verdict_words(&result.verdict);
    let shout = Block::Paragraph(
        Tone::Shout(drawing::colour(&result.verdict)),
        word.clone().into(),
    );
    blocks.push(Block::Columns(vec![
        (
            0.07,
            vec![Block::Figure(drawing::mark(&result.verdict, word))],
        ),
        (0.33, vec![shout]),
        (
            0.60,
            vec![
                plain(rule(worked)),
                plain(words::said(&result.traceability)),
            ],
        ),
    ]));
    for (name, curve) in [
        (say!("calibration.as-found"), &result.found),
        (say!("calibration.as-left"), &result.left),
    ] {
        if let Some(curve) = curve {
            blocks.push(heading(name));
            blocks.extend(self::curve(worked, curve));
        }
    }
    if result.found.is_some() && result.left.is_none() {
        blocks.push(soft(say!("paper-calibration.not-adjusted")));
    }
    if !result.flatness.is_empty() || result.parallelism.is_some() {
        blocks.push(heading(say!("paper-calibration.faces")));
        blocks.push(Block::Table(faces(result)));
    }
    if let (Some(pair), Of::Pair(check)) = (&result.pair, &worked.of) {
        blocks.push(heading(say!("paper-calibration.pair")));
        let plugs = check.plugs.each_ref().map(|plug| plug.id.as_str());
        blocks.push(Block::Table(self::pair(pair, plugs)));
    }
    blocks.push(heading(say!("report.heading-statement")));
    blocks.push(fine(say!("paper-calibration.statement")));
    blocks.push(Block::Facts(4, around(worked)));
    if !result.notes.is_empty() {
        blocks.push(heading(say!("paper-calibration.remarks")));
        let all = words::all_said(&crate::report::calibrated::notes(result));
        blocks.push(Block::List(all.into_iter().map(Words::from).collect()));
    }
    blocks.push(soft(say!(
        "paper-calibration.made-of",
        program = record.program
    )));
    blocks.push(to_sign());
    blocks
}

fn identity(worked: &Worked, record: &Record) -> Vec<Fact> {
    let (heading, piece) = (&worked.heading, worked.piece());
    let mut facts = vec![
        fact(
            say!("paper-calibration.number"),
            Words::strong(heading.number.clone()),
        ),
        fact(
            say!("paper-calibration.item"),
            Words::strong(piece.id.clone())
                .and(format!(", {}", words::named("piece-kind", &piece.kind))),
        ),
        fact(say!("paper-calibration.date"), heading.date.to_string()),
        fact(
            say!("paper-calibration.issued"),
            number::time(record.recorded_at),
        ),
        fact(say!("paper-calibration.issuer"), heading.issuer.clone()),
        fact(say!("paper.place-of-work"), record.station.clone()),
        fact(say!("paper-calibration.person"), worked.person.clone()),
        fact(say!("paper.record"), record.id.clone()),
    ];
    if let Of::Micrometer(calibration) = &worked.of {
        let [from, to] = calibration.micrometer.range.each_ref().map(number::entered);
        facts.push(fact(
            say!("paper-calibration.range"),
            say!("report.from-to", from = from, to = to),
        ));
        facts.push(fact(
            say!("paper-calibration.resolution"),
            number::entered(&calibration.micrometer.resolution),
        ));
    }
    for (name, value) in [
        (say!("paper-calibration.procedure"), &heading.procedure),
        (say!("paper-calibration.conditions"), &heading.conditions),
    ] {
        if let Some(value) = value {
            facts.push(fact(name, value.clone()));
        }
    }
    facts
}

fn um(um: f64) -> String {
    format!("{} µm", number::fixed(um, 2))
}

fn curve(worked: &Worked, curve: &CurveDocument) -> Vec<Block> {
    let mut table = Table::new(vec![
        Column::number(say!("paper-calibration.at")),
        Column::number(say!("paper-calibration.error")),
        Column::number(say!("paper-calibration.expanded")),
        Column::number(say!("paper-calibration.k")),
    ]);
    for point in &curve.points {
        let (error, expanded, _) = size(point.error_um, point.expanded_uncertainty_um);
        table.rows.push(vec![
            number::fixed(point.at_mm, 4).into(),
            error.into(),
            expanded.into(),
            number::fixed(point.coverage_factor, 2).into(),
        ]);
    }
    let mut judged = Table::new(vec![
        Column::text(say!("paper-calibration.held-against")),
        Column::number(say!("paper-calibration.value")),
        Column::number(say!("paper-calibration.limit")),
        Column::text(say!("paper-calibration.simple")),
        Column::text(say!("paper-calibration.guarded")),
    ]);
    for one in &curve.judged {
        let norm = words::named("calibration-norm", &one.norm);
        let shape = words::named("criterion-shape", &one.shape);
        judged.rows.push(vec![
            format!("{norm}, {shape}").into(),
            um(one.value_um.abs()).into(),
            um(one.limit_um).into(),
            verdict_word(&one.simple).into(),
            verdict_word(&one.guarded).into(),
        ]);
    }
    let span = say!(
        "calibration.span",
        span = um(curve.span_um),
        largest = format!("{} µm", number::signed(curve.largest_um, 2))
    );
    let span = plain(capitalised(&span));
    let mut right = vec![Block::Figure(drawn(curve)), span];
    if matches!(worked.of, Of::Micrometer(_)) {
        right.extend(budget(curve));
    }
    vec![
        Block::Columns(vec![(0.42, vec![Block::Table(table)]), (0.58, right)]),
        Block::Table(judged),
    ]
}

/// Where the uncertainty of the point with the largest comes from.
fn budget(curve: &CurveDocument) -> Option<Block> {
    let widest = curve.points.iter().max_by(|one, other| {
        one.expanded_uncertainty_um
            .total_cmp(&other.expanded_uncertainty_um)
    })?;
    let mut table = Table::new(vec![
        Column::text(say!(
            "calibration.budget-of",
            at = number::fixed(widest.at_mm, 4)
        )),
        Column::number(say!("paper-calibration.standard-uncertainty")),
        Column::number(say!("report.budget-share")),
    ]);
    for line in &widest.budget {
        table.rows.push(vec![
            words::named("calibration-line", &line.name).into(),
            number::fixed(line.standard_uncertainty_um, 3).into(),
            number::fixed_percent(line.share, 1).into(),
        ]);
    }
    Some(Block::Table(table))
}

/// The errors along the range, each with its uncertainty.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a place on paper needs no more"
)]
fn drawn(curve: &CurveDocument) -> Figure {
    let points: Vec<(f64, f64, f64)> = curve
        .points
        .iter()
        .map(|point| (point.at_mm, point.error_um, point.expanded_uncertainty_um))
        .collect();
    let reach = points
        .iter()
        .map(|(_, error, expanded)| error.abs() + expanded)
        .fold(0.1, f64::max);
    let first = points.first().map_or(0.0, |point| point.0);
    let last = points.last().map_or(1.0, |point| point.0).max(first + 1e-3);
    Figure {
        alt: say!(
            "paper-calibration.curve",
            n = points.len(),
            reach = um(reach)
        ),
        height: 104.0,
        draw: Box::new(move |width| {
            let left = 40.0;
            let x = |at: f64| {
                left + 6.0 + ((at - first) / (last - first)) as f32 * (width - left - 18.0)
            };
            let y = |error: f64| 46.0 - (error / reach) as f32 * 40.0;
            let mut marks = vec![Mark::Line(
                Pen::new(SOFT, 0.6),
                vec![at(left, y(0.0)), at(width, y(0.0))],
            )];
            for value in [reach, 0.0, -reach] {
                let text = if value == 0.0 {
                    um(0.0)
                } else {
                    format!("{} µm", number::signed(value, 2))
                };
                marks.push(label(
                    at(left - 4.0, y(value) + 2.6),
                    Anchor::End,
                    SOFT,
                    text,
                ));
            }
            let line = points
                .iter()
                .map(|(at_mm, error, _)| at(x(*at_mm), y(*error)));
            marks.push(Mark::Line(Pen::new(ACCENT, 1.0), line.collect()));
            for (at_mm, error, expanded) in &points {
                let x = x(*at_mm);
                let (low, high) = (y(error - expanded), y(error + expanded));
                marks.push(Mark::Line(
                    Pen::new(INK, 0.7),
                    vec![at(x, low), at(x, high)],
                ));
                for end in [low, high] {
                    marks.push(Mark::Line(
                        Pen::new(INK, 0.7),
                        vec![at(x - 1.8, end), at(x + 1.8, end)],
                    ));
                }
                marks.push(Mark::Circle {
                    centre: at(x, y(*error)),
                    radius: 2.0,
                    fill: Some(ACCENT),
                    edge: None,
                });
            }
            for end in [first, last] {
                let text = format!("{} mm", number::short(end, 4));
                marks.push(label(at(x(end), 99.0), Anchor::Middle, SOFT, text));
            }
            marks
        }),
    }
}

fn faces(result: &CalibratedDocument) -> Table {
    let mut table = Table::new(vec![
        Column::text(say!("paper-calibration.held-against")),
        Column::number(say!("paper-calibration.value")),
        Column::number(say!("paper-calibration.expanded")),
        Column::number(say!("paper-calibration.limit")),
        Column::text(say!("paper-calibration.simple")),
        Column::text(say!("paper-calibration.guarded")),
    ]);
    let row = |name: String, form: &FormDocument| {
        vec![
            name.into(),
            um(form.value_um).into(),
            number::significant(2.0 * form.standard_uncertainty_um, 2).into(),
            um(form.limit_um).into(),
            verdict_word(&form.simple).into(),
            verdict_word(&form.guarded).into(),
        ]
    };
    for (index, form) in result.flatness.iter().enumerate() {
        let name = say!("paper-calibration.flatness", face = index + 1);
        table.rows.push(row(name, form));
    }
    if let Some(form) = &result.parallelism {
        let name = say!("paper-calibration.parallelism").to_owned();
        table.rows.push(row(name, form));
    }
    table
}

fn pair(pair: &PairDocument, plugs: [&str; 2]) -> Table {
    let mut table = Table::new(vec![
        Column::text(say!("paper-calibration.plug")),
        Column::number(say!("paper-calibration.error")),
        Column::number(say!("paper-calibration.expanded")),
        Column::text(say!("paper-calibration.simple")),
        Column::text(say!("paper-calibration.guarded")),
    ]);
    let errors = pair.errors_um.iter().zip(&pair.standard_uncertainties_um);
    for (plug, (error, u)) in plugs.iter().zip(errors) {
        let (error, expanded, _) = size(*error, 2.0 * u);
        table
            .rows
            .push(vec![(*plug).into(), error.into(), expanded.into()]);
    }
    let (difference, expanded, _) = size(pair.difference_um, 2.0 * pair.standard_uncertainty_um);
    table.foot.push(vec![
        say!("paper-calibration.difference").into(),
        difference.into(),
        expanded.into(),
        verdict_word(&pair.simple).into(),
        verdict_word(&pair.guarded).into(),
    ]);
    table
}

/// What ISO/IEC 17025:2017, 7.8.2.1, wants to be clear of every certificate and the record does not have, or has elsewhere.
fn around(worked: &Worked) -> Vec<Fact> {
    vec![
        fact(
            say!("paper-calibration.customer"),
            say!("paper-calibration.own-equipment"),
        ),
        fact(say!("paper.receipt"), receipt(worked)),
        fact(
            say!("paper.rule-agreed"),
            say!("paper-calibration.own-rule"),
        ),
        fact(say!("paper.deviations"), say!("paper.no-deviation")),
        fact(say!("paper.of-others"), say!("paper-calibration.of-others")),
    ]
}
