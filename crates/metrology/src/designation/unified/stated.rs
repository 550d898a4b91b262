//! Limits written behind a designation, as `PD 0.2164-0.2127`: they are not needed, so they are checked.
//!
//! Special threads (UNS) are to carry them. Where they differ from the limits of the class, either the note or
//! the designation is wrong, and nobody but the drawing's owner can say which.

use crate::designation::text::Cursor;
use crate::limits::{Limits, ThreadLimits};
use crate::thread::ThreadError;
use crate::thread::unified::UnifiedThread;
use crate::thread::{Fault, StatedDiameter, StatedLimit};
use crate::units::{Length, LengthUnit};

/// The limits stated for one diameter, with their place.
pub(super) struct Stated {
    diameter: StatedDiameter,
    one: Length,
    other: Length,
    from: usize,
    end: usize,
}

const fn limits_of(diameter: StatedDiameter, limits: &ThreadLimits) -> Limits {
    match diameter {
        StatedDiameter::Major => limits.major,
        StatedDiameter::Pitch => limits.pitch_diameter,
        StatedDiameter::Minor => limits.minor,
    }
}

/// Takes stated limits if they stand here.
pub(super) fn read_stated(c: &mut Cursor<'_>) -> Result<Option<Stated>, ThreadError> {
    let from = c.at();
    let names = [
        ("pd", StatedDiameter::Pitch),
        ("pitch", StatedDiameter::Pitch),
        ("major", StatedDiameter::Major),
        ("minor", StatedDiameter::Minor),
    ];
    let Some((_, diameter)) = names.into_iter().find(|(name, _)| c.eat_word(name)) else {
        return Ok(None);
    };
    c.skip_separators();
    for word in ["diameter", "dia"] {
        c.eat_word(word);
    }
    c.skip_separators();
    let one = inches(c)?;
    c.skip_separators();
    c.eat(b'/');
    c.eat_word("to");
    c.skip_separators();
    let other = inches(c)?;
    Ok(Some(Stated {
        diameter,
        one,
        other,
        from,
        end: c.at(),
    }))
}

fn inches(c: &mut Cursor<'_>) -> Result<Length, ThreadError> {
    let number = c.number()?;
    Length::from_decimal(number.value, LengthUnit::Inch)
        .map_err(|_| c.error_from(number.from, Fault::NoSuchNumber))
}

/// Refuses stated limits that the class does not have.
pub(super) fn check_stated(
    c: Cursor<'_>,
    stated: &[Stated],
    thread: &UnifiedThread,
) -> Result<(), ThreadError> {
    if stated.is_empty() {
        return Ok(());
    }
    let limits = crate::limits::unified::limits(thread)?;
    for piece in stated {
        let of_class = limits_of(piece.diameter, &limits);
        let (lower, upper) = (piece.one.min(piece.other), piece.one.max(piece.other));
        let differs =
            |stated: Length, limit: Option<Length>| limit.is_some_and(|limit| limit != stated);
        if differs(lower, of_class.lower) || differs(upper, of_class.upper) {
            return Err(c
                .error_span(
                    piece.from,
                    piece.end,
                    Fault::StatedLimitsDiffer {
                        diameter: piece.diameter,
                        class: limits.class.clone(),
                        max: StatedLimit::of(of_class.upper, LengthUnit::Inch),
                        min: StatedLimit::of(of_class.lower, LengthUnit::Inch),
                    },
                )
                .suggest([limits.designation.clone()]));
        }
    }
    Ok(())
}
