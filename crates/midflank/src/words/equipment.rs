//! Equipment, and places on a part, in words.

use std::fmt::Write as _;

use metrology::units::LengthUnit;
use workshop::equipment::Equipment;
use workshop::event::Spot;

use super::number::{degrees, entered};
use super::{Shown, on_page, word};
use crate::say;

/// What a piece is, in a few words.
pub fn equipment(piece: &Equipment) -> String {
    match piece {
        Equipment::Instrument(piece) => say!(
            "register.range",
            from = entered(&piece.range[0]),
            to = entered(&piece.range[1])
        ),
        Equipment::Contacts(piece) => {
            let mut words = word(&piece.kind);
            if let Some(angle) = piece.included_angle {
                let _ = write!(words, ", {}", degrees(angle));
            }
            for (what, size) in piece.sizes() {
                let _ = write!(words, ", {} {}", word(&what), entered(size));
            }
            if let Some([one, other]) = &piece.members {
                let _ = write!(words, " ({one} + {other})");
            }
            words
        }
        Equipment::Standard(piece) => say!(
            "register.certified",
            size = entered(&piece.size),
            uncertainty = entered(&piece.expanded_uncertainty)
        ),
        Equipment::Wires(piece) | Equipment::Balls(piece) => say!(
            "register.certified-diameter",
            size = entered(&piece.diameter),
            uncertainty = entered(&piece.expanded_uncertainty)
        ),
    }
}

/// Where on the part a reading is taken.
pub fn spot(spot: &Spot) -> String {
    let shown = Shown::in_unit(LengthUnit::Millimetre);
    spot.name()
        .map_or_else(String::new, |name| on_page(&name, shown))
}

#[cfg(test)]
mod tests {
    use workshop::event::places::Station;

    use super::super::number;
    use super::*;

    #[test]
    fn an_angle_is_written_as_numbers_are() {
        let words = |angle| spot(&Spot::new(Station::Middle, angle));
        assert!(words(22.5).ends_with("22.5°"));
        assert!(number::on_page(true, || words(22.5)).ends_with("22,5°"));
    }
}
