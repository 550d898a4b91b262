//! Checks of stable parts and readings of the room, in words.

use metrology::units::LengthUnit;
use workshop::gauge_record::check::{Check, Room};

use crate::say;
use crate::words::number;

/// A check on one line.
pub fn line(check: &Check) -> String {
    say!(
        "check.line",
        part = check.part,
        mean = number::size(check.mean, LengthUnit::Millimetre),
        instrument = check.instrument,
        contacts = check.contacts
    )
}

/// What a thermometer showed, on one line.
pub fn room_line(room: &Room) -> String {
    let all = room.values.iter().map(|value| value.celsius);
    let least = all.clone().fold(f64::INFINITY, f64::min);
    let most = all.fold(f64::NEG_INFINITY, f64::max);
    say!(
        "room.line",
        thermometer = room.thermometer,
        n = room.values.len(),
        least = number::celsius(least, 2),
        most = number::celsius(most, 2),
        source = room.source
    )
}
