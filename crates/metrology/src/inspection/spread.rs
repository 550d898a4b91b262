//! How many readings something wants, and where on the part.

use crate::message::Code;

/// How many readings, and where.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Places {
    /// How many in all.
    pub count: usize,
    /// Degrees between them, where they go around.
    pub step: Option<u32>,
    /// How they are spread over the part, to be said.
    pub how: Code,
    /// The same as an order to take them in.
    pub laid: Laid,
}

/// The order in which readings are taken over a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Laid {
    /// At stations along it, at each two a quarter turn apart.
    Stations,
    /// Along it, one at each station.
    Along,
    /// From the front of a bore to its back.
    FrontToBack,
    /// Around it, by the step.
    Around,
    /// At places that look all alike.
    Spots,
    /// One on each of several pieces.
    Samples,
}

/// What a part that is turned shows at each angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turned {
    /// A diameter: the same again after half a turn.
    Diameter,
    /// The wall of a tube, one side of it.
    Wall,
    /// One place of a ring.
    Ring,
}
