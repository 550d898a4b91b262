//! Drawings: what is drawn on a sheet, in points from the upper left corner of the drawing.

/// Red, green and blue (sRGB).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

/// What is written.
pub const INK: Colour = Colour(0x1B, 0x1D, 0x1F);
/// What stands beside it.
pub const SOFT: Colour = Colour(0x5A, 0x5F, 0x63);
/// Lines that only part.
pub const HAIR: Colour = Colour(0xC9, 0xC5, 0xBA);
/// Nothing printed.
pub const PAPER: Colour = Colour(0xFF, 0xFF, 0xFF);

/// A place.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "right and down")]
pub struct Point {
    pub x: f32,
    pub y: f32,
}

/// A place, in short.
pub(crate) const fn at(x: f32, y: f32) -> Point {
    Point { x, y }
}

/// What a line is drawn with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Its colour.
    pub colour: Colour,
    /// How wide it draws.
    pub width: f32,
    /// Lengths of dash and gap.
    pub dash: Option<(f32, f32)>,
}

impl Pen {
    /// An unbroken line.
    pub const fn new(colour: Colour, width: f32) -> Self {
        Self {
            colour,
            width,
            dash: None,
        }
    }
}

/// On which side of its place a text lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Half of it either side.
    Middle,
    /// It ends there.
    End,
}

/// One stroke of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A line through places.
    Line(Pen, Vec<Point>),
    /// An area within places.
    Area {
        /// Its corners, in order.
        corners: Vec<Point>,
        /// What fills it.
        fill: Option<Colour>,
        /// What runs around it.
        edge: Option<Pen>,
    },
    /// A disc or a ring.
    Circle {
        /// Where.
        centre: Point,
        /// How large.
        radius: f32,
        /// What fills it.
        fill: Option<Colour>,
        /// What runs around it.
        edge: Option<Pen>,
    },
    /// Text on one line.
    Text {
        /// Its baseline.
        at: Point,
        /// On which side of that.
        anchor: Anchor,
        /// Its height.
        size: f32,
        /// Its colour.
        colour: Colour,
        /// Whether it stands out.
        strong: bool,
        /// What it says.
        text: String,
    },
}

impl Mark {
    /// A rectangle.
    pub fn rectangle(
        corner: Point,
        width: f32,
        height: f32,
        fill: Option<Colour>,
        edge: Option<Pen>,
    ) -> Self {
        let Point { x, y } = corner;
        let corners = vec![
            corner,
            at(x + width, y),
            at(x + width, y + height),
            at(x, y + height),
        ];
        Self::Area {
            corners,
            fill,
            edge,
        }
    }
}

/// What draws, for the width there is.
type Drawing = Box<dyn Fn(f32) -> Vec<Mark>>;

/// A drawing over the whole width.
pub struct Figure {
    /// What it shows, for whoever does not see it.
    pub alt: String,
    /// How high it is.
    pub height: f32,
    /// What is drawn, for the width there is.
    pub draw: Drawing,
}

impl std::fmt::Debug for Figure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Figure({:?})", self.alt)
    }
}
