//! The entries of a lot as one table: pieces by characteristics, in each place the verdict and the entry that shows it.

use std::collections::BTreeMap;

use ledger::{Entry, Facts, Ledger, Text};
use workshop::RecordKind;
use workshop::lot_entry::{NUMBER, SAMPLE};
use workshop::lots;

use crate::failure::Failure;
use crate::report::verdict_word;
use crate::say;

/// Between two columns.
const GAP: &str = "  ";
/// A column is no wider than this, in characters: a characteristic without a number is named by what is measured.
const WIDEST: usize = 28;

/// Results by piece and characteristic, the latest of each.
#[derive(Default)]
pub struct Table {
    /// The numbers that results have in the plan; none where no lot was begun.
    numbers: Option<lots::Numbers>,
    columns: Vec<Column>,
    rows: BTreeMap<(u64, String), BTreeMap<usize, Cell>>,
}

/// A characteristic by its number in the plan, or by what is measured where no plan has it.
struct Column {
    number: String,
    name: Option<String>,
}

struct Cell {
    told: String,
    earlier: usize,
}

impl Table {
    /// Of the lot of this number, by its plan; without numbers where none was begun.
    pub fn of(ledger: &Ledger, number: &str) -> Result<Self, Failure> {
        let Some(lot) = lots::find(ledger, number)? else {
            return Ok(Self::default());
        };
        Ok(Self {
            numbers: Some(lots::Numbers::of(&lot.plan)?),
            ..Self::default()
        })
    }

    /// Takes an entry, the latest first; whether it is the result of a piece.
    pub fn add(&mut self, ledger: &Ledger, entry: &Entry, facts: &Facts) -> Result<bool, Failure> {
        let content = &entry.content;
        let kinds = [RecordKind::Inspection, RecordKind::Found];
        let kind = kinds.into_iter().find(|kind| kind.is_of(entry));
        let subject = |role| content.subject(role);
        let (Some(kind), Some(piece)) = (kind, subject(SAMPLE)) else {
            return Ok(false);
        };
        let name = facts.text(Text::Characteristic);
        let number = match &self.numbers {
            Some(numbers) => numbers.of_result(ledger, kind, entry, facts)?,
            None => subject(NUMBER).map(str::to_owned),
        };
        let number = number.as_deref();
        let Some(head) = number.or(name) else {
            return Ok(false);
        };
        let column = self.columns.iter().position(|known| known.number == head);
        let column = column.unwrap_or_else(|| {
            self.columns.push(Column {
                number: head.to_owned(),
                name: name.filter(|_| number.is_some()).map(str::to_owned),
            });
            self.columns.len() - 1
        });
        let row = (piece.parse().unwrap_or(u64::MAX), piece.to_owned());
        let verdict = facts.text(Text::Verdict).or_else(|| subject("verdict"));
        let cells = self.rows.entry(row).or_default();
        if let Some(latest) = cells.get_mut(&column) {
            latest.earlier += 1;
        } else {
            let verdict = verdict.map_or_else(String::new, verdict_word);
            let told = say!("ledger.list-cell", verdict = verdict, entry = entry.id());
            cells.insert(column, Cell { told, earlier: 0 });
        }
        Ok(true)
    }

    /// Its lines, as many columns beside one another as there is room for.
    pub fn lines(&self, width: usize) -> Vec<String> {
        if self.rows.is_empty() {
            return Vec::new();
        }
        let mut order: Vec<usize> = (0..self.columns.len()).collect();
        order.sort_by_key(|column| {
            let number = self
                .columns
                .get(*column)
                .map(|column| column.number.clone());
            let number = number.unwrap_or_default();
            (number.parse().unwrap_or(u64::MAX), number)
        });
        let names: Vec<&String> = self.rows.keys().map(|(_, name)| name).collect();
        let piece = say!("lots.piece");
        let first = widest(names.iter().map(|name| name.as_str()).chain([piece]));
        let columns: Vec<Vec<String>> = order.iter().map(|at| self.column(*at)).collect();
        let widths: Vec<usize> = columns
            .iter()
            .map(|column| widest(column.iter().map(String::as_str)))
            .collect();
        let mut lines = Vec::new();
        let mut from = 0;
        while from < columns.len() {
            let mut room = width.saturating_sub(first);
            let mut to = from;
            while let Some(wide) = widths.get(to) {
                let wide = wide + GAP.len();
                if to > from && wide > room {
                    break;
                }
                room = room.saturating_sub(wide);
                to += 1;
            }
            if from > 0 {
                lines.push(String::new());
            }
            for line in 0..=names.len() {
                let name = match line.checked_sub(1).and_then(|at| names.get(at)) {
                    Some(name) => name.as_str(),
                    None => piece,
                };
                let mut told = pad(name, first);
                for (column, wide) in columns.iter().zip(&widths).take(to).skip(from) {
                    let text = column.get(line).map_or("", String::as_str);
                    told += GAP;
                    told += &pad(text, *wide);
                }
                lines.push(told.trim_end().to_owned());
            }
            from = to;
        }
        lines
    }

    /// A column with its head.
    fn column(&self, at: usize) -> Vec<String> {
        let head = self.columns.get(at).map(|column| {
            let name = column.name.iter().map(String::as_str);
            let told: Vec<&str> = std::iter::once(&*column.number).chain(name).collect();
            cut(&told.join(" "))
        });
        let cells = self.rows.values().map(|cells| match cells.get(&at) {
            None => "–".to_owned(),
            Some(Cell { told, earlier: 0 }) => told.clone(),
            Some(Cell { told, earlier }) => format!("{told} (+{earlier})"),
        });
        head.into_iter().chain(cells).collect()
    }
}

fn widest<'a>(texts: impl Iterator<Item = &'a str>) -> usize {
    texts.map(|text| text.chars().count()).max().unwrap_or(0)
}

fn pad(text: &str, width: usize) -> String {
    format!("{text:<width$}")
}

fn cut(text: &str) -> String {
    if text.chars().count() <= WIDEST {
        return text.to_owned();
    }
    let kept: String = text.chars().take(WIDEST - 1).collect();
    format!("{kept}…")
}
