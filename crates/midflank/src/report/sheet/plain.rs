//! A sheet as text for a terminal: the blocks that are set in type, line by line. Drawings are told by what they show.

use paper::{Align, Block, Table};

/// Between two columns.
const GAP: &str = "  ";

/// The lines of the blocks, in so many columns of characters.
pub fn lines(blocks: &[Block], width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for block in blocks {
        add(block, width, &mut lines);
    }
    lines
}

fn add(block: &Block, width: usize, lines: &mut Vec<String>) {
    match block {
        Block::Title(words) => lines.extend([words.clone(), rule(words, "=")]),
        Block::Heading(words) => {
            lines.extend([String::new(), words.clone(), rule(words, "-")]);
        }
        Block::Paragraph(_, words) => lines.extend(wrapped(&words.text(), width)),
        Block::Facts(_, facts) => {
            for (name, words) in facts {
                lines.extend(wrapped(&format!("{name}: {}", words.text()), width));
            }
        }
        Block::List(all) => {
            for words in all {
                lines.extend(wrapped(&words.text(), width));
            }
        }
        Block::Table(rows) => lines.extend(table(rows, width)),
        Block::Figure(figure) => lines.extend(wrapped(&figure.alt, width)),
        Block::Letterhead { lines: head, .. } => lines.extend(head.iter().cloned()),
        Block::Columns(columns) => {
            for (_, of) in columns {
                for one in of {
                    // A mark in front of its word says the same.
                    if !matches!(one, Block::Figure(figure) if says(columns, &figure.alt)) {
                        add(one, width, lines);
                    }
                }
            }
        }
        Block::ToSign(_) => {}
        Block::End(words) => lines.push(words.clone()),
    }
}

/// A line under words.
fn rule(words: &str, with: &str) -> String {
    with.repeat(words.chars().count())
}

/// Whether a paragraph beside a drawing says what it shows.
fn says(columns: &[(f32, Vec<Block>)], alt: &str) -> bool {
    let mut blocks = columns.iter().flat_map(|(_, of)| of);
    blocks.any(|block| matches!(block, Block::Paragraph(_, words) if words.text() == alt))
}

/// A table with columns as wide as they need; the last cell of a row that is too long goes on below.
fn table(table: &Table, width: usize) -> Vec<String> {
    let mut rows: Vec<Vec<String>> = Vec::new();
    if table.is_titled() {
        rows.push(table.columns.iter().map(|one| one.title.clone()).collect());
    }
    let text = |row: &Vec<paper::Words>| row.iter().map(paper::Words::text).collect();
    rows.extend(table.rows.iter().chain(&table.foot).map(text));
    let count = table.columns.len();
    let wide = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let mut widths: Vec<usize> = (0..count).map(wide).collect();
    // What is too wide loses from its widest column.
    let gaps = GAP.len() * count.saturating_sub(1);
    while widths.iter().sum::<usize>() + gaps > width.max(count * 4 + gaps) {
        let Some(widest) = widths.iter_mut().max() else {
            break;
        };
        *widest -= 1;
    }
    let mut lines = Vec::new();
    for row in &rows {
        let cells: Vec<Vec<String>> = row
            .iter()
            .zip(&widths)
            .map(|(cell, wide)| wrapped(cell, *wide))
            .collect();
        let high = cells.iter().map(Vec::len).max().unwrap_or(0);
        for at in 0..high {
            let mut line = String::new();
            for (index, (cell, wide)) in cells.iter().zip(&widths).enumerate() {
                let text = cell.get(at).map_or("", String::as_str);
                if index > 0 {
                    line += GAP;
                }
                let column = table.columns.get(index);
                let padded = match column.map(|column| column.align) {
                    Some(Align::Right) => format!("{text:>wide$}"),
                    _ => format!("{text:<wide$}"),
                };
                line += &padded;
            }
            lines.push(line.trim_end().to_owned());
        }
    }
    lines
}

/// A text in lines of so many characters, broken between words where there is a place.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut long = 0;
    for word in text.split_whitespace() {
        let count = word.chars().count();
        if long > 0 && long + 1 + count > width {
            lines.push(std::mem::take(&mut line));
            long = 0;
        }
        if long > 0 {
            line.push(' ');
            long += 1;
        }
        for letter in word.chars() {
            if long == width {
                lines.push(std::mem::take(&mut line));
                long = 0;
            }
            line.push(letter);
            long += 1;
        }
    }
    lines.push(line);
    lines
}
