//! Tables: their columns as wide as they need to be, their rows with a rule under each.

use super::slice::{CELL, LABEL, Piece, Slice, Type, first_above, printed, rule, shift, stacked};
use super::{GUTTER, Kind, Setter};
use crate::error::Error;
use crate::figure::{HAIR, SOFT};
use crate::line::{Line, lines, widths};
use crate::table::{Align, Column, Table};
use crate::words::Words;

/// A row of a table that has more lines may be parted by a page.
const LONG_ROW: usize = 12;

impl Setter<'_, '_> {
    /// A table, its head to be printed again on every page.
    pub fn table(&mut self, table: &Table, width: f32) -> Result<Vec<Slice>, Error> {
        let widths = self.column_widths(table, width)?;
        let node = self.node(Kind::Table, None);
        let mut slices = Vec::new();
        let mut head = None;
        if table.is_titled() {
            let titles: Vec<Words> = table
                .columns
                .iter()
                .map(|column| column.title.as_str().into())
                .collect();
            let head_node = self.node(Kind::TableHead, Some(node));
            let mut rows = self.row(&titles, table, &widths, head_node, true)?;
            first_above(&mut rows, 2.0);
            let whole = stacked(rows);
            let again = whole.pieces.iter().map(|piece| Piece {
                node: None,
                prints: piece.prints.clone(),
            });
            self.heads.push((whole.height, again.collect()));
            head = Some(self.heads.len() - 1);
            slices.push(Slice {
                with_next: true,
                ..whole
            });
        }
        for (kind, rows) in [
            (Kind::TableBody, &table.rows),
            (Kind::TableFoot, &table.foot),
        ] {
            if rows.is_empty() {
                continue;
            }
            let part = self.node(kind, Some(node));
            for row in rows {
                let mut set = self.row(row, table, &widths, part, false)?;
                for slice in &mut set {
                    slice.head = head;
                }
                slices.extend(set);
            }
        }
        // The foot does not stand alone.
        let before_foot = slices.len().saturating_sub(table.foot.len() + 1);
        if !table.foot.is_empty()
            && let Some(slice) = slices.get_mut(before_foot)
        {
            slice.with_next = true;
        }
        Ok(slices)
    }

    /// A row, line by line, with the rule under it.
    fn row(
        &mut self,
        cells: &[Words],
        table: &Table,
        widths: &[f32],
        parent: usize,
        is_head: bool,
    ) -> Result<Vec<Slice>, Error> {
        let row = self.node(Kind::Row, Some(parent));
        let kind = if is_head { LABEL } else { CELL };
        let width = widths.iter().sum::<f32>() + GUTTER * widths.len().saturating_sub(1) as f32;
        // A row of one cell is a remark on the whole table.
        let spanned = [width];
        let is_remark = cells.len() == 1 && table.columns.len() > 1;
        let widths = if is_remark { &spanned } else { widths };
        let mut columns: Vec<(usize, Vec<Line>)> = Vec::new();
        for (index, wide) in widths.iter().enumerate() {
            let is_title = !table.is_titled() && index == 0;
            let cell = match (is_head, is_title) {
                (true, _) => Kind::ColumnTitle,
                (false, true) => Kind::RowTitle,
                (false, false) if is_remark => Kind::Remark(table.columns.len()),
                (false, false) => Kind::Cell,
            };
            let node = self.node(cell, Some(row));
            let empty = Words::new();
            let words = cells.get(index).unwrap_or(&empty);
            columns.push((node, lines(words, wide / kind.size, self.fonts)?));
        }
        let count = columns
            .iter()
            .map(|(_, lines)| lines.len())
            .max()
            .unwrap_or(0);
        let mut slices = Vec::new();
        for index in 0..count {
            let mut slice = Slice {
                height: kind.leading,
                with_next: index + 1 < count && count <= LONG_ROW,
                ..Slice::default()
            };
            let mut x = 0.0;
            for ((node, lines), (column, wide)) in
                columns.iter().zip(table.columns.iter().zip(widths))
            {
                if let Some(line) = lines.get(index) {
                    let is_title = !table.is_titled() && x == 0.0;
                    let kind = if is_title {
                        Type {
                            colour: SOFT,
                            ..kind
                        }
                    } else {
                        kind
                    };
                    let from = match column.align {
                        Align::Left => x,
                        Align::Right => x + wide - line.width * kind.size,
                    };
                    slice.pieces.push(Piece {
                        node: Some(*node),
                        prints: printed(line, from, kind),
                    });
                }
                x += wide + GUTTER;
            }
            slices.push(slice);
        }
        if let Some(first) = slices.first_mut() {
            shift(first, 0.0, 1.6);
            first.height += 1.6;
        }
        if let Some(last) = slices.last_mut() {
            last.height += 1.6;
            let (colour, wide) = if is_head { (SOFT, 0.6) } else { (HAIR, 0.4) };
            last.pieces.push(rule(width, last.height, colour, wide));
        }
        Ok(slices)
    }

    /// How wide each column is for its words, its title on one line or parted where it is one of numbers.
    fn natural(&self, table: &Table, parts_titles: bool) -> Result<Vec<f32>, Error> {
        let mut set = Vec::new();
        for (index, column) in table.columns.iter().enumerate() {
            let (least, whole) = widths(&column.title.as_str().into(), self.fonts)?;
            let title = if parts_titles && column.align == Align::Right {
                least
            } else {
                whole
            };
            let mut wide = title * LABEL.size;
            for row in table.rows.iter().chain(&table.foot) {
                let is_remark = row.len() == 1 && table.columns.len() > 1;
                if let Some(words) = row.get(index).filter(|_| !is_remark) {
                    wide = wide.max(widths(words, self.fonts)?.1 * CELL.size);
                }
            }
            set.push(wide + 0.5);
        }
        Ok(set)
    }

    /// Every column as wide as its words need; where there is not so much room, titles of numbers are parted, then the wide
    /// columns share what the narrow ones leave.
    fn column_widths(&self, table: &Table, width: f32) -> Result<Vec<f32>, Error> {
        let room = width - GUTTER * table.columns.len().saturating_sub(1) as f32;
        let mut set = self.natural(table, false)?;
        if set.iter().sum::<f32>() > room {
            set = self.natural(table, true)?;
        }
        let natural: f32 = set.iter().sum();
        if natural <= room {
            // What is left over goes to the last column of text, so that numbers stay close to what they are of.
            let is_text = |column: &Column| column.align == Align::Left;
            let last_text = table.columns.iter().rposition(is_text).unwrap_or(0);
            if let Some(last) = set.get_mut(last_text) {
                *last += room - natural;
            }
            return Ok(set);
        }
        let mut narrow_first: Vec<&mut f32> = set.iter_mut().collect();
        narrow_first.sort_by(|one, other| one.total_cmp(other));
        let mut left = room;
        let count = narrow_first.len();
        for (done, wide) in narrow_first.into_iter().enumerate() {
            *wide = wide.min(left / (count - done) as f32);
            left -= *wide;
        }
        Ok(set)
    }
}
