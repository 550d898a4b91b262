//! `midflank equipment read`: a list of equipment from a table, shown piece by piece, and kept where that is asked for.

use std::path::{Path, PathBuf};

use clap::Args;
use ledger::EntryId;
use serde::Serialize;
use workshop::equipment_list::{self, Against, Equipment, Understood};

use super::day::today;
use super::piece::described;
use crate::desk;
use crate::exchange::sheets;
use crate::failure::Failure;
use crate::option::Line;
use crate::output::{Output, warn};
use crate::register::{self, Added, Kind};
use crate::{say, words};

#[derive(Args)]
pub struct Asked {
    #[arg(value_name = "FILE")]
    file: PathBuf,
    #[arg(long, requires = "person")]
    record: bool,
    #[arg(long, value_name = "NAME", value_parser = Line)]
    person: Option<String>,
    #[arg(long, value_parser = Line)]
    reason: Option<String>,
    #[arg(long)]
    json: bool,
}

/// A row as a document.
#[derive(Serialize)]
struct Document<'a> {
    line: usize,
    change: &'static str,
    kind: Kind,
    id: &'a str,
    words: String,
    item: serde_json::Value,
    differences: Vec<DifferenceDocument<'a>>,
    notes: Vec<String>,
    /// The entry that has it; none where it is not recorded.
    entry: Option<String>,
}

#[derive(Serialize)]
struct DifferenceDocument<'a> {
    key: &'a str,
    before: Option<&'a str>,
    now: Option<&'a str>,
}

/// A row, and the entry that has it.
struct Row {
    understood: Understood,
    entry: Option<EntryId>,
}

impl Row {
    fn of(understood: Understood) -> Self {
        let entry = match &understood.against {
            Against::Unchanged(entry) => Some(*entry),
            Against::New | Against::Changed { .. } => None,
        };
        Self { understood, entry }
    }
}

pub fn run(asked: &Asked, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
    let today = today()?;
    let (list, told) = sheets::read_equipment(&asked.file)?;
    let shelf = desk::shelf(path);
    let understood = list.against(shelf.register()?, today)?;
    if asked.json {
        warn(&told);
    } else {
        output.line(&told)?;
    }
    let mut rows: Vec<Row> = understood.into_iter().map(Row::of).collect();
    let person = asked.person.as_deref().filter(|_| asked.record);
    let Some(person) = person else {
        show(&rows, asked.json, output)?;
        if !asked.json {
            output.line(&not_recorded(&rows))?;
        }
        return output.finish();
    };
    let ledger = desk::open(path)?;
    let pieces = |register: &register::Register| {
        let all = list.against(register, today)?;
        Ok(all.into_iter().map(|one| one.piece).collect())
    };
    let recorder = desk::recorder(person);
    let added = register::add_by(&ledger, pieces, &recorder, asked.reason.as_deref())?;
    let mut last = None;
    for (row, added) in rows.iter_mut().zip(&added) {
        row.entry = Some(match added {
            Added::New(now) | Added::Changed { now, .. } => {
                last = last.max(Some(now.entry));
                now.entry
            }
            Added::Unchanged(piece) => piece.entry,
        });
    }
    let shown = show(&rows, asked.json, output).and_then(|()| {
        if !asked.json {
            output.line(&recorded(&rows))?;
        }
        output.finish()
    });
    shown.map_err(|failure| match last {
        Some(entry) => failure.although_recorded(&entry.to_string()),
        None => failure,
    })
}

fn show(rows: &[Row], json: bool, output: &mut Output) -> Result<(), Failure> {
    rows.iter().try_for_each(|row| {
        if json {
            output.json(&document(row)?)
        } else {
            tell(row, output)
        }
    })
}

fn document(row: &Row) -> Result<Document<'_>, Failure> {
    let piece: &Equipment = &row.understood.piece;
    let item = serde_json::to_value(piece).map_err(Failure::outside)?;
    let differences = row
        .understood
        .differences()
        .iter()
        .map(|one| DifferenceDocument {
            key: &one.key,
            before: one.before.as_deref(),
            now: one.now.as_deref(),
        });
    Ok(Document {
        line: row.understood.line,
        change: row.understood.change().key(),
        kind: piece.kind(),
        id: piece.id(),
        words: words::piece(piece),
        item: item.get("item").cloned().unwrap_or_default(),
        differences: differences.collect(),
        notes: words::all_said(&row.understood.notes),
        entry: row.entry.map(|entry| entry.to_string()),
    })
}

fn tell(row: &Row, output: &mut Output) -> Result<(), Failure> {
    let change = words::word(&row.understood.change());
    let piece = described(&row.understood.piece)?;
    output.line(&match row.entry {
        Some(entry) => say!(
            "equipment-list.row-entry",
            change = format!("{change:<9}"),
            piece = piece,
            entry = entry
        ),
        None => format!("{change:<9} {piece}"),
    })?;
    let nothing = say!("equipment-list.nothing");
    for one in row.understood.differences() {
        let told = say!(
            "equipment-list.difference",
            key = one.key,
            before = one.before.as_deref().unwrap_or(nothing),
            now = one.now.as_deref().unwrap_or(nothing)
        );
        output.line(&format!("{:<9} {told}", ""))?;
    }
    for note in words::all_said(&row.understood.notes) {
        let told = say!("equipment-list.note", note = note);
        output.line(&format!("{:<9} {told}", ""))?;
    }
    Ok(())
}

/// How many are new, how many change, and how many are as they were.
fn counts(rows: &[Row]) -> [usize; 3] {
    equipment_list::counts(rows.iter().map(|row| &row.understood))
}

fn not_recorded(rows: &[Row]) -> String {
    match counts(rows) {
        [0, 0, _] => say!("equipment-list.all-there").to_owned(),
        [new, 0, unchanged] => {
            say!("equipment-list.not-kept", new = new, unchanged = unchanged)
        }
        [new, changed, unchanged] => say!(
            "equipment-list.not-kept-changes",
            new = new,
            changed = changed,
            unchanged = unchanged
        ),
    }
}

fn recorded(rows: &[Row]) -> String {
    let [new, changed, unchanged] = counts(rows);
    if new + changed == 0 {
        return say!("equipment-list.all-there").to_owned();
    }
    say!(
        "equipment-list.kept",
        new = new,
        changed = changed,
        unchanged = unchanged
    )
}
