//! A recall kept as a case, on paper: what was found, every result it touches, and what was decided of each.

use ledger::{Entry, Ledger};
use paper::{Block, Column, Table, Words};
use workshop::gauge_record::case::{Case, CaseResult};
use workshop::gauge_room::case::case;

use super::Printing;
use super::frame::{Framed, amendments, fact, fine, heading, plain, soft, to_sign};
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::cases::of;
use crate::report::sections::Fact;
use crate::report::{Record, verdict_word};
use crate::words::{self, number};
use crate::{say, station};

/// The PDF of a case as it stands in its entry.
pub fn pdf(
    ledger: &Ledger,
    entry: &Entry,
    letterhead: &Letterhead,
    printing: &Printing,
) -> Result<Vec<u8>, Failure> {
    let case = case(entry)?;
    let record = Record::of(ledger, entry)?;
    let title = say!(
        "paper-recall.title-of-file",
        record = record.id,
        id = case.id
    );
    let short = say!("paper-recall.title-short", record = record.id);
    let framed = Framed::of(entry, &record, title, short)?;
    framed.pdf(letterhead, printing, blocks(&case, &record))
}

fn blocks(case: &Case, record: &Record) -> Vec<Block> {
    let mut blocks = vec![Block::Title(say!("paper-recall.title").to_owned())];
    blocks.extend(amendments(record));
    blocks.push(Block::Facts(4, identity(case, record)));
    let changed = case.results.iter().filter(|one| one.before != one.after);
    blocks.push(plain(Words::strong(say!(
        "paper-recall.counts",
        listed = case.listed,
        changed = changed.count(),
        open = case.open()
    ))));
    let more = case.listed.saturating_sub(case.results.len() as u64);
    if more > 0 {
        blocks.push(plain(say!("paper-recall.more", n = more)));
    }
    blocks.push(heading(say!("paper-recall.results")));
    blocks.push(Block::Table(results(case)));
    let notes = notes(case);
    if !notes.is_empty() {
        blocks.push(heading(say!("paper-recall.notes")));
        blocks.push(Block::List(notes));
    }
    blocks.push(heading(say!("report.heading-statement")));
    blocks.push(fine(say!("paper-recall.statement")));
    blocks.push(soft(say!(
        "paper-calibration.made-of",
        program = record.program
    )));
    blocks.push(to_sign());
    blocks
}

fn identity(case: &Case, record: &Record) -> Vec<Fact> {
    let piece = words::named("recalled-piece", &case.piece);
    let mut facts = vec![
        fact(say!("paper.record"), Words::strong(record.id.clone())),
        fact(
            say!("paper-recall.piece"),
            Words::strong(case.id.clone()).and(format!(", {piece}")),
        ),
        fact(say!("paper-recall.error"), number::typed(&case.error)),
        fact(say!("paper-recall.found"), case.found.to_string()),
    ];
    if let Some([part, standard]) = &case.points {
        let both = say!("recall-case.both-points", part = part, standard = standard);
        facts.push(fact(say!("paper-recall.points"), both));
    }
    if let Some(since) = case.since {
        facts.push(fact(say!("paper-recall.since"), since.to_string()));
    }
    facts.push(fact(
        say!("paper-recall.history"),
        match case.history.as_str() {
            "linear" => say!("paper-recall.history-linear"),
            "step" => say!("paper-recall.history-step"),
            _ => say!("paper-recall.history-constant"),
        },
    ));
    if let Some(step) = case.step {
        facts.push(fact(say!("paper-recall.step"), step.to_string()));
    }
    facts.push(fact(
        say!("paper.recorded"),
        number::time(record.recorded_at),
    ));
    facts.push(fact(say!("paper-recall.person"), record.person.clone()));
    facts
}

fn results(case: &Case) -> Table {
    let mut table = Table::new(vec![
        Column::text(say!("paper.record")),
        Column::text(say!("paper-recall.day")),
        Column::text(say!("paper-recall.part")),
        Column::number(say!("paper-recall.size")),
        Column::number(say!("paper-recall.corrected")),
        Column::text(say!("paper-recall.before")),
        Column::text(say!("paper-recall.after")),
        Column::text(say!("paper-recall.decided")),
    ]);
    for one in &case.results {
        let unit = one.unit.as_deref().unwrap_or_default();
        let told = |size: Option<f64>| {
            size.map_or_else(String::new, |size| {
                format!("{} {unit}", number::fixed(size, 4))
            })
        };
        let after = verdict_word(&one.after);
        let after = if one.before == one.after {
            Words::from(after)
        } else {
            Words::strong(after)
        };
        table.rows.push(vec![
            one.entry.clone().into(),
            station::day(one.measured_at).to_string().into(),
            of(one).into(),
            told(one.size).into(),
            told(one.corrected).into(),
            verdict_word(&one.before).into(),
            after,
            decided(case, one),
        ]);
    }
    table
}

fn decided(case: &Case, one: &CaseResult) -> Words {
    match case.decision(&one.entry) {
        None => Words::strong(say!("recall-case.open")),
        Some(decision) => {
            let what = words::named("recall-decision", &decision.decided);
            let day = station::day(decision.at);
            format!("{what}, {}, {day}", decision.person).into()
        }
    }
}

/// What was noted with the decisions.
fn notes(case: &Case) -> Vec<Words> {
    let noted = case.decisions.iter().filter_map(|decision| {
        let note = decision.note.as_ref()?;
        Some(Words::from(format!("{}: {note}", decision.entry)))
    });
    noted.collect()
}
