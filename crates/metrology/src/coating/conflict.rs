//! A coating that does not fit, and what would.

use crate::units::Length;

crate::messages! {
    /// Why a coating does not fit.
    #[derive(Eq)]
    pub enum Conflict "coating-conflict" {
        /// The limits hold before coating, and the coating needs more than the allowance: the thickest coating asked
        /// for, what it adds to the pitch diameter (takes from it, in a nut), the allowance, and the ways out.
        NoRoom "coating-too-thick" {
            most: Length as thickness, needed: Length as thickness, allowance: Length as thickness, room: Room as said,
            tighter: Option<Tighter> as said_if, other_class: Option<OtherClass> as said_if,
        },
        /// The limits hold after coating, and the range of its thickness takes the whole tolerance: what it takes, the
        /// tolerance of the pitch diameter, and the range that would leave something.
        NoTolerance "coating-spread-too-wide" {
            least: Length as thickness, most: Length as thickness, taken: Length as thickness,
            tolerance: Length as thickness, widest: Length as thickness,
        },
    }
}

crate::messages! {
    /// The fault alone.
    pub enum ConflictInShort "coating-fault" {
        /// A thinner coating would fit.
        AtMost "at-most" { room: Length as thickness },
        /// None would.
        NoneFits "none-fits",
        /// The range of thickness leaves the thread no tolerance.
        NoTolerance "no-tolerance",
    }
}

crate::messages! {
    /// The thickest coating that fits.
    #[derive(Eq)]
    pub enum Room "coating-room" {
        /// So much.
        AtMost "at-most" { thickness: Length as thickness },
        /// None at all.
        None "none",
    }
}

crate::messages! {
    /// Limits before coating that would do, within those of the class.
    #[derive(Eq)]
    pub enum Tighter "coating-tighter" {
        /// Of the pitch diameter.
        Limits "limits" { lower: Length as bound, upper: Length as bound },
    }
}

crate::messages! {
    /// A class with room enough.
    #[derive(Eq)]
    pub enum OtherClass "coating-class" {
        /// The thread in that class, and its allowance.
        Thread "thread" { designation: String as Text, allowance: Length as thickness },
    }
}

impl Conflict {
    /// The name that programs read.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::NoRoom { .. } => "coating-too-thick",
            Self::NoTolerance { .. } => "coating-spread-too-wide",
        }
    }

    /// The fault alone.
    pub const fn short(&self) -> ConflictInShort {
        match self {
            Self::NoRoom {
                room: Room::AtMost { thickness },
                ..
            } => ConflictInShort::AtMost { room: *thickness },
            Self::NoRoom { .. } => ConflictInShort::NoneFits,
            Self::NoTolerance { .. } => ConflictInShort::NoTolerance,
        }
    }
}
