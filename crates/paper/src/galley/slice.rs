//! What no page parts, and the prints it is made of.

use crate::error::Error;
use crate::figure::{Anchor, Colour, INK, Pen, Point, SOFT, at};
use crate::font::{Fonts, Run};
use crate::line::Line;

/// Height of letters and distance of lines.
#[derive(Clone, Copy)]
pub struct Type {
    /// Height of the letters.
    pub size: f32,
    /// From line to line.
    pub leading: f32,
    /// Their colour.
    pub colour: Colour,
}

pub const TEXT: Type = Type {
    size: 9.2,
    leading: 12.4,
    colour: INK,
};
pub const CELL: Type = Type {
    size: 8.4,
    leading: 10.4,
    colour: INK,
};
pub const LABEL: Type = Type {
    size: 7.6,
    leading: 9.6,
    colour: SOFT,
};
pub const LARGE: Type = Type {
    size: 13.5,
    leading: 17.0,
    colour: INK,
};
pub const SHOUT: Type = Type {
    size: 25.0,
    leading: 27.0,
    colour: INK,
};
pub const HEADING: Type = Type {
    size: 10.6,
    leading: 14.0,
    colour: INK,
};
pub const TITLE: Type = Type {
    size: 18.0,
    leading: 22.0,
    colour: INK,
};

/// What is printed.
#[derive(Clone)]
pub enum Print {
    Glyphs {
        at: Point,
        size: f32,
        colour: Colour,
        run: Run,
    },
    Line(Pen, Vec<Point>),
    Area(Vec<Point>, Option<Colour>, Option<Pen>),
    Circle(Point, f32, Option<Colour>, Option<Pen>),
    Picture {
        at: Point,
        width: f32,
        height: f32,
        image: krilla::image::Image,
    },
}

/// What is printed for one node; for none, it is there only to be seen.
#[derive(Clone)]
pub struct Piece {
    pub node: Option<usize>,
    pub prints: Vec<Print>,
}

/// What no page parts.
#[derive(Default)]
pub struct Slice {
    /// White above it, except at the top of a page.
    pub above: f32,
    pub height: f32,
    /// Whether the next one has to stand on the same page.
    pub with_next: bool,
    pub pieces: Vec<Piece>,
    /// Which head comes again where a page begins with this.
    pub head: Option<usize>,
}

/// The prints of a text on one line.
pub fn text(
    fonts: &Fonts,
    place: Point,
    anchor: Anchor,
    size: f32,
    colour: Colour,
    strong: bool,
    text: &str,
) -> Result<Vec<Print>, Error> {
    let runs = fonts.shape(text, strong)?;
    let width: f32 = runs.iter().map(|run| run.width * size).sum();
    let x = match anchor {
        Anchor::Start => place.x,
        Anchor::Middle => place.x - width / 2.0,
        Anchor::End => place.x - width,
    };
    Ok(glyphs(&runs, at(x, place.y), size, colour))
}

pub fn glyphs(runs: &[Run], from: Point, size: f32, colour: Colour) -> Vec<Print> {
    let mut x = from.x;
    let mut prints = Vec::new();
    for run in runs {
        prints.push(Print::Glyphs {
            at: at(x, from.y),
            size,
            colour,
            run: run.clone(),
        });
        x += run.width * size;
    }
    prints
}

pub fn printed(line: &Line, x: f32, kind: Type) -> Vec<Print> {
    // The baseline stands so that ascenders and descenders have the same room.
    let baseline = kind.leading * 0.5 + kind.size * 0.35;
    glyphs(&line.runs, at(x, baseline), kind.size, kind.colour)
}

pub fn lines_of_one(words: &str, x: f32, kind: Type, fonts: &Fonts) -> Result<Vec<Print>, Error> {
    let baseline = kind.leading * 0.5 + kind.size * 0.35;
    text(
        fonts,
        at(x, baseline),
        Anchor::Start,
        kind.size,
        kind.colour,
        false,
        words,
    )
}

pub fn rule(width: f32, y: f32, colour: Colour, wide: f32) -> Piece {
    Piece {
        node: None,
        prints: vec![Print::Line(
            Pen::new(colour, wide),
            vec![at(0.0, y), at(width, y)],
        )],
    }
}

pub fn first_above(slices: &mut [Slice], above: f32) {
    if let Some(first) = slices.first_mut() {
        first.above = above;
    }
}

/// Slices as one, with the white between them.
pub fn stacked(slices: Vec<Slice>) -> Slice {
    let mut whole = Slice::default();
    for (index, mut slice) in slices.into_iter().enumerate() {
        if index == 0 {
            whole.above = slice.above;
        } else {
            whole.height += slice.above;
        }
        shift(&mut slice, 0.0, whole.height);
        whole.height += slice.height;
        whole.pieces.extend(slice.pieces);
    }
    whole
}

pub fn centre(slices: &mut [Slice], width: f32, size: f32) {
    for slice in slices {
        let wide: f32 = slice
            .pieces
            .iter()
            .flat_map(|piece| &piece.prints)
            .map(|print| match print {
                Print::Glyphs { run, .. } => run.width * size,
                _ => 0.0,
            })
            .sum();
        shift(slice, (width - wide) / 2.0, 0.0);
    }
}

pub fn shift(slice: &mut Slice, x: f32, y: f32) {
    for piece in &mut slice.pieces {
        move_piece(piece, x, y);
    }
}

/// A piece elsewhere.
pub fn move_piece(piece: &mut Piece, x: f32, y: f32) {
    for print in &mut piece.prints {
        move_print(print, x, y);
    }
}

pub fn move_print(print: &mut Print, x: f32, y: f32) {
    let go = |place: &mut Point| {
        place.x += x;
        place.y += y;
    };
    match print {
        Print::Glyphs { at, .. } | Print::Picture { at, .. } | Print::Circle(at, ..) => go(at),
        Print::Line(_, places) | Print::Area(places, ..) => places.iter_mut().for_each(go),
    }
}
