//! A galley broken into pages.

use crate::error::Error;
use crate::figure::{Anchor, HAIR, Pen, SOFT, at};
use crate::font::Fonts;
use crate::galley::{Galley, Node, Piece, Print, Slice, move_piece, text};
use crate::sheet::Running;

/// The foot of a page stands in so much above the margin.
const FOOT: f32 = 12.0;
const FOOT_SIZE: f32 = 7.4;
/// The foot line ends so much before the number of the page.
const APART: f32 = 12.0;

/// Pages, and what their pieces are.
pub struct Pages {
    /// The pieces of each page.
    pub all: Vec<Vec<Piece>>,
    pub nodes: Vec<Node>,
    /// How much smaller it is printed than it was set.
    pub scale: f32,
}

/// The galley on pages of a width and height, each with its foot, if there is one.
pub fn broken(
    galley: Galley,
    (width, height): (f32, f32),
    margin: f32,
    running: Option<&Running>,
    fonts: &Fonts,
) -> Result<Pages, Error> {
    let foot = if running.is_some() { FOOT } else { 0.0 };
    let bottom = height - margin - foot;
    let mut pages: Vec<Vec<Piece>> = vec![Vec::new()];
    let mut y = margin;
    let mut rest = galley.slices.as_slice();
    while let Some((slice, after)) = rest.split_first() {
        let is_top = y <= margin;
        if !is_top && y + slice.above + together(rest) > bottom {
            pages.push(Vec::new());
            y = margin;
            let head = slice.head.and_then(|head| galley.heads.get(head));
            if let (Some((high, head)), Some(page)) = (head, pages.last_mut()) {
                page.extend(head.iter().map(|piece| moved(piece, margin, y)));
                y += high;
            }
        } else if !is_top {
            y += slice.above;
        }
        if let Some(page) = pages.last_mut() {
            page.extend(slice.pieces.iter().map(|piece| moved(piece, margin, y)));
        }
        y += slice.height;
        rest = after;
    }
    let count = pages.len();
    for (index, page) in pages.iter_mut().enumerate() {
        let Some(running) = running else {
            break;
        };
        let line = Print::Line(
            Pen::new(HAIR, 0.5),
            vec![
                at(margin, height - margin - 8.0),
                at(width - margin, height - margin - 8.0),
            ],
        );
        let baseline = height - margin + 1.0;
        let number = (running.page)(index + 1, count);
        let room = width - 2.0 * margin - fonts.width(&number, false)? * FOOT_SIZE - APART;
        let foot = fitted(&running.foot, room, fonts)?;
        let mut prints = vec![line];
        for (x, anchor, words) in [
            (margin, Anchor::Start, &foot),
            (width - margin, Anchor::End, &number),
        ] {
            let place = at(x, baseline);
            prints.extend(text(fonts, place, anchor, FOOT_SIZE, SOFT, false, words)?);
        }
        page.push(Piece { node: None, prints });
    }
    Ok(Pages {
        all: pages,
        nodes: galley.nodes,
        scale: 1.0,
    })
}

/// The foot line in the room beside the number of the page. Where it is too long it is cut before its last word, which tells this
/// sheet from every other.
fn fitted(foot: &str, room: f32, fonts: &Fonts) -> Result<String, Error> {
    let mut line = foot.to_owned();
    let (head, last) = foot.rsplit_once(' ').unwrap_or(("", foot));
    let mut head = head.to_owned();
    while fonts.width(&line, false)? * FOOT_SIZE > room && head.pop().is_some() {
        line = format!("{}… {last}", head.trim_end());
    }
    Ok(line)
}

/// How high a slice is with those that have to stand on its page.
fn together(slices: &[Slice]) -> f32 {
    let mut height = 0.0;
    for (index, slice) in slices.iter().enumerate() {
        height += slice.height;
        if index > 0 {
            height += slice.above;
        }
        if !slice.with_next {
            break;
        }
    }
    height
}

fn moved(piece: &Piece, x: f32, y: f32) -> Piece {
    let mut piece = piece.clone();
    move_piece(&mut piece, x, y);
    piece
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_foot_line_is_cut_before_what_tells_the_sheet() -> Result<(), Error> {
        let fonts = Fonts::new(None)?;
        assert_eq!(fitted("Report 1 · ab12", 400.0, &fonts)?, "Report 1 · ab12");
        let long = format!("Study of {} · 3b2e3006", "many recorded sizes ".repeat(9));
        let cut = fitted(&long, 200.0, &fonts)?;
        assert!(cut.starts_with("Study of many"), "{cut}");
        assert!(cut.ends_with("… 3b2e3006"), "{cut}");
        assert!(fonts.width(&cut, false)? * FOOT_SIZE <= 200.0);
        // Nothing is left to cut.
        assert_eq!(fitted("3b2e3006", 1.0, &fonts)?, "3b2e3006");
        Ok(())
    }
}
