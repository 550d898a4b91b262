//! A galley broken into pages.

use crate::error::Error;
use crate::figure::{Anchor, HAIR, Pen, SOFT, at};
use crate::font::Fonts;
use crate::galley::{Galley, Node, Piece, Print, Slice, move_piece, text};
use crate::sheet::Running;

/// The foot of a page stands in so much above the margin.
const FOOT: f32 = 12.0;
const FOOT_SIZE: f32 = 7.4;

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
        let mut prints = vec![line];
        for (x, anchor, words) in [
            (margin, Anchor::Start, &running.foot),
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
