//! What a study tells: sentences, values by name, tables. A terminal and a sheet show the same.

use paper::{Align, Block, Column, Table};

/// The names of values stand in so many characters.
const NAMES: usize = 34;

#[derive(Debug, Default)]
pub struct Told(Vec<Part>);

#[derive(Debug)]
enum Part {
    Sentence(String),
    Value(String, String),
    Rows {
        /// How wide each column is in a terminal; the first is of text, the others of numbers.
        widths: Vec<usize>,
        /// The first row names the columns.
        rows: Vec<Vec<String>>,
    },
}

impl Told {
    pub fn sentence(&mut self, text: impl Into<String>) {
        self.0.push(Part::Sentence(text.into()));
    }

    pub fn value(&mut self, name: impl Into<String>, value: impl Into<String>) {
        self.0.push(Part::Value(name.into(), value.into()));
    }

    /// All that another tells, after it.
    pub fn append(&mut self, other: Self) {
        self.0.extend(other.0);
    }

    /// Rows under one that names the columns.
    pub fn rows(&mut self, widths: &[usize], rows: Vec<Vec<String>>) {
        self.0.push(Part::Rows {
            widths: widths.to_vec(),
            rows,
        });
    }

    /// As a terminal shows it.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for part in &self.0 {
            match part {
                Part::Sentence(text) => lines.push(text.clone()),
                Part::Value(name, value) => lines.push(format!("{name:<NAMES$} {value}")),
                Part::Rows { widths, rows } => lines.extend(rows.iter().map(|row| {
                    let cells = row.iter().zip(widths).enumerate();
                    let cells = cells.map(|(column, (cell, wide))| match column {
                        0 => format!("{cell:<wide$}"),
                        _ => format!("{cell:>wide$}"),
                    });
                    cells.collect::<Vec<_>>().join(" ")
                })),
            }
        }
        lines
    }

    /// Its sentences alone.
    pub fn sentences(&self) -> impl Iterator<Item = &str> {
        self.0.iter().filter_map(|part| match part {
            Part::Sentence(text) => Some(text.as_str()),
            Part::Value(..) | Part::Rows { .. } => None,
        })
    }

    /// As it stands on a sheet: values that follow one another are one table.
    pub fn blocks(&self) -> Vec<Block> {
        let mut blocks = Vec::new();
        let mut values = Vec::new();
        for part in &self.0 {
            if let Part::Value(name, value) = part {
                values.push((name.clone(), value.clone().into()));
                continue;
            }
            if !values.is_empty() {
                blocks.push(Block::Table(Table::of_rows(std::mem::take(&mut values))));
            }
            match part {
                Part::Sentence(text) => {
                    blocks.push(Block::Paragraph(paper::Tone::Plain, text.clone().into()));
                }
                Part::Rows { rows, .. } => blocks.push(Block::Table(table(rows))),
                Part::Value(..) => {}
            }
        }
        if !values.is_empty() {
            blocks.push(Block::Table(Table::of_rows(values)));
        }
        blocks
    }
}

/// Rows as a table; a column that nothing stands in is left out.
fn table(rows: &[Vec<String>]) -> Table {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let cell = |row: &Vec<String>, column: usize| row.get(column).cloned().unwrap_or_default();
    let kept: Vec<usize> = (0..count)
        .filter(|column| rows.iter().any(|row| !cell(row, *column).is_empty()))
        .collect();
    let mut rows = rows.iter();
    let head = rows.next();
    let columns = kept.iter().map(|column| Column {
        title: head.map_or_else(String::new, |row| cell(row, *column)),
        align: if *column == 0 {
            Align::Left
        } else {
            Align::Right
        },
    });
    let mut table = Table::new(columns.collect());
    for row in rows {
        let cells = kept.iter().map(|column| cell(row, *column).into());
        table.rows.push(cells.collect());
    }
    table
}
