//! Diameters of a taper thread: they grow 1 in 16 along the axis, so each belongs to a position.

use crate::units::{Entered, Length, LengthUnit};

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
    pub name: Place,
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

crate::messages! {
    /// Why there is no diameter at a position.
    #[derive(Eq)]
    pub enum TaperError "taper" {
        /// Outside the thread: the position, and where the thread ends, both from the small end.
        Outside "outside" { at: Entered as Entered, end: Entered as Entered },
    }
}

crate::codes! {
    /// A position on the axis of a taper thread.
    pub enum Place "taper-place" {
        /// Where the thread is smallest.
        SmallEnd "small-end",
        /// NPT: as far as it is screwed in by hand.
        HandTight "hand-tight",
        /// NPT: where the effective thread ends.
        EffectiveEnd "effective-end",
        /// R: the plane of the gauge diameter.
        GaugePlane "gauge-plane",
        /// R: where the useful thread ends.
        UsefulEnd "useful-end",
        /// The one asked for.
        Stated "stated",
    }
}

impl Taper {
    /// By what the diameter grows over a length along the axis: NPT and R alike.
    pub const RATIO: f64 = 1.0 / 16.0;

    /// How far the pitch diameter may be off, to either side, at every plane: a thread that stands off by some turns is
    /// larger or smaller all along. None where the standard says nothing of it.
    pub fn tolerance(&self) -> Option<Length> {
        self.positions.iter().find_map(|place| place.tolerance)
    }

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
        name: Place,
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
    pub fn at(&self, at: Length, unit: LengthUnit) -> Result<Position, TaperError> {
        let (first, last) = (self.positions.first(), self.positions.last());
        let end = last.map_or(Length::ZERO, |last| last.at) + self.run_out;
        let outside = || TaperError::Outside {
            at: to_thousandths(at, unit),
            end: to_thousandths(end, unit),
        };
        let first = first.ok_or_else(outside)?;
        if at < Length::ZERO || at > end {
            return Err(outside());
        }
        let growth = sixteenth(at - first.at);
        Ok(Position {
            name: Place::Stated,
            at,
            pitch_diameter: first.pitch_diameter + growth,
            major: first.major + growth,
            minor: first.minor + growth,
            tolerance: None,
        })
    }
}

/// A length as it is told, to three decimals.
fn to_thousandths(length: Length, unit: LengthUnit) -> Entered {
    let rounded = Length::from_decimal(length.decimal(unit).round_dp(3), unit);
    Entered::of(rounded.unwrap_or(length), unit)
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
            Taper::new(mm(1_000), mm(1_500)).with(Place::SmallEnd, Length::ZERO, mm(10_000), None);
        let found = taper.at(mm(1_600), LengthUnit::Millimetre).unwrap();
        assert_eq!(found.pitch_diameter, mm(10_100));
        assert_eq!(found.major, mm(11_100));
        assert_eq!(found.minor, mm(9_100));
        assert!(taper.at(mm(6_001), LengthUnit::Millimetre).is_err());
        assert!(taper.at(mm(-1), LengthUnit::Millimetre).is_err());
    }
}
