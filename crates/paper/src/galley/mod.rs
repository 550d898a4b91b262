//! Blocks set in type: one long galley of slices that no page parts, with the tree that tells what each piece is.

mod head;
mod rows;
mod slice;

use crate::error::Error;
use crate::figure::{Figure, INK, Mark, Pen, SOFT, at};
use crate::font::Fonts;
use crate::line::lines;
use crate::sheet::{Block, Tone};
use crate::words::Words;

use slice::{
    CELL, HEADING, LABEL, LARGE, SHOUT, TEXT, TITLE, Type, centre, first_above, lines_of_one,
    move_print, printed, rule, shift, stacked,
};
pub use slice::{Piece, Print, Slice, move_piece, text};

/// Between the cells of a row.
const GUTTER: f32 = 10.0;

/// What a piece is, to whoever does not see the page.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    Title(String),
    Heading(String),
    Paragraph,
    List,
    Item,
    Label,
    Body,
    Table,
    TableHead,
    TableBody,
    TableFoot,
    Row,
    ColumnTitle,
    RowTitle,
    Cell,
    /// A cell over so many columns.
    Remark(usize),
    Figure(String),
}

/// A node of the tree; its children come after it.
pub struct Node {
    pub kind: Kind,
    pub parent: Option<usize>,
}

/// All slices, in reading order.
#[derive(Default)]
pub struct Galley {
    pub slices: Vec<Slice>,
    pub nodes: Vec<Node>,
    /// Heads of tables, to be printed again.
    pub heads: Vec<(f32, Vec<Piece>)>,
}

impl Galley {
    /// Blocks set to a width.
    pub fn set(blocks: &[Block], width: f32, fonts: &Fonts) -> Result<Self, Error> {
        let mut setter = Setter {
            fonts,
            nodes: Vec::new(),
            heads: Vec::new(),
        };
        let slices = setter.blocks(blocks, width)?;
        Ok(Self {
            slices,
            nodes: setter.nodes,
            heads: setter.heads,
        })
    }
}

/// Sets blocks, and keeps the tree.
struct Setter<'f, 'a> {
    fonts: &'f Fonts<'a>,
    nodes: Vec<Node>,
    heads: Vec<(f32, Vec<Piece>)>,
}

impl Setter<'_, '_> {
    fn node(&mut self, kind: Kind, parent: Option<usize>) -> usize {
        self.nodes.push(Node { kind, parent });
        self.nodes.len() - 1
    }

    fn blocks(&mut self, blocks: &[Block], width: f32) -> Result<Vec<Slice>, Error> {
        let mut slices = Vec::new();
        for block in blocks {
            slices.extend(self.block(block, width)?);
        }
        Ok(slices)
    }

    fn block(&mut self, block: &Block, width: f32) -> Result<Vec<Slice>, Error> {
        match block {
            Block::Title(text) => {
                let node = self.node(Kind::Title(text.clone()), None);
                let mut slices = self.lines_of(&Words::strong(text), width, TITLE, node)?;
                first_above(&mut slices, 4.0);
                for slice in &mut slices {
                    slice.with_next = true;
                }
                Ok(slices)
            }
            Block::Heading(text) => {
                let node = self.node(Kind::Heading(text.clone()), None);
                let mut slices = self.lines_of(&Words::strong(text), width, HEADING, node)?;
                first_above(&mut slices, 7.0);
                for slice in &mut slices {
                    slice.with_next = true;
                }
                Ok(slices)
            }
            Block::Paragraph(tone, words) => self.paragraph(*tone, words, width),
            Block::Facts(columns, facts) => self.facts(*columns, facts, width),
            Block::List(items) => self.list(items, width),
            Block::Table(table) => self.table(table, width),
            Block::Figure(figure) => self.figure(figure, width),
            Block::Letterhead { lines, logo } => self.letterhead(lines, logo.as_ref(), width),
            Block::Columns(columns) => self.columns(columns, width),
            Block::ToSign(names) => self.signatures(names, width),
            Block::End(words) => {
                let node = self.node(Kind::Paragraph, None);
                let mark = Type {
                    colour: SOFT,
                    ..CELL
                };
                let mut slices = self.lines_of(&words.as_str().into(), width, mark, node)?;
                centre(&mut slices, width, mark.size);
                first_above(&mut slices, 6.0);
                Ok(slices)
            }
        }
    }

    fn paragraph(&mut self, tone: Tone, words: &Words, width: f32) -> Result<Vec<Slice>, Error> {
        let node = self.node(Kind::Paragraph, None);
        let (kind, inset, words) = match tone {
            Tone::Plain => (TEXT, 0.0, words.clone()),
            Tone::Fine => (CELL, 0.0, words.clone()),
            Tone::Soft => (
                Type {
                    colour: SOFT,
                    ..CELL
                },
                0.0,
                words.clone(),
            ),
            Tone::Large => (LARGE, 0.0, words.clone()),
            Tone::Shout(colour) => (Type { colour, ..SHOUT }, 0.0, words.all_strong()),
            Tone::Caution => (CELL, 9.0, words.clone()),
            Tone::Framed => (TEXT, 8.0, words.all_strong()),
        };
        let mut slices = self.lines_of(&words, width - 2.0 * inset, kind, node)?;
        for slice in &mut slices {
            shift(slice, inset, 0.0);
        }
        let frame = match tone {
            Tone::Caution => Some(1.0),
            Tone::Framed => Some(2.0),
            _ => None,
        };
        if let Some(frame) = frame {
            let mut whole = stacked(slices);
            shift(&mut whole, 0.0, 3.0);
            whole.height += 6.0;
            let prints = if frame < 1.5 {
                vec![Print::Line(
                    Pen::new(SOFT, 2.0),
                    vec![at(1.0, 1.0), at(1.0, whole.height - 1.0)],
                )]
            } else {
                let corners = vec![
                    at(0.6, 0.6),
                    at(width - 0.6, 0.6),
                    at(width - 0.6, whole.height - 0.6),
                    at(0.6, whole.height - 0.6),
                ];
                vec![Print::Area(corners, None, Some(Pen::new(INK, 1.2)))]
            };
            whole.pieces.insert(0, Piece { node: None, prints });
            slices = vec![whole];
        }
        first_above(&mut slices, 4.0);
        Ok(slices)
    }

    /// Lines one under the other; no page takes the first or the last of them alone.
    fn lines_of(
        &self,
        words: &Words,
        width: f32,
        kind: Type,
        node: usize,
    ) -> Result<Vec<Slice>, Error> {
        let set = lines(words, width / kind.size, self.fonts)?;
        let count = set.len();
        Ok(set
            .iter()
            .enumerate()
            .map(|(index, line)| Slice {
                height: kind.leading,
                with_next: index + 1 < count && (index == 0 || index + 2 == count),
                pieces: vec![Piece {
                    node: Some(node),
                    prints: printed(line, 0.0, kind),
                }],
                ..Slice::default()
            })
            .collect())
    }

    fn facts(
        &mut self,
        columns: usize,
        facts: &[(String, Words)],
        width: f32,
    ) -> Result<Vec<Slice>, Error> {
        let list = self.node(Kind::List, None);
        let columns = columns.max(1);
        let each = (width - GUTTER * (columns - 1) as f32) / columns as f32;
        let mut slices = Vec::new();
        for row in facts.chunks(columns) {
            let mut whole = Slice {
                above: 4.0,
                ..Slice::default()
            };
            for (column, (name, words)) in row.iter().enumerate() {
                let item = self.node(Kind::Item, Some(list));
                let label = self.node(Kind::Label, Some(item));
                let body = self.node(Kind::Body, Some(item));
                let mut both = self.lines_of(&name.as_str().into(), each, LABEL, label)?;
                both.extend(self.lines_of(words, each, CELL, body)?);
                let mut one = stacked(both);
                shift(&mut one, column as f32 * (each + GUTTER), 0.0);
                whole.height = whole.height.max(one.height);
                whole.pieces.extend(one.pieces);
            }
            slices.push(whole);
        }
        Ok(slices)
    }

    fn list(&mut self, items: &[Words], width: f32) -> Result<Vec<Slice>, Error> {
        let list = self.node(Kind::List, None);
        let mut slices = Vec::new();
        for words in items {
            let item = self.node(Kind::Item, Some(list));
            let label = self.node(Kind::Label, Some(item));
            let body = self.node(Kind::Body, Some(item));
            let mut lines = self.lines_of(words, width - 10.0, CELL, body)?;
            for line in &mut lines {
                shift(line, 10.0, 0.0);
            }
            let bullet = lines_of_one("•", 0.0, CELL, self.fonts)?;
            if let Some(first) = lines.first_mut() {
                first.pieces.insert(
                    0,
                    Piece {
                        node: Some(label),
                        prints: bullet,
                    },
                );
            }
            first_above(&mut lines, 3.0);
            slices.extend(lines);
        }
        Ok(slices)
    }

    fn figure(&mut self, figure: &Figure, width: f32) -> Result<Vec<Slice>, Error> {
        let node = self.node(Kind::Figure(figure.alt.clone()), None);
        let mut prints = Vec::new();
        for mark in (figure.draw)(width) {
            match mark {
                Mark::Line(pen, places) => prints.push(Print::Line(pen, places)),
                Mark::Area {
                    corners,
                    fill,
                    edge,
                } => prints.push(Print::Area(corners, fill, edge)),
                Mark::Circle {
                    centre,
                    radius,
                    fill,
                    edge,
                } => prints.push(Print::Circle(centre, radius, fill, edge)),
                Mark::Text {
                    at,
                    anchor,
                    size,
                    colour,
                    strong,
                    text: words,
                } => prints.extend(text(self.fonts, at, anchor, size, colour, strong, &words)?),
            }
        }
        Ok(vec![Slice {
            above: 4.0,
            height: figure.height,
            pieces: vec![Piece {
                node: Some(node),
                prints,
            }],
            ..Slice::default()
        }])
    }

    fn columns(&mut self, columns: &[(f32, Vec<Block>)], width: f32) -> Result<Vec<Slice>, Error> {
        let gap = 2.0 * GUTTER;
        let shares: f32 = columns.iter().map(|(share, _)| share).sum();
        let room = width - gap * columns.len().saturating_sub(1) as f32;
        let mut whole = Slice::default();
        let mut x = 0.0;
        for (share, blocks) in columns {
            let each = room * share / shares;
            let mut one = stacked(self.blocks(blocks, each)?);
            shift(&mut one, x, 0.0);
            whole.height = whole.height.max(one.height);
            whole.above = whole.above.max(one.above);
            whole.pieces.extend(one.pieces);
            x += each + gap;
        }
        Ok(vec![whole])
    }

    fn signatures(&mut self, names: &[String], width: f32) -> Result<Vec<Slice>, Error> {
        let each =
            (width - GUTTER * names.len().saturating_sub(1) as f32) / names.len().max(1) as f32;
        let mut whole = Slice {
            above: 24.0,
            height: 12.0,
            ..Slice::default()
        };
        for (index, name) in names.iter().enumerate() {
            let x = index as f32 * (each + GUTTER);
            let node = self.node(Kind::Paragraph, None);
            let mut line = rule(each, 0.0, INK, 0.6);
            move_piece(&mut line, x, 0.0);
            whole.pieces.push(line);
            let mut prints = lines_of_one(name, 0.0, LABEL, self.fonts)?;
            for print in &mut prints {
                move_print(print, x, 2.0);
            }
            whole.pieces.push(Piece {
                node: Some(node),
                prints,
            });
        }
        Ok(vec![whole])
    }
}
