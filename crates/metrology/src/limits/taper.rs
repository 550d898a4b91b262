//! Diameters of a taper thread: they grow 1 in 16 along the axis, so each belongs to a position.

use crate::units::{Length, LengthUnit};

/// A taper thread's diameters by position.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taper {
    /// The standard's own places, by distance from the small end.
    pub positions: Vec<Position>,
    /// From the pitch line to the crests, on the diameter: major is pitch diameter plus this, minor is minus.
    pub(crate) height: Length,
    /// One pitch; how far behind the last position the thread may run out.
    pub(crate) run_out: Length,
}

/// One place along the axis of a taper thread.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Position {
    /// `small-end`, `hand-tight`, `gauge-plane`, ...
    pub name: &'static str,
    /// From the small end of the basic thread.
    pub at: Length,
    /// The basic pitch diameter there.
    pub pitch_diameter: Length,
    /// The basic major diameter there.
    pub major: Length,
    /// The basic minor diameter there.
    pub minor: Length,
    /// How far the pitch diameter may be off at this place, to either side, where the standard says so.
    pub tolerance: Option<Length>,
}

/// A position outside the thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "the thread reaches from 0 to {} {unit} along its axis, counted from the small end; {} {unit} is outside it",
    .end.to_fixed(*.unit, 3), .at.to_fixed(*.unit, 3)
)]
pub struct OutsideThread {
    /// What was asked for.
    pub at: Length,
    /// Where the thread ends.
    pub end: Length,
    /// The unit to tell it in.
    pub unit: LengthUnit,
}

impl Taper {
    /// From small-end diameter, height and pitch; the positions of the standard follow with [`with`](Self::with).
    pub(crate) const fn new(height: Length, pitch: Length) -> Self {
        Self {
            positions: Vec::new(),
            height,
            run_out: pitch.times(4),
        }
    }

    /// Adds a place with the pitch diameter that the standard prints for it.
    pub(crate) fn with(
        mut self,
        name: &'static str,
        at: Length,
        pitch_diameter: Length,
        tolerance: Option<Length>,
    ) -> Self {
        self.positions.push(Position {
            name,
            at,
            pitch_diameter,
            major: pitch_diameter + self.height,
            minor: pitch_diameter - self.height,
            tolerance,
        });
        self
    }

    /// The diameters at any other place: those of the small end and one sixteenth of the distance from it.
    pub fn at(&self, at: Length, unit: LengthUnit) -> Result<Position, OutsideThread> {
        let (first, last) = (self.positions.first(), self.positions.last());
        let end = last.map_or(Length::ZERO, |last| last.at) + self.run_out;
        let outside = OutsideThread { at, end, unit };
        let first = first.ok_or(outside)?;
        if at < Length::ZERO || at > end {
            return Err(outside);
        }
        let growth = sixteenth(at - first.at);
        Ok(Position {
            name: "stated",
            at,
            pitch_diameter: first.pitch_diameter + growth,
            major: first.major + growth,
            minor: first.minor + growth,
            tolerance: None,
        })
    }
}

/// One sixteenth, to the nearest tenth of a nanometre.
pub(crate) const fn sixteenth(length: Length) -> Length {
    let sixteen = length.round_to(Length::from_tenth_nanometres(16));
    Length::from_tenth_nanometres(sixteen.tenth_nanometres() / 16)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grows_one_in_sixteen_and_ends() {
        let mm = Length::from_micrometres;
        let taper =
            Taper::new(mm(1_000), mm(1_500)).with("small-end", Length::ZERO, mm(10_000), None);
        let found = taper.at(mm(1_600), LengthUnit::Millimetre).unwrap();
        assert_eq!(found.pitch_diameter, mm(10_100));
        assert_eq!(found.major, mm(11_100));
        assert_eq!(found.minor, mm(9_100));
        assert!(taper.at(mm(6_001), LengthUnit::Millimetre).is_err());
        assert!(taper.at(mm(-1), LengthUnit::Millimetre).is_err());
    }
}
